"""From described pots and believed factors to the numbers that the balance steps with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from irrigate.garden.balance import PotTraits
from irrigate.garden.belief import Belief
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.weather import Floats
from irrigate.science.canopy import canopy_density

# However dense the canopy, some light and air reach the surface. From memory.
LEAST_EXPOSED = 0.05
# Even a pot that fills badly at home cannot hold more than its pores: some air stays shut in.
# From memory.
FULLEST = 0.95


@dataclass(frozen=True, slots=True, eq=False)
class Vitals:
    """What the description alone says of every pot, each [pot, 1]; no belief in it.

    Parameters
    ----------
    laboratory_l : available water at container capacity in the laboratory [L].
    limit_l : water below the plant's limit [L].
    pores_l : water that would fill nearly every pore [L].
    opening_m2, surface_m2 : area at the rim, and of the medium's top [m²].
    evaporable_mm, readily_mm : TEW and REW [mm].
    cover : share of surface evaporation left by a mulch [0–1].
    """

    laboratory_l: Floats
    limit_l: Floats
    pores_l: Floats
    opening_m2: Floats
    surface_m2: Floats
    evaporable_mm: Floats
    readily_mm: Floats
    cover: Floats


def vitals(pots: Sequence[Pot]) -> Vitals:
    """Compute what does not depend on any belief: geometry, retention, surface layer."""
    rows = []
    for pot in pots:
        medium, vessel = pot.medium, pot.vessel
        filled_l = vessel.filled_volume_l
        rows.append(
            (
                medium.available_l(vessel),
                medium.lower_limit * filled_l,
                FULLEST * medium.theta_s * filled_l,
                vessel.opening_area_m2,
                vessel.surface_area_m2,
                medium.total_evaporable_water_mm(vessel),
                medium.readily_evaporable_water_mm(vessel),
                1.0 - pot.mulch,
            )
        )
    columns = np.array(rows, dtype=np.float64).reshape(len(rows), 8).T
    return Vitals(*(column[:, np.newaxis] for column in columns))


def exposed_share(pots: Sequence[Pot], canopy_m: Floats) -> Floats:
    """Return the share of each pot's surface that sun and air reach, few of Eq 75 [pot, 1].

    Parameters
    ----------
    pots : the pots.
    canopy_m : width and height of each plant [pot, 2].

    Notes
    -----
    Watering wets the whole surface of a pot, so that f_w is 1 and few = 1 − f_c, with f_c the
    part of the surface under the canopy, thinned by its density (Eq 97's factor).
    """
    covered = np.array(
        [
            min(1.0, 0.25 * np.pi * width**2 / pot.vessel.surface_area_m2)
            * float(canopy_density(pot.crop.leaf_area_index))
            for pot, (width, _) in zip(pots, canopy_m, strict=True)
        ]
    )
    return np.maximum(1.0 - covered, LEAST_EXPOSED).reshape(-1, 1)


def pot_traits(garden: Garden, known: Vitals, belief: Belief) -> PotTraits:
    """Join the description with the believed factors.

    Parameters
    ----------
    garden : its pots stand in the order of the belief's rows.
    known : `vitals` of the same pots.
    belief : the members' factors.
    """
    capacity = known.limit_l + known.laboratory_l * np.exp(belief.log_capacity)
    return PotTraits(
        capacity_l=np.minimum(capacity, known.pores_l),
        limit_l=known.limit_l,
        dry_point=belief.dry_point,
        use_factor=np.exp(belief.log_use),
        opening_m2=known.opening_m2,
        surface_m2=known.surface_m2,
        exposed_share=exposed_share(garden.pots, belief.canopy_m),
        evaporable_mm=known.evaporable_mm,
        readily_mm=known.readily_mm,
        cover=known.cover,
    )
