"""The ensemble of Open-Meteo: a few dozen forecasts that differ, beside the one that is gone by.

By its own documentation each variable comes once plainly, which is the control run, and once for
each perturbed member, as in ``temperature_2m_member01``; how many there are depends on the model.
Stamps and units are those of the forecast. A model outside its region answers with NaN, which is
no JSON and is refused as damaged.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.errors import WeatherError
from irrigate.garden.member_hours import FEWEST, MOST, STEPS, MemberHours
from irrigate.garden.pots import Site
from irrigate.garden.weather import HOUR_S, Floats
from irrigate.outside.weather.json_over_http import JsonOverHttp
from irrigate.outside.weather.open_meteo_answer import (
    SPOKEN,
    asked_about,
    hourly_of,
    stamps_of,
    values_of,
)
from irrigate.ports import Fetched
from irrigate.science.air import vapour_pressure_from_hourly_rh_kpa, wind_at_2m_m_s

BASE_URL = "https://ensemble-api.open-meteo.com/v1/ensemble"
# 31 members, everywhere on earth, a new run every six hours.
MODEL = "gfs_seamless"

# New runs come every six hours; a server in trouble is asked again with the next forecast but one.
EVERY, AFTER_TROUBLE = timedelta(hours=3), timedelta(hours=1, minutes=30)

# The common reach of the members ends where fewer than this share of them go on.
MOST_OF_THEM = 0.8
LEAST_REACH_H = 24

_MEMBER = re.compile(r"temperature_2m(_member(?P<number>[0-9]{2,3}))?")


class OpenMeteoEnsemble:
    """Asks for the ensemble now and then, beside a forecast.

    Parameters
    ----------
    forecast_days : days to ask for, today included.
    session : how to ask; the default gives up sooner than a forecast's, which waits for it.
    """

    def __init__(
        self,
        base_url: str = BASE_URL,
        *,
        forecast_days: int = 8,
        session: JsonOverHttp | None = None,
    ) -> None:
        self._base_url = base_url
        self._forecast_days = forecast_days
        self._session = session if session is not None else JsonOverHttp(retries=1, whole_s=30.0)
        self._asked: tuple[datetime, timedelta] | None = None

    def beside(self, forecast: Fetched, site: Site, now: datetime) -> Fetched:
        """Return the forecast with the ensemble, if it is time for one and one can be had."""
        # A clock that was set back must not silence it for long.
        if self._asked is not None and abs(now - self._asked[0]) < self._asked[1]:
            return forecast
        try:
            answer = self._session.get(self._base_url, self._question(site), now)
            members, run, remarks = members_of(answer, site, now)
        except WeatherError as failed:
            self._asked = (now, AFTER_TROUBLE)
            return replace(forecast, remarks=(*forecast.remarks, f"no ensemble: {failed}"))
        self._asked = (now, EVERY)
        return replace(
            forecast,
            remarks=(*forecast.remarks, *remarks),
            members=members,
            members_run=run,
        )

    def _question(self, site: Site) -> dict[str, str]:
        return {
            **asked_about(site),
            "hourly": ",".join(SPOKEN),
            "forecast_days": str(self._forecast_days),
            "models": MODEL,
        }


def members_of(
    answer: object, site: Site, now: datetime
) -> tuple[MemberHours, str, tuple[str, ...]]:
    """Return the members, what tells this run from another, and remarks; or `WeatherError`.

    Parameters
    ----------
    answer : the JSON as Python has it.
    site : the place that was asked about.
    now : the present moment; hours that ended by then are left out.

    A member with a gap before the common reach ends is left out, and so is a variable that not
    all members tell. Fewer than five members, or less than a day, are no ensemble.
    """
    hourly, units = hourly_of(answer, site)
    stamps = stamps_of(hourly, units)
    endings = _endings(hourly)
    remarks: list[str] = []
    columns: dict[str, Floats] = {}
    for name, spoken in SPOKEN.items():
        told = _all_members(hourly, units, name, endings, stamps.size)
        if told is None or np.isnan(told).all():
            remarks.append(f"Open-Meteo's ensemble has no {spoken}")
        else:
            columns[name] = told
    if "temperature_2m" not in columns:
        raise WeatherError("Open-Meteo's ensemble has no temperature in any hour")
    values = _hours(columns)
    coming = stamps[1:] > now.timestamp()
    end_s, values = stamps[1:][coming], {name: told[:, coming] for name, told in values.items()}
    members = _without_gaps(end_s, values, remarks)
    return members, _digest(stamps, columns), tuple(remarks)


def _endings(hourly: Mapping[Any, Any]) -> list[str]:
    """Return what each member's columns end in, the control's with nothing first."""
    found = [_MEMBER.fullmatch(key) for key in hourly if isinstance(key, str)]
    numbers = sorted(one["number"] or "" for one in found if one)
    if not FEWEST <= len(numbers) <= MOST:
        raise WeatherError(f"Open-Meteo's ensemble has {len(numbers)} members")
    return [f"_member{number}" if number else "" for number in numbers]


def _all_members(
    hourly: Mapping[Any, Any], units: Mapping[Any, Any], name: str, endings: list[str], count: int
) -> Floats | None:
    """Return one variable [member, stamp]; None if not every member tells it."""
    if any(hourly.get(name + ending) is None for ending in endings):
        return None
    told = [values_of(hourly, units, name + ending, name, count)[0] for ending in endings]
    return np.stack(told)


def _hours(columns: Mapping[str, Floats]) -> dict[str, Floats]:
    """Return the hours between the stamps, by variable of `HourlyWeather` [member, hour]."""
    temperature_c = columns["temperature_2m"]
    hours = {"temperature_c": _mean_of_ends(temperature_c)}
    if "relative_humidity_2m" in columns:
        humidity = np.minimum(columns["relative_humidity_2m"], 100.0)
        pressure_kpa = np.asarray(vapour_pressure_from_hourly_rh_kpa(temperature_c, humidity))
        hours["vapour_pressure_kpa"] = _mean_of_ends(pressure_kpa)
    if "shortwave_radiation" in columns:
        watts = np.maximum(columns["shortwave_radiation"][:, 1:], 0.0)
        hours["solar_mj_m2"] = watts * HOUR_S / 1e6
    if "wind_speed_10m" in columns:
        wind = _mean_of_ends(columns["wind_speed_10m"])
        hours["wind_2m_m_s"] = np.asarray(wind_at_2m_m_s(wind, 10.0))
    if "precipitation" in columns:
        hours["rain_mm"] = columns["precipitation"][:, 1:]
    return hours


def _mean_of_ends(at_stamps: Floats) -> Floats:
    return (at_stamps[:, :-1] + at_stamps[:, 1:]) / 2.0


def _without_gaps(
    end_s: NDArray[np.int64], values: dict[str, Floats], remarks: list[str]
) -> MemberHours:
    """Return the members that are whole up to where most of them reach."""
    whole = np.all([~np.isnan(told) for told in values.values()], axis=0)
    enough = whole.mean(axis=0) >= MOST_OF_THEM if end_s.size else np.zeros(0, dtype=bool)
    reach = int(end_s.size if enough.all() else np.argmin(enough))
    if reach < LEAST_REACH_H:
        raise WeatherError(f"Open-Meteo's ensemble reaches only {reach} h ahead")
    kept = whole[:, :reach].all(axis=1)
    if int(kept.sum()) < FEWEST:
        raise WeatherError("Open-Meteo's ensemble is full of gaps")
    if not kept.all():
        remarks.append(f"{int((~kept).sum())} members of Open-Meteo's ensemble have gaps, left out")
    # In the steps in which they are kept, so that what is used is what is kept.
    steps = {
        name: (np.round(told[kept, :reach] / STEPS[name]) * STEPS[name]).astype(np.float32)
        for name, told in values.items()
    }
    return MemberHours(end_s[:reach], steps)


def _digest(stamps: NDArray[np.int64], columns: Mapping[str, Floats]) -> str:
    """Return what tells one run from another: the service names none."""
    digest = hashlib.blake2b(np.ascontiguousarray(stamps).tobytes(), digest_size=8)
    for name, told in columns.items():
        digest.update(name.encode() + np.ascontiguousarray(told).tobytes())
    return digest.hexdigest()
