"""One table of weather from all that was told: the surer and the newer win, no hour is missing."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.events import Fact, Finger, Forecast, RainAtPots, WeatherHours
from irrigate.garden.known_weather import known_weather, stood_in, told_until_s
from irrigate.garden.weather import HOUR_S, VALUES, HourlyWeather, Origin
from tests.garden.makers import HOUR, START, summer

TABLE = summer(6, START)


def warmer(hours: HourlyWeather, by_c: float) -> HourlyWeather:
    """Return the hours with another temperature, to be told apart."""
    return replace(hours, temperature_c=hours.temperature_c + by_c)


def observed(first: int, last: int, by_c: float = 0.0, known: datetime | None = None) -> Fact:
    """Return the hours number ``first`` to ``last`` as gone by."""
    at = START + first * HOUR
    known = known or START + last * HOUR
    hours = warmer(TABLE.select(slice(first, last)), by_c).marked(Origin.OBSERVED)
    return Fact(f"seen {first} {last} {by_c}", at, known, WeatherHours("s", hours))


def forecast(first: int, last: int, by_c: float, known: datetime) -> Fact:
    """Return the hours as told to come."""
    hours = warmer(TABLE.select(slice(first, last)), by_c).marked(Origin.FORECAST)
    return Fact(f"run {known} {by_c}", known, known, Forecast("s", f"{known}", hours))


def moment_s(hour: float) -> int:
    """Return the moment so many hours from the start [epoch s]."""
    return int((START + hour * HOUR).timestamp())


def test_observed_over_forecast_and_newer_over_older() -> None:
    """What was measured wins over any run; of two runs the one that came later."""
    facts = [
        forecast(0, 60, 1.0, START),
        forecast(6, 66, 2.0, START + 6 * HOUR),
        observed(0, 8),
        Fact("other", START, START, Finger("p", "dry")),
    ]
    for order in (facts, facts[::-1]):
        table = known_weather(order, moment_s(8))
        assert len(table) == 66
        above = table.temperature_c - TABLE.temperature_c[:66]
        assert above == pytest.approx(np.r_[np.zeros(8), np.full(58, 2.0)])
        assert list(table.origin) == [Origin.OBSERVED] * 8 + [Origin.FORECAST] * 58


def test_a_correction_of_hours_gone_by() -> None:
    """Of two accounts of an hour gone by the one recorded later counts, in whatever order read."""
    facts = [observed(0, 10, 0.0), observed(2, 4, 5.0, START + 20 * HOUR)]
    for order in (facts, facts[::-1]):
        above = known_weather(order, moment_s(10)).temperature_c - TABLE.temperature_c[:10]
        assert above == pytest.approx([0, 0, 5, 5, 0, 0, 0, 0, 0, 0])


@settings(max_examples=60)
@given(st.lists(st.tuples(st.integers(0, 90), st.integers(1, 30)), min_size=1, max_size=5),
       st.floats(0.0, 120.0))  # fmt: skip
def test_no_gap_whatever_is_told(pieces: list[tuple[int, int]], until: float) -> None:
    """Every hour from the first told to the moment wanted is there, whole and marked."""
    facts = [observed(first, first + count) for first, count in pieces]
    table = known_weather(facts, moment_s(until))
    assert np.all(np.diff(table.end_s) == HOUR_S)
    assert table.end_s[-1] >= moment_s(until)
    assert all(np.isfinite(getattr(table, name)).all() for name in VALUES)
    told = {hour for first, count in pieces for hour in range(first, first + count)}
    first = min(told)
    for index, origin in enumerate(table.origin):
        assert (origin == Origin.FILLED) == (first + index not in told)
        if first + index in told:
            assert table.temperature_c[index] == TABLE.temperature_c[first + index]


def test_missing_hours_are_those_of_the_day_before_without_its_rain() -> None:
    """An hour nobody told stands as the same hour of the last day told, and no rain counts."""
    wet = replace(TABLE.select(slice(0, 30)), rain_mm=np.full(30, 2.0))
    table = stood_in(wet, moment_s(80))
    assert len(table) == 80
    assert table.temperature_c[30:54] == pytest.approx(table.temperature_c[6:30])
    assert table.temperature_c[54:78] == pytest.approx(table.temperature_c[6:30])
    assert np.all(table.rain_mm[30:] == 0.0)


@settings(max_examples=40)
@given(st.lists(st.tuples(st.integers(0, 60), st.floats(-9.0, 9.0)), max_size=4))
def test_hours_gone_by_rest_on_no_forecast(runs: list[tuple[int, float]]) -> None:
    """Whatever had been forecast, the hours up to the last one told are the same."""
    facts = [observed(0, 10), observed(14, 40), Fact("r", START + 30 * HOUR, START + 30 * HOUR,
             RainAtPots(depth_mm=3.0))]  # fmt: skip
    more = [forecast(at, at + 40, by, START + at * HOUR) for at, by in runs]
    alone, among = (known_weather(known, moment_s(50)) for known in (facts, [*facts, *more]))
    for name in (*VALUES, "filled"):
        assert np.array_equal(getattr(alone, name)[:40], getattr(among, name)[:40]), name
    assert told_until_s([*facts, *more]) == moment_s(40)


def raining(*hours: int) -> Fact:
    """Return two days gone by with 2 mm in each of these hours."""
    rain = np.zeros(48)
    rain[list(hours)] = 2.0
    seen = observed(0, 48)
    return replace(
        seen,
        body=WeatherHours("s", replace(seen.body.hours, rain_mm=rain)),  # type: ignore[union-attr]
    )


@pytest.mark.parametrize(
    ("report", "expected"),
    [
        (RainAtPots("none"), {3: 2.0, 20: 0.0, 30: 0.0, 47: 2.0}),
        (RainAtPots("some"), {3: 2.0, 20: 2.0, 30: 2.0, 47: 2.0}),
        (RainAtPots("ran through"), {3: 2.0, 20: 2.0, 30: 2.0, 47: 2.0}),
        (RainAtPots(depth_mm=12.0), {3: 2.0, 20: 6.0, 30: 6.0, 47: 2.0}),
    ],
)
def test_rain_seen_at_the_pots(report: RainAtPots, expected: dict[int, float]) -> None:
    """A depth or “none” holds for the day before the report, and for no other hour."""
    at = START + timedelta(hours=36)
    table = known_weather([raining(3, 20, 30, 47), Fact("r", at, at, report)], moment_s(48))
    assert {hour: table.rain_mm[hour] for hour in expected} == pytest.approx(expected)


def test_rain_that_no_table_has() -> None:
    """A depth on a day without rain falls in the last hour before the report."""
    at = START + timedelta(hours=36)
    facts = [observed(0, 48), Fact("r", at, at, RainAtPots(depth_mm=7.0))]
    rain = known_weather(facts, moment_s(48)).rain_mm
    assert rain.sum() == 7.0
    assert 35 <= int(np.argmax(rain)) <= 36


def test_nothing_is_known_at_first() -> None:
    """Without a word on the weather there is no table."""
    assert len(known_weather([], moment_s(5))) == 0
    assert told_until_s([]) is None
