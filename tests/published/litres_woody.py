"""Published water use of shrubs and trees, with what their sources leave us to assume."""

from __future__ import annotations

import math
from dataclasses import replace

from irrigate.garden.vessels import RoundTaper
from tests.published.litres_cases import Case, Figure, own_ground, under_canopy, with_leaves

# Pot top 0.6 L / 11.8 mm = 0.0508 m² by the abstract's own two numbers: 0.254 m across.
POT_11 = RoundTaper(0.262, 0.215, 0.255, 0.020)
SHRUB_LOW = Case("blueberry", "pine bark", POT_11, 0.45, 0.6, 4.5, 1.5, 28.7, "close")
_SHRUB_HIGH = replace(SHRUB_LOW, width_m=0.60, height_m=0.8, et0_mm=5.5, spacing="apart")

_CONIFER_LOW = Case(
    "bay", "bark mix", RoundTaper.of_volume(10.2), 0.30, 0.6, 3.0, 1.5, 42.7
)  # fmt: skip
_CONIFER_HIGH = replace(_CONIFER_LOW, width_m=0.45, height_m=0.9, et0_mm=4.0)

_BED = RoundTaper(2.0 * math.sqrt(1.2 * 0.9 / math.pi), 2.0 * math.sqrt(1.08 / math.pi), 0.5)
_BLUEBERRY_LOW = Case("blueberry", "pine bark", _BED, 1.0, 1.2, 4.5, 1.5, 29.7, "close")
_BLUEBERRY_HIGH = replace(
    _BLUEBERRY_LOW, width_m=1.2, height_m=1.8, et0_mm=5.0, spacing="apart", around="green"
)
_FIELD = Case("blueberry", "loam", RoundTaper.of_volume(300.0), 1.2, 1.5, 5.0, 2.0, 45.0)

TANK = RoundTaper(1.5, 1.5, 1.6)
ORANGE_LOW = Case("orange", "loamy sand", TANK, 1.3, 1.5, 4.4 / 0.91, 0.5, 35.5, "close",
                  glass=True, days=5)  # fmt: skip
ORANGE_HIGH = replace(ORANGE_LOW, width_m=1.7, height_m=2.0)

_LIME_LOW = Case("lemon", "loam", RoundTaper.of_volume(45.0), 0.5, 0.8, 5.5, 1.5, 38.0)
_LIME_HIGH = replace(_LIME_LOW, width_m=0.9, height_m=1.2, et0_mm=5.9)

_HYDRANGEA_LOW = Case("hydrangea", "bark mix", RoundTaper.of_volume(4.0), 0.20, 0.2, 1.5, 0.5,
                      34.0, glass=True)  # fmt: skip
_HYDRANGEA_HIGH = replace(_HYDRANGEA_LOW, width_m=0.35, height_m=0.35, et0_mm=4.0)

_LIVE_OAK_LOW = Case("bay", "loamy sand", RoundTaper(0.8, 0.8, 0.6), 0.8, 1.5, 4.0, 1.5, 28.7,
                     "close", "green")  # fmt: skip
_LIVE_OAK_HIGH = replace(_LIVE_OAK_LOW, vessel=RoundTaper(2.4, 2.4, 1.2), width_m=3.0,
                         height_m=6.0, spacing="apart")  # fmt: skip

# Leaf area index = use per canopy over use per leaf, both theirs: 1.4/0.5 and 1.6/1.0.
_TUCSON = Case("bay", "potting mix", RoundTaper.of_volume(60.0), 1.0, 1.8, 5.9, 1.5, 32.2, "alone")
_OAK = under_canopy(with_leaves(_TUCSON, 2.8))
_MESQUITE = under_canopy(with_leaves(_TUCSON, 1.6))

_LOGAN = Case("dwarf apple", "loam", RoundTaper(1.0, 1.0, 1.0), 1.0, 2.0, 5.3, 2.0, 41.7, "alone")
_LOGAN_LOW = replace(with_leaves(_LOGAN, 3.0), ground_m2=3.0 * _LOGAN.canopy_m2)
_LOGAN_HIGH = replace(with_leaves(_LOGAN, 1.0), ground_m2=_LOGAN.canopy_m2)

_SEEDLING = Case("rose", "potting mix", RoundTaper.of_volume(2.8), 0.20, 0.45, 1.5, 0.5, 43.8,
                 "close", glass=True, covered=True)  # fmt: skip
_ITALIAN_LOW = replace(_SEEDLING, leaf_area_m2=44.9 / 0.111 / 1e4)
_ITALIAN_HIGH = replace(
    _SEEDLING,
    width_m=0.25,
    height_m=0.705,
    et0_mm=4.0,
    leaf_area_m2=73.4 / 0.084 / 1e4,
    covered=False,
)
_OHIO_LOW = replace(_SEEDLING, width_m=0.15, height_m=0.365, et0_mm=3.0, latitude_deg=40.0,
                    spacing="apart")  # fmt: skip
_OHIO_HIGH = replace(_OHIO_LOW, width_m=0.22, height_m=0.499, covered=False)

_STREET_TREE = with_leaves(
    Case("dwarf apple", "loam", RoundTaper(2.8, 2.8, 1.0), 20 * 0.3048, 7.0, 0.75 * 5.1, 2.0,
         42.4, "apart", "green"),
    4.0,
)  # fmt: skip

WOODY: tuple[Figure, ...] = (
    Figure("Viburnum in 11.4 L, market size, spring, Florida", "L a day", (1.3, 1.3),
           SHRUB_LOW, _SHRUB_HIGH,
           "a blueberry stands in for it, 0.45–0.6 m wide, 0.6–0.8 m tall, ET0 4.5–5.5 mm, "
           "wind 1.5 m/s",
           "Beeson 2010, HortScience 45(8):1260, abstract", "A", comparable=True),
    Figure("the mix of the same 11.4 L pot in the shade of its leaves", "L a day from the mix",
           (0.16, 0.16), SHRUB_LOW, _SHRUB_HIGH, "as above: theirs is at market size as well",
           "Beeson 2010, HortScience 45(8):1260, abstract", "A", comparable=True),
    Figure("four conifers in 10.2 L, June to October, Michigan", "L a day", (0.80, 0.85),
           _CONIFER_LOW, _CONIFER_HIGH,
           "a bay stands in for them, 0.3–0.45 m wide, 0.6–0.9 m tall, ET0 3–4 mm, wind 1.5 m/s; "
           "theirs is water given by measured use, 91 L in 114 days and 125 L in 147",
           "HortScience 2015, 50(10):1553, abstract (authors not on the page read)", "A",
           misfit="their widths are not in the abstract, and water given is not water used: some "
           "of it falls beside the pot or runs through."),
    Figure("southern highbush blueberry in pine bark, August, Florida", "L a day", (8.2, 8.2),
           _BLUEBERRY_LOW, _BLUEBERRY_HIGH,
           "canopy 1.0–1.2 m wide (the lysimeter is 1.2 × 0.9 m), 1.2–1.8 m tall, ET0 4.5–5 mm, "
           "wind 1.5 m/s; theirs was watered at 1.5 × ET0",
           "Williamson, Mejia, Ferguson 2013, ASHS Annual Conference 14571, abstract", "A",
           comparable=True),
    Figure("northern highbush blueberry, three mature fields, growth and harvest, Oregon",
           "mm per mm of ET0, on its ground", (0.99, 1.51), own_ground(_FIELD), own_ground(_FIELD),
           "a full stand 1.2 m wide, 1.5 m tall, ET0 5 mm, wind 2 m/s",
           "Yang, Bryla, Strik 2005, HortScience 40:1127, abstract", "A", comparable=True),
    Figure("Murcott orange, eight years, lysimeter 1.5 m across, summer, Japan", "L a day",
           (4.4 * 1.767, 4.4 * 1.767), ORANGE_LOW, ORANGE_HIGH,
           "canopy 1.3–1.7 m wide, 1.5–2 m tall; ET0 is their 4.4 mm / Kc 0.91; the mean of five "
           "days after a watering (they watered when 70 % of field capacity was left)",
           "Evapotranspiration of orange trees in greenhouse lysimeters, 2003, Irrigation "
           "Science 21(4), abstract", "A", comparable=True),
    Figure("Bearss lime, two years, weighed pot of 45 L, July, Murcia", "L a day", (2.56, 2.56),
           _LIME_LOW, _LIME_HIGH,
           "a lemon stands in for it, 0.5–0.9 m wide, 0.8–1.2 m tall, ET0 5.5–5.9 mm, wind 1.5 m/s",
           "Mira-García and others 2021, Scientia Horticulturae, "
           "doi 10.1016/j.scienta.2021.110396, abstract", "A"),
    Figure("hydrangea, small pots, greenhouse, Georgia", "L a day", (0.05, 0.30),
           _HYDRANGEA_LOW, _HYDRANGEA_HIGH,
           "4 L, canopy 0.20–0.35 m wide and tall, ET0 under cover 1.5–4 mm",
           "University of Georgia thesis, openscholar.uga.edu/record/18890, abstract", "A"),
    Figure("three live oaks, seedlings to 7.2 m, weighing lysimeters, Florida",
           "mm per mm of ET0, on its canopy", (0.93, 0.93), under_canopy(_LIVE_OAK_LOW),
           under_canopy(_LIVE_OAK_HIGH),
           "a bay stands in for them, 0.8–3 m wide, 1.5–6 m tall, ET0 4 mm, wind 1.5 m/s",
           "Beeson, Duong, Kjelgren 2018, Open J. Forestry 8:1, abstract", "A", comparable=True),
    Figure("live oak, container, precision balance, Tucson", "mm per mm of ET0, on its canopy",
           (1.4, 1.4), _OAK, _OAK,
           "1 m wide, 1.8 m tall, leaf area index 2.8 (their 1.4 per canopy over 0.5 per leaf), "
           "60 L, ET0 5.9 mm, wind 1.5 m/s",
           "Levitt, Simpson, Tipton 1995, J. ASHS 120(3):409, abstract", "A", comparable=True),
    Figure("mesquite, container, precision balance, Tucson", "mm per mm of ET0, on its canopy",
           (1.6, 1.6), _MESQUITE, _MESQUITE,
           "1 m wide, 1.8 m tall, leaf area index 1.6 (their 1.6 per canopy over 1.0 per leaf), "
           "60 L, ET0 5.9 mm, wind 1.5 m/s",
           "Levitt, Simpson, Tipton 1995, J. ASHS 120(3):409, abstract", "A", comparable=True),
    Figure("maple, linden and willow, just planted, weighing lysimeters, Utah",
           "mm per mm of ET0, on its leaves", (0.2, 1.1), _LOGAN_LOW, _LOGAN_HIGH,
           "1 m wide, 2 m tall, leaf area index 3–1, ET0 5.3 mm, wind 2 m/s",
           "Montague, Kjelgren, Allen, Wester 2004, J. Environ. Hort. 22(4):189, abstract", "A",
           misfit="the linden's 0.9 and the willow's 1.1 are within ours; a maple with its roots "
           "freshly cut, 0.2, is a plant that only a learnt use factor brings down."),
    Figure("oak seedlings of three Italian species, greenhouse, three days", "L a day",
           (0.0449, 0.0734), _ITALIAN_LOW, _ITALIAN_HIGH,
           "their leaf area (use per seedling over use per leaf: 0.040–0.087 m²) and heights of "
           "0.46–0.70 m, canopy 0.20–0.25 m wide, 2.8 L, its top "
           "covered to open, ET0 under cover 1.5–4 mm",
           "Struve, Ferrini, Fini, Pennati 2009, Arboriculture & Urban Forestry 35(3):113, "
           "Table 3", "V",
           misfit="neither the days' ET0 nor whether the mix was covered is in the table, so that "
           "ours spans a factor of six; with a cover and 1.7 to 1.9 mm a day the two agree."),
    Figure("oak seedlings of three American species, experiment 4", "L per mm of ET0",
           (0.0391, 0.0553), _OHIO_LOW, _OHIO_HIGH,
           "their mean heights of 0.36–0.50 m, canopy 0.15–0.22 m wide, 2.8 L, its top "
           "covered to open, ET0 3 mm",
           "Arboriculture & Urban Forestry, Table 5 (by its species and subject of Struve and "
           "others 2006, 32(5):202)", "V"),
    Figure("a street tree 20 ft across, leaf area index 4, by a rule from weighed trees",
           "L a day by the leaves", (118.6, 118.6), _STREET_TREE, _STREET_TREE,
           "7 m tall, ET0 is 0.75 of their pan's 5.1 mm, wind 2 m/s, a pit of 6 m³",
           "Lindsey and Bassuk 1991, J. Arboriculture 17(6):141, Table 2", "V", comparable=True),
)  # fmt: skip
