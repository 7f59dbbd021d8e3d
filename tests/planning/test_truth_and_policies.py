"""A real garden to try policies on: hidden from every belief, and under the same physics."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.belief import imbalance_l
from irrigate.garden.fold import fold
from irrigate.garden.rounds import rounds_between
from irrigate.planning.policies import DAILY_CANS, fixed_daily
from irrigate.planning.truth import Truth, passed, true_garden, watered
from tests.garden.makers import DAY, HOUR, START, a_garden, a_pot, standing_of, summer, three_pots

GARDEN = three_pots()


def test_no_member_of_a_belief_is_the_truth() -> None:
    """The real thirst, capacity and water of each pot are nobody's, but like some member's."""
    truth = true_garden(GARDEN, START, "key").standing.belief
    belief = standing_of(GARDEN, 200).belief
    for name in ("log_use", "log_capacity", "dry_point", "water_l"):
        mine, members = getattr(truth, name), getattr(belief, name)
        assert mine.shape == (3, 1)
        assert not np.any(np.isclose(members, mine, rtol=1e-9, atol=0.0)), name
        assert np.all(mine >= members.min(axis=1, keepdims=True) - 1.5), name
        assert np.all(mine <= members.max(axis=1, keepdims=True) + 1.5), name


def test_a_key_is_a_garden() -> None:
    """The same key gives the same garden, another key another one."""
    one, again, other = (true_garden(GARDEN, START, key) for key in ("a", "a", "b"))
    assert np.array_equal(one.standing.belief.water_l, again.standing.belief.water_l)
    assert not np.array_equal(one.standing.belief.water_l, other.standing.belief.water_l)


def test_time_passes_as_in_the_fold() -> None:
    """Hour by hour the real garden comes to the bits of one fold over the same weather."""
    until = START + timedelta(hours=50, minutes=20)
    truth = passed(true_garden(GARDEN, START, "key"), summer(), until)
    start = true_garden(GARDEN, START, "key").standing
    whole = fold(start, [], summer(), until, 1)
    assert whole is not None
    assert np.array_equal(truth.standing.belief.water_l, whole.belief.water_l)
    assert truth.standing.belief.at == until


@settings(max_examples=15, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 2), st.floats(0.0, 9.0)), max_size=4))
def test_a_real_garden_keeps_its_books(poured: list[tuple[int, float]]) -> None:
    """What was poured is tallied, what could not be held has drained, and mass is kept."""
    truth = passed(true_garden(GARDEN, START, "key"), summer(), START + 3 * HOUR)
    for row, litres in poured:
        truth = watered(truth, row, litres)
    assert np.all(np.abs(imbalance_l(truth.standing.belief)) < 1e-9)
    tally = truth.tally()
    for row in range(3):
        total = sum(litres for one, litres in poured if one == row)
        assert tally.given_l[row] == pytest.approx(total)
    assert np.all(tally.drained_l <= tally.given_l + 1e-9)
    assert np.all((truth.share >= 0.0) & (truth.share <= 1.0))
    assert np.all(truth.missing_l >= 0.0)


def full(truth: Truth) -> Truth:
    """Fill every pot."""
    for row, missing in enumerate(truth.missing_l):
        truth = watered(truth, row, float(missing))
    return truth


def test_hours_badly_off_are_counted() -> None:
    """A full garden gets thirsty after days only; and too wet is a mix without air."""
    start = full(true_garden(GARDEN, START, "key"))
    assert passed(start, summer(), START + HOUR).thirsty_h.sum() == 0.0
    # After three days the tomato in its bucket has long been thirsty.
    later = passed(start, summer(), START + 3 * DAY)
    assert later.thirsty_h[1] > 24.0
    assert np.all(later.thirsty_h <= 72.0)
    loam = a_garden(a_pot("1", medium="loam", size_m=(0.05, 0.05)))
    soaked = passed(full(true_garden(loam, START, "key")), summer(), START + 5 * HOUR)
    airy = passed(full(true_garden(a_garden(), START, "key")), summer(), START + 5 * HOUR)
    pot = loam.pots[0]
    held = float(soaked.standing.belief.water_l[0, 0]) / pot.vessel.filled_volume_l
    assert (soaked.too_wet_h[0] > 0.0) == (pot.medium.theta_s - held < 0.10)
    assert airy.too_wet_h[0] == 0.0


def test_half_a_can_every_morning() -> None:
    """The fixed policy gives each pot the same each morning, whatever the weather or the pot."""
    until = START + 3 * DAY
    start = true_garden(GARDEN, START, "key")
    tally = fixed_daily(start, summer(8), until).tally()
    mornings = replace(GARDEN, rounds=(GARDEN.rounds[0],))
    count = len(rounds_between(mornings, START, until))
    assert count == 3
    assert tally.given_l == pytest.approx(np.full(3, count * DAILY_CANS * GARDEN.manner.can_l))
