"""The one table of weather that the fold and the outlook read, gathered from facts.

What was observed wins over what was forecast, a newer forecast over an older one; what a person
saw of the rain wins over both. Hours gone by that nobody tells are stood in for by the same hour of
the day before, hours to come by the mean of that hour on the last days known; both are marked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np

from irrigate.garden.events import Fact, Forecast, RainAtPots, WeatherHours
from irrigate.garden.weather import (
    HOUR_S,
    VALUES,
    Filled,
    HourlyWeather,
    Origin,
    merged,
)
from irrigate.science.air import saturation_vapour_pressure_kpa

DAY_S = 24 * HOUR_S
# Less than a gauge can tell is no course of rain that a report could scale.
LEAST_RAIN_MM = 0.05
ALL_FILLED = sum(Filled)
RECENT_DAYS = 5


def known_weather(
    facts: Sequence[Fact], until_s: int, fresh_from: datetime | None = None
) -> HourlyWeather:
    """Return a table without gaps, up to the hour that holds ``until_s`` and as far as is told.

    Parameters
    ----------
    facts : facts that stand; others than weather are passed over.
    until_s : the table reaches at least to this moment [UTC epoch s].
    fresh_from : forecasts that were told before it are too old to be used (UTC); None for any.

    Returns
    -------
    No hours at all if no weather is known yet.
    """

    def by_time(kind: type) -> list[Fact]:
        these = [fact for fact in facts if isinstance(fact.body, kind)]
        return sorted(these, key=lambda fact: (fact.recorded_at, fact.id))

    gone_by = merged([fact.body.hours for fact in by_time(WeatherHours)])  # type: ignore[union-attr]
    fresh = [
        fact for fact in by_time(Forecast) if fresh_from is None or fact.recorded_at >= fresh_from
    ]
    to_come = merged([fact.body.hours for fact in fresh])  # type: ignore[union-attr]
    if len(gone_by):
        # Hours gone by rest on what was told of them alone, whatever had been forecast: a fold
        # of the past must not depend on which forecasts are still at hand.
        told_s = int(gone_by.end_s[-1])
        gone_by = with_rain_seen(stood_in(gone_by, told_s), facts)
        to_come = to_come.select(to_come.end_s > told_s)
    table = merged([to_come, gone_by])
    if not len(table):
        return table
    return with_recent_days(stood_in(table, int(table.end_s[-1])), until_s)


def stood_in(table: HourlyWeather, until_s: int) -> HourlyWeather:
    """Return the table with every hour up to ``until_s``, the missing ones from a day before.

    Such hours carry the mark of values that were put in, all of them, and count on no rain.
    """
    first = int(table.end_s[0])
    last = max(int(table.end_s[-1]), -(-until_s // HOUR_S) * HOUR_S)
    ends = np.arange(first, last + 1, HOUR_S, dtype=np.int64)
    if ends.size == len(table):
        return table
    source = np.searchsorted(table.end_s, ends)
    known = np.isin(ends, table.end_s)
    rows = np.where(known, np.minimum(source, len(table) - 1), -1)
    for index in np.flatnonzero(~known):
        # The same hour yesterday; on the first day of all, the hour before.
        rows[index] = rows[index - 24] if index >= 24 else rows[index - 1]
    columns = {name: getattr(table, name)[rows] for name in VALUES}
    columns["rain_mm"] = np.where(known, columns["rain_mm"], 0.0)
    return HourlyWeather(
        end_s=ends,
        rain_chance=np.where(known, table.rain_chance[rows], 0.0),
        origin=np.where(known, table.origin[rows], Origin.FILLED).astype(np.uint8),
        filled=np.where(known, table.filled[rows], ALL_FILLED).astype(np.uint8),
        **columns,
    )


def with_recent_days(table: HourlyWeather, until_s: int) -> HourlyWeather:
    """Return the table with the mean of its last five days for every hour behind it.

    Parameters
    ----------
    table : hour by hour without gaps, at least one.
    until_s : as far as hours are wanted [UTC epoch s].

    Each is the mean of the same hour on the days that there are, marked as put in, and counts on
    no rain.
    """
    last = int(table.end_s[-1])
    ends = np.arange(last + HOUR_S, -(-until_s // HOUR_S) * HOUR_S + 1, HOUR_S, dtype=np.int64)
    if not ends.size:
        return table
    count = len(table)
    # The same hour on the last day of the table, or its last hour where it is shorter than a day.
    latest = (
        count - 24 + np.arange(ends.size) % 24 if count >= 24 else np.full(ends.size, count - 1)
    )
    days = min(RECENT_DAYS, max(count // 24, 1))
    rows = np.stack([latest - 24 * day for day in range(days)])
    columns = {name: getattr(table, name)[rows].mean(axis=0) for name in VALUES}
    columns["rain_mm"] = np.zeros(ends.size)
    # Of two different hours the mean vapour may be a little more than air of their mean warmth has.
    most = np.asarray(saturation_vapour_pressure_kpa(columns["temperature_c"]))
    columns["vapour_pressure_kpa"] = np.minimum(columns["vapour_pressure_kpa"], most)
    behind = HourlyWeather(
        end_s=ends,
        rain_chance=np.zeros(ends.size),
        origin=np.full(ends.size, Origin.FILLED, dtype=np.uint8),
        filled=np.full(ends.size, ALL_FILLED, dtype=np.uint8),
        **columns,
    )
    return merged([behind, table])


def with_rain_seen(table: HourlyWeather, facts: Sequence[Fact]) -> HourlyWeather:
    """Return the table with the rain of the day before each report as the report has it.

    A depth scales the day's rain, or falls in the last hour where the table has next to none;
    "none" takes it away. "Some" and "ran through" say nothing that a table can hold.
    """
    rain = table.rain_mm.copy()
    for fact in facts:
        if not isinstance(fact.body, RainAtPots):
            continue
        depth = 0.0 if fact.body.said == "none" else fact.body.depth_mm
        at = fact.valid_at.timestamp()
        day = (table.end_s > at - DAY_S) & (table.end_s < at + HOUR_S)
        if depth is None or not day.any():
            continue
        total = float(rain[day].sum())
        if total >= LEAST_RAIN_MM:
            rain[day] *= depth / total
        else:
            rain[day] = 0.0
            rain[np.flatnonzero(day)[-1]] = depth
    return replace(table, rain_mm=rain)


def told_until_s(facts: Sequence[Fact]) -> int | None:
    """Return the end of the last hour gone by that a source has told of [UTC epoch s], or None."""
    ends = [
        int(fact.body.hours.end_s[-1])
        for fact in facts
        if isinstance(fact.body, WeatherHours) and len(fact.body.hours)
    ]
    return max(ends, default=None)
