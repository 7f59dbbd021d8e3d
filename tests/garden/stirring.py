"""A garden in the midst of its days: anything between dry and full, in the mix and below it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

import numpy as np
from hypothesis import strategies as st

from irrigate.garden.believed import Standing
from irrigate.garden.pots import Garden
from tests.garden.makers import START, standing_of


def wets() -> st.SearchStrategy[float]:
    """Draw how wet a garden is, from dry as air to full to its brims."""
    return st.floats(0.0, 1.0)


def stirred(garden: Garden, wet: float, at: datetime = START) -> Standing:
    """Return a belief about a garden so wet: mix, surface and basins; strained where it is dry."""
    standing = standing_of(garden, at=at)
    belief, traits = standing.belief, standing.traits
    shape = belief.water_l.shape
    water = traits.air_dry_l + wet * np.maximum(traits.capacity_l - traits.air_dry_l, 0.0)
    below = np.broadcast_to(wet * traits.basin_l, shape)
    belief = replace(
        belief,
        water_l=np.broadcast_to(water, shape).copy(),
        surface_mm=np.broadcast_to((1.0 - wet) * traits.evaporable_mm, shape).copy(),
        below_l=below.copy(),
        stood_h=np.where(below > 0.0, 7.0, 0.0),
        strain=np.full(shape, 0.5 * (1.0 - wet)),
        opening_balance_l=water + below,
        ledger_l=np.zeros_like(belief.ledger_l),
    )
    return replace(standing, belief=belief)
