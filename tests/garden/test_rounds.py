"""Rounds, quiet hours and the hours of people, in the garden's own zone."""

from __future__ import annotations

import zoneinfo
from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.pots import Garden, Person, RoundTime, Site
from irrigate.garden.rounds import (
    able,
    at_local,
    can_act_later,
    in_span,
    is_last_of_day,
    is_quiet,
    local_day,
    next_rounds,
    round_key,
    rounds_between,
)
from tests.garden.makers import DAY, a_garden

ZONES = sorted(zoneinfo.available_timezones())
LOS_ANGELES = ZoneInfo("America/Los_Angeles")
times = st.integers(0, 24 * 60 - 1).map(lambda minute: time(minute // 60, minute % 60))


def in_zone(name: str, *rounds: RoundTime) -> Garden:
    """Return a garden in a time zone with these rounds."""
    return replace(a_garden(), site=Site(0.0, 0.0, 0.0, name), rounds=rounds)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(ZONES), times, st.integers(0, 700))
def test_each_round_once_per_local_day(name: str, moment: time, offset: int) -> None:
    """In any zone and whatever its clocks do, a round comes exactly once on each local day."""
    garden = in_zone(name, RoundTime(moment))
    begin = datetime(2026, 1, 1, tzinfo=UTC) + offset * DAY
    zone = ZoneInfo(name)
    found = Counter(local_day(at, zone) for at in rounds_between(garden, begin, begin + 10 * DAY))
    inner = [local_day(begin, zone) + timedelta(days=number) for number in range(1, 9)]
    assert [found[day] for day in inner] == [1] * 8


@pytest.mark.parametrize(
    ("zone", "day", "moment", "expected"),
    [
        # IANA time zone database: America/Los_Angeles springs at 02:00 on 8 March 2026 …
        (LOS_ANGELES, date(2026, 3, 8), time(2, 30), datetime(2026, 3, 8, 10, 30, tzinfo=UTC)),
        (LOS_ANGELES, date(2026, 3, 8), time(7), datetime(2026, 3, 8, 14, tzinfo=UTC)),
        # … and falls back at 02:00 on 1 November 2026.
        (LOS_ANGELES, date(2026, 11, 1), time(1, 30), datetime(2026, 11, 1, 8, 30, tzinfo=UTC)),
        (LOS_ANGELES, date(2026, 11, 1), time(7), datetime(2026, 11, 1, 15, tzinfo=UTC)),
        # In Nuuk the last hour of 28 March 2026 is skipped: a round in it must stay on its day.
        (ZoneInfo("America/Nuuk"), date(2026, 3, 28), time(23, 15),
         datetime(2026, 3, 29, 0, 15, tzinfo=UTC)),
    ],
)  # fmt: skip
def test_clock_changes(zone: ZoneInfo, day: date, moment: time, expected: datetime) -> None:
    """A time that is skipped moves on by the gap; one that comes twice is the first (PEP 495)."""
    assert at_local(day, moment, zone) == expected
    assert local_day(expected, zone) == day


def test_the_window_is_open_at_its_start_and_closed_at_its_end() -> None:
    """A round at the end of a window belongs to it, one at its start to the window before."""
    garden = a_garden()
    morning = datetime(2026, 7, 10, 14, tzinfo=UTC)
    assert rounds_between(garden, morning - DAY, morning)[-1] == morning
    assert rounds_between(garden, morning, morning + timedelta(hours=2)) == []
    assert rounds_between(garden, morning - timedelta(microseconds=1), morning) == [morning]


def test_weekdays_are_those_of_the_garden() -> None:
    """A Monday round in California comes on its Monday, though in UTC it is Tuesday already."""
    garden = in_zone("America/Los_Angeles", RoundTime(time(20), (0,)))
    (found,) = next_rounds(garden, datetime(2026, 7, 12, tzinfo=UTC), 1)
    assert found == datetime(2026, 7, 14, 3, tzinfo=UTC)
    assert found.astimezone(LOS_ANGELES).weekday() == 0


def test_next_rounds_and_the_last_of_the_day() -> None:
    """The next round is later than now; the evening's is the last of its local day."""
    garden = a_garden()
    morning, evening = next_rounds(garden, datetime(2026, 7, 10, 13, 59, tzinfo=UTC))
    assert (morning, evening) == (
        datetime(2026, 7, 10, 14, tzinfo=UTC),
        datetime(2026, 7, 11, 1, 30, tzinfo=UTC),
    )
    assert next_rounds(garden, morning, 1) == [evening]
    assert not is_last_of_day(garden, morning)
    assert is_last_of_day(garden, evening)
    assert round_key(evening) == "round 2026-07-11T01:30Z"


@given(times, times, times)
def test_a_span_and_its_complement_share_the_day(moment: time, start: time, stop: time) -> None:
    """Every time lies in a span or in the span from its end to its start, never in both."""
    if start == stop:
        assert not in_span(moment, (start, stop))
    else:
        assert in_span(moment, (start, stop)) != in_span(moment, (stop, start))


def test_quiet_hours_run_over_midnight() -> None:
    """From 21:30 to 06:30 it is quiet; the start belongs to the quiet, the end does not."""
    garden = a_garden()
    for local, quiet in (((21, 29), False), ((21, 30), True), ((6, 29), True), ((6, 30), False)):
        at = datetime(2026, 7, 10, *local, tzinfo=LOS_ANGELES)
        assert is_quiet(garden, at) is quiet, local


def test_who_can_act() -> None:
    """Those whose hours hold the moment; and later counts only outside the quiet hours."""
    people = (
        Person("Early", can_act=((time(5), time(8)),)),
        Person("Late", can_act=((time(17), time(23)),)),
    )
    garden = a_garden(people=people)

    def at(hour: int, minute: int = 0) -> datetime:
        return datetime(2026, 7, 10, hour, minute, tzinfo=LOS_ANGELES)

    assert [one.name for one in able(garden, at(7))] == ["Early"]
    assert able(garden, at(12)) == ()
    assert can_act_later(garden, at(12), at(17))
    assert not can_act_later(garden, at(12), at(16, 59))
    assert not can_act_later(garden, at(20, 45), at(23)), "22:00 on is quiet, though Late is up"
    assert not can_act_later(garden, at(7), at(7, 59)), "an hour must pass first"
