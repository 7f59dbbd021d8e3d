"""What the calendar does to a pot: growth, tiring leaves, bare months, spreading roots."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.garden.balance import share_available
from irrigate.garden.pots import Pot
from irrigate.garden.season import days_since, grown, leaf_share, rooted, size_ratio, sizes_m
from irrigate.settings import catalogue
from tests.garden.makers import DAY, HOUR, START, a_garden, a_pot, any_pots, standing_of
from tests.garden.scalar_air import leaves_left, size_m

PLANTED = START.date() - timedelta(days=30)


def ends_of(days: int) -> np.ndarray:
    """Return the ends of the hours of so many days from START on [epoch s]."""
    return int(START.timestamp()) + 3600 * np.arange(1, 24 * days + 1, dtype=np.int64)


def test_an_hour_that_ends_at_midnight_belongs_to_the_day_before() -> None:
    """Days are whole days of UTC: 24 hours each, the first of them ending at one o'clock."""
    days = days_since(START.date(), ends_of(3))
    assert days.tolist() == [0.0] * 24 + [1.0] * 24 + [2.0] * 24
    assert days_since(START.date() + timedelta(days=2), ends_of(1))[0] == -2.0


@given(any_pots(), st.integers(0, 86399))
def test_within_a_day_nothing_changes(pot: Pot, second: int) -> None:
    """From whatever moment of a day they are asked, sizes and roots are those of that day."""
    later = START + timedelta(seconds=second)
    ends = ends_of(9)
    assert np.array_equal(size_ratio(pot, START, ends), size_ratio(pot, later, ends))
    assert np.array_equal(rooted([pot], START), rooted([pot], later))
    size = np.array([[pot.canopy_width_m, pot.canopy_height_m]])
    assert np.array_equal(grown([pot], size, START), grown([pot], size, later))


@given(any_pots())
def test_a_plant_grows_day_by_day_as_at_once(pot: Pot) -> None:
    """Nine midnights one after the other give the size of nine days, and none of them shrinks it.

    The size itself by the stages, written a second time.
    """
    size = np.array([[pot.canopy_width_m, pot.canopy_height_m]])
    step = size
    for number in range(9):
        after = grown([pot], step, START + number * DAY + 5 * HOUR)
        assert np.all(after >= step)
        step = after
    ratio = size_ratio(pot, START, ends_of(10))[-1:]
    assert step[0] == pytest.approx(sizes_m(pot, size[0], ratio)[:, 0], rel=1e-12)
    expected = size_m(pot, START.date(), (START + 9 * DAY).date())
    assert step[0] == pytest.approx(expected, rel=1e-12)


def test_a_pepper_from_seedling_to_full_size() -> None:
    """Set out at 0.1 m, it is as wide as its kind at the end of development and then no wider.

    Cover 0.02 at planting and 1 at full cover: √50 = 7.07 times the width; lengths of the stages
    from FAO-56 Table 11.
    """
    crop = replace(catalogue.crops()["pepper"].value, width_m=0.6, height_m=0.7)
    pot = replace(a_pot("1", size_m=(0.1, 0.1)), crop=crop, planted=START.date())
    days = int(sum(crop.stages_d[:2]))
    ratio = size_ratio(pot, START, ends_of(days + 20))
    assert ratio[0] == 1.0
    assert ratio[24 * crop.stages_d[0]] == pytest.approx(5.0**0.5), "a tenth over 0.02"
    assert ratio[-1] == pytest.approx(50.0**0.5)
    width, height = sizes_m(pot, np.array([0.1, 0.1]), ratio)
    assert (width[-1], height[-1]) == (0.6, 0.7)


def test_a_pot_without_a_date_or_stages_keeps_its_size() -> None:
    """Nobody said when it was planted, or it is a perennial: it stays as it was measured."""
    fig, undated = a_pot("1", "fig", planted=PLANTED), a_pot("2")
    for pot in (fig, undated):
        assert np.all(size_ratio(pot, START, ends_of(60)) == 1.0)
    sizes = np.array([[0.5, 0.5], [0.5, 0.5]])
    assert grown([fig, undated], sizes, START) is sizes


# --- leaves ----------------------------------------------------------------------------------
@given(any_pots(), st.booleans())
def test_leaves_of_a_day_by_hand(pot: Pot, south: bool) -> None:
    """The late stage's fall (FAO-56 Eq 66) or the calendar's months, written a second time."""
    site = replace(a_garden().site, latitude_deg=-37.6 if south else 37.6)
    for ahead in (0, 40, 90, 180):
        day = START + ahead * DAY
        end = np.array([int((day + HOUR).timestamp())])
        of_year = np.array([float(day.timetuple().tm_yday)])
        found = float(leaf_share(pot, end, of_year, south)[0])
        assert found == pytest.approx(leaves_left(pot, site, day.date()), abs=1e-12)
        assert 0.0 <= found <= 1.0


def test_dry_beans_late_leaves() -> None:
    """Example 30 (FAO-56 p. 145, page from memory): Kcb 1.14 at its best, on day 90 0.70.

    Stages 25, 25, 30, 20; 0.25 at the end. 0.70 / 1.14 = 0.61 of the best.
    """
    crop = replace(a_pot("1").crop, stages_d=(25, 25, 30, 20), kcb_mid=1.14, kcb_end=0.25)
    pot = replace(a_pot("1"), crop=crop, planted=START.date() - timedelta(days=90))
    share = float(leaf_share(pot, ends_of(1)[:1], np.array([191.0]), False)[0])
    assert 1.14 * share == pytest.approx(0.70, abs=0.0051)


def test_bare_in_winter() -> None:
    """A plant that drops its leaves uses nothing without them, in January or, south, in July."""
    months = (0.0, 0.0, 0.1, 0.5, 1.0, 1.0, 1.0, 1.0, 1.0, 0.5, 0.1, 0.0)
    fig = a_pot("1", "fig")
    fig = replace(fig, crop=replace(fig.crop, leaves_by_month=months))
    end = ends_of(1)[:1]
    assert leaf_share(fig, end, np.array([15.0]), False)[0] == 0.0
    assert leaf_share(fig, end, np.array([197.0]), False)[0] == 1.0
    assert leaf_share(fig, end, np.array([197.0]), True)[0] == 0.0


# --- roots -----------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("planted", "repotted", "ball", "share"),
    [
        (None, None, None, 1.0),
        (START.date(), None, None, 0.35),
        (START.date() - timedelta(days=14), None, 0.4, 0.7),
        (date(2025, 4, 1), None, 0.4, 1.0),
        (date(2025, 4, 1), START.date(), 0.2, 0.2),
        (START.date(), date(2025, 4, 1), 0.2, 0.2),
        (None, START.date() - timedelta(days=28), 0.1, 1.0),
    ],
)
def test_roots_spread_within_four_weeks(
    planted: date | None, repotted: date | None, ball: float | None, share: float
) -> None:
    """From the old root ball to the whole mix in 28 days after the last of both dates.

    Four weeks and a ball of 0.35 from memory; where no date is known the roots are everywhere.
    """
    pot = a_pot("1", planted=planted, repotted=repotted, root_ball=ball)
    assert float(rooted([pot], START)[0, 0]) == pytest.approx(share)


def test_a_large_pot_just_filled_dries_in_its_old_root_ball() -> None:
    """With roots in a fifth of the mix, a fifth of the water is to be had; the rest waits."""
    old, new = a_pot("1"), a_pot("2", repotted=START.date(), root_ball=0.2)
    standing = standing_of(a_garden(old, new), 4)
    traits = standing.traits
    # Each member has its own idea of what a pot holds, but limits and geometry are the same.
    held = traits.capacity_l - standing.known.limit_l
    assert traits.available_l[0] == pytest.approx(held[0])
    assert traits.available_l[1] == pytest.approx(0.2 * held[1])
    full = share_available(traits.capacity_l, traits)
    assert full == pytest.approx(np.ones_like(full))
