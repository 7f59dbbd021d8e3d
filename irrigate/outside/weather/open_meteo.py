"""Weather from Open-Meteo: what is asked, what the answer means, and what is not believed.

Meaning of its stamps, by its own documentation: temperature, humidity and wind are those *at* the
moment, radiation is the mean and precipitation the sum of the hour *before* it. An hour's mean of
the former is taken as that of its two ends. Wind is at 10 m, brought to 2 m by FAO-56 Eq 47.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.errors import WeatherError
from irrigate.garden.plausible import quantised
from irrigate.garden.pots import Site
from irrigate.garden.weather import HOUR_S, Floats, HourlyWeather, Origin
from irrigate.outside.weather.json_over_http import JsonOverHttp
from irrigate.outside.weather.open_meteo_answer import (
    SPOKEN,
    VARIABLES,
    asked_about,
    hourly_of,
    stamps_of,
    values_of,
)
from irrigate.outside.weather.open_meteo_ensemble import OpenMeteoEnsemble
from irrigate.ports import Fetched
from irrigate.science.air import vapour_pressure_from_hourly_rh_kpa, wind_at_2m_m_s

BASE_URL = "https://api.open-meteo.com/v1/forecast"
ATTRIBUTION = "Weather data by Open-Meteo.com (CC BY 4.0)"


class OpenMeteo:
    """The forecast of Open-Meteo, with some days gone by. Implements `ports.WeatherSource`.

    Parameters
    ----------
    past_days : days gone by to ask for, to fill the hours that were missed while down [0–92].
    forecast_days : days to ask for, today included [1–16].
    session : how to ask; the default tries politely, and gives up within minutes.
    ensemble : asked as well, if there is one; where it fails, the forecast is used without it.
    """

    name = "open-meteo"

    def __init__(
        self,
        base_url: str = BASE_URL,
        *,
        past_days: int = 3,
        forecast_days: int = 8,
        session: JsonOverHttp | None = None,
        ensemble: OpenMeteoEnsemble | None = None,
    ) -> None:
        self._base_url = base_url
        self._past_days = past_days
        self._forecast_days = forecast_days
        self._session = session if session is not None else JsonOverHttp()
        self._ensemble = ensemble

    def fetch(self, site: Site, now: datetime) -> Fetched:
        """Return hours past and to come around ``now``, or raise `WeatherError`."""
        answer = self._session.get(self._base_url, self._question(site), now)
        forecast = understood(answer, site, now)
        return forecast if self._ensemble is None else self._ensemble.beside(forecast, site, now)

    def _question(self, site: Site) -> dict[str, str]:
        return {
            **asked_about(site),
            "hourly": ",".join(VARIABLES),
            "past_days": str(self._past_days),
            "forecast_days": str(self._forecast_days),
        }


def understood(answer: object, site: Site, now: datetime) -> Fetched:
    """Return what an answer says, or raise `WeatherError` with what is wrong with it.

    Parameters
    ----------
    answer : the JSON as Python has it: an object, one hopes.
    site : the place that was asked about.
    now : the present moment; hours that ended by then are observed (by the model's account).
    """
    hourly, units = hourly_of(answer, site)
    stamps = stamps_of(hourly, units)
    remarks: list[str] = []
    columns = {name: _column(hourly, units, name, stamps.size, remarks) for name in VARIABLES}
    hours = _hours(stamps, columns, int(now.timestamp()))
    _check_reach(hours, now, remarks)
    return Fetched(
        source=OpenMeteo.name,
        model_run=_digest(hours, now),
        attribution=ATTRIBUTION,
        fetched_at=now,
        hours=hours,
        remarks=tuple(remarks),
    )


def _hours(stamps: NDArray[np.int64], columns: Mapping[str, Floats], now_s: int) -> HourlyWeather:
    """Return the hours between the stamps: one fewer than there are stamps."""
    temperature_c = columns["temperature_2m"]
    humidity = np.minimum(columns["relative_humidity_2m"], 100.0)
    pressure_kpa = np.asarray(vapour_pressure_from_hourly_rh_kpa(temperature_c, humidity))
    end_s = stamps[1:]
    passed = end_s <= now_s
    rain_mm = columns["precipitation"][1:]
    chance = columns["precipitation_probability"][1:] / 100.0
    fell = np.where(np.isnan(rain_mm), np.nan, rain_mm > 0.0)
    return quantised(
        HourlyWeather(
            end_s=end_s,
            temperature_c=_mean_of_ends(temperature_c),
            vapour_pressure_kpa=_mean_of_ends(pressure_kpa),
            solar_mj_m2=np.maximum(columns["shortwave_radiation"][1:], 0.0) * HOUR_S / 1e6,
            wind_2m_m_s=np.asarray(wind_at_2m_m_s(_mean_of_ends(columns["wind_speed_10m"]), 10.0)),
            rain_mm=rain_mm,
            rain_chance=np.where(passed, fell, chance),
            origin=np.where(passed, Origin.OBSERVED, Origin.FORECAST).astype(np.uint8),
            filled=np.zeros(end_s.size, dtype=np.uint8),
        )
    )


def _mean_of_ends(at_stamps: Floats) -> Floats:
    return (at_stamps[:-1] + at_stamps[1:]) / 2.0


def _digest(hours: HourlyWeather, now: datetime) -> str:
    """Return what tells one forecast from another: the service names no model run.

    Hours before today (GMT) are left out, so that an unchanged forecast is recognised all day.
    """
    today_s = int(now.timestamp()) // 86_400 * 86_400
    digest = hashlib.blake2b(digest_size=8)
    wanted = hours.end_s > today_s
    for column in (
        hours.end_s,
        hours.temperature_c,
        hours.vapour_pressure_kpa,
        hours.solar_mj_m2,
        hours.wind_2m_m_s,
        hours.rain_mm,
    ):
        digest.update(np.ascontiguousarray(column[wanted]).tobytes())
    return digest.hexdigest()


# --- doubts --------------------------------------------------------------------------------
def _column(
    hourly: Mapping[Any, Any],
    units: Mapping[Any, Any],
    name: str,
    count: int,
    remarks: list[str],
) -> Floats:
    """Return one variable at the stamps, NaN where it is null or cannot be right."""
    # Not every model has a probability of rain, and no past hour has.
    if hourly.get(name) is None and name == "precipitation_probability":
        return np.full(count, np.nan)
    values, remark = values_of(hourly, units, name, name, count)
    if remark:
        remarks.append(remark)
    if np.isnan(values).all() and name in SPOKEN:
        if name == "temperature_2m":
            raise WeatherError("Open-Meteo's answer has no temperature in any hour")
        remarks.append(f"Open-Meteo has no {SPOKEN[name]} for this place today")
    return values


def _check_reach(hours: HourlyWeather, now: datetime, remarks: list[str]) -> None:
    """Refuse an answer about another time, and say if the forecast is short."""
    ahead_h = (int(hours.end_s[-1]) - now.timestamp()) / HOUR_S
    if ahead_h <= 0.0 or int(hours.end_s[0]) > now.timestamp() + HOUR_S:
        raise WeatherError("Open-Meteo's answer is not about the present hours")
    known = hours.end_s[~np.isnan(hours.temperature_c)]
    reach_h = (int(known[-1]) - now.timestamp()) / HOUR_S if known.size else 0.0
    if reach_h < 72.0:
        remarks.append(f"Open-Meteo's forecast reaches only {max(reach_h, 0.0):.0f} h ahead")
