"""A pot's days from evening to evening, held against the hours that they are made of."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from irrigate.garden.day_by_day import day_by_day, evenings
from irrigate.garden.outlook import look_ahead, run
from irrigate.garden.pots import RoundTime
from tests.garden.makers import DAY, HOUR, SITE, START, a_garden, standing_of, summer, three_pots


def test_evenings_are_at_the_last_round_by_the_garden_s_clock() -> None:
    """Seven in a row at 18:30, also over the end of summer time (1 November 2026 in California)."""
    zone = ZoneInfo(SITE.time_zone)
    found = evenings(a_garden(), datetime(2026, 10, 29, 20, 0, tzinfo=UTC), 7)
    assert [moment.astimezone(zone).time() for moment in found] == [time(18, 30)] * 7
    steps = {later - sooner for sooner, later in pairwise(found)}
    assert steps == {DAY, DAY + HOUR}


def test_an_evening_that_has_passed_is_not_shown() -> None:
    """After the last round the first evening is tomorrow's; without late rounds it is at 20:00."""
    zone = ZoneInfo(SITE.time_zone)
    late = datetime(2026, 7, 10, 18, 30, tzinfo=zone)
    assert evenings(a_garden(), late, 1) == [late + DAY]
    early = replace(a_garden(), rounds=(RoundTime(time(7)),))
    assert evenings(early, late, 1) == [late.replace(hour=20, minute=0)]


def test_days_are_the_sums_of_their_hours() -> None:
    """ET0 and what the plant asks add up over the days; the share left is the run's own."""
    garden = three_pots()
    standing = standing_of(garden, members=16, at=START + timedelta(minutes=20))
    now = standing.belief.at
    ahead = look_ahead(standing, summer(12))
    outlook = run(ahead, standing.belief.store, now)
    ends = evenings(garden, now, 7)
    for row in range(len(garden.pots)):
        days = day_by_day(ahead, outlook, row, ends)
        assert [day.ends for day in days] == ends
        single = replace(
            ahead,
            places=replace(ahead.places, et0_mm=ahead.places.et0_mm[:, :1]),
            traits=type(ahead.traits)(
                *(getattr(ahead.traits, name)[:, :1] for name in ahead.traits.__slots__)
            ),
        )
        one = day_by_day(single, outlook, row, ends)
        place = int(ahead.demand.place_row[row])
        hourly = ahead.places.et0_mm[place, 0].astype(np.float64)
        whole = int((ends[-1].timestamp() - ahead.end_s[0]) // 3600) + 1
        # The first hour begins 20 minutes in, the last is 30 minutes long.
        expected = hourly[1:whole].sum() + hourly[0] * 40 / 60 + hourly[whole] * 0.5
        assert sum(day.et0_mm for day in one) == pytest.approx(expected, rel=1e-6)
        for day in days:
            low, middle, high = day.share_left
            assert 0.0 <= low <= middle <= high <= 1.0
            assert day.chance_thirsty == outlook.chance_before(day.ends)[row]


def test_days_end_with_the_weather() -> None:
    """A day whose end is not covered by the hours ahead is left out, not made up."""
    garden = three_pots()
    standing = standing_of(garden)
    ahead = look_ahead(standing, summer(8), horizon_h=60)
    outlook = run(ahead, standing.belief.store, START)
    assert len(day_by_day(ahead, outlook, 0, evenings(garden, START, 7))) == 3
