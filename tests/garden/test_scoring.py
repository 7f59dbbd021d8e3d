"""Scores of amounts and words, against scipy and published closed forms."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate
from scipy.stats import norm

from irrigate.garden.events import Foretold
from irrigate.garden.scoring import (
    LEVELS,
    band,
    chance_below,
    crps,
    hour_of_sun_l,
    middle,
    quantiles_of,
    scored,
    tallied,
)
from tests.garden.makers import START


def _crps_of_normal(mean: float, sd: float, amount: float) -> float:
    """Gneiting, Raftery, Westveld & Goldman 2005 (Monthly Weather Review 133), Eq 5."""
    z = (amount - mean) / sd
    return float(
        sd * (z * (2.0 * norm.cdf(z) - 1.0) + 2.0 * norm.pdf(z) - 1.0 / math.sqrt(math.pi))
    )


def _foretold(kind: str = "ran", *, mean: float = 2.0, sd: float = 0.4, **other) -> Foretold:
    quantiles = tuple(float(one) for one in norm.ppf(LEVELS, mean, sd))
    return Foretold("a/0", "p1", kind, quantiles, **other)


def _finger(dry: float, moist: float, wet: float) -> Foretold:
    return Foretold("a/0", "p1", "finger", chances=(dry, moist, wet))


def test_quantiles_of_a_mixture_are_those_of_its_distribution_function():
    """Read backwards, the kept quantiles give the mixture's own levels by scipy's normal."""
    rng = np.random.default_rng(4)
    values, sd = rng.normal(3.0, 1.0, 200), rng.uniform(0.1, 0.6, 200)
    weights = rng.uniform(0.2, 1.0, 200)
    quantiles = np.array(quantiles_of(values, sd, weights))
    below = norm.cdf((quantiles[:, np.newaxis] - values) / sd) @ (weights / weights.sum())
    np.testing.assert_allclose(below, LEVELS, atol=2e-3)


@pytest.mark.parametrize("amount", [0.2, 1.6, 2.0, 2.3, 4.5])
def test_crps_of_normal_quantiles_is_the_closed_form(amount):
    """Nineteen quantiles of a normal score as the normal itself does, to 1 % (Eq 5)."""
    foretold = _foretold(mean=2.0, sd=0.4)
    assert crps(foretold.quantiles, amount) == pytest.approx(
        _crps_of_normal(2.0, 0.4, amount), rel=0.01
    )


@given(
    st.lists(st.floats(-5.0, 5.0), min_size=len(LEVELS), max_size=len(LEVELS)),
    st.floats(-8.0, 8.0),
)
def test_crps_is_the_integral_that_defines_it(heights, amount):
    """By scipy's quadrature of (F − 1{x ≥ amount})² (Gneiting & Raftery 2007, Eq 20)."""
    q = np.sort(np.round(np.array(heights), 2))
    apart = q + np.arange(len(LEVELS)) * 0.01

    def square(x: float) -> float:
        if x < apart[0]:
            level = 0.0
        elif x > apart[-1]:
            level = 1.0
        else:
            level = float(np.interp(x, apart, LEVELS))
        return (level - (x >= amount)) ** 2

    edges = np.unique([*apart, amount])
    whole = sum(
        integrate.fixed_quad(np.vectorize(square), low, high, n=5)[0]
        for low, high in pairwise(edges)
    )
    assert crps(apart, amount) == pytest.approx(whole, abs=1e-9)


def test_crps_is_close_to_the_ensemble_form_of_many_members():
    """Mean |x − y| − ½ mean |x − x'| over members (Gneiting & Raftery 2007, Eq 21)."""
    rng = np.random.default_rng(7)
    members = rng.gamma(3.0, 0.5, 2000)
    pairs = np.abs(members[:, np.newaxis] - members).mean()
    quantiles = np.quantile(members, LEVELS)
    for amount in (0.3, 1.2, 3.0):
        ensemble = np.abs(members - amount).mean() - 0.5 * pairs
        assert crps(quantiles, amount) == pytest.approx(ensemble, rel=0.02)


def test_a_pot_that_can_hold_no_more_is_scored_at_its_step():
    """Where quantiles coincide, the integral jumps with them: half of the answers are 0 L."""
    quantiles = tuple([0.0] * 10 + [float(one) for one in np.linspace(0.1, 0.9, 9)])
    # Halfway up the step nothing is lost below it; above it (1 − F)² is integrated.
    upper = np.linspace(0.0, 0.9, 200_001)
    level = np.interp(upper, [0.0, *quantiles[10:]], LEVELS[9:])
    assert crps(quantiles, 0.0) == pytest.approx(np.trapezoid((1 - level) ** 2, upper), rel=1e-4)
    assert 0.0 < chance_below(quantiles, 0.0) < 0.5


def test_right_answers_fall_inside_and_evenly():
    """Of 4000 answers drawn from what was foretold 80 % lie inside, and PIT is uniform."""
    rng = np.random.default_rng(11)
    scores = []
    for _ in range(4000):
        members, sd = rng.normal(2.0, 0.5, 60), np.full(60, 0.2)
        answer = float(rng.choice(members) + rng.normal(0.0, 0.2))
        foretold = Foretold("a/0", "p1", "ran", quantiles_of(members, sd))
        scores.append(scored(foretold, answer, START))
    pits = np.array([one.pit for one in scores])
    inside = tallied(scores).inside / 4000
    assert abs(inside - 0.80) < 4.0 * math.sqrt(0.8 * 0.2 / 4000)
    counts, _ = np.histogram(pits, bins=10, range=(0.0, 1.0))
    assert np.all(np.abs(counts - 400) < 4.0 * math.sqrt(400 * 0.9))
    strays = sum(one.stray for one in scores)
    assert abs(strays - 40) < 4.0 * math.sqrt(40)


def test_fewer_litres_than_foretold_are_a_wetter_pot():
    """Litres till it ran are the room that was left: their sign is the other way round."""
    less = scored(_foretold(sign=-1, hour_l=0.1), 1.0, START)
    more = scored(_foretold(sign=-1, hour_l=0.1), 3.0, START)
    assert (less.lean, more.lean) == (1, -1)
    assert less.error_l == pytest.approx(1.0)
    assert more.error_l == pytest.approx(-1.0)
    assert less.error_h == pytest.approx(10.0)
    assert less.pit > 0.9 > 0.1 > more.pit


def test_an_amount_is_scored_in_the_litres_that_it_stands_for():
    """A probe's water content counts by the volume of the mix, in errors and in CRPS."""
    probe = _foretold("probe", mean=0.3, sd=0.05, unit_l=20.0)
    one = scored(probe, 0.36, START)
    assert one.error_l == pytest.approx(1.2)
    assert one.crps_l == pytest.approx(20.0 * _crps_of_normal(0.3, 0.05, 0.36), rel=0.01)
    assert one.error_h is None


def test_words_are_scored_by_the_chance_they_were_given():
    """−log of the chance (Good 1952); beyond what 10 % of answers reach they are wetter, drier."""
    wet = scored(_finger(0.60, 0.35, 0.05), "wet", START)
    moist = scored(_finger(0.60, 0.35, 0.05), "moist", START)
    dry = scored(_finger(0.04, 0.16, 0.80), "dry", START)
    assert wet.log_score == pytest.approx(math.log(20.0))
    assert [wet.lean, moist.lean, dry.lean] == [1, 0, -1]
    assert moist.pit == pytest.approx(0.775)
    assert wet.crps_l is None
    assert wet.error_l is None
    assert not wet.stray


def test_only_what_is_hardly_possible_is_a_stray():
    """1 % on both sides together: outside the outermost quantiles, or a word of less than ½ %."""
    assert not scored(_foretold(), 2.0 + 2.5 * 0.4, START).stray
    assert scored(_foretold(), 2.0 + 2.7 * 0.4, START).stray
    assert scored(_finger(0.004, 0.1, 0.896), "dry", START).stray
    assert not scored(_finger(0.006, 0.1, 0.894), "dry", START).stray


def test_hanging_leaves_are_drier_than_foretold_where_they_were_not_expected():
    """Wilting has one chance; a small one means the pot was thought wetter."""
    rare = Foretold("a/0", "p1", "wilting", chances=(0.03,))
    likely = Foretold("a/0", "p1", "wilting", chances=(0.5,))
    assert scored(rare, "wilting", START).lean == -1
    assert scored(likely, "wilting", START).lean == 0


def test_a_night_does_not_count_in_hours_of_sun():
    """Twelve hours of 0.5 mm and 0.1 L beside any number of dark ones: 0.1 L an hour."""
    sun = hour_of_sun_l([0.5] * 12 + [0.0] * 12, [0.1] * 12 + [0.02] * 12)
    assert sun == pytest.approx(0.1)
    assert hour_of_sun_l([0.0] * 24, [0.1] * 24) is None
    assert hour_of_sun_l([0.2] * 24, [0.0] * 24) is None


def test_a_tally_counts_amounts_and_words_apart():
    """Medians are over amounts alone; every answer counts as foretold, wetter or drier."""
    amounts = [scored(_foretold(sign=-1, hour_l=0.1), one, START) for one in (1.9, 2.1, 3.0)]
    words = [scored(_finger(0.6, 0.35, 0.05), "wet", START)]
    tally = tallied([*amounts, *words])
    assert (tally.checks, tally.as_foretold, tally.wetter, tally.drier) == (4, 2, 1, 1)
    assert (tally.amounts, tally.inside, tally.words) == (3, 2, 1)
    assert tally.error_l == pytest.approx(0.1)
    assert tally.error_h == pytest.approx(1.0)
    assert tally.bias_l == pytest.approx(-0.1)
    assert tallied([]).error_l is None


def test_the_band_and_the_middle_are_read_off_the_quantiles():
    """The 10, 50 and 90 % quantiles are kept as such."""
    foretold = _foretold(mean=2.0, sd=0.4)
    assert middle(foretold) == pytest.approx(2.0)
    assert band(foretold) == pytest.approx(tuple(norm.ppf([0.1, 0.9], 2.0, 0.4)))
