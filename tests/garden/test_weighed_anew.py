"""A first weight on a scale whose zero nobody knows."""

from __future__ import annotations

import numpy as np
import pytest

from irrigate.garden.events import Weighed
from irrigate.garden.fold import fold
from tests.garden.makers import HOUR, START, a_garden, a_pot, fact, filled, standing_of, summer


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
