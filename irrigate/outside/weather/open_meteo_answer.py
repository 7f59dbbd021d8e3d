"""What any answer of Open-Meteo has in common: its place, stamps, units and numbers, and doubts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.errors import WeatherError
from irrigate.garden.pots import Site
from irrigate.garden.weather import HOUR_S, Floats
from irrigate.outside.weather.json_parts import check_place, number, short

# Each variable with the unit it must come in, and the limits outside which it is taken as missing.
VARIABLES: dict[str, tuple[str, float, float]] = {
    "temperature_2m": ("°C", -60.0, 60.0),
    "relative_humidity_2m": ("%", 1.0, 105.0),
    "shortwave_radiation": ("W/m²", -1.0, 1500.0),
    "wind_speed_10m": ("m/s", 0.0, 75.0),
    "precipitation": ("mm", 0.0, 310.0),
    "precipitation_probability": ("%", 0.0, 100.0),
}
SPOKEN = {
    "temperature_2m": "temperature",
    "relative_humidity_2m": "humidity",
    "shortwave_radiation": "radiation",
    "wind_speed_10m": "wind",
    "precipitation": "rain",
}
MOST_HOURS = 24 * (92 + 16)  # the most that the service gives: 92 past days and 16 to come


def asked_about(site: Site) -> dict[str, str]:
    """Return the part of a question that says where, and in which units."""
    return {
        # A hundredth of a degree is a kilometre, finer than any of its models; nobody there
        # needs to know the garden's own address.
        "latitude": f"{site.latitude_deg:.2f}",
        "longitude": f"{site.longitude_deg:.2f}",
        "elevation": f"{site.elevation_m:.0f}",
        "timezone": "GMT",
        "timeformat": "unixtime",
        "temperature_unit": "celsius",
        "wind_speed_unit": "ms",
        "precipitation_unit": "mm",
    }


def hourly_of(answer: object, site: Site) -> tuple[Mapping[Any, Any], Mapping[Any, Any]]:
    """Return the hourly columns and their units, or raise `WeatherError` with what is wrong.

    Parameters
    ----------
    answer : the JSON as Python has it: an object, one hopes.
    site : the place that was asked about.
    """
    if not isinstance(answer, Mapping):
        raise WeatherError("Open-Meteo's answer is not an object")
    if answer.get("error"):
        raise WeatherError(f"Open-Meteo refuses: {short(answer.get('reason', 'no reason given'))}")
    _check_place(answer, site)
    hourly, units = answer.get("hourly"), answer.get("hourly_units")
    if not isinstance(hourly, Mapping) or not isinstance(units, Mapping):
        raise WeatherError("Open-Meteo's answer has no hourly values with their units")
    return hourly, units


def _check_place(answer: Mapping[Any, Any], site: Site) -> None:
    """Refuse an answer about somewhere else; a grid cell's middle may lie some way off."""
    check_place(
        site, "Open-Meteo", latitude=answer.get("latitude"), longitude=answer.get("longitude")
    )
    if answer.get("utc_offset_seconds", 0) != 0:
        raise WeatherError("Open-Meteo's answer is not in GMT, as was asked")


def stamps_of(hourly: Mapping[Any, Any], units: Mapping[Any, Any]) -> NDArray[np.int64]:
    """Return the stamps, which must be whole hours, one after the other."""
    if units.get("time") != "unixtime":
        raise WeatherError(f"Open-Meteo's time is in {short(units.get('time'))}, not unixtime")
    told = hourly.get("time")
    if not isinstance(told, list) or len(told) < 2:
        raise WeatherError("Open-Meteo's answer has no hours")
    if len(told) > MOST_HOURS:
        raise WeatherError(f"Open-Meteo's answer has {len(told)} hours, more than it ever gives")
    if not all(type(stamp) is int and abs(stamp) < 1 << 40 for stamp in told):
        raise WeatherError("Open-Meteo's stamps are not all whole numbers of seconds")
    stamps = np.array(told, dtype=np.int64)
    if np.any(np.diff(stamps) != HOUR_S) or stamps[0] % HOUR_S:
        raise WeatherError("Open-Meteo's stamps are not one hour after another")
    return stamps


def values_of(
    hourly: Mapping[Any, Any], units: Mapping[Any, Any], key: str, name: str, count: int
) -> tuple[Floats, str]:
    """Return one column at the stamps, NaN where it is null or cannot be right, and a remark.

    Parameters
    ----------
    hourly, units : from `hourly_of`.
    key : of the column.
    name : of its variable, one of `VARIABLES`.
    count : how many stamps there are.

    The remark is empty if nothing is to be said. A column that is absent, of another length or
    unit, or holds what is no number is a `WeatherError`.
    """
    unit, low, high = VARIABLES[name]
    told = hourly.get(key)
    if not isinstance(told, list):
        raise WeatherError(f"Open-Meteo's answer has no {key}")
    if len(told) != count:
        raise WeatherError(f"Open-Meteo's {key} has {len(told)} values for {count} hours")
    if units.get(key) != unit:
        raise WeatherError(f"Open-Meteo's {key} is in {short(units.get(key))}, not {unit}")
    numbers = [np.nan if value is None else number(value) for value in told]
    if None in numbers:
        raise WeatherError(f"Open-Meteo's {key} holds something that is not a number")
    values = np.array(numbers, dtype=np.float64)
    absurd = (values < low) | (values > high)
    if not absurd.any():
        return values, ""
    first = values[np.argmax(absurd)]
    values[absurd] = np.nan
    return values, (
        f"Open-Meteo's {key}: {int(absurd.sum())} values outside {low:g} to {high:g} {unit}"
        f" (the first is {first:g}), taken as missing"
    )
