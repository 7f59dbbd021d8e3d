"""How much is given: to full, in passes, and never between two peaks of a belief."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from irrigate.garden.doses import between_peaks, dose_l, passes, two_peaked

shares = st.lists(st.floats(0.0, 1.0), min_size=8, max_size=60).map(np.array)


@st.composite
def two_groups(draw: st.DrawFn) -> np.ndarray:
    """Draw members of which some are nearly dry and the others nearly full."""
    dry = draw(st.lists(st.floats(0.0, 0.15), min_size=4, max_size=20))
    wet = draw(st.lists(st.floats(0.85, 1.0), min_size=4, max_size=20))
    return np.array(draw(st.permutations(dry + wet)))


@given(two_groups(), st.data())
def test_never_between_two_peaks(share: np.ndarray, data: st.DataObject) -> None:
    """Whoever is concerned, the dose fills the members of one peak, not something in between."""
    concerned = np.array(
        data.draw(st.lists(st.booleans(), min_size=share.size, max_size=share.size))
    )
    assert two_peaked(share)
    dose = dose_l(10.0 * (1.0 - share), share, concerned)
    assert dose < 1.51 or dose > 8.49


@given(two_groups())
def test_of_two_peaks_the_one_that_is_meant(share: np.ndarray) -> None:
    """If only one peak would get thirsty it is filled; if both, as many in each, the drier one."""
    missing = 10.0 * (1.0 - share)
    parting = between_peaks(share)
    assert parting is not None
    assert dose_l(missing, share, share <= parting) > 8.49
    assert dose_l(missing, share, share > parting) < 1.51
    even = np.concatenate([np.full(5, 0.1), np.full(5, 0.9)])
    assert dose_l(10.0 * (1.0 - even), even, np.ones(10, dtype=bool)) == 9.0


@given(shares)
def test_of_one_peak_the_median(share: np.ndarray) -> None:
    """With one peak half of the members would want no more than the dose."""
    missing = 4.0 * (1.0 - share)
    dose = dose_l(missing, share, np.ones(share.size, dtype=bool))
    assert missing.min() <= dose <= missing.max()
    if not two_peaked(share):
        assert dose == np.median(missing)


def test_what_counts_as_two_peaks() -> None:
    """A normal and an even spread have one peak; two far groups have two; a lone outlier none."""
    rng = np.random.Generator(np.random.Philox(key=7))
    assert not two_peaked(np.clip(rng.normal(0.5, 0.15, 400), 0, 1))
    assert not two_peaked(np.linspace(0.0, 1.0, 400))
    assert two_peaked(np.concatenate([rng.normal(0.2, 0.05, 200), rng.normal(0.8, 0.05, 200)]))
    assert not two_peaked(np.array([0.1] + [0.9] * 39)), "one member of forty is no peak"
    assert not two_peaked(np.full(40, 0.6))
    assert not two_peaked(np.concatenate([np.full(20, 0.55), np.full(20, 0.65)])), "not apart"


@given(st.floats(0.0, 60.0), st.floats(0.2, 40.0))
def test_passes_are_small_enough(volume: float, available: float) -> None:
    """A pass puts at most 60 % of the available water, or 0.75 L; and there is none too many."""
    count = passes(volume, available)
    largest = max(0.6 * available, 0.75)
    assert count >= 1
    assert volume / count <= largest * (1 + 1e-6)
    assert count == 1 or volume / (count - 1) > largest * (1 - 1e-6)
