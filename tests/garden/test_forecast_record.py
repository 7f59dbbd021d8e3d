"""How past forecasts fared, in sums; and what that makes of the size of errors to come."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.garden.events import Fared, ForecastScored
from irrigate.garden.forecast_errors import LEAD_DAYS, PRIORS, Doubt, weather_members
from irrigate.garden.forecast_record import DAY_S, fared, independent, learnt_spreads
from irrigate.garden.weather import Filled, HourlyWeather
from tests.garden.hourly_tables import clear_summer
from tests.garden.makers import START, summer

NAMES = list(PRIORS)
counts = st.integers(0, 24)
sizes = st.floats(0.0, 4.0)


def scored(hours: int, size: float, memory: float = 0.9) -> ForecastScored:
    """Return a day on which every error was ``size`` times the prior's."""
    errors = {}
    for name, prior in PRIORS.items():
        of_days = []
        for lead in range(LEAD_DAYS):
            square = (size * (prior.first + prior.per_day * (lead + 0.5))) ** 2
            pairs = max(hours - 1, 0)
            of_days.append(Fared(hours, hours * square, pairs, pairs * square * memory))
        errors[name] = tuple(of_days)
    return ForecastScored("sky", errors)


def off(table: HourlyWeather, degrees: np.ndarray, factor: float) -> HourlyWeather:
    """Return a forecast that misses the table by so many degrees, and a factor in the rest."""
    return replace(
        table,
        temperature_c=table.temperature_c - degrees,
        vapour_pressure_kpa=table.vapour_pressure_kpa / factor,
        solar_mj_m2=table.solar_mj_m2 / factor,
        wind_2m_m_s=table.wind_2m_m_s / factor,
    )


# --- what a day came to --------------------------------------------------------------------
def test_the_sums_are_those_of_a_loop_in_plain_words() -> None:
    """Hours are sorted by whole days of lead; a pair is two hours in a row of one lead."""
    told = clear_summer(24)
    rng = np.random.Generator(np.random.Philox(7))
    degrees = rng.normal(0.0, 1.0, 24)
    made_s = int(told.end_s[0]) - 20 * 3600  # the fifth hour is the first of the second day
    found = fared(told, [(made_s, off(told, degrees, 1.2))])
    for lead in range(LEAD_DAYS):
        hours = [h for h in range(24) if math.ceil((told.end_s[h] - made_s) / DAY_S) - 1 == lead]
        squares = sum(degrees[h] ** 2 for h in hours)
        products = sum(degrees[h] * degrees[h + 1] for h in hours if h + 1 in hours)
        sums = found["temperature_c"][lead]
        assert (sums.hours, sums.pairs) == (len(hours), max(len(hours) - 1, 0))
        assert sums.squares == pytest.approx(squares, rel=1e-4)
        assert sums.products == pytest.approx(products, rel=1e-4)
    assert found["wind_2m_m_s"][0].squares == pytest.approx(5 * math.log(1.2) ** 2, rel=1e-4)
    lit = int((told.solar_mj_m2 / 1.2 > 0.1).sum())
    assert sum(one.hours for one in found["solar_mj_m2"]) == lit, "the night tells nothing of it"


def test_hours_that_were_put_in_do_not_count() -> None:
    """Neither a told nor a forecast value that a procedure made says how good forecasts are."""
    told = clear_summer(24)
    was = off(told, np.ones(24), 1.1)
    marks = np.zeros(24, dtype=np.uint8)
    marks[3], marks[4] = Filled.TEMPERATURE, Filled.WIND
    made_s = int(told.end_s[0]) - 3600
    for one, other in ((replace(told, filled=marks), was), (told, replace(was, filled=marks))):
        found = fared(one, [(made_s, other)])
        assert found["temperature_c"][0].hours == 23
        assert found["temperature_c"][0].pairs == 21
        assert found["wind_2m_m_s"][0].hours == 23
        assert found["vapour_pressure_kpa"][0].hours == 24


def test_a_broken_instrument_says_nothing_of_forecasts() -> None:
    """An hour off by a factor of seven, or by more than 15 °C, is left out."""
    told = clear_summer(24)
    was = off(told, np.where(np.arange(24) == 5, 30.0, 1.0), 10.0)
    found = fared(told, [(int(told.end_s[0]) - 3600, was)])
    assert found["temperature_c"][0].hours == 23
    assert found["vapour_pressure_kpa"][0].hours == 0


def test_a_forecast_of_other_hours_adds_nothing() -> None:
    """Only hours that both know are held against one another."""
    told = clear_summer(24)
    later = replace(told, end_s=told.end_s + 24 * 3600)
    found = fared(told, [(int(told.end_s[0]) - 3600, later)])
    assert all(one == Fared() for of_days in found.values() for one in of_days)


# --- what it makes likely ------------------------------------------------------------------
def test_without_a_record_the_prior_stands() -> None:
    """No scores, or scores of no hours, change nothing."""
    assert learnt_spreads([]) == PRIORS
    assert learnt_spreads([ForecastScored("", {}), scored(0, 3.0)]) == PRIORS


@given(st.lists(st.tuples(counts, sizes), max_size=30))
def test_the_size_is_the_prior_and_the_record_by_their_counts(
    days: list[tuple[int, float]],
) -> None:
    """A second writing of the shrinkage, in plain numpy, agrees for any record."""
    spreads = learnt_spreads([scored(hours, size) for hours, size in days])
    hours = np.array([one for one, _ in days if one], dtype=float)
    size = np.array([other for one, other in days if one], dtype=float)
    for name, prior in PRIORS.items():
        m2 = prior.memory**2
        worth = hours * (1 - m2) / (1 + m2)
        expected = np.sqrt((8.0 + np.sum(worth * size**2)) / (8.0 + worth.sum()))
        assert spreads[name].scale == pytest.approx([expected] * LEAD_DAYS, rel=1e-9)


@given(st.integers(1, 60), st.integers(1, 24), sizes, st.sampled_from(NAMES))
def test_more_of_the_same_draws_nearer_to_it(days: int, hours: int, size: float, name: str) -> None:
    """The size lies between prior and record, nearer to the record the longer it is."""
    short = learnt_spreads([scored(hours, size)] * days)[name].scale[2]
    long = learnt_spreads([scored(hours, size)] * (days + 1))[name].scale[2]
    assert min(size, 1.0) - 1e-9 <= long <= max(size, 1.0) + 1e-9
    assert abs(long - size) <= abs(short - size) + 1e-9


@given(st.lists(counts, min_size=1, max_size=20), sizes, st.floats(0.0, 2.0))
def test_larger_errors_never_make_a_smaller_size(days: list[int], size: float, more: float) -> None:
    """The size grows with the errors seen, at every lead."""
    small = learnt_spreads([scored(hours, size) for hours in days])
    large = learnt_spreads([scored(hours, size + more) for hours in days])
    for name in NAMES:
        assert np.all(np.array(large[name].scale) >= np.array(small[name].scale) - 1e-12)


def test_a_lasting_bias_is_part_of_the_size() -> None:
    """Forecasts that are always 3 °C off and never otherwise have errors of 3 °C, not of none."""
    told = clear_summer(24)
    day = fared(told, [(int(told.end_s[0]) - 3600, off(told, np.full(24, 3.0), 1.0))])
    learnt = learnt_spreads([ForecastScored("sky", day)] * 60)["temperature_c"]
    assert learnt.at(np.array([0.5]))[0] == pytest.approx(3.0, rel=0.1)
    assert learnt.at(np.array([5.5]))[0] == pytest.approx(PRIORS["temperature_c"].prior(
        np.array([5.5]))[0]), "later days were not scored"  # fmt: skip


def test_the_members_spread_as_the_record_says() -> None:
    """With errors twice the usual, members lie twice as far apart; hours gone by stay equal."""
    weather = summer()
    doubt = Doubt(learnt_spreads([scored(24, 2.0)] * 400))
    now_s = int(START.timestamp())
    usual = weather_members(weather, now_s, 200)
    wide = weather_members(weather, now_s, 200, doubt)
    gone = weather.end_s <= now_s
    assert np.all(np.ptp(wide.temperature_c[:, gone], axis=0) == 0.0)
    assert np.array_equal(wide.temperature_c[:, gone], usual.temperature_c[:, gone])
    ratio = wide.temperature_c[:, ~gone].std(axis=0) / usual.temperature_c[:, ~gone].std(axis=0)
    # The memory was learnt, too (0.9 for 0.95), so that the draws differ a little.
    assert np.median(ratio) == pytest.approx(2.0, rel=0.1)


def test_the_memory_is_drawn_to_what_is_seen() -> None:
    """One day hardly moves it; sixty days of 0.6 bring it most of the way from the prior."""
    prior = PRIORS["solar_mj_m2"].memory
    once = learnt_spreads([scored(24, 1.0, 0.6)])["solar_mj_m2"].memory
    often = learnt_spreads([scored(24, 1.0, 0.6)] * 60)["solar_mj_m2"].memory
    assert prior - 0.03 < once < prior
    assert often == pytest.approx((20 * prior + 60 * 0.6) / 80)
    assert learnt_spreads([scored(24, 1.0, -5.0)] * 60)["solar_mj_m2"].memory >= 0.0
    assert learnt_spreads([scored(24, 1.0, 9.0)] * 60)["solar_mj_m2"].memory < 1.0


def test_hours_alike_count_for_few() -> None:
    """Without memory every hour counts; the more memory, the fewer."""
    assert independent(24, 0.0) == 24
    assert independent(24, 0.95) == pytest.approx(1.23, abs=0.01)
