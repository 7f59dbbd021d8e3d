"""One step of the water balance of every pot: rain and water in; use and drainage out.

All state is [pot, member]; time is the caller's loop. 1 mm on 1 m² is 1 L. A step is at most
an hour and never straddles an event: water is given between steps.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.water import Demand, Flows, PotTraits, Store
from irrigate.science.stress import draw_down
from irrigate.science.wetting import sucked_up_l, taken_up_l

__all__ = [
    "Demand", "Flows", "PotTraits", "Store", "drain", "missing_l", "pour", "share_available",
    "step",
]  # fmt: skip

Array = NDArray[np.floating[Any]]

# Open water less than 2 m deep: FAO-56 Table 12, from memory.
OPEN_WATER = 1.05
# A breathing wall gives off freely while more than this share is left of what air can draw from the
# full mix, and ever less below: it dries as the top does, whether roots are there or not. From
# memory.
WALL_DRIES_BELOW = 0.5
# A plant with less of its available water than this has hung its leaves. Watered again, pepper has
# its water back at once but opens its leaves only after 48 h (Ismail & Davies 2000, Pertanika 23,
# abstract); other leaves used 0.73 to 0.84 of the usual a day later (PMC7151713 Table 1). So it
# drinks less, by up to this share, and that fades. The shape is from memory.
WILTED_BELOW, STRAIN_COSTS, STRAIN_FADES_H = 0.10, 0.4, 24.0


def pour(store: Store, traits: PotTraits, volume_l: Array | float) -> tuple[Store, Array]:
    """Put water on the mix; what runs past it or exceeds container capacity goes below.

    Parameters
    ----------
    store : the water before.
    traits : the pots.
    volume_l : water put on [L], broadcastable to [pot, member].

    Returns
    -------
    The store afterwards and the litres lost: drained, and past the brim of any basin. Splitting
    a watering in two changes nothing. The surface layer is wetted by the depth poured (FAO-56
    Eq 79, without percolation below container capacity).
    """
    taken: Array | float = volume_l
    if traits.repels_l.any() and bool((store.water_l < traits.repels_l).any()):
        taken = taken_up_l(store.water_l, volume_l, traits.repels_l, traits.air_dry_l)
    held = np.minimum(store.water_l + taken, np.maximum(traits.capacity_l, store.water_l))
    past = np.maximum(volume_l - (held - store.water_l), 0.0)
    surface = np.maximum(store.surface_mm - volume_l / traits.surface_m2, 0.0)
    kind = store.surface_mm.dtype
    return drain(store.put(water_l=held, surface_mm=surface.astype(kind, copy=False)), traits, past)


def drain(store: Store, traits: PotTraits, past_l: Array) -> tuple[Store, Array]:
    """Let water that has run through fall into the basin below; what it cannot hold is lost [L]."""
    if not traits.basin_l.any():
        return store, past_l
    below = np.minimum(store.below_l + past_l, np.maximum(traits.basin_l, store.below_l))
    return store.put(below_l=below), np.maximum(past_l - (below - store.below_l), 0.0)


def step(store: Store, traits: PotTraits, demand: Demand) -> tuple[Store, Flows]:
    """Advance every pot by one step of at most an hour.

    Rain comes first, then the mix takes back what stands below it, the surface evaporates, the
    plant drinks and the wall breathes. The losses are exact integrals over the step of a rate that
    is full down to a threshold and falls linearly below it (Ks of FAO-56 Eq 84 over available
    water; Kr of Eq 74 over the surface layer), so that the length of the step hardly matters.

    Parameters
    ----------
    store : the water at the start.
    traits : the pots.
    demand : what the air asks in this step.

    Returns
    -------
    The store at the end, and what moved.
    """
    rained: Array | float = 0.0
    drained: Array | float = 0.0
    if not (isinstance(demand.rain_mm, float) and demand.rain_mm == 0.0):
        rained = np.maximum(
            demand.rain_mm * traits.catch_m2 - demand.caught_mm * traits.sheltered_m2, 0.0
        )
        store, drained = pour(store, traits, rained)
    back: Array | float = 0.0
    stood: Array | float = 0.0
    if traits.basin_l.any():
        store, back, stood = _basin(store, traits, demand)
    # Rounding to float32 may leave the surface a hair drier than it can get.
    wet_mm = draw_down(
        np.maximum(traits.evaporable_mm - store.surface_mm, 0.0),
        (traits.evaporable_mm - traits.readily_mm) * demand.surface_slack,
        demand.evaporation_mm * traits.cover,
    )
    # The surface may dry below the plant's limit, but no further than half of it (Eq 73).
    dried = np.minimum(
        wet_mm * (traits.exposed_share * traits.surface_m2),
        np.maximum(store.water_l - traits.air_dry_l, 0.0),
    )
    water = store.water_l - dried
    available = traits.available_l
    transpired = draw_down(
        np.maximum(water - traits.limit_l, 0.0),
        traits.dry_point * available,
        demand.transpiration_l * (traits.use_factor * (1.0 - STRAIN_COSTS * store.strain)),
    )
    water = water - transpired
    breathed: Array | float = 0.0
    if traits.wall_m2.any():
        breathed = draw_down(
            np.maximum(water - traits.air_dry_l, 0.0),
            WALL_DRIES_BELOW * (traits.capacity_l - traits.air_dry_l),
            demand.et0_mm * traits.wall_m2,
        )
        water = water - breathed
    after = store.put(
        water_l=water,
        surface_mm=store.surface_mm + wet_mm,
        strain=_strain(store.strain, water, traits, demand.length_h),
    )
    if isinstance(drained, float):
        drained = np.zeros_like(water)
    return after, Flows(rained, transpired, dried, drained, breathed, stood, back)


def _basin(store: Store, traits: PotTraits, demand: Demand) -> tuple[Store, Array, Array]:
    """Let the mix take back what stands below it, and the rest evaporate where it lies open.

    Returns the store, what the mix took back, and what evaporated [L].
    """
    room = np.maximum(traits.capacity_l - store.water_l, 0.0)
    back = sucked_up_l(store.below_l, room, traits.suction_per_h, demand.length_h)
    left = store.below_l - back
    lost = np.minimum(left, demand.et0_mm * (OPEN_WATER * traits.basin_open_m2))
    left = left - lost
    stood = np.where(left > 0.0, store.stood_h + store.stood_h.dtype.type(demand.length_h), 0.0)
    kind = store.stood_h.dtype
    standing = stood.astype(kind, copy=False)
    return store.put(water_l=store.water_l + back, below_l=left, stood_h=standing), back, lost


def _strain(strain: Array, water_l: Array, traits: PotTraits, length_h: float) -> Array:
    """Return how far leaves are strained: at once when they hang, and fading within days."""
    kind = strain.dtype.type
    faded = strain * kind(np.exp(-length_h / STRAIN_FADES_H))
    reach = WILTED_BELOW * traits.available_l
    hung = np.clip(1.0 - (water_l - traits.limit_l) / reach, 0.0, 1.0)
    return np.maximum(faded, hung).astype(strain.dtype, copy=False)


def share_available(water_l: Array, traits: PotTraits) -> Array:
    """Return available water as a share of what the pot holds when full [0–1].

    Zero at the plant's lower limit (or below), one at container capacity.
    """
    return np.clip((water_l - traits.limit_l) / traits.available_l, 0.0, 1.0)


def missing_l(water_l: Array, traits: PotTraits) -> Array:
    """Return the litres below container capacity: depletion, D_r of Eq 85 [L]."""
    return np.maximum(traits.capacity_l - water_l, 0.0)
