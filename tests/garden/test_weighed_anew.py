"""A first weight on a scale whose zero nobody knows, and weights of a plant that grows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from irrigate.garden.believed import Standing
from irrigate.garden.events import TillRan, Weighed
from irrigate.garden.fold import fold
from tests.garden.makers import (
    DAY,
    HOUR,
    START,
    a_garden,
    a_pot,
    fact,
    filled,
    standing_of,
    summer,
)


@pytest.mark.parametrize("zero_kg", [0.0, 6.0, -9.0])
def test_a_weight_anew_says_nothing_of_water_and_the_next_one_does(zero_kg: float) -> None:
    """On a scale with any zero the first weight leaves all water as it was; a second tells.

    A loss beyond the middle one between the two makes the plant thirstier, a smaller one less so.
    """
    start = filled(standing_of(a_garden(a_pot("1")), 400))
    first, later = START + HOUR, START + 20 * HOUR
    facts = [fact(Weighed("p-1", 18.0 + zero_kg, anew=True), first)]
    plain, anew = (fold(start, some, summer(), later, 400) for some in ([], facts))
    assert plain is not None
    assert anew is not None
    np.testing.assert_array_equal(anew.belief.log_use, plain.belief.log_use)
    np.testing.assert_allclose(anew.belief.water_l, plain.belief.water_l, rtol=1e-9)
    then = fold(start, [], summer(), first, 400)
    assert then is not None
    lost = (then.belief.water_l - plain.belief.water_l)[0]
    low, high = np.quantile(lost, (0.1, 0.9))
    for lost_l in (low, high):
        second = fact(Weighed("p-1", 18.0 + zero_kg - lost_l), later + HOUR / 60)
        after = fold(anew, [second], summer(), later + HOUR, 400)
        assert after is not None
        kept = float(np.median(after.belief.log_use[0]))
        before = float(np.median(plain.belief.log_use[0]))
        assert (kept > before) == (lost_l > float(np.median(lost)))
        assert abs(kept - before) > 0.02


def test_a_plant_that_grows_is_not_taken_for_water() -> None:
    """A pepper that gains 30 g a day, weighed when it ran and in the evening, for four weeks.

    What it gains is 0.8 kg in all, which no scale tells from water; the water believed stays within
    two of its own standard deviations of what balance leaves of the water that it lost and got.
    """
    weather, gains_kg, days = summer(days=34), 0.03, 28
    begun = filled(standing_of(a_garden(a_pot("1")), 200))
    empty_kg = float(begun.belief.empty_kg.mean())
    true, believed = _as_expected(begun), begun
    for day in range(days):
        noon, evening = START + day * DAY + 15 * HOUR, START + day * DAY + 25 * HOUR
        known = [fact(TillRan("p-1", None, True), noon)]
        for at in (noon + HOUR / 6, evening):
            after = fold(true, known[:1], weather, at, 200)
            assert after is not None
            true = after
            weighs = empty_kg + day * gains_kg + float(true.belief.water_l.mean())
            known.append(fact(Weighed("p-1", weighs), at))
        taught = fold(believed, known, weather, evening, 200)
        assert taught is not None
        believed = taught
    water = believed.belief.water_l
    off = abs(float(water.mean() - true.belief.water_l.mean()))
    assert off < 2.0 * water.std()


def _as_expected(standing: Standing) -> Standing:
    """Return a garden whose thirst and capacity are those in the middle of the priors."""
    belief = standing.belief
    middle = {
        name: np.full_like(belief.log_use, getattr(belief, name).mean())
        for name in ("log_use", "log_capacity")
    }
    return filled(replace(standing, belief=replace(belief, **middle)))
