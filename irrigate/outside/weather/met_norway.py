"""Weather from MET Norway's Locationforecast 2.0, for anywhere on earth.

By its own documentation what is called "instant" holds at the stamp, and what is called "next 1
hours" or "next 6 hours" in the time that begins there; units stand in the answer. An hour's mean is
taken as that of its two ends. Stamps lie an hour apart for two or three days and then six; between
the latter instants go in a straight line, and rain is laid evenly over its hours. Wind is at 10 m,
brought to 2 m by FAO-56 Eq 47.

There is no radiation: it is estimated from the share of the sky that clouds cover. Nor is there
an account of hours gone by: all is forecast. The service demands a way to reach whoever asks, and
not to be asked again before its answer expires.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.errors import WeatherError
from irrigate.garden.pots import Site
from irrigate.garden.weather import HOUR_S, Floats, HourlyWeather, Origin
from irrigate.outside.weather.forecast_only import Told, check_age, fetched
from irrigate.outside.weather.json_over_http import JsonOverHttp
from irrigate.outside.weather.json_parts import check_place, inside, moment, number, short
from irrigate.ports import Fetched
from irrigate.science.air import vapour_pressure_from_hourly_rh_kpa, wind_at_2m_m_s

BASE_URL = "https://api.met.no/weatherapi/locationforecast/2.0/compact"
ATTRIBUTION = "Weather data by MET Norway (CC BY 4.0)"
WHO = "MET Norway"
USER_AGENT = "irrigate/0.1 {contact}"

# Each variable with the unit it must come in, and the limits outside which it is taken as missing.
VARIABLES: dict[str, tuple[str, float, float]] = {
    "air_temperature": ("celsius", -60.0, 60.0),
    "relative_humidity": ("%", 1.0, 105.0),
    "wind_speed": ("m/s", 0.0, 75.0),
    "cloud_area_fraction": ("%", 0.0, 100.0),
    "precipitation_amount": ("mm", 0.0, 1000.0),
    "probability_of_precipitation": ("%", 0.0, 100.0),
}
INSTANT = ("air_temperature", "relative_humidity", "wind_speed", "cloud_area_fraction")
SPANS = {"next_1_hours": 1, "next_6_hours": 6}
MOST_STAMPS = 1000
WIDEST_STEP_H = 6


class MetNorway:
    """Its forecast, asked for as its terms want it. Implements `ports.WeatherSource`.

    Parameters
    ----------
    contact : an address or a page by which whoever asks can be reached; the service demands one.
    base_url : of the "compact" forecast; "complete" is understood as well.
    session : how to ask; the default tries politely, and gives up within minutes.
    """

    name = "met-norway"

    def __init__(
        self, contact: str, base_url: str = BASE_URL, *, session: JsonOverHttp | None = None
    ) -> None:
        self._base_url = base_url
        agent = USER_AGENT.format(contact=contact)
        self._session = session if session is not None else JsonOverHttp(user_agent=agent)
        self._kept: _Kept | None = None

    def fetch(self, site: Site, now: datetime) -> Fetched:
        """Return the hours to come, or raise `WeatherError`; not asked anew before it expired."""
        question = {
            # A hundredth of a degree is a kilometre; nobody there needs the garden's own address.
            "lat": f"{site.latitude_deg:.2f}",
            "lon": f"{site.longitude_deg:.2f}",
            "altitude": f"{site.elevation_m:.0f}",
        }
        kept = self._kept if self._kept and self._kept.question == question else None
        if kept is None or not kept.fetched_at <= now < kept.fresh_until:
            since = kept.last_modified if kept else ""
            told = self._session.ask(self._base_url, question, now, modified_since=since)
            still = kept is not None and told.json is None
            kept = _Kept(
                question,
                kept.answer if kept is not None and still else told.json,
                told.last_modified,
                now,
                now + timedelta(seconds=told.fresh_s),
                told.deprecated,
            )
        found = understood(kept.answer, site, now, deprecated=kept.deprecated)
        self._kept = kept  # only what can be used is worth keeping
        return found


@dataclass(frozen=True, slots=True)
class _Kept:
    """The last answer, what it was to, and until when it is good."""

    question: Mapping[str, str]
    answer: object
    last_modified: str
    fetched_at: datetime
    fresh_until: datetime
    deprecated: bool


def understood(answer: object, site: Site, now: datetime, *, deprecated: bool = False) -> Fetched:
    """Return what an answer says, or raise `WeatherError` with what is wrong with it.

    Parameters
    ----------
    answer : the JSON as Python has it: an object, one hopes.
    site : the place that was asked about.
    now : the present moment.
    deprecated : the service says that this way of asking will end.
    """
    meta = inside(answer, "properties.meta", WHO)
    _check_place(inside(answer, "geometry", WHO), site)
    made_at, remarks = check_age(moment(meta.get("updated_at")), now, WHO)
    if deprecated:
        remarks.append(f"{WHO} will end this forecast: look for a newer release of irrigate")
    series = _series(inside(answer, "properties", WHO).get("timeseries"))
    _check_units(inside(answer, "properties.meta.units", WHO))
    stamps = np.array([at for at, _ in series], dtype=np.int64)
    instants = {
        name: _column([_details(row, "instant") for _, row in series], name, remarks)
        for name in INSTANT
    }
    if np.isnan(instants["air_temperature"]).all():
        raise WeatherError(f"{WHO} tells no temperature in any hour")
    hours, cover = _hours(stamps, instants, _rain(series, stamps, remarks))
    told = Told(MetNorway.name, WHO, ATTRIBUTION, made_at)
    return fetched(told, hours, cover, site, now, remarks)


# --- the parts of an answer ----------------------------------------------------------------
def _check_place(geometry: Mapping[Any, Any], site: Site) -> None:
    told = geometry.get("coordinates")
    longitude, latitude = told[:2] if isinstance(told, list) and len(told) >= 2 else (None, None)
    check_place(site, WHO, longitude=longitude, latitude=latitude)


def _series(told: object) -> list[tuple[int, Mapping[Any, Any]]]:
    """Return the stamps [UTC epoch s] with what is said of each, at most six hours apart."""
    if not isinstance(told, list) or len(told) < 2:
        raise WeatherError(f"{WHO}'s answer has no hours")
    if len(told) > MOST_STAMPS:
        raise WeatherError(f"{WHO}'s answer has {len(told)} stamps, more than it ever gives")
    series = []
    for row in told:
        at = moment(row.get("time")) if isinstance(row, Mapping) else None
        if at is None or at.timestamp() % HOUR_S:
            raise WeatherError(f"{WHO}'s stamps are not all whole hours of UTC")
        series.append((int(at.timestamp()), inside(row, "data", WHO)))
    steps = np.diff(np.array([at for at, _ in series], dtype=np.int64))
    if np.any(steps <= 0) or np.any(steps > WIDEST_STEP_H * HOUR_S):
        raise WeatherError(f"{WHO}'s stamps do not follow one another")
    return series


def _check_units(units: Mapping[Any, Any]) -> None:
    for name, (unit, _, _) in VARIABLES.items():
        # The compact forecast names no unit for what it leaves out.
        if name in units and units[name] != unit:
            raise WeatherError(f"{WHO}'s {name} is in {short(units[name])}, not {unit}")
    for name in ("air_temperature", "precipitation_amount"):
        if name not in units:
            raise WeatherError(f"{WHO} does not say the unit of {name}")


def _details(row: Mapping[Any, Any], part: str) -> Mapping[Any, Any]:
    told = row.get(part)
    details = told.get("details") if isinstance(told, Mapping) else None
    return details if isinstance(details, Mapping) else {}


def _column(rows: Sequence[Mapping[Any, Any]], name: str, remarks: list[str]) -> Floats:
    """Return one variable of each row, NaN where it is absent or cannot be right."""
    _, low, high = VARIABLES[name]
    told = [row.get(name) for row in rows]
    numbers = [np.nan if value is None else number(value) for value in told]
    if None in numbers:
        raise WeatherError(f"{WHO}'s {name} holds something that is not a number")
    values = np.array(numbers, dtype=np.float64)
    strange = (values < low) | (values > high)
    if strange.any():
        remarks.append(
            f"{WHO}'s {name}: {int(strange.sum())} values outside {low:g} to {high:g},"
            " taken as missing"
        )
    return np.where(strange, np.nan, values)


def _rain(
    series: Sequence[tuple[int, Mapping[Any, Any]]], stamps: NDArray[np.int64], remarks: list[str]
) -> tuple[Floats, Floats]:
    """Return rain [mm] and its chance [0–1] for each hour from the first stamp to the last."""
    count = int(stamps[-1] - stamps[0]) // HOUR_S
    rain, chance = np.full(count, np.nan), np.full(count, np.nan)
    # The longer spans first, so that a single hour's word goes over theirs.
    for part, span in sorted(SPANS.items(), key=lambda one: -one[1]):
        rows = [_details(row, part) for _, row in series]
        amounts = _column(rows, "precipitation_amount", remarks)
        chances = _column(rows, "probability_of_precipitation", remarks) / 100.0
        # Spans overlap where stamps lie an hour apart: the nearest stamp before an hour counts.
        for at, amount, likely in zip(stamps, amounts, chances, strict=True):
            first = int(at - stamps[0]) // HOUR_S
            hours = slice(first, min(first + span, count))
            if not np.isnan(amount):
                rain[hours], chance[hours] = amount / span, likely
    return rain, chance


def _hours(
    stamps: NDArray[np.int64],
    instants: Mapping[str, Floats],
    rain: tuple[Floats, Floats],
) -> tuple[HourlyWeather, Floats]:
    """Return the hours between the first stamp and the last, and how far clouds cover each."""
    every_s = np.arange(stamps[0], stamps[-1] + 1, HOUR_S, dtype=np.int64)
    ends = {name: _between(every_s, stamps, values) for name, values in instants.items()}
    pressure_kpa = np.asarray(
        vapour_pressure_from_hourly_rh_kpa(
            ends["air_temperature"], np.minimum(ends["relative_humidity"], 100.0)
        )
    )
    end_s = every_s[1:]
    rain_mm, chance = rain
    hours = HourlyWeather(
        end_s=end_s,
        temperature_c=_mean_of_ends(ends["air_temperature"]),
        vapour_pressure_kpa=_mean_of_ends(pressure_kpa),
        solar_mj_m2=np.full(end_s.size, np.nan),
        wind_2m_m_s=np.asarray(wind_at_2m_m_s(_mean_of_ends(ends["wind_speed"]), 10.0)),
        rain_mm=rain_mm,
        rain_chance=chance,
        origin=np.full(end_s.size, Origin.FORECAST, dtype=np.uint8),
        filled=np.zeros(end_s.size, dtype=np.uint8),
    )
    return hours, _mean_of_ends(ends["cloud_area_fraction"]) / 100.0


def _between(every_s: NDArray[np.int64], stamps: NDArray[np.int64], values: Floats) -> Floats:
    """Return the values at every hour; between two stamps that tell one, in a straight line."""
    told = ~np.isnan(values)
    if not told.any():
        return np.full(every_s.size, np.nan)
    line = np.interp(every_s, stamps[told], values[told], left=np.nan, right=np.nan)
    gaps = np.diff(stamps[told])
    after = np.searchsorted(stamps[told], every_s, side="left")
    far = np.append(gaps, 0)[np.clip(after - 1, 0, gaps.size)] > WIDEST_STEP_H * HOUR_S
    return np.where(far & ~np.isin(every_s, stamps[told]), np.nan, line)


def _mean_of_ends(at_stamps: Floats) -> Floats:
    return (at_stamps[:-1] + at_stamps[1:]) / 2.0
