"""Weather as the garden knows it: one hourly table, each hour observed, forecast or filled.

Every stamp is the *end* of its hour, in UTC epoch seconds: the value at 14:00 belongs to
13:00–14:00. Sources that stamp the start are shifted where they are read, never here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
HOUR_S = 3600


class Origin(IntEnum):
    """Where an hour's values come from, the surest first."""

    OBSERVED = 0  # measured, or the source's own account of hours gone by
    FORECAST = 1
    FILLED = 2  # at least one value was put in by a missing-data procedure


class Filled(IntEnum):
    """Which values of an hour were put in by a procedure, as bits of ``filled``."""

    TEMPERATURE = 1
    HUMIDITY = 2
    SOLAR = 4
    WIND = 8
    RAIN = 16


VALUES = ("temperature_c", "vapour_pressure_kpa", "solar_mj_m2", "wind_2m_m_s", "rain_mm")


@dataclass(frozen=True, slots=True, eq=False)
class HourlyWeather:
    """A run of whole hours on open ground, all arrays of shape [hour].

    Parameters
    ----------
    end_s : UTC epoch seconds at the end of each hour, rising; gaps are allowed.
    temperature_c : mean air temperature at 2 m [°C].
    vapour_pressure_kpa : actual vapour pressure [kPa].
    solar_mj_m2 : global short-wave radiation on the flat [MJ m⁻² h⁻¹].
    wind_2m_m_s : wind speed at 2 m above open ground [m s⁻¹].
    rain_mm : rain in the hour [mm].
    rain_chance : probability of rain in the hour [0–1]; 1 or 0 for hours gone by.
    origin : `Origin` of each hour.
    filled : bits of `Filled`.

    A raw table from a source may hold NaN; a table that went through
    `irrigate.garden.filling.fill` holds none.
    """

    end_s: NDArray[np.int64]
    temperature_c: Floats
    vapour_pressure_kpa: Floats
    solar_mj_m2: Floats
    wind_2m_m_s: Floats
    rain_mm: Floats
    rain_chance: Floats
    origin: NDArray[np.uint8]
    filled: NDArray[np.uint8]

    def __post_init__(self) -> None:
        """Refuse a table whose columns do not belong together."""
        count = self.end_s.shape
        for field in fields(self):
            if getattr(self, field.name).shape != count:
                raise ValueError(f"{field.name} has not one value per hour")
        if self.end_s.size and bool(np.any(np.diff(self.end_s) <= 0)):
            raise ValueError("hours must rise")

    def __len__(self) -> int:
        """Return the number of hours."""
        return int(self.end_s.size)

    def select(self, wanted: NDArray[np.bool_] | NDArray[np.intp] | slice) -> HourlyWeather:
        """Return the hours that ``wanted`` (mask, indices or slice) picks, in order."""
        return HourlyWeather(*(getattr(self, field.name)[wanted] for field in fields(self)))

    def between(self, start_s: int, stop_s: int) -> HourlyWeather:
        """Return the hours that end after ``start_s`` and not after ``stop_s`` [epoch s]."""
        return self.select((self.end_s > start_s) & (self.end_s <= stop_s))

    def marked(self, origin: Origin) -> HourlyWeather:
        """Return the same hours, all said to be of ``origin``."""
        return replace(self, origin=np.full(len(self), origin, dtype=np.uint8))


def empty_weather() -> HourlyWeather:
    """Return a table of no hours."""
    nothing = np.empty(0)
    codes = np.empty(0, dtype=np.uint8)
    return HourlyWeather(
        np.empty(0, dtype=np.int64), nothing, nothing, nothing, nothing, nothing, nothing,
        codes, codes,
    )  # fmt: skip


def merged(tables: Sequence[HourlyWeather]) -> HourlyWeather:
    """Join tables hour by hour; where two know an hour, the later one in ``tables`` wins."""
    tables = [table for table in tables if len(table)]
    if not tables:
        return empty_weather()
    ends = np.concatenate([table.end_s for table in tables])
    # np.unique keeps the first of equals: reverse, so that the last table is met first.
    _, first = np.unique(ends[::-1], return_index=True)
    pick = ends.size - 1 - first
    columns = [
        np.concatenate([getattr(table, field.name) for table in tables])[pick]
        for field in fields(HourlyWeather)
    ]
    return HourlyWeather(*columns)
