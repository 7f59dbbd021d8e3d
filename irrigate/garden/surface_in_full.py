"""One hour of a pot's surface laid open: what it would lose while wet, and when drying slows it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from irrigate.garden.demand import surface_rate
from irrigate.garden.leaves import Climate, leaves_of
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.weather import Floats


@dataclass(frozen=True, slots=True)
class SurfaceInFull:
    """What a wet surface would lose per millimetre of reference ET in the hour, and what slows it.

    Parameters
    ----------
    over_m2, basal, most, by_energy, rate, slack : of the hour, as in `demand.SurfaceRate`.
    threshold_mm : what is left in the layer when that begins [mm].
    """

    over_m2: float
    basal: float
    most: float
    by_energy: float
    rate: float
    slack: float
    threshold_mm: float


def surface_in_full(
    pot: Pot, garden: Garden, climate: Climate, canopy_m: Floats, at: datetime, few: float,
    drying_mm: float,
) -> SurfaceInFull:  # fmt: skip
    """Return the numbers of Eq 71–75 for one hour.

    Parameters
    ----------
    pot, garden, climate, canopy_m, at : as in `plant_in_full`.
    few : exposed share of the surface [–].
    drying_mm : TEW − REW [mm].
    """
    leaves = leaves_of(pot, garden, climate, canopy_m, at)
    of_hour = surface_rate(pot, climate, leaves, few)
    slack = float(of_hour.slack[0])
    return SurfaceInFull(
        over_m2=float(of_hour.over_m2[0]),
        basal=float(of_hour.basal[0]),
        most=float(of_hour.most[0]),
        by_energy=float(of_hour.by_energy[0]),
        rate=float(of_hour.rate[0]),
        slack=slack,
        threshold_mm=drying_mm * slack,
    )
