"""The pots' water as arrays: what holds it, what is there, what is asked for, what moved.

All are [pot, member], or [pot, 1] where members do not differ.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class PotTraits:
    """What does not change from hour to hour, each [pot, member] or [pot, 1].

    Parameters
    ----------
    capacity_l : water held after draining, in this pot at home [L].
    limit_l : water that the plant cannot take: below its lower limit, or where its roots have
        not come yet [L].
    air_dry_l : water that not even air draws from the mix [L].
    repels_l : water in the mix below which it takes up only part of what is given [L]; 0 if never.
    soggy_l : water in the mix above which its air space is below a tenth [L].
    dry_point : share of available water below which use falls [0–1].
    use_factor : this plant's thirst relative to the equations [–].
    catch_m2 : opening as the rain finds it, with what the plant funnels or sheds [m²].
    sheltered_m2 : part of the opening under leaves, which keep some of the rain [m²].
    surface_m2 : area of the medium's top, from which it dries [m²].
    exposed_share : share of the surface that is wetted and unshaded, few of Eq 75 [0–1].
    evaporable_mm : total evaporable water of the surface layer, TEW of Eq 73 [mm].
    readily_mm : readily evaporable water, REW [mm].
    cover : share of surface evaporation left by a mulch [0–1].
    wall_m2 : breathing wall, as area of reference ET [m²]; 0 where it is tight.
    basin_l, basin_open_m2 : what a saucer, outer pot or reservoir below holds [L], and its water
        that lies open to the air [m²]; 0 where there is none.
    suction_per_h : how fast the mix takes water back from there [h⁻¹].
    fills_l : what a reservoir holds that is filled on purpose [L]; 0 for a saucer.
    """

    capacity_l: Array
    limit_l: Array
    air_dry_l: Array
    repels_l: Array
    soggy_l: Array
    dry_point: Array
    use_factor: Array
    catch_m2: Array
    sheltered_m2: Array
    surface_m2: Array
    exposed_share: Array
    evaporable_mm: Array
    readily_mm: Array
    cover: Array
    wall_m2: Array
    basin_l: Array
    basin_open_m2: Array
    suction_per_h: Array
    fills_l: Array

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
    """The state of every pot [pot, member].

    Parameters
    ----------
    water_l : in the mix [L].
    surface_mm : missing from its surface layer [mm].
    below_l : in the saucer, outer pot or reservoir [L].
    stood_h : for how long water has stood there without a break [h].
    strain : how far the leaves are strained from having hung [0–1].
    """

    water_l: Array
    surface_mm: Array
    below_l: Array
    stood_h: Array
    strain: Array

    @classmethod
    def of(cls, water_l: Array, surface_mm: Array) -> Store:
        """Return a store with nothing below the mix and fresh leaves."""
        nothing = np.zeros_like(water_l)
        return cls(water_l, surface_mm, nothing, nothing, nothing)

    def put(self, **arrays: Array) -> Store:
        """Return the store with some of its arrays put in the place of the old ones."""
        return replace(self, **arrays)

    def each(self, change: Callable[[Array], Array]) -> Store:
        """Return the store with every array changed alike."""
        return Store(*(change(getattr(self, field.name)) for field in fields(self)))


@dataclass(frozen=True, slots=True, eq=False)
class Demand:
    """What the air asks of every pot in one step, each broadcastable to [pot, member].

    Parameters
    ----------
    transpiration_l : by the plant if water were free, before its own use factor [L].
    evaporation_mm : by the exposed part of the surface while it is wet [mm on that part].
    surface_slack : how far the surface's drying may go before it limits evaporation, as a
        share of TEW - REW [0–1]: energy for the exposed part may be the tighter bound.
    et0_mm : reference ET at the place [mm in the step].
    rain_mm, caught_mm : rain, and what leaves keep of it [mm]; 0.0 where there is none.
    length_h : of the step [h].
    """

    transpiration_l: Array
    evaporation_mm: Array
    surface_slack: Array
    et0_mm: Array
    rain_mm: Array | float
    caught_mm: Array | float
    length_h: float


@dataclass(frozen=True, slots=True, eq=False)
class Flows:
    """What moved in one step [L], each [pot, member].

    Parameters
    ----------
    rained_l : rain on the mix. transpired_l : drunk by the plant.
    dried_l : dried from the surface of the mix.
    drained_l : drained, and past the brim of any basin.
    breathed_l : through the wall. stood_l : dried from the basin's open water.
    back_l : taken back from the basin into the mix; it stays in the pot.
    """

    rained_l: Array | float
    transpired_l: Array
    dried_l: Array
    drained_l: Array
    breathed_l: Array | float = 0.0
    stood_l: Array | float = 0.0
    back_l: Array | float = 0.0

    @property
    def evaporated_l(self) -> Array:
        """What left by the surface, the basin and the wall together [L]."""
        return self.dried_l + self.stood_l + self.breathed_l
