"""A garden of forty pots in eight groups, and a real summer for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache

import numpy as np

from irrigate.garden.pots import Garden, Place, Pot, Site
from irrigate.garden.vessels import RoundTaper
from irrigate.garden.weather import HourlyWeather
from irrigate.science.air import wind_at_2m_m_s
from tests.garden.makers import a_garden, a_pot
from tests.published.greensboro import WIND_HEIGHT_M, greensboro

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
START = datetime(2001, 6, 10, 12, tzinfo=UTC)  # 07:00 in the garden
SITE = Site(36.1, -79.95, 273.0, "Etc/GMT+5")

# Under a roof: rain is another campaign's matter.
PLACES = (
    Place("terrace", wind=0.8, rain=0.0),
    Place("yard", wind=0.4, rain=0.0),
    Place("shade", shade=0.4, wind=0.4, rain=0.0),
)
# Crop, mix, place, litres of the pot and width of the plant: eight groups.
GROUPS = (
    ("pepper", "potting mix", "terrace", 14.9, 0.45),
    ("tomato", "potting mix", "terrace", 24.6, 0.55),
    ("basil", "peat and perlite", "yard", 6.0, 0.3),
    ("eggplant", "bark mix", "yard", 19.0, 0.5),
    ("cucumber", "coir", "terrace", 24.6, 0.55),
    ("lettuce", "potting mix", "shade", 6.0, 0.25),
    ("strawberry", "coir", "shade", 6.0, 0.3),
    ("hot pepper", "peat and perlite", "yard", 14.9, 0.4),
)


def twin_garden(each: int = 5, groups: int = len(GROUPS)) -> Garden:
    """Return the garden: ``each`` pots of every group, of somewhat different sizes."""
    pots: list[Pot] = []
    for crop, mix, place, litres, width in GROUPS[:groups]:
        for number in range(each):
            size = 0.85 + 0.3 * number / max(each - 1, 1)
            vessel = RoundTaper.of_volume(litres * (0.9 + 0.2 * ((number * 2) % each) / each))
            wide = width * size
            pots.append(a_pot(str(len(pots) + 1), crop, mix, vessel, place, (wide, 1.2 * wide)))
    return a_garden(*pots, places=PLACES, site=SITE)


@cache
def summer_of_greensboro() -> HourlyWeather:
    """Return June to September of a typical year (NREL TMY3 723170), rain left out."""
    year = greensboro()
    begins = int((START - 6 * DAY).timestamp())
    chosen = (year.end_s > begins) & (year.end_s <= begins + 110 * 86400)
    count = int(chosen.sum())
    return HourlyWeather(
        end_s=year.end_s[chosen],
        temperature_c=year.temperature_c[chosen],
        vapour_pressure_kpa=year.vapour_pressure_kpa[chosen],
        solar_mj_m2=year.solar_mj_m2[chosen],
        wind_2m_m_s=np.asarray(wind_at_2m_m_s(year.wind_10m_m_s[chosen], WIND_HEIGHT_M)),
        rain_mm=np.zeros(count),
        rain_chance=np.zeros(count),
        origin=np.zeros(count, dtype=np.uint8),
        filled=np.zeros(count, dtype=np.uint8),
    )


def many_groups(pots: int) -> Garden:
    """Return a garden of any number of pots, five to a group, for measuring growth."""
    base = twin_garden()
    chosen = []
    for index in range(pots):
        pot = base.pots[index % len(base.pots)]
        crop = replace(pot.crop, name=f"{pot.crop.name} {index // len(base.pots)}")
        number = str(index + 1)
        chosen.append(
            replace(
                pot, id=f"p-{number}", vessel_id=f"v-{number}", plant_id=f"g-{number}",
                label=number, crop=crop, walk=index,
            )
        )  # fmt: skip
    return replace(base, pots=tuple(chosen))
