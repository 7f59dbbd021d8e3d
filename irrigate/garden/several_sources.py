"""One table from several sources of weather, in the order in which they are trusted.

What a source tells goes before what another one put in by a procedure, and what is measured before
what was only foretold, whatever the order: a station without a pyranometer has the sun of the
forecast behind it, not a guess by its own thermometer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.hour_grid import BITS
from irrigate.garden.weather import (
    HOUR_S,
    VALUES,
    Filled,
    HourlyWeather,
    Origin,
    empty_weather,
)

ALL_FILLED = sum(Filled)


@dataclass(frozen=True, slots=True, eq=False)
class Joined:
    """Several tables as one, and which of them told the temperature of each hour (-1: none)."""

    hours: HourlyWeather
    teller: NDArray[np.int64]


def lapsed(hours: HourlyWeather, now_s: int) -> HourlyWeather:
    """Return the hours; those gone by that are only forecast are marked as put in, all of them.

    So a forecast stands in for an hour that nobody told, and is never taken for what came of it:
    neither is a later word held back by it, nor is it scored against itself.
    """
    stands_in = (hours.end_s <= now_s) & (hours.origin == Origin.FORECAST)
    marks = np.where(stands_in, ALL_FILLED, hours.filled).astype(np.uint8)
    return replace(hours, filled=marks)


def joined(tables: Sequence[HourlyWeather]) -> Joined:
    """Return every hour that some table knows, each value from the first that tells it.

    Parameters
    ----------
    tables : raw hours, the most trusted first; NaN, gaps and values marked in ``filled`` are
        allowed, and a marked value is taken only where no table has one that is not.

    Returns
    -------
    An hour's origin is observed if one of its values is; its chance of rain goes with its rain.
    """
    told = [table for table in tables if len(table)]
    if not told:
        return Joined(empty_weather(), np.empty(0, dtype=np.int64))
    end_s = np.unique(np.concatenate([table.end_s for table in told]))
    values = {name: np.full(end_s.size, np.nan) for name in VALUES}
    source = {name: np.full(end_s.size, -1, dtype=np.int64) for name in VALUES}
    filled = np.zeros(end_s.size, dtype=np.uint8)
    chance = np.full(end_s.size, np.nan)
    observed = np.zeros(end_s.size, dtype=np.bool_)
    for marked in (False, True):
        for number, table in enumerate(tables):
            if not len(table):
                continue
            at = np.searchsorted(end_s, table.end_s)
            for name in VALUES:
                column = getattr(table, name)
                put_in = (table.filled & BITS[name]) > 0
                wanted = ~np.isnan(column) & (put_in == marked) & np.isnan(values[name][at])
                here = at[wanted]
                values[name][here] = column[wanted]
                source[name][here] = number
                if marked:
                    filled[here] |= np.uint8(BITS[name])
                else:
                    observed[here] |= table.origin[wanted] == Origin.OBSERVED
                if name == "rain_mm":
                    chance[here] = table.rain_chance[wanted]
    origin = np.where(observed, Origin.OBSERVED, Origin.FORECAST).astype(np.uint8)
    hours = HourlyWeather(end_s=end_s, **values, rain_chance=chance, origin=origin, filled=filled)
    return Joined(hours, source["temperature_c"])


def whole(hours: HourlyWeather, first_s: int, last_s: int) -> bool:
    """Return whether every hour that ends in a stretch of time is told in full, nothing put in.

    Parameters
    ----------
    hours : any hours.
    first_s, last_s : the stretch, its first moment left out [UTC epoch s].
    """
    part = hours.between(first_s, last_s)
    if len(part) < last_s // HOUR_S - first_s // HOUR_S:
        return False
    holes = np.any([np.isnan(getattr(part, name)) for name in VALUES], axis=0)
    return not bool(np.any(holes | (part.filled > 0)))
