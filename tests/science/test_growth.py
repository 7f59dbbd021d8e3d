"""Growth and fall of leaves, spread of roots: bounds, corners and order."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.science.crop_coefficients import stage_coefficient
from irrigate.science.growth import (
    cover_in_season,
    late_share,
    leaves_by_calendar,
    rooted_share,
)

stages = st.tuples(*[st.integers(5, 120)] * 4)
days = st.floats(-50.0, 500.0)
shares = st.floats(0.0, 1.0)
years = st.lists(shares, min_size=12, max_size=12)


@given(stages, days, st.floats(0.0, 60.0))
def test_a_canopy_only_grows(lengths: tuple[int, ...], day: float, later: float) -> None:
    """Cover never falls with the days; it is 0.02 at planting and 1 from mid-season on."""
    now, then = (float(cover_in_season(one, lengths)) for one in (day, day + later))
    assert 0.02 <= now <= then <= 1.0
    assert float(cover_in_season(-3.0, lengths)) == pytest.approx(0.02)
    assert float(cover_in_season(lengths[0] + lengths[1], lengths)) == 1.0


@given(stages, days, st.floats(0.5, 1.3), st.floats(0.1, 1.3))
def test_tiring_leaves_follow_the_late_stage(
    lengths: tuple[int, ...], day: float, mid: float, end: float
) -> None:
    """In the late stage it is Eq 66's coefficient over that of mid-season, and 1 before.

    The other way to the same number: `stage_coefficient`, checked by Examples 28 and 30.
    """
    found = float(late_share(day, lengths, mid, end))
    if day <= sum(lengths[:3]):
        assert found == 1.0
    else:
        curve = float(stage_coefficient(day, lengths, mid, mid, min(end, mid)))
        assert found == pytest.approx(curve / mid, rel=1e-12)
    assert min(end / mid, 1.0) - 1e-12 <= found <= 1.0


@given(years, st.floats(1.0, 366.0), st.booleans())
def test_leaves_stay_between_their_months(months: list[float], day: float, south: bool) -> None:
    """Never fewer leaves than in the barest month nor more than in the fullest."""
    share = float(leaves_by_calendar(day, months, south))
    assert min(months) - 1e-12 <= share <= max(months) + 1e-12


@given(years, st.floats(1.0, 365.0))
def test_south_is_half_a_year_later(months: list[float], day: float) -> None:
    """What the north has on a day, the south has six months on; the new year is no edge."""
    half = 365.25 / 2.0
    north = float(leaves_by_calendar(day, months, False))
    south = float(leaves_by_calendar((day + half) % 365.25, months, True))
    assert north == pytest.approx(south, abs=1e-9)
    edges = leaves_by_calendar(np.array([0.0, 365.25]), months, False)
    assert edges[0] == pytest.approx(edges[1], abs=1e-9)


def test_middle_of_a_month() -> None:
    """In the middle of a month there are that month's leaves, at its end half of each."""
    months = tuple(float(number == 6) for number in range(12))
    middle = 6.5 * 365.25 / 12.0
    assert float(leaves_by_calendar(middle, months, False)) == pytest.approx(1.0)
    end = 7.0 * 365.25 / 12.0
    assert float(leaves_by_calendar(end, months, False)) == pytest.approx(0.5)


@given(st.floats(-20.0, 200.0), shares, st.floats(1.0, 100.0), st.floats(0.0, 50.0))
def test_roots_only_spread(day: float, first: float, within: float, later: float) -> None:
    """From the old root ball to all of the mix, in its time, and never back."""
    now, then = (float(rooted_share(one, first, within)) for one in (day, day + later))
    assert first - 1e-12 <= now <= then + 1e-12 <= 1.0 + 2e-12
    assert float(rooted_share(within, first, within)) == 1.0
    assert float(rooted_share(-1.0, first, within)) == first
