"""Members that fit what was seen are kept, the others replaced."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from irrigate.garden import learning
from irrigate.garden.balance import share_available
from irrigate.garden.belief import imbalance_l
from irrigate.garden.events import Finger, Probe, Weighed, Wilting
from irrigate.garden.observations import likelihood
from irrigate.garden.touch import finger_likelihood, normal_cdf
from tests.garden.makers import a_garden, a_pot, standing_of

SEVERAL = standing_of(a_garden(a_pot("1"), a_pot("2")), 200)
FILLED_L = SEVERAL.garden.pots[0].vessel.filled_volume_l


def seen(body: Finger | Weighed | Probe | Wilting, *, early: bool = False) -> np.ndarray:
    """Return the mean shares of both pots after pot 1 was observed."""
    weights = likelihood(body, SEVERAL.belief, SEVERAL.traits, 0, FILLED_L, early=early)
    after = learning.seen(SEVERAL.belief, 0, weights, "f")
    assert np.all(np.abs(imbalance_l(after)) < 1e-9)
    return share_available(after.water_l, SEVERAL.traits).mean(axis=1)


PRIOR = share_available(SEVERAL.belief.water_l, SEVERAL.traits).mean(axis=1)


def test_the_words_of_a_finger_share_all_chance() -> None:
    """Wet, moist and dry together are certain at any share, and each has a floor."""
    share = np.linspace(0.0, 1.0, 101)
    parts = [finger_likelihood(feel, share) for feel in ("wet", "moist", "dry")]  # type: ignore[arg-type]
    assert sum(parts) == pytest.approx(np.ones(101))
    assert min(part.min() for part in parts) >= 0.01 - 1e-12
    assert np.all(np.diff(parts[0]) >= 0.0)
    assert np.all(np.diff(parts[2]) <= 0.0)


def test_the_distribution_function() -> None:
    """Within 2e-4 of scipy's normal distribution, as its docstring claims."""
    z = np.linspace(-6.0, 6.0, 1201)
    assert normal_cdf(z) == pytest.approx(norm.cdf(z), abs=2e-4 * 1.05)


def test_each_observation_pulls_its_way() -> None:
    """Dry, a wilt, a light weight and a dry probe lower the belief; wet and heavy raise it."""
    weight = float((SEVERAL.belief.empty_kg[0] + SEVERAL.belief.water_l[0]).mean())
    theta = float((SEVERAL.belief.water_l[0] / FILLED_L).mean())
    for body in (Finger("p-1", "dry"), Wilting("p-1"), Probe("p-1", theta - 0.05)):
        assert seen(body)[0] < PRIOR[0] - 0.03, body
    for wet in (Finger("p-1", "wet"), Probe("p-1", theta + 0.05)):
        assert seen(wet)[0] > PRIOR[0] + 0.03, wet
    assert seen(Weighed("p-1", weight - 1.0))[0] < seen(Weighed("p-1", weight + 1.0))[0]
    assert seen(Finger("p-1", "dry"))[1] == PRIOR[1], "of another pot it says nothing by itself"


def test_wilting_at_breakfast_says_more_than_at_midday() -> None:
    """A plant hanging in the morning is short of water; in the afternoon it may be the heat."""
    assert seen(Wilting("p-1"), early=True)[0] < seen(Wilting("p-1"))[0]


@given(
    st.lists(st.floats(1e-6, 1.0), min_size=2, max_size=50).map(np.array),
    st.floats(1e-6, 1.0 - 1e-6),
)
def test_members_are_kept_as_often_as_their_weight_says(weights: np.ndarray, at: float) -> None:
    """Each member is drawn as often as its weight asks, to within one."""
    weights = weights / weights.sum()
    count = np.bincount(
        learning.sorted_systematic(np.arange(weights.size), weights, at), minlength=weights.size
    )
    assert count.sum() == weights.size
    assert np.all(np.abs(count - weights * weights.size) < 1.0 + 1e-9)


def test_an_observation_that_tells_nothing_moves_nothing() -> None:
    """Equal weights, or none at all, leave the very same belief."""
    assert learning.seen(SEVERAL.belief, 0, np.ones(200), "f") is SEVERAL.belief
    assert learning.seen(SEVERAL.belief, 0, np.zeros(200), "f") is SEVERAL.belief
