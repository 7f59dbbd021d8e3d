"""What is assumed of a pot before anything is known of it, each with its reason.

Factors are hierarchical: log factor = garden + group + pot, drawn by identity, so that a pot's
draws do not depend on which other pots there are, and like pots share a part of their thirst.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from irrigate.garden.draws import normals, uniforms
from irrigate.garden.pots import Pot, Wall
from irrigate.garden.shared import Spreads
from irrigate.garden.weather import Floats

# Spreads in log use: gardens differ by the openness of their air, groups by what a table's crop
# coefficient does not know of a variety in a place, single pots little (weighed, well-watered
# pots of one species differed by 6–11 %). From memory but for the last.
# A plant's thirst changes in a month by about a tenth: what was seen of it grows old.
USE = Spreads(mean=0.0, garden=0.2, group=0.35, pot=0.10, drift_per_day=0.02)

# A pot at home fills to about 0.85 of what the laboratory finds: poured from above, not soaked
# from below. From memory; what each pot really holds is learnt.
HOME_FILL = 0.85
CAPACITY = Spreads(
    mean=float(np.log(HOME_FILL)), garden=0.07, group=0.10, pot=0.10, drift_per_day=0.005
)

# Uptake of two shrubs in composted bark began to fall at 0.6–0.8 of available water (O'Meara,
# HortScience 49:493, with container capacity near 0.48 assumed); weighed pots of one species
# spread from 0.25 to 0.85. Hence a wide prior around 0.6, on the logit.
# Plants that like to dry out in between hold back late, and are none the worse. From memory.
DRY_POINT_CENTRE, DRY_BETWEEN_CENTRE, DRY_POINT_SD = 0.6, 0.35, 0.6
DRY_POINT_BOUNDS = (0.15, 0.9)

# An unknown pot on the first day: anything from nearly dry to just watered.
FIRST_SHARE = (0.2, 1.0)

EMPTY_SD = 0.15  # relative; vessel, dry mix and plant are only guessed

# What a square metre of wall or base weighs: 2 mm of plastic, 12 mm of clay or glazed ware, 20 mm
# of wood, 1 mm of steel. Thicknesses and densities from memory.
WALL_KG_M2: dict[Wall, float] = {
    "plastic": 2.0, "fabric": 0.5, "clay": 23.0, "glazed": 25.0, "wood": 12.0, "metal": 8.0,
}  # fmt: skip
PLANT_KG = 0.2


def prior_rows(pot: Pot, members: int) -> Mapping[str, Floats]:
    """Draw the unknowables of one pot.

    Parameters
    ----------
    pot : the pot, with its identities.
    members : how many members.

    Returns
    -------
    Mapping with ``log_use``, ``log_capacity``, ``dry_point``, ``first_share`` (of available
    water, to start from) and ``empty_kg``, each [member].
    """

    def normal(*key: str) -> Floats:
        return normals(key, members)

    log_use = (
        USE.mean
        + USE.garden * normal("use", "garden")
        + USE.group * normal("use", "group", pot.group)
        + USE.pot * normal("use", "plant", pot.plant_id)
    )
    log_capacity = (
        CAPACITY.mean
        + CAPACITY.garden * normal("capacity", "garden")
        + CAPACITY.group * normal("capacity", "group", capacity_group(pot))
        + CAPACITY.pot * normal("capacity", "vessel", pot.vessel_id)
    )
    centre = pot_dry_point(pot)
    logit = np.log(centre / (1.0 - centre)) + DRY_POINT_SD * (
        0.8 * normal("dry", "group", f"{pot.crop.name}|{pot.medium.name}")
        + 0.6 * normal("dry", "plant", pot.plant_id)
    )
    low, high = FIRST_SHARE
    return {
        "log_use": log_use,
        "log_capacity": log_capacity,
        "dry_point": np.clip(1.0 / (1.0 + np.exp(-logit)), *DRY_POINT_BOUNDS),
        "first_share": low + (high - low) * uniforms(("first", pot.vessel_id), members),
        "empty_kg": empty_mass_kg(pot)
        * np.exp(EMPTY_SD * normal("empty", "vessel", pot.vessel_id)),
    }


def capacity_group(pot: Pot) -> str:
    """Return the name of the pots that share a part of what they hold: those of one mix."""
    return pot.medium.name


def pot_dry_point(pot: Pot) -> float:
    """Return the centre of the prior for the dry point [share of available water].

    FAO-56's p is for mineral soils (1 − p of Table 22); a soilless mix has its own.
    """
    if pot.crop.likes == "dry-between":
        return DRY_BETWEEN_CENTRE
    return 1.0 - pot.crop.depletion_fraction if pot.medium.mineral else DRY_POINT_CENTRE


def empty_mass_kg(pot: Pot) -> float:
    """Return a first guess of the mass of pot, dry mix and plant [kg].

    The vessel by its wall and base. A weight against an empty weight is learnt, not trusted.
    """
    vessel = pot.vessel
    shell_m2 = vessel.side_area_m2 + float(vessel.area_m2(0.0))
    return pot.medium.dry_mass_kg(vessel) + WALL_KG_M2[pot.wall] * shell_m2 + PLANT_KG
