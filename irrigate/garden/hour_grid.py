"""Every hour of a stretch of weather on one grid, and ways to put a value where none is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.pots import Site
from irrigate.garden.solar_day import DAY_S, solar_day
from irrigate.garden.weather import HOUR_S, VALUES, Filled, Floats, HourlyWeather, Origin

BRIDGED_H = 3  # a gap up to so long is bridged in a straight line
DAYS_BEFORE = 5  # the same hour of so many days before may lend its value
DAYS_AFTER = 2  # and, where none before has one, of so many days after
# No longer gap can be filled: some hour of it has no day to borrow from.
LONGEST_GAP_H = 24 * (DAYS_BEFORE + DAYS_AFTER)

BESIDE = "taken from the hours beside it"
OTHER_DAYS = "taken from the same hours of other days"

BITS = dict(zip(VALUES, Filled, strict=True))

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class HourGrid:
    """Every hour from the oldest that may lend a value to the last one wanted.

    Parameters
    ----------
    end_s : UTC epoch seconds at the end of each hour, an hour apart, shape [hour].
    wanted : the hours asked for; the others only lend.
    values : the variables of `HourlyWeather` by name, NaN where missing; `put` writes into them.
    given : of each variable, which hours hold a value that no procedure put in.
    rain_chance, origin : as in `HourlyWeather`.
    """

    end_s: NDArray[np.int64]
    wanted: Mask
    values: dict[str, Floats]
    given: dict[str, Mask]
    rain_chance: Floats
    origin: NDArray[np.uint8]

    def select(self, kept: slice) -> HourGrid:
        """Return the part of the grid that ``kept`` picks."""
        return HourGrid(
            self.end_s[kept],
            self.wanted[kept],
            {name: values[kept] for name, values in self.values.items()},
            {name: given[kept] for name, given in self.given.items()},
            self.rain_chance[kept],
            self.origin[kept],
        )


@dataclass(frozen=True, slots=True, eq=False)
class Put:
    """Hours of one variable for which one procedure found a value."""

    name: str
    how: str
    hours: Mask


def on_one_grid(raw: HourlyWeather, recent: HourlyWeather) -> HourGrid:
    """Return every hour of ``raw`` and of the days before it that ``recent`` knows.

    Parameters
    ----------
    raw : the hours wanted, at least one, whole hours apart; absent ones become NaN.
    recent : hours known from before; where ``raw`` has no value of an hour, theirs is taken.
    """
    first, last = int(raw.end_s[0]), int(raw.end_s[-1])
    recent = recent.between(first - (DAYS_BEFORE * DAY_S + HOUR_S), last)
    recent = recent.select((recent.end_s - first) % HOUR_S == 0)
    start = min(first, int(recent.end_s[0])) if len(recent) else first
    end_s = np.arange(start, last + 1, HOUR_S, dtype=np.int64)
    grid = HourGrid(
        end_s,
        end_s >= first,
        {name: np.full(end_s.size, np.nan) for name in VALUES},
        {name: np.zeros(end_s.size, dtype=np.bool_) for name in VALUES},
        np.full(end_s.size, np.nan),
        np.full(end_s.size, Origin.FILLED, dtype=np.uint8),
    )
    for hours in (recent, raw):
        _lay(hours, grid)
    return grid


def _lay(hours: HourlyWeather, grid: HourGrid) -> None:
    """Put the values that ``hours`` has into the grid, over what lies there."""
    at = (hours.end_s - grid.end_s[0]) // HOUR_S
    for name in VALUES:
        column = getattr(hours, name)
        known = ~np.isnan(column)
        put_in = (hours.filled & BITS[name]) > 0
        # A guess does not displace what was once told of the same hour.
        over = known & ~(put_in & grid.given[name][at])
        grid.values[name][at[over]] = column[over]
        grid.given[name][at[over]] = ~put_in[over]
    grid.rain_chance[at] = hours.rain_chance
    grid.origin[at] = hours.origin


def put(grid: HourGrid, name: str, how: str, estimate: Floats) -> Put:
    """Put the estimate where the variable is missing and the estimate is not."""
    hours = np.isnan(grid.values[name]) & ~np.isnan(estimate)
    grid.values[name][hours] = estimate[hours]
    return Put(name, how, hours)


def bridged(values: Floats) -> Floats:
    """Return straight lines over the gaps of up to 3 h, NaN everywhere else.

    Parameters
    ----------
    values : hour by hour, NaN where missing, shape [hour]; both sides of a gap must be known.
    """
    known = np.flatnonzero(~np.isnan(values))
    lines = np.full(values.size, np.nan)
    gaps = np.diff(known) - 1
    for gap in np.flatnonzero((gaps > 0) & (gaps <= BRIDGED_H)):
        before, after = known[gap], known[gap + 1]
        inside = np.arange(before + 1, after)
        lines[inside] = np.interp(inside, (before, after), (values[before], values[after]))
    return lines


def departing(usual: Floats, values: Floats) -> Floats:
    """Return the usual values, moved by as much as the known ones beside them depart from them.

    Parameters
    ----------
    usual : what the hour usually has, NaN where nothing is usual, shape [hour].
    values : what it has, NaN where missing, shape [hour].

    Between two known hours the departure is a straight line; before the first and after the last
    it stays. So a lost day between two hot ones is hot, and meets both without a step.
    """
    told = np.flatnonzero(~np.isnan(values - usual))
    if not told.size:
        return usual
    return usual + np.interp(np.arange(usual.size), told, (values - usual)[told])


def of_other_days(grid: HourGrid, name: str) -> Floats:
    """Return the mean of the same hour on the days before, else on the days after; NaN if none."""
    given = np.where(grid.given[name], grid.values[name], np.nan)
    before = _mean([_shifted(given, 24 * day) for day in range(1, DAYS_BEFORE + 1)])
    after = _mean([_shifted(given, -24 * day) for day in range(1, DAYS_AFTER + 1)])
    return np.where(np.isnan(before), after, before)


def _shifted(values: Floats, hours: int) -> Floats:
    """Return, for each hour, the value of ``hours`` before it (negative: after it), NaN outside."""
    moved = np.full(values.size, np.nan)
    if abs(hours) < values.size:
        if hours > 0:
            moved[hours:] = values[:-hours]
        else:
            moved[:hours] = values[-hours:]
    return moved


def _mean(columns: list[Floats]) -> Floats:
    """Return the mean over the columns of what is not NaN; NaN where all are."""
    stack = np.stack(columns)
    count = np.sum(~np.isnan(stack), axis=0)
    total = np.nansum(stack, axis=0)
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def extremes_of_day(grid: HourGrid, site: Site) -> tuple[Floats, Floats]:
    """Return the lowest and highest temperature of each hour's day [°C].

    A day that the grid holds only in part lends its missing hours from beside it, so that an
    evening at the end of a forecast is not taken for a whole, cool day.
    """
    temperature_c = grid.values["temperature_c"]
    _days, starts = np.unique(solar_day(grid.end_s, site.longitude_deg), return_index=True)
    stops = np.append(starts[1:], temperature_c.size)
    lowest, highest = np.empty(temperature_c.size), np.empty(temperature_c.size)
    last_start = max(temperature_c.size - 24, 0)
    for start, stop in zip(starts, stops, strict=True):
        begin = min(start, last_start)
        day = temperature_c[begin : max(stop, begin + 24)]
        day = day[~np.isnan(day)]
        lowest[start:stop] = day.min() if day.size else np.nan
        highest[start:stop] = day.max() if day.size else np.nan
    return lowest, highest
