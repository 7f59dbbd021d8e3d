"""One step of the water balance of every pot: rain and water in; use and drainage out.

All state is [pot, member]; time is the caller's loop. 1 mm on 1 m² is 1 L. A step is at most
an hour and never straddles an event: water is given between steps.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.science.stress import draw_down

Array = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class PotTraits:
    """What does not change from hour to hour, each [pot, member] or [pot, 1].

    Parameters
    ----------
    capacity_l : water held after draining, in this pot at home [L].
    limit_l : water that the plant cannot take [L].
    dry_point : share of available water below which use falls [0–1].
    use_factor : this plant's thirst relative to the equations [–].
    opening_m2 : area at the rim, which rain falls on [m²].
    surface_m2 : area of the medium's top, from which it dries [m²].
    exposed_share : share of the opening that is wetted and unshaded, few of Eq 75 [0–1].
    evaporable_mm : total evaporable water of the surface layer, TEW of Eq 73 [mm].
    readily_mm : readily evaporable water, REW [mm].
    cover : share of surface evaporation left by a mulch [0–1].
    """

    capacity_l: Array
    limit_l: Array
    dry_point: Array
    use_factor: Array
    opening_m2: Array
    surface_m2: Array
    exposed_share: Array
    evaporable_mm: Array
    readily_mm: Array
    cover: Array

    @property
    def available_l(self) -> Array:
        """Total available water, TAW of Eq 82 [L]."""
        return self.capacity_l - self.limit_l

    def cast(self, dtype: type[np.floating[Any]]) -> PotTraits:
        """Return the same traits in another float type."""
        return PotTraits(*(getattr(self, field.name).astype(dtype) for field in fields(self)))

    def middle(self) -> PotTraits:
        """Return the median member of every trait [pot, 1]."""
        return PotTraits(
            *(np.median(getattr(self, field.name), axis=1, keepdims=True) for field in fields(self))
        )


@dataclass(frozen=True, slots=True, eq=False)
class Store:
    """The water of every pot: in the mix [L], and missing from its surface layer [mm]."""

    water_l: Array
    surface_mm: Array


@dataclass(frozen=True, slots=True, eq=False)
class Demand:
    """What the air asks of every pot in one step, each broadcastable to [pot, member].

    Parameters
    ----------
    transpiration_l : by the plant if water were free, before its own use factor [L].
    evaporation_mm : by the exposed part of the surface while it is wet [mm on that part].
    surface_slack : how far the surface's drying may go before it limits evaporation, as a
        share of TEW - REW [0–1]: energy for the exposed part may be the tighter bound.
    rain_mm : rain on the opening [mm].
    """

    transpiration_l: Array
    evaporation_mm: Array
    surface_slack: Array
    rain_mm: Array | float


@dataclass(frozen=True, slots=True, eq=False)
class Flows:
    """What moved in one step or at one watering [L], each [pot, member]."""

    rained_l: Array | float
    transpired_l: Array
    evaporated_l: Array
    drained_l: Array


def pour(store: Store, traits: PotTraits, volume_l: Array | float) -> tuple[Store, Array]:
    """Put water on the mix; what exceeds container capacity drains at once.

    Parameters
    ----------
    store : the water before.
    traits : the pots.
    volume_l : water put on [L], broadcastable to [pot, member].

    Returns
    -------
    The store afterwards and the litres drained. Splitting a watering in two changes nothing.
    The surface layer is wetted by the depth poured (FAO-56 Eq 79, without percolation below
    container capacity).
    """
    wetted = store.water_l + volume_l
    held = np.minimum(wetted, np.maximum(traits.capacity_l, store.water_l))
    surface = np.maximum(store.surface_mm - volume_l / traits.surface_m2, 0.0)
    return Store(held, surface.astype(store.surface_mm.dtype, copy=False)), wetted - held


def step(store: Store, traits: PotTraits, demand: Demand) -> tuple[Store, Flows]:
    """Advance every pot by one step of at most an hour.

    Rain comes first, then the surface evaporates, then the plant drinks. Both losses are exact
    integrals over the step of a rate that is full down to a threshold and falls linearly below
    it (Ks of FAO-56 Eq 84 over available water; Kr of Eq 74 over the surface layer), so that
    the length of the step hardly matters.

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
        rained = demand.rain_mm * traits.opening_m2
        store, drained = pour(store, traits, rained)
    # Rounding to float32 may leave the surface a hair drier than it can get.
    wet_mm = draw_down(
        np.maximum(traits.evaporable_mm - store.surface_mm, 0.0),
        (traits.evaporable_mm - traits.readily_mm) * demand.surface_slack,
        demand.evaporation_mm * traits.cover,
    )
    # The surface may dry below the plant's limit, but no further than half of it (Eq 73).
    evaporated = np.minimum(
        wet_mm * (traits.exposed_share * traits.surface_m2),
        np.maximum(store.water_l - 0.5 * traits.limit_l, 0.0),
    )
    water = store.water_l - evaporated
    available = traits.available_l
    transpired = draw_down(
        np.maximum(water - traits.limit_l, 0.0),
        traits.dry_point * available,
        demand.transpiration_l * traits.use_factor,
    )
    after = Store(water - transpired, store.surface_mm + wet_mm)
    if isinstance(drained, float):
        drained = np.zeros_like(water)
    return after, Flows(rained, transpired, evaporated, drained)


def share_available(water_l: Array, traits: PotTraits) -> Array:
    """Return available water as a share of what the pot holds when full [0–1].

    Zero at the plant's lower limit (or below), one at container capacity.
    """
    return np.clip((water_l - traits.limit_l) / traits.available_l, 0.0, 1.0)


def missing_l(water_l: Array, traits: PotTraits) -> Array:
    """Return the litres below container capacity: depletion, D_r of Eq 85 [L]."""
    return np.maximum(traits.capacity_l - water_l, 0.0)
