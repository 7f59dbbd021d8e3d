"""The plant in the pot: what its kind brings along."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Likes = Literal["even", "dry-between"]


@dataclass(frozen=True, slots=True)
class Crop:
    """One kind of plant.

    Parameters
    ----------
    name : the catalogue's name.
    height_m, width_m : full size in a container [m].
    kcb_mid, kcb_end : basal crop coefficients (FAO-56 Table 17) [–].
    stages_d : lengths of the initial, development, mid and late stages [d]; empty for a
        perennial that keeps its canopy.
    depletion_fraction : FAO-56 p (Table 22) for mineral soils [–].
    leaf_area_index : leaf area over the canopy's own ground at full size [m² m⁻²].
    leaf_resistance_s_m : stomatal resistance r_l of Eq 102 [s m⁻¹]; 100 for most crops.
    likes : whether it wants an even medium or one that dries in between.
    fruiting : loses flowers or fruit when it is short of water.
    source : where the figures come from.
    bare_stem : share of the height below the crown [0–1]: the trunk of a small tree.
    leaves_by_month : share of its leaves that a perennial bears in the middle of each month, from
        January, north of the equator; empty where it keeps them or follows stages.
    rain_catch : rain that the pot catches with the plant in it, against its bare opening [–].
    salt_ds_m : salt in the mix that it bears without loss, ECe of FAO-56 Table 23 [dS m⁻¹].
    bears_c : the coldest night it comes through [°C].
    """

    name: str
    height_m: float
    width_m: float
    kcb_mid: float
    kcb_end: float
    stages_d: tuple[int, ...]
    depletion_fraction: float
    leaf_area_index: float
    leaf_resistance_s_m: float
    likes: Likes
    fruiting: bool
    source: str
    bare_stem: float = 0.0
    leaves_by_month: tuple[float, ...] = ()
    rain_catch: float = 1.0
    salt_ds_m: float | None = None
    bears_c: float = 0.0
