"""How far a plant on its own reaches: bounds, order, and what spacing may not do."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.science.lone_plant import SPARSE_REACH, reached_ground_m2

areas = st.floats(0.001, 20.0)
heights = st.floats(0.02, 6.0)
slopes = st.floats(1.0, 4.0)


@given(areas, slopes, areas, heights)
def test_it_reaches_no_further_than_its_ground_and_twice_its_canopy(
    canopy: float, slant: float, ground: float, height: float
) -> None:
    """Never more than the ground it has for itself, nor than Eq 98's twice the canopy."""
    reached = float(reached_ground_m2(canopy, canopy * slant, ground, height))
    assert 0.0 < reached <= ground * (1.0 + 1e-12)
    assert reached <= SPARSE_REACH * canopy * (1.0 + 1e-12)


@given(areas, slopes, areas, heights, st.floats(1.0, 9.0))
def test_more_ground_or_more_canopy_is_never_less(
    canopy: float, slant: float, ground: float, height: float, times: float
) -> None:
    """With its neighbours further away, or with more leaves, a plant reaches no less."""
    shadow = canopy * slant
    base = float(reached_ground_m2(canopy, shadow, ground, height))
    apart = float(reached_ground_m2(canopy, shadow, ground * times, height))
    larger = float(reached_ground_m2(canopy * times, shadow * times, ground, height))
    assert apart >= base * (1.0 - 1e-12)
    assert larger >= base * (1.0 - 1e-12)


@given(areas, heights)
def test_a_closed_stand_is_a_field(canopy: float, height: float) -> None:
    """Where canopies cover all the ground, it is the ground: full cover, as FAO-56 has fields."""
    assert float(reached_ground_m2(canopy, canopy, canopy, height)) == pytest.approx(canopy)


@given(areas, slopes, areas, heights)
def test_precision_stays(canopy: float, slant: float, ground: float, height: float) -> None:
    """Single precision in, single precision out."""
    numbers = (np.float32([value]) for value in (canopy, canopy * slant, ground, height))
    found = reached_ground_m2(*numbers)
    assert found.dtype == np.float32
    assert found[0] == pytest.approx(
        float(reached_ground_m2(canopy, canopy * slant, ground, height)), rel=1e-4
    )
