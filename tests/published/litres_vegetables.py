"""Published water use of vegetables and herbs, with what their sources leave us to assume."""

from __future__ import annotations

import math
from dataclasses import replace

from irrigate.garden.vessels import RoundTaper
from tests.published.litres_cases import Case, Figure, own_ground, under_canopy

# Rows of tomatoes in a small glasshouse or tunnel: by rule of thumb 2.5 to 3 plants on each square
# metre. From memory.
UK_LOW = Case("tomato", "garden soil mix", RoundTaper.of_volume(30.0), math.sqrt(0.34), 1.4,
               1.4, 0.5, 52.4, "close", glass=True)  # fmt: skip
UK_HIGH = replace(UK_LOW, width_m=math.sqrt(0.40), height_m=1.8, et0_mm=2.4)
_UK = (
    "135 days (Table 11 of FAO-56), 0.34–0.40 m² a plant, 1.4–1.8 m tall when grown, a vessel of "
    "30 L; ET0 under cover 1.4–2.4 mm: their four months cool like July to October, when it is "
    "about 2.2 mm outside, and 0.64 of that (Amiri and others 2018) to a little more inside"
)
_UK_SOURCE = (
    "Verdoliva, Gwyn-Jones, Detheridge, Robson 2021, Scientia Horticulturae 279:109896, Table 2"
)

_ADELAIDE_LOW = replace(
    UK_LOW, medium="potting mix", vessel=RoundTaper.of_volume(25.0), width_m=0.45, et0_mm=3.0,
    latitude_deg=35.0,
)  # fmt: skip
_ADELAIDE_HIGH = replace(
    _ADELAIDE_LOW, width_m=0.65, height_m=1.86, et0_mm=4.5, spacing="apart"
)  # fmt: skip

_MEXICO = Case("tomato", "fritted clay", RoundTaper.of_volume(15.0), math.sqrt(1.0 / 3.0), 1.8,
               3.0, 0.5, 19.5, glass=True)  # fmt: skip
_CHINA_LOW = Case("tomato", "loam", RoundTaper.of_volume(60.0), 0.5, 1.5, 2.0, 0.5, 36.0,
                  "close", glass=True, ground_m2=0.25, leaf_area_m2=2.0 * 0.25)  # fmt: skip
_CHINA_HIGH = replace(_CHINA_LOW, leaf_area_m2=2.5 * 0.25)

_PEPPER = Case("pepper", "loam", RoundTaper.of_volume(60.0), 0.5, 0.7, 5.0, 1.5, 37.7)
_EGGPLANT = Case(
    "eggplant", "loam", RoundTaper.of_volume(60.0), 0.6, 0.8, 4.0, 0.5, 35.0, glass=True
)
_BASIL = Case("basil", "loam", RoundTaper.of_volume(30.0), 0.35, 0.45, 5.0, 1.5, 21.0)
_FULL = "a full stand of the catalogue's size, each plant on its own square, ET0 {} mm, wind {} m/s"

_PETUNIA_LOW = Case("petunia", "peat mix", RoundTaper.of_volume(2.0), 0.18, 0.15, 2.0, 0.5, 51.4,
                    "close", glass=True)  # fmt: skip
_PETUNIA_HIGH = replace(_PETUNIA_LOW, width_m=0.28, height_m=0.22, et0_mm=3.0, spacing="apart")

_DAVIS = Case("tomato", "loam", RoundTaper.of_volume(200.0), 2.0 * math.sqrt(0.5 / math.pi), 0.75,
              6.0, 2.0, 38.5)  # fmt: skip
_DAVIS_CLOSE = own_ground(_DAVIS)
_DAVIS_APART = replace(_DAVIS, spacing="apart", ground_m2=(1.5 * _DAVIS.width_m) ** 2)

VEGETABLES: tuple[Figure, ...] = (
    Figure("tomato in soil or on drip, polytunnel, UK 2018", "L a season", (70.34, 87.44),
           UK_LOW, UK_HIGH, _UK, _UK_SOURCE, "V"),
    Figure("tomato in soil or on drip, glasshouse, UK 2019", "L a season", (92.53, 102.89),
           UK_LOW, UK_HIGH, _UK, _UK_SOURCE, "V"),
    Figure("the same tomatoes, what their leaves gave off", "L a season by the leaves",
           (49.77, 87.64), UK_LOW, UK_HIGH, _UK, _UK_SOURCE, "V"),
    Figure("tomato in water culture, UK 2018 and 2019", "L a season by the leaves", (31.8, 35.83),
           UK_LOW, UK_HIGH, _UK, _UK_SOURCE, "V",
           misfit="plants with their roots in water used half as much as those in soil beside "
           "them; ours knows no such plants, and says what the others used."),
    Figure("tomato in a pot, greenhouse, Australia", "L a season", (127.5, 127.5),
           _ADELAIDE_LOW, _ADELAIDE_HIGH,
           "135 days, canopy 0.45–0.65 m wide, 1.4–1.86 m tall (theirs 1.86 m), ET0 under cover "
           "3–4.5 mm, 25 L; theirs is at most 4.05 kg / 31.77 kg/m³",
           "Chand, Hewa, Hassanli, Myers 2020, Agriculture 10(7):297, abstract", "A"),
    Figure("tomato of one to three stems on lava rock, drainage lysimeter, greenhouse, Mexico",
           "mm per mm of ET0, on its ground", (1.06, 1.32), own_ground(_MEXICO),
           own_ground(_MEXICO), "three plants a square metre, 1.8 m tall, 15 L of fritted clay "
           "for the rock, ET0 3 mm (their 1.04 L a plant over Kc 1.06 says about so)",
           "Ruelas-Islas and others 2022, Rev. Mex. Cienc. Agríc. 13(28):137, abstract", "A",
           comparable=True),
    Figure("tomato in soil, sunken greenhouse, three winters, North China",
           "mm per mm of ET0, on its ground, by the leaves", (0.99, 1.11), _CHINA_LOW, _CHINA_HIGH,
           "four plants a square metre, ET0 2 mm; theirs 1.5 m tall with a leaf area index of "
           "2–2.5", "Tomato evapotranspiration … in a sunken Chinese solar greenhouse, 2022, Water "
           "14(15):2410, conclusions", "V", comparable=True),
    Figure("bell pepper, weighing lysimeter, mid-season, Spain", "mm per mm of ET0, on its ground",
           (1.06, 1.06), own_ground(_PEPPER), own_ground(_PEPPER), _FULL.format(5, 1.5),
           "Ávila-Dávila and others 2021, Sustainability 13(2):747, abstract", "A",
           comparable=True),
    Figure("bell pepper, drainage lysimeters, mid-season, Florida",
           "mm per mm of ET0, on its ground", (1.21, 1.21), own_ground(_PEPPER),
           own_ground(_PEPPER), _FULL.format(5, 1.5),
           "Evapotranspiration losses for pepper under plastic mulch and shallow water table "
           "conditions, 2012, Springer, abstract", "A", comparable=True),
    Figure("eggplant, weighing lysimeter, greenhouse, mid-season",
           "mm per mm of ET0, on its ground", (1.02, 1.08), own_ground(_EGGPLANT),
           own_ground(_EGGPLANT), _FULL.format(4, 0.5),
           "Estimation of greenhouse-grown eggplant evapotranspiration based on a crop "
           "coefficient model, abstract", "A", comparable=True),
    Figure("basil, weighing lysimeters, Brazil", "mm per mm of ET0, on its ground", (1.5, 2.8),
           own_ground(_BASIL), under_canopy(_BASIL),
           "the catalogue's size, from a full stand on its own ground to leaves that hang over "
           "the lysimeter's rim, whose ground alone counts, ET0 5 mm, wind 1.5 m/s",
           "Martins and others 2019, Horticultura Brasileira 37(4):373, abstract", "A"),
    Figure("petunia, 2 L, glasshouse, UK: enough for a good plant, to keeping the mix full",
           "L a day", (0.08, 0.16), _PETUNIA_LOW, _PETUNIA_HIGH,
           "canopy 0.18–0.28 m wide, 0.15–0.22 m tall, ET0 under cover 2–3 mm",
           "pages of a project of the University of Reading on water in pots (Blanuša)", "V"),
    Figure("half of the ground covered, lysimeter, Davis", "mm per mm of ET0, on its ground",
           (0.90, 1.00), _DAVIS_APART, _DAVIS_CLOSE,
           "one round tomato of 0.5 m², 0.75 m tall, on 1.43 m² (a third covered) to 0.64 m² (as "
           "close as can be); theirs has 1 m². ET0 6 mm, wind 2 m/s",
           "FAO-56 (Allen and others 1998), Example 42, citing Pruitt 1984", "V",
           comparable=True),
)  # fmt: skip
