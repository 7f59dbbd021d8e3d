"""From described pots and believed factors to the numbers that the balance steps with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import datetime

import numpy as np

from irrigate.garden.belief import Belief
from irrigate.garden.pots import BasinKind, Garden, Pot, Wall
from irrigate.garden.season import leaves_borne, rooted
from irrigate.garden.water import PotTraits
from irrigate.garden.weather import Floats
from irrigate.science.canopy import canopy_density

# Even under leaves a surface dries: in FAO-56's Examples 17, 18 and 20 the drying power of the air
# alone makes 0.28 to 0.31 of ETo, and leaves do not take that away.
DRYING_SHARE = 0.3
# Even a pot that fills badly at home cannot hold more than its pores: some air stays shut in.
# From memory.
FULLEST = 0.95
# Roots want a tenth of the volume as air. From memory.
LEAST_AIR = 0.10
# What a breathing wall gives off per area of wall, against reference ET. Fabric: pots of 18 L and
# 0.36 m took 66 % more water than plastic ones (Million & Yeager 2022, HortScience 57:743,
# abstract), which is about 0.55 over their wall of 0.20 m² for a plant as wide as its pot. Unglazed
# clay (a third more water, one gardener's count) and wood from memory.
WALL_BREATHES: dict[Wall, float] = {"clay": 0.3, "fabric": 0.55, "wood": 0.1}
# How fast a mix takes back what stands below it: most of it within hours from a saucer, at the
# pace of a wick from a reservoir. From memory.
SUCTION_PER_H: dict[BasinKind, float] = {"saucer": 0.5, "outer pot": 0.5, "reservoir": 0.7}


@dataclass(frozen=True, slots=True, eq=False)
class Vitals:
    """What the description alone says of every pot, each [pot, 1]; no belief in it.

    Parameters
    ----------
    laboratory_l : available water at container capacity in the laboratory [L].
    limit_l : water below the plant's limit [L].
    air_dry_l, repels_l, soggy_l, catch_m2, surface_m2, evaporable_mm, readily_mm, cover, wall_m2,
    basin_l, basin_open_m2, suction_per_h, fills_l : as in `PotTraits`.
    pores_l : water that would fill nearly every pore [L].
    opening_m2 : area at the rim [m²].
    """

    laboratory_l: Floats
    limit_l: Floats
    air_dry_l: Floats
    repels_l: Floats
    soggy_l: Floats
    pores_l: Floats
    opening_m2: Floats
    catch_m2: Floats
    surface_m2: Floats
    evaporable_mm: Floats
    readily_mm: Floats
    cover: Floats
    wall_m2: Floats
    basin_l: Floats
    basin_open_m2: Floats
    suction_per_h: Floats
    fills_l: Floats


def vitals(pots: Sequence[Pot]) -> Vitals:
    """Compute what does not depend on any belief: geometry, retention, surface layer."""
    rows = [_vital(pot) for pot in pots]
    names = [field.name for field in fields(Vitals)]
    return Vitals(*(np.array([[row[name]] for row in rows]).reshape(-1, 1) for name in names))


def _vital(pot: Pot) -> dict[str, float]:
    medium, vessel, basin = pot.medium, pot.vessel, pot.basin
    filled_l = vessel.filled_volume_l
    # FAO-56 Eq 73: air dries a surface to half of the plant's limit, and no further.
    air_dry_l = 0.5 * medium.lower_limit * filled_l
    catch = pot.crop.rain_catch if pot.rain_catch is None else pot.rain_catch
    breathes = 0.0 if pot.setting == "sunk" else WALL_BREATHES.get(pot.wall, 0.0)
    if basin is not None and basin.kind == "outer pot":
        breathes = 0.0
    return {
        "laboratory_l": medium.available_l(vessel),
        "limit_l": medium.lower_limit * filled_l,
        "air_dry_l": air_dry_l,
        "repels_l": medium.rewet_below * filled_l,
        "soggy_l": (medium.theta_s - LEAST_AIR) * filled_l,
        "pores_l": FULLEST * medium.theta_s * filled_l,
        "opening_m2": vessel.opening_area_m2,
        "catch_m2": catch * vessel.opening_area_m2,
        "surface_m2": vessel.surface_area_m2,
        "evaporable_mm": medium.total_evaporable_water_mm(vessel),
        "readily_mm": medium.readily_evaporable_water_mm(vessel),
        "cover": 1.0 - pot.mulch,
        "wall_m2": breathes * vessel.side_area_m2,
        "basin_l": basin.volume_l if basin else 0.0,
        "basin_open_m2": basin.open_m2 if basin else 0.0,
        "suction_per_h": SUCTION_PER_H[basin.kind] if basin else 0.0,
        "fills_l": basin.volume_l if basin and basin.kind == "reservoir" else 0.0,
    }


def shaded_share(garden: Garden, canopy_m: Floats, at: datetime) -> Floats:
    """Return the share of each pot's surface that its leaves shade, seen from above [pot, 1].

    Parameters
    ----------
    garden : its pots, and on which side of the equator it lies.
    canopy_m : width and height of each plant [pot, 2].
    at : a moment of the day that is meant (UTC): bare twigs shade nothing.

    Notes
    -----
    The part of the surface under the canopy, thinned by its density (Eq 97's factor): f_c.
    """
    south = garden.site.latitude_deg < 0.0
    shares = [
        min(1.0, 0.25 * np.pi * width**2 / pot.vessel.surface_area_m2)
        * float(canopy_density(pot.leaf_area_index * leaves_borne(pot, at, south)))
        for pot, (width, _) in zip(garden.pots, canopy_m, strict=True)
    ]
    return np.array(shares).reshape(-1, 1)


def exposed_share(garden: Garden, canopy_m: Floats, at: datetime) -> Floats:
    """Return the share of each pot's surface that sun and air reach, few of Eq 75 [pot, 1].

    Parameters
    ----------
    garden, canopy_m, at : as in `shaded_share`.

    Notes
    -----
    Watering wets the whole surface of a pot, so that f_w is 1 and few = 1 − f_c; where leaves
    shade it, the drying power of the air is left.
    """
    return _exposed(shaded_share(garden, canopy_m, at))


def _exposed(shaded: Floats) -> Floats:
    return np.asarray(1.0 - (1.0 - DRYING_SHARE) * shaded)


def pot_traits(garden: Garden, known: Vitals, belief: Belief) -> PotTraits:
    """Join the description with the believed factors.

    Parameters
    ----------
    garden : its pots stand in the order of the belief's rows.
    known : `vitals` of the same pots.
    belief : the members' factors, and the moment, which tells how far roots have come and how
        many leaves there are.

    Notes
    -----
    Water where the roots have not come yet counts as out of the plant's reach.
    """
    capacity = np.minimum(
        known.limit_l + known.laboratory_l * np.exp(belief.log_capacity), known.pores_l
    )
    reached = rooted(garden.pots, belief.at)
    shaded = shaded_share(garden, belief.canopy_m, belief.at)
    unreached = (1.0 - reached) * (capacity - known.limit_l)
    return PotTraits(
        capacity_l=capacity,
        limit_l=known.limit_l + unreached if (reached < 1.0).any() else known.limit_l,
        air_dry_l=known.air_dry_l,
        repels_l=known.repels_l,
        soggy_l=known.soggy_l,
        dry_point=belief.dry_point,
        use_factor=np.exp(belief.log_use),
        catch_m2=known.catch_m2,
        sheltered_m2=known.opening_m2 * shaded,
        surface_m2=known.surface_m2,
        exposed_share=_exposed(shaded),
        evaporable_mm=known.evaporable_mm,
        readily_mm=known.readily_mm,
        cover=known.cover,
        wall_m2=known.wall_m2,
        basin_l=known.basin_l,
        basin_open_m2=known.basin_open_m2,
        suction_per_h=known.suction_per_h,
        fills_l=known.fills_l,
    )
