"""Weather of several sources as one table: who goes before whom, and what is marked."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.at_odds import at_odds
from irrigate.garden.events import Fact, Forecast, RainAtPots, WeatherHours
from irrigate.garden.forecast_errors import STOOD_IN_D, Doubt, leads_d, weather_members
from irrigate.garden.forecast_record import fared
from irrigate.garden.known_weather import ALL_FILLED, known_weather, with_recent_days
from irrigate.garden.several_sources import joined, lapsed, whole
from irrigate.garden.weather import HOUR_S, VALUES, Filled, HourlyWeather, Origin
from irrigate.garden.weather_doubt import doubt_of
from tests.garden.makers import HOUR, START, summer

TABLE = summer(10, START)
START_S = int(START.timestamp())


def part(first: int, last: int, **changed: float) -> HourlyWeather:
    """Return some hours of the table, a variable set to one value where it is named."""
    hours = TABLE.select(slice(first, last)).marked(Origin.OBSERVED)
    return replace(hours, **{name: np.full(len(hours), at) for name, at in changed.items()})


# --- who goes before whom ------------------------------------------------------------------
def test_each_value_is_the_first_source_s_that_tells_it() -> None:
    """A station without a pyranometer has the sun of the next source, and its own temperature."""
    station = part(2, 5, temperature_c=31.0, solar_mj_m2=np.nan)
    model = part(0, 8, temperature_c=25.0, solar_mj_m2=1.5)
    got = joined([station, model])
    assert list(got.hours.temperature_c) == [25, 25, 31, 31, 31, 25, 25, 25]
    assert np.all(got.hours.solar_mj_m2 == 1.5)
    assert list(got.teller) == [1, 1, 0, 0, 0, 1, 1, 1]


def test_a_value_that_was_put_in_waits_for_one_that_was_told() -> None:
    """A sun estimated from clouds gives way to a sun told by a later source, and else stands."""
    clouds = replace(part(0, 4, solar_mj_m2=2.0), filled=np.full(4, Filled.SOLAR, np.uint8))
    told = part(2, 6, temperature_c=20.0, solar_mj_m2=1.0)
    hours = joined([clouds, told]).hours
    assert list(hours.solar_mj_m2) == [2.0, 2.0, 1.0, 1.0, 1.0, 1.0]
    assert list(hours.filled) == [Filled.SOLAR, Filled.SOLAR, 0, 0, 0, 0]
    assert np.array_equal(hours.temperature_c[:4], TABLE.temperature_c[:4])


def test_an_hour_is_observed_where_one_of_its_values_is() -> None:
    """The origin is that of what was chosen, not of what was passed over."""
    forecast = part(0, 4).marked(Origin.FORECAST)
    station = part(1, 3, solar_mj_m2=np.nan)
    hours = joined([station, forecast]).hours
    assert list(hours.origin) == [Origin.FORECAST, 0, 0, Origin.FORECAST]


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(st.integers(0, 40), st.integers(1, 30), st.integers(0, 31), st.booleans()),
        max_size=4,
    )
)
def test_nothing_is_lost_and_nothing_invented(pieces: list[tuple[int, int, int, bool]]) -> None:
    """Every hour that somebody tells is there, with a value that somebody told of it."""
    tables = []
    for number, (first, count, bits, blank) in enumerate(pieces):
        hours = part(first, first + count, temperature_c=float(number))
        if blank:
            hours = replace(hours, rain_mm=np.full(count, np.nan))
        tables.append(replace(hours, filled=np.full(count, bits, np.uint8)))
    hours = joined(tables).hours
    ends = {int(end) for table in tables for end in table.end_s}
    assert set(hours.end_s.tolist()) == ends
    for row, end in enumerate(hours.end_s):
        knowing = [table for table in tables if end in table.end_s]
        told = {float(one.temperature_c[one.end_s == end][0]) for one in knowing}
        assert hours.temperature_c[row] in told
        marked = bool(hours.filled[row] & Filled.TEMPERATURE)
        bare = any(not one.filled[one.end_s == end][0] & Filled.TEMPERATURE for one in knowing)
        assert marked is not bare


def test_a_later_source_is_needed_only_where_something_is_missing() -> None:
    """Whole is every hour with every value, none of them put in."""
    stretch = (START_S + 2 * HOUR_S, START_S + 8 * HOUR_S)
    assert whole(part(0, 10), *stretch)
    assert not whole(part(0, 7), *stretch)
    assert not whole(part(0, 10, solar_mj_m2=np.nan), *stretch)
    estimated = replace(part(0, 10), filled=np.full(10, Filled.SOLAR, np.uint8))
    assert not whole(estimated, *stretch)


# --- a forecast is no account --------------------------------------------------------------
def test_a_forecast_that_stands_in_for_an_hour_gone_by_is_not_scored() -> None:
    """Otherwise it would be found right to the last digit, and errors would be thought small."""
    now_s = START_S + 24 * HOUR_S
    forecast = part(0, 48).marked(Origin.FORECAST)
    gone = lapsed(forecast, now_s).between(START_S, now_s)
    assert np.all(gone.filled == ALL_FILLED)
    assert not np.any(lapsed(forecast, now_s).between(now_s, now_s + 99 * HOUR_S).filled)
    assert not np.any(lapsed(part(0, 48), now_s).filled)
    scores = fared(gone, [(START_S, forecast)])
    assert sum(one.hours for days in scores.values() for one in days) == 0
    assert fared(part(0, 24), [(START_S, forecast)])["temperature_c"][0].hours == 24


# --- stale weather -------------------------------------------------------------------------
def told_at(hours: float, first: int = 0, by_c: float = 3.0) -> Fact:
    """Return a forecast of the whole table, warmer by some degrees, told at an hour."""
    at = START + hours * HOUR
    run = replace(TABLE, temperature_c=TABLE.temperature_c + by_c).select(slice(first, None))
    return Fact(f"run {hours}", at, at, Forecast("s", f"{hours}", run.marked(Origin.FORECAST)))


def seen(first: int, last: int, source: str = "s", known: float | None = None, **c: float) -> Fact:
    """Return hours gone by as a fact."""
    at = START + first * HOUR
    known_at = START + (last if known is None else known) * HOUR
    return Fact(
        f"seen {source} {first}", at, known_at, WeatherHours(source, part(first, last, **c))
    )


def test_spreads_widen_with_the_age_of_the_forecast() -> None:
    """Hours 1 to 24 of a forecast two days old are as wide as hours 49 to 72 of a new one."""
    now_s = START_S + 72 * HOUR_S
    new, old = (leads_d(TABLE, now_s, Doubt(made_s=now_s - age * HOUR_S)) for age in (0, 48))
    assert old[72:96] == pytest.approx(new[120:144])
    assert np.all(old[:72] <= 0.0)
    spread = [
        weather_members(TABLE, now_s, 200, Doubt(made_s=now_s - age)).temperature_c[:, 80].std()
        for age in (0, 48 * HOUR_S)
    ]
    # By the prior that is 0.8 + 0.2 a day of lead: 0.87 and 1.27 [°C], 200 draws of each.
    assert spread[0] == pytest.approx(0.87, rel=0.2)
    assert spread[1] == pytest.approx(1.27, rel=0.2)


def test_a_doubt_knows_when_its_forecast_was_told() -> None:
    """The newest forecast's own moment counts, not when it is looked at."""
    facts = [told_at(2), told_at(9)]
    assert doubt_of(facts, START + 30 * HOUR).made_s == START_S + 9 * HOUR_S
    assert doubt_of([], START).made_s is None


def test_after_two_days_recent_days_stand_in_for_an_old_forecast() -> None:
    """Until 48 h it is gone by; then the mean of the same hour on the last five days, marked."""
    facts = [seen(0, 120), told_at(118)]
    until = START_S + 200 * HOUR_S
    fresh = known_weather(facts, until, START + 118 * HOUR)
    assert fresh.temperature_c[150] == pytest.approx(TABLE.temperature_c[150] + 3.0)
    stale = known_weather(facts, until, START + 118.5 * HOUR)
    same_hour = [150 - 24 * day for day in range(2, 7)]
    assert stale.temperature_c[150] == pytest.approx(TABLE.temperature_c[same_hour].mean())
    assert np.all(stale.filled[120:] == ALL_FILLED)
    assert np.all(stale.origin[120:] == Origin.FILLED)
    assert np.array_equal(stale.temperature_c[:120], fresh.temperature_c[:120])


def test_recent_days_are_as_uncertain_as_a_forecast_far_ahead() -> None:
    """What stands in for the next hours is spread like hours ten days ahead."""
    now_s = START_S + 120 * HOUR_S
    table = known_weather([seen(0, 120)], START_S + 200 * HOUR_S)
    assert np.all(leads_d(table, now_s, Doubt())[120:] == STOOD_IN_D)


@settings(max_examples=40)
@given(st.integers(1, 130), st.integers(0, 90))
def test_recent_days_keep_their_kind(told: int, more: int) -> None:
    """However few hours are known: no gap, no rain, no more vapour than air can hold."""
    wet = replace(TABLE, rain_mm=np.full(len(TABLE), 1.0)).select(slice(0, told))
    table = with_recent_days(wet, START_S + (told + more) * HOUR_S)
    assert len(table) == told + more
    assert np.all(table.rain_mm[told:] == 0.0)
    for name in VALUES:
        column, known = getattr(table, name), getattr(wet, name)
        assert np.array_equal(column[:told], known)
        if name != "rain_mm":
            assert np.all(column >= known.min() - 1e-9)
            assert np.all(column <= known.max() + 1e-9)


# --- a gauge by hand -----------------------------------------------------------------------
@pytest.mark.parametrize("order", [1, -1])
def test_a_gauge_read_by_hand_beats_every_source(order: int) -> None:
    """12 mm read at the pots: a station's 3 mm and a model's 20 mm of that day are both passed."""
    rained = [
        seen(0, 48, "open-meteo", rain_mm=20.0 / 24.0),
        seen(0, 48, "roof", known=49, rain_mm=3.0 / 24.0),
    ]
    at = START + timedelta(hours=36)
    facts = [*rained, Fact("r", at, at, RainAtPots(depth_mm=12.0))][::order]
    rain = known_weather(facts, START_S + 48 * HOUR_S).rain_mm
    assert rain[12:36].sum() == pytest.approx(12.0)
    assert rain[:12].sum() == pytest.approx(1.5)


# --- plausibility --------------------------------------------------------------------------
def test_a_station_like_its_forecast_is_not_spoken_of() -> None:
    """A degree warmer, somewhat damper, a calm yard: that is how yards are."""
    yard = part(0, 24)
    calm = replace(
        yard,
        temperature_c=yard.temperature_c + 1.5,
        wind_2m_m_s=0.3 * yard.wind_2m_m_s,
        solar_mj_m2=0.8 * yard.solar_mj_m2,
    )
    assert at_odds(calm, TABLE) == ()


@pytest.mark.parametrize(
    ("what", "name", "factor", "more"),
    [
        ("temperature", "temperature_c", 1.0, 6.0),
        ("sun", "solar_mj_m2", 0.2, 0.0),
        ("sun", "solar_mj_m2", 1.9, 0.0),
        ("wind", "wind_2m_m_s", 3.6, 0.0),  # km/h taken for m/s
        ("humidity", "vapour_pressure_kpa", 0.3, 0.0),
    ],
)
def test_a_sensor_at_odds_is_named(what: str, name: str, factor: float, more: float) -> None:
    """A thermometer in the sun, a shaded or mis-scaled pyranometer, km/h taken for m/s."""
    yard = part(0, 24)
    odd = replace(yard, **{name: factor * getattr(yard, name) + more})
    assert what in {one.what for one in at_odds(odd, TABLE)}
    assert at_odds(odd.select(slice(0, 17)), TABLE) == ()  # a part of a day tells little
    marked = replace(odd, filled=np.full(24, ALL_FILLED, np.uint8))
    assert at_odds(marked, TABLE) == ()
