"""What must always hold of draws: the same for the same key, and of nobody else's making."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.garden.draws import (
    MEMBERS_PER_PAGE,
    _unit,
    key_of,
    keyed,
    normal_quantile,
    normals,
    uniforms,
    weather_normals,
)

parts = st.lists(st.text() | st.integers(), max_size=4).map(tuple)
HOUR_0 = 480_000


@given(parts, parts)
def test_different_parts_have_different_keys(
    one: tuple[str | int, ...], other: tuple[str | int, ...]
) -> None:
    """Two lists of parts share a key only if they are the same list."""
    assert (key_of(*one) == key_of(*other)) == (one == other)


def test_a_key_is_fixed_for_ever() -> None:
    """Only guards against change: a new key would redraw every journal's past."""
    assert key_of("pot", 7) == 0x831F4B818440927A2F3BD8EF2F5096FA
    assert uniforms(("pot", 7), 2, counter=3).tolist() == pytest.approx(
        [0.6969643395079795, 0.7578611333795412], abs=1e-15
    )


def test_text_and_numbers_and_their_borders_are_told_apart() -> None:
    """A seven is not the word "7", and where one part ends matters."""
    keys = {key_of("7"), key_of(7), key_of("a", "b"), key_of("ab"), key_of("ab", ""), key_of()}
    assert len(keys) == 6


@given(parts, st.integers(0, 50), st.integers(0, 50), st.integers(0, 2**100))
def test_fewer_draws_are_a_prefix_of_more(
    key: tuple[str | int, ...], few: int, more: int, counter: int
) -> None:
    """How many are asked for changes none of them."""
    long = normals(key, few + more, counter=counter)
    assert np.array_equal(normals(key, few, counter=counter), long[:few])


@given(st.permutations(range(6)))
def test_the_order_of_asking_changes_nothing(order: list[int]) -> None:
    """Pots drawn in any order, with others or without, get their own numbers."""
    in_order = {pot: uniforms(("pot", pot), 8, counter=pot) for pot in range(6)}
    for pot in order:
        assert np.array_equal(uniforms(("pot", pot), 8, counter=pot), in_order[pot])


@given(st.integers(0, 1000), st.integers(0, 1000))
def test_streams_of_two_occasions_share_nothing(one: int, other: int) -> None:
    """Draws of two counters have no word in common unless the counters are the same."""
    first = set(keyed("pot", counter=one).random_raw(64).tolist())
    second = set(keyed("pot", counter=other).random_raw(64).tolist())
    assert (first == second) if one == other else not (first & second)


def test_the_interval_is_open_at_both_ends() -> None:
    """The least and the greatest word give neither 0 nor 1, and lie symmetric about one half."""
    least, greatest = _unit(np.array([0, 2**64 - 1], dtype=np.uint64))
    assert 0.0 < least < greatest < 1.0
    assert least == 2.0**-53
    assert 1.0 - greatest == least


@given(st.floats(2.0**-53, 0.5))
def test_the_quantile_is_odd_about_one_half(p: float) -> None:
    """What lies as far above the middle as p lies below has the opposite quantile."""
    upper = 1.0 - p
    low, high = normal_quantile(np.array([1.0 - upper, upper]))
    assert low == -high


@given(st.integers(-150, 150), st.integers(1, 130), st.integers(1, 130))
def test_a_window_that_moves_keeps_the_draws_of_the_hours_it_keeps(
    shift: int, members: int, other_members: int
) -> None:
    """The draw of an hour and a member is the same in every window and every ensemble."""
    window = HOUR_0 + np.arange(100)
    before = weather_normals(3600 * window, members, "rain")
    after = weather_normals(3600 * (window + shift), other_members, "rain")
    shared = min(members, other_members)
    kept = np.intersect1d(window, window + shift)
    assert np.array_equal(
        before[:shared, kept - window[0]], after[:shared, kept - window[0] - shift]
    )


@given(
    st.lists(st.integers(HOUR_0, HOUR_0 + 40), unique=True, max_size=20),
    st.integers(0, 2 * MEMBERS_PER_PAGE + 1),
)
def test_gaps_and_disorder_among_the_hours_are_allowed(hours: list[int], members: int) -> None:
    """Each hour keeps its draw whatever hours stand beside it."""
    all_hours = weather_normals(3600 * np.arange(HOUR_0, HOUR_0 + 41), members, "wind")
    some = weather_normals(3600 * np.array(hours, dtype=np.int64), members, "wind")
    assert some.shape == (members, len(hours))
    assert np.array_equal(some, all_hours[:, np.array(hours, dtype=np.intp) - HOUR_0])


def test_no_two_weather_draws_are_the_same() -> None:
    """Members of different pages and hours side by side share no number."""
    drawn = weather_normals(3600 * np.arange(HOUR_0, HOUR_0 + 50), 200, "rain")
    assert np.unique(drawn).size == drawn.size


@pytest.mark.parametrize("stamp", [3599, 3600 * HOUR_0 + 1, -3600])
def test_a_stamp_that_is_no_whole_hour_is_refused(stamp: int) -> None:
    """Half an hour, a second too many and the time before 1970 have no weather draws."""
    with pytest.raises(ValueError, match="whole hours"):
        weather_normals(np.array([stamp]), 3, "rain")
