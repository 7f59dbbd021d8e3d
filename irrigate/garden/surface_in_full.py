"""One hour of a pot's surface laid open: what it would lose while wet, and when drying slows it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from irrigate.garden.demand import surface_rate
from irrigate.garden.leaves import LEAST_HEIGHT_M, Climate, leaves_of
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.weather import Floats
from irrigate.science.lone_plant import SPARSE_REACH
from irrigate.science.surface import DAILY_WETTING, maximum_coefficient


@dataclass(frozen=True, slots=True)
class SurfaceInFull:
    """What a wet surface would lose per millimetre of reference ET in the hour, and what slows it.

    Parameters
    ----------
    over_m2 : ground that Kcb is reckoned over: the canopy, or the pot's top if that is larger.
    basal, most : Kcb over it; Kc max, Eq 72 with 1.1.
    by_energy : Ke/few that energy allows, that of a plant on its own (Eq 98) included.
    rate : Ke/few of a wet surface, Eq 71.
    slack : share of TEW − REW below which the surface's drying limits it.
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
    rates, slacks = surface_rate(pot, climate, leaves, few)
    over = max(float(leaves.canopy_m2[0]), pot.vessel.surface_area_m2)
    basal = float(leaves.use_m2[0]) / over
    tall = max(float(leaves.height_m[0]), LEAST_HEIGHT_M)
    wind, humidity = float(climate.wind_2m_m_s[0]), float(climate.humidity_min_pct[0])
    slack = float(slacks[0])
    most = float(maximum_coefficient(min(basal, 1.2), wind, humidity, tall, DAILY_WETTING))
    return SurfaceInFull(
        over_m2=over,
        basal=basal,
        most=most,
        by_energy=max(SPARSE_REACH * most - basal, 0.05) / few,
        rate=float(rates[0]),
        slack=slack,
        threshold_mm=drying_mm * slack,
    )
