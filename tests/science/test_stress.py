"""The exact draw-down of a store: what must hold whatever the store, the threshold, the demand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from irrigate.science.stress import draw_down, stress_coefficient

water = st.one_of(st.just(0.0), st.floats(1e-6, 200.0))
precision = st.sampled_from([np.float32, np.float64])


@given(water, water, water, st.floats(0.0, 1.0))
def test_two_steps_take_what_one_takes(
    stored: float, threshold: float, demand: float, share: float
) -> None:
    """A step split in two takes the same, to rounding."""
    first = float(draw_down(stored, threshold, share * demand))
    second = float(draw_down(stored - first, threshold, demand - share * demand))
    whole = float(draw_down(stored, threshold, demand))
    assert first + second == pytest.approx(whole, rel=1e-12, abs=1e-12 * (stored + demand))


@given(water, water, water, precision)
def test_never_more_than_there_is(
    stored: float, threshold: float, demand: float, kind: type[np.floating]
) -> None:
    """It takes no more than is stored or (but for rounding) asked, and never less than 0."""
    s, t, d = (np.array([value], kind) for value in (stored, threshold, demand))
    taken = draw_down(s, t, d)
    assert taken.dtype == kind
    assert 0.0 <= taken[0] <= s[0]
    assert taken[0] <= d[0] * (1 + 4 * np.finfo(kind).eps)


@given(water, water, water, water)
def test_more_demand_or_more_water_takes_more(
    stored: float, threshold: float, demand: float, more: float
) -> None:
    """What is taken rises with demand and with the store; so does what the store has left."""
    taken = draw_down(stored, threshold, demand)
    slack = 1e-12 * (stored + more + demand)
    assert draw_down(stored, threshold, demand + more) >= taken - slack
    fuller = draw_down(stored + more, threshold, demand)
    assert fuller >= taken - slack
    assert stored + more - fuller >= stored - taken - slack


@given(water, water)
def test_without_a_threshold_it_gives_until_empty(stored: float, demand: float) -> None:
    """At a threshold of zero the store gives all that is asked until there is no more."""
    assert draw_down(stored, 0.0, demand) == pytest.approx(min(stored, demand), rel=1e-15)


@pytest.mark.parametrize(
    ("stored", "threshold", "demand"),
    [(30.0, 10.0, 5.0), (12.0, 10.0, 9.0), (8.0, 10.0, 3.0), (8.0, 10.0, 60.0), (5.0, 5.0, 1.0)],
)
def test_against_a_solver(stored: float, threshold: float, demand: float) -> None:
    """The closed form equals scipy's solution of dS/dt = -d min(1, S/T) over the step."""
    solved = solve_ivp(
        lambda _, s: -demand * np.minimum(1.0, s / threshold),
        (0.0, 1.0),
        [stored],
        rtol=1e-10,
        atol=1e-12,
        max_step=0.001,
    )
    expected = stored - solved.y[0, -1]
    # The solver steps over the kink at the threshold, which costs it some digits.
    assert draw_down(stored, threshold, demand) == pytest.approx(expected, rel=1e-5)


@given(st.floats(0.1, 200.0), st.floats(0.0, 0.95), st.floats(0.0, 1.0))
def test_its_rate_is_eq_84(total: float, dry_point: float, left: float) -> None:
    """Over a tiny step the share of demand that is met is Ks of FAO-56 Eq 84 for that depletion."""
    stored, threshold = left * total, dry_point * total
    tiny = 1e-7 * total
    ks = stress_coefficient(total, total - threshold, total - stored)
    rate = draw_down(stored, threshold, tiny) / tiny
    if dry_point > 0.01:
        assert rate == pytest.approx(float(ks), abs=1e-4)


def test_broadcasts_like_numpy() -> None:
    """Pots × members broadcast, and each element is what it would be alone."""
    rng = np.random.default_rng(5)
    stored = rng.uniform(0.0, 20.0, (4, 7))
    threshold = rng.uniform(0.0, 15.0, (4, 1))
    demand = rng.uniform(0.0, 10.0, (1, 7))
    together = draw_down(stored, threshold, demand)
    for row in range(4):
        for column in range(7):
            alone = draw_down(
                float(stored[row, column]), float(threshold[row, 0]), float(demand[0, column])
            )
            assert together[row, column] == alone


def test_plain_numbers_do_not_widen_arrays() -> None:
    """A float32 store stays float32 beside plain floats, and whole numbers give floats."""
    stored = np.array([3.0, 1.0], np.float32)
    assert draw_down(stored, 2.0, 1.0).dtype == np.float32
    assert draw_down(1, 2, np.float32(1.0)).dtype == np.float32
    assert draw_down(3, 2, 1) == 1.0
    assert stress_coefficient(160.0, 64.0, stored).dtype == np.float32


def test_ks_where_the_dry_point_is_the_end() -> None:
    """With RAW equal to TAW the plant drinks freely to the end, without a division by zero."""
    depletion = np.array([0.0, 99.9, 100.0])
    np.testing.assert_array_equal(stress_coefficient(100.0, 100.0, depletion), [1.0, 1.0, 0.0])
