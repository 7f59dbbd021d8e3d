"""Published figures of what single plants used, with what their sources leave us to assume.

Tags: V read in the source's own table or text; A read in an abstract, or quoted by another work.
Assumptions are ours and, like all sizes and weather here, from memory of what is usual.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from irrigate.garden.vessels import RoundTaper, Vessel

Unit = Literal[
    "L a day",
    "L a day from the mix",
    "L a season",
    "L a season by the leaves",
    "mm per mm of ET0",
]


@dataclass(frozen=True, slots=True)
class Case:
    """One end of what may have been: a plant of the catalogue, its vessel, and a day.

    Parameters
    ----------
    crop, medium : names in the catalogue.
    vessel : the vessel.
    width_m, height_m : size of the plant [m].
    et0_mm : reference ET of the day where it stands [mm].
    wind_2m_m_s : wind there [m/s].
    latitude_deg : of the place.
    ground_m2 : ground over which a depth is counted [m²]; None where litres are.
    """

    crop: str
    medium: str
    vessel: Vessel
    width_m: float
    height_m: float
    et0_mm: float
    wind_2m_m_s: float
    latitude_deg: float
    ground_m2: float | None = None


@dataclass(frozen=True, slots=True)
class Figure:
    """A published figure and the bracket of cases that it may describe.

    Parameters
    ----------
    plant : plant, vessel and place, in words.
    unit : of both brackets.
    theirs : as printed, (low, high).
    low, high : the cases at both ends of what we assume.
    assumed : that, in words.
    source : author, year, journal, table.
    tag : V or A.
    comparable : the source states enough for a factor of 1.5; else brackets are asked to meet.
    misfit : where ours is known to be outside: why we think so.
    """

    plant: str
    unit: Unit
    theirs: tuple[float, float]
    low: Case
    high: Case
    assumed: str
    source: str
    tag: Literal["V", "A"]
    comparable: bool = False
    misfit: str = ""


def _ground(case: Case) -> Case:
    """Return the case with the ground right under its canopy as the ground that counts."""
    return replace(case, ground_m2=math.pi / 4.0 * case.width_m**2)


# A glasshouse or tunnel of the British Isles: little wind, half of a clear day's ET0.
_UK_LOW = Case("tomato", "garden soil mix", RoundTaper.of_volume(30.0), 0.45, 1.4, 2.5, 0.5, 52.0)
_UK_HIGH = replace(_UK_LOW, width_m=0.65, height_m=1.8, et0_mm=3.5)
_UK = (
    "135 days (Table 11 of FAO-56), canopy 0.45–0.65 m wide, 1.4–1.8 m tall, "
    "ET0 under cover 2.5–3.5 mm, wind 0.5 m/s, a vessel of 30 L"
)
_UK_SOURCE = "PMC7885021 (page of Table 2; its authors are not on it), Table 2"

_ADELAIDE_LOW = replace(
    _UK_LOW, medium="potting mix", vessel=RoundTaper.of_volume(25.0), et0_mm=3.0, latitude_deg=35.0
)
_ADELAIDE_HIGH = replace(_ADELAIDE_LOW, width_m=0.65, height_m=1.86, et0_mm=4.5)

# Pot top 0.6 L / 11.8 mm = 0.0508 m² by the abstract's own two numbers: 0.254 m across.
_POT_11 = RoundTaper(0.262, 0.215, 0.255, 0.020)
_SHRUB_LOW = Case("blueberry", "pine bark", _POT_11, 0.45, 0.6, 4.5, 1.5, 28.7)
_SHRUB_HIGH = replace(_SHRUB_LOW, width_m=0.60, height_m=0.8, et0_mm=5.5)

_BED = RoundTaper(2.0 * math.sqrt(1.2 * 0.9 / math.pi), 2.0 * math.sqrt(1.08 / math.pi), 0.5)
_BLUEBERRY_LOW = Case("blueberry", "pine bark", _BED, 1.0, 1.2, 4.5, 1.5, 29.7)
_BLUEBERRY_HIGH = replace(_BLUEBERRY_LOW, width_m=1.2, height_m=1.8, et0_mm=5.0)

_TANK = RoundTaper(1.5, 1.5, 1.6)
_ORANGE_LOW = Case("orange", "loamy sand", _TANK, 1.3, 1.5, 4.4 / 0.91, 0.5, 35.5)
_ORANGE_HIGH = replace(_ORANGE_LOW, width_m=1.7, height_m=2.0)

_PEPPER = Case("pepper", "loam", RoundTaper.of_volume(60.0), 0.5, 0.7, 5.0, 1.5, 37.7)
_EGGPLANT = Case("eggplant", "loam", RoundTaper.of_volume(60.0), 0.6, 0.8, 4.0, 0.5, 35.0)
_BASIL = Case("basil", "loam", RoundTaper.of_volume(30.0), 0.35, 0.45, 5.0, 1.5, 21.0)
_FULL = "the ground under a canopy of full size by the catalogue, ET0 {} mm, wind {} m/s"

_HYDRANGEA_LOW = Case(
    "hydrangea", "bark mix", RoundTaper.of_volume(4.0), 0.20, 0.2, 1.5, 0.5, 34.0
)  # fmt: skip
_HYDRANGEA_HIGH = replace(_HYDRANGEA_LOW, width_m=0.35, height_m=0.35, et0_mm=4.0)

_DAVIS = Case("tomato", "loam", RoundTaper.of_volume(200.0), 2.0 * math.sqrt(0.5 / math.pi), 0.75,
              6.0, 2.0, 38.5, ground_m2=1.0)  # fmt: skip

FIGURES: tuple[Figure, ...] = (
    Figure("tomato in soil or on drip, polytunnel, UK 2018", "L a season", (70.34, 87.44),
           _UK_LOW, _UK_HIGH, _UK, _UK_SOURCE, "V"),
    Figure("tomato in soil or on drip, glasshouse, UK 2019", "L a season", (92.53, 102.89),
           _UK_LOW, _UK_HIGH, _UK, _UK_SOURCE, "V"),
    Figure("the same tomatoes, what their leaves gave off", "L a season by the leaves",
           (49.77, 87.64), _UK_LOW, _UK_HIGH, _UK, _UK_SOURCE, "V"),
    Figure("tomato in water culture, UK 2018 and 2019", "L a season by the leaves", (31.8, 35.83),
           _UK_LOW, _UK_HIGH, _UK, _UK_SOURCE, "V",
           misfit="plants with their roots in water used half as much as those in soil beside "
           "them; ours knows no such plants, and says what the others used."),
    Figure("tomato in a pot, greenhouse, Australia", "L a season", (127.5, 127.5),
           _ADELAIDE_LOW, _ADELAIDE_HIGH,
           "135 days, canopy 0.45–0.65 m wide, 1.4–1.86 m tall (theirs 1.86 m), ET0 under cover "
           "3–4.5 mm, wind 0.5 m/s, 25 L; theirs is at most 4.05 kg / 31.77 kg/m³",
           "Chand, Hewa, Hassanli, Myers 2020, Agriculture 10(7):297, abstract", "A"),
    Figure("Viburnum in 11.4 L, market size, spring, Florida", "L a day", (1.3, 1.3),
           _SHRUB_LOW, _SHRUB_HIGH,
           "a blueberry stands in for it, 0.45–0.6 m wide, 0.6–0.8 m tall, ET0 4.5–5.5 mm, "
           "wind 1.5 m/s",
           "Beeson 2010, HortScience 45(8):1260, abstract", "A", comparable=True),
    Figure("the mix of the same 11.4 L pot in the shade of its leaves", "L a day from the mix",
           (0.16, 0.16), replace(_SHRUB_LOW, et0_mm=3.5), replace(_SHRUB_LOW, et0_mm=4.5),
           "as above, 0.45 m wide, ET0 3.5–4.5 mm (most of a year)",
           "Beeson 2010, HortScience 45(8):1260, abstract", "A", comparable=True,
           misfit="under a canopy wider than the pot ours lets the surface lose less than 1 mm a "
        "day; they found about 3 mm (0.16 L on 0.0508 m²). It is 0.12 L a day, a tenth of what "
        "the grown plant used, and more of a small one's."),
    Figure("southern highbush blueberry in pine bark, August, Florida", "L a day", (8.2, 8.2),
           _BLUEBERRY_LOW, _BLUEBERRY_HIGH,
           "canopy 1.0–1.2 m wide (the lysimeter is 1.2 × 0.9 m), 1.2–1.8 m tall, ET0 4.5–5 mm, "
           "wind 1.5 m/s",
           "Williamson, Mejia, Ferguson 2013, ASHS Annual Conference 14571, abstract", "A",
           comparable=True,
           misfit="theirs was watered daily by microsprinklers at about 1.5 × ET0, so that wet "
        "bark, and perhaps wet leaves, evaporated too; ours stays within full cover (a factor of "
        "1.0 to 1.2), not the 2.5 that FAO-56 p. 202-203 allows a lone plant."),
    Figure("Murcott orange, eight years, lysimeter 1.5 m across, summer, Japan", "L a day",
           (4.4 * 1.767, 4.4 * 1.767), _ORANGE_LOW, _ORANGE_HIGH,
           "canopy 1.3–1.7 m wide, 1.5–2 m tall, wind 0.5 m/s; ET0 is their 4.4 mm / Kc 0.91",
           "Evapotranspiration of orange trees in greenhouse lysimeters, 2003, Irrigation "
           "Science 21(4), abstract", "A", comparable=True),
    Figure("hydrangea, small pots, greenhouse, Georgia", "L a day", (0.05, 0.30),
           _HYDRANGEA_LOW, _HYDRANGEA_HIGH,
           "4 L, canopy 0.20–0.35 m wide and tall, ET0 1.5–4 mm, wind 0.5 m/s",
           "University of Georgia thesis, openscholar.uga.edu/record/18890, abstract", "A"),
    Figure("bell pepper, weighing lysimeter, mid-season, Spain", "mm per mm of ET0", (1.06, 1.06),
           _ground(_PEPPER), _ground(_PEPPER), _FULL.format(5, 1.5),
           "Ávila-Dávila and others 2021, Sustainability 13(2):747, abstract", "A",
           comparable=True),
    Figure("bell pepper, drainage lysimeters, mid-season, Florida", "mm per mm of ET0",
           (1.21, 1.21), _ground(_PEPPER), _ground(_PEPPER), _FULL.format(5, 1.5),
           "Evapotranspiration losses for pepper under plastic mulch and shallow water table "
           "conditions, 2012, Springer, abstract", "A", comparable=True),
    Figure("eggplant, weighing lysimeter, greenhouse, mid-season", "mm per mm of ET0",
           (1.02, 1.08), _ground(_EGGPLANT), _ground(_EGGPLANT), _FULL.format(4, 0.5),
           "Estimation of greenhouse-grown eggplant evapotranspiration based on a crop "
           "coefficient model, abstract", "A", comparable=True),
    Figure("basil, weighing lysimeters, Brazil", "mm per mm of ET0", (1.5, 2.8),
           _ground(_BASIL), _ground(_BASIL), _FULL.format(5, 1.5),
           "Martins and others 2019, Horticultura Brasileira 37(4):373, abstract", "A",
           comparable=True,
           misfit="small plots in dry surroundings, and leaves that may have hung over the "
           "lysimeter's edge, whose ground alone counts; ours stays within full cover. A learnt "
           "use factor has to bring such a plant up."),
    Figure("half of the ground covered, lysimeter, Davis", "mm per mm of ET0", (0.90, 1.00),
           _DAVIS, _DAVIS,
           "one round tomato of 0.5 m² on each m², 0.75 m tall, ET0 6 mm, wind 2 m/s; theirs "
           "taken by FAO-56 as boxes as high as wide",
           "FAO-56 (Allen and others 1998), Example 42, citing Pruitt 1984", "V",
           comparable=True,
           misfit="FAO-56 takes these plants as boxes as high as wide (0.66 of the ground shaded, "
           "0.79 after Eq 98's exponent) where ours takes a lone round crown and its shadow at "
           "noon alone (0.53): ours may be too low by a third or more for sparse plants."),
)  # fmt: skip

LEFT_OUT = (
    (
        "pepper in 15 L of coconut fibre, 905 mm and 3.9 kg (IRRIGA 25:361, 2020, abstract): the "
        "ground that the depth is counted over is not in the abstract. Its own 43.8 kg/ha per mm "
        "means about 1 m², so 890 L; over the pot's top it would be about 65 L."
    ),
    (
        "Rhaphiolepis in 11.4 L, 101 L to market size (Beeson 2012, HortScience 47:264, abstract), "
        "and Viburnum, 155 L (Beeson 2010): how many days that took is not in the abstracts."
    ),
    "tomato in a container, 0.8–2 L a day (garden pages): no pot, size, weather or method stated.",
)
