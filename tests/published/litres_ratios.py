"""Published ratios, such as fabric against plastic, beside ours.

A ratio asks for less than litres do: size and weather stand above and below the line, and nearly
cancel. Ours are worked out as in `litres_a_day`, at both ends of what we assume.
`python -m tests.published.litres_ratios` prints the table.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np

from irrigate.garden.exposure import place_weather
from irrigate.garden.pots import Place
from irrigate.garden.vessels import RoundTaper
from tests.garden.makers import DAY, SITE, START, a_garden, a_pot
from tests.published.litres_a_day import (
    COMPARABLE_WITHIN,
    span,
    used_in_a_day_l,
    used_in_a_season_l,
    weather_of,
)
from tests.published.litres_cases import Case
from tests.published.litres_vegetables import UK_HIGH, UK_LOW
from tests.published.litres_woody import ORANGE_HIGH, ORANGE_LOW


@dataclass(frozen=True, slots=True)
class Ratio:
    """A published ratio, and how ours follows from a case.

    Parameters
    ----------
    what : what is over what.
    theirs : as printed, (low, high).
    of : ours for one case.
    low, high : the cases at both ends of what we assume.
    assumed, source, tag : as in `Figure`.
    note : why ours differs by more than a factor of 1.5, or why a row proves little.
    """

    what: str
    theirs: tuple[float, float]
    of: Callable[[Case], float]
    low: Case
    high: Case
    assumed: str
    source: str
    tag: Literal["V", "A"]
    note: str = ""


def in_fabric(case: Case) -> float:
    """Return water used in a fabric pot over that in one of plastic."""
    return sum(used_in_a_day_l(replace(case, wall="fabric"))) / sum(used_in_a_day_l(case))


def on_its_own(case: Case) -> float:
    """Return water used by a plant on its own over that among others that it touches."""
    alone, close = replace(case, spacing="alone"), replace(case, spacing="close")
    return sum(used_in_a_day_l(alone)) / sum(used_in_a_day_l(close))


def of_the_mix(case: Case) -> float:
    """Return the part of all water that the mix's surface gives off, on the case's days."""
    leaves, rest = used_in_a_day_l(case)
    return rest / (leaves + rest)


def of_the_mix_in_a_season(case: Case) -> float:
    """Return the part of a season's water that the mix's surface gives off."""
    leaves, rest = used_in_a_season_l(case)
    return rest / (leaves + rest)


def saved_by_a_cover(case: Case) -> float:
    """Return the part of a crop's water that a cover on the mix saves, from cutting to full size.

    Ten days of it, on which the canopy covers 0.05, 0.15, … 0.95 of what it does when grown.
    """
    used = np.zeros(2)
    for part in np.sqrt(np.arange(0.05, 1.0, 0.1)):
        here = replace(case, width_m=case.width_m * part, height_m=case.height_m * part)
        used += [sum(used_in_a_day_l(here)), sum(used_in_a_day_l(replace(here, covered=True)))]
    return float(1.0 - used[1] / used[0])


def under_glass(case: Case) -> float:
    """Return reference ET under glass that lets in 70 % of the sun over that outside."""
    weather = weather_of(case.latitude_deg, case.wind_2m_m_s)
    day = (weather.end_s > START.timestamp()) & (weather.end_s <= (START + DAY).timestamp())
    places = (Place("in", glass=0.7), Place("out", wind=1.0))
    garden = a_garden(a_pot("1", place="in"), places=places,
                      site=replace(SITE, latitude_deg=case.latitude_deg))  # fmt: skip
    inside, outside = place_weather(garden, weather).et0_mm[:, 0, day].sum(axis=1)
    return float(inside / outside)


_FABRIC = Case("bay", "peat and bark", RoundTaper(0.36, 0.36, 0.20, 0.02), 0.36, 0.30, 4.0, 1.5,
               28.7, "close")  # fmt: skip
_POT_15_CM = RoundTaper(0.15, 0.11, 0.13, 0.012)
_POINSETTIA = Case("geranium", "peat mix", _POT_15_CM, 0.25, 0.25, 2.0, 0.5, 42.7, "close",
                   glass=True)  # fmt: skip
_LILY = replace(_POINSETTIA, width_m=0.18, height_m=0.40)
_BLOCK = Case("bay", "potting mix", RoundTaper.of_volume(20.0), 0.5, 1.0, 5.0, 1.5, 33.6,
              around="paved")  # fmt: skip
_IRAN = Case("pepper", "loam", _POT_15_CM, 0.2, 0.2, 4.0, 2.0, 36.0)

RATIOS: tuple[Ratio, ...] = (
    Ratio("fabric pot over plastic, water given at equal leaching, holly, Florida", (1.66, 1.66),
          in_fabric, _FABRIC, replace(_FABRIC, width_m=0.45, height_m=0.4, spacing="apart"),
          "18 L, 0.36 m across; a bay stands in for it, 0.36–0.45 m wide, canopies touching to "
          "some way apart, ET0 4 mm, wind 1.5 m/s",
          "Million and Yeager 2022, HortScience 57(7):743, abstract", "A",
          note="the rate that we give a fabric wall was read off this very figure: the row shows "
          "only that the arithmetic holds."),
    Ratio("alone on concrete over the middle of a dense block, weighed pots, Japan", (1.5, 1.5),
          on_its_own, _BLOCK, replace(_BLOCK, height_m=2.0),
          "0.5 m wide, 1–2 m tall (their spacing over height was 3 and 0.25), ET0 5 mm",
          "Hagishima, Narita, Tanimoto 2007, Hydrol. Process. 21:1217, abstract", "A"),
    Ratio("saved by a cover on the mix, poinsettia in 15 cm pots, greenhouse", (0.46, 0.46),
          saved_by_a_cover, _POINSETTIA, replace(_POINSETTIA, width_m=0.35, height_m=0.35),
          "a geranium stands in for it, grown from a cutting to 0.25–0.35 m wide, canopies "
          "touching, ET0 2 mm",
          "Argo and Biernbaum, poinsettia with covered and open surfaces, J. ASHS, abstract", "A",
          note="it hangs on how small the plants were and for how long, which is not in the "
          "abstract; on what the mix itself loses we differ less (0.16 L a day in the first "
          "table)."),
    Ratio("saved by a cover on the mix, Easter lily in 15 cm pots, greenhouse", (0.35, 0.35),
          saved_by_a_cover, _LILY, replace(_LILY, width_m=0.25),
          "a geranium stands in for it, grown from nothing to 0.18–0.25 m wide, 0.4 m tall, "
          "canopies touching, ET0 2 mm",
          "Argo and Biernbaum, Easter lily with covered and open surfaces, J. ASHS, abstract",
          "A"),
    Ratio("the mix's part in a season's water, tomato in soil and on drip, UK", (0.15, 0.46),
          of_the_mix_in_a_season, UK_LOW, UK_HIGH, "as in the first table",
          "Verdoliva and others 2021, Table 2, by difference", "V"),
    Ratio("the soil's part in a summer day's water, Murcott orange, lysimeter", (0.11, 0.11),
          of_the_mix, ORANGE_LOW, ORANGE_HIGH, "as in the first table",
          "Evapotranspiration of orange trees in greenhouse lysimeters, 2003, abstract", "A",
          note="ours takes the top of 1.6 m of sand to have drained as far as it ever would, so "
          "that little is left there to evaporate; no pot is that tall."),
    Ratio("reference ET under glass over outside, as pans found it, Iran", (0.64, 0.64),
          under_glass, _IRAN, replace(_IRAN, wind_2m_m_s=4.0),
          "70 % of the sun let in, wind outside 2–4 m/s, the same warmth on both sides",
          "Amiri and others 2018, abstract: 17.6 against 27.6 mm a week", "A"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Beside:
    """One published ratio and ours, as (low, high)."""

    ratio: Ratio
    ours: tuple[float, float]

    @property
    def over(self) -> float:
        """Return the middle of ours over the middle of theirs (both geometric)."""
        return math.sqrt(math.prod(self.ours) / math.prod(self.ratio.theirs))

    @property
    def far(self) -> bool:
        """Return whether the middles differ by more than the factor."""
        return not 1.0 / COMPARABLE_WITHIN <= self.over <= COMPARABLE_WITHIN


@lru_cache(maxsize=1)
def table() -> tuple[Beside, ...]:
    """Return every ratio with ours."""
    rows = []
    for row in RATIOS:
        low, high = sorted((row.of(row.low), row.of(row.high)))
        rows.append(Beside(row, (low, high)))
    return tuple(rows)


def printed() -> str:
    """Return the table as it is printed, and as it stands in the README."""
    rows = [
        "| what | theirs | ours | ours over theirs | what we assumed | source |",
        "|---|---|---|---|---|---|",
    ]
    rows += [
        f"| {row.ratio.what} | {span(*row.ratio.theirs)} | {span(*row.ours)} | {row.over:.2f} "
        f"| {row.ratio.assumed} | {row.ratio.source} [{row.ratio.tag}] |"
        for row in table()
    ]
    notes = [f"- {row.ratio.what}: {row.ratio.note}" for row in table() if row.ratio.note]
    return "\n".join([*rows, "", "To be read with it:", "", *notes])


if __name__ == "__main__":
    print(printed())
