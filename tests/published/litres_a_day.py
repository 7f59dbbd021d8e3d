"""Litres that a plant used, as others measured them, beside ours.

Ours come through the real path: a plant of the catalogue with the size that is stated or assumed,
its vessel and mix, a place, and the fold over one clear day that begins with a full pot, with a
use factor of 1 (what the equations say, nothing learnt). Where a source leaves a size, a
season or the weather unsaid, we assume a bracket, name it as ours, and give a bracket back.
Nothing is fitted. `python -m tests.published.litres_a_day` prints the table.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import lru_cache
from typing import Literal

import numpy as np

from irrigate.garden.belief import LEDGER
from irrigate.garden.exposure import place_weather
from irrigate.garden.fold import fold
from irrigate.garden.pots import Place, Pot
from irrigate.garden.weather import HourlyWeather
from irrigate.science.growth import cover_in_season
from tests.garden.hourly_tables import clear_summer
from tests.garden.makers import DAY, SITE, START, a_garden, a_pot, filled, standing_of
from tests.published.litres_cases import Case, Figure
from tests.published.litres_figures import FIGURES, LEFT_OUT

# A season is added up from a day in the middle of each stretch of so many days.
STRETCH_D = 5
COMPARABLE_WITHIN = 1.5

Verdict = Literal["within 1.5", "brackets meet", "outside"]


@dataclass(frozen=True, slots=True)
class Beside:
    """One published figure and ours: both as (low, high) in the figure's unit."""

    figure: Figure
    ours: tuple[float, float]

    @property
    def ratio(self) -> float:
        """Return the middle of ours over the middle of theirs (both geometric)."""
        return math.sqrt(math.prod(self.ours) / math.prod(self.figure.theirs))

    @property
    def verdict(self) -> Verdict:
        """Return how the two agree, by the check that the figure allows."""
        if self.figure.comparable:
            return "outside" if self.far else "within 1.5"
        low, high = self.figure.theirs
        return "brackets meet" if self.ours[0] <= high and low <= self.ours[1] else "outside"

    @property
    def far(self) -> bool:
        """Return whether the middles differ by more than the factor, brackets or not."""
        return not 1.0 / COMPARABLE_WITHIN <= self.ratio <= COMPARABLE_WITHIN


@lru_cache(maxsize=64)
def weather_of(latitude_deg: float, wind_2m_m_s: float) -> HourlyWeather:
    """Return clear days of July, 18 to 32 °C, at a latitude."""
    site = replace(SITE, latitude_deg=latitude_deg)
    table = clear_summer(24 * 16, site, int((START - 4 * DAY).timestamp()))
    return replace(table, wind_2m_m_s=np.full(len(table), wind_2m_m_s))


@lru_cache(maxsize=64)
def place_of(case: Case) -> Place:
    """Return a place as the case's whose reference ET that day is as wanted: so much shaded."""
    weather = weather_of(case.latitude_deg, case.wind_2m_m_s)
    day = (weather.end_s > START.timestamp()) & (weather.end_s <= (START + DAY).timestamp())
    site = replace(SITE, latitude_deg=case.latitude_deg)
    low, high = 0.0, 0.95
    # Under cover the shade takes what the glass would: what gets in follows from ET0.
    glass = 1.0 if case.glass else None

    def place(shade: float) -> Place:
        return Place("here", shade=shade, wind=1.0, rain=0.0, glass=glass,
                     ground=case.around, spacing=case.spacing)  # fmt: skip

    def found_mm(shade: float) -> float:
        garden = a_garden(a_pot("1", place="here"), places=(place(shade),), site=site)
        return float(place_weather(garden, weather).et0_mm[0, 0, day].sum())

    if not found_mm(high) <= case.et0_mm <= found_mm(low):
        raise ValueError(
            f"no shade gives {case.et0_mm} mm: {found_mm(high):.2f} to {found_mm(low):.2f}"
        )
    for _ in range(30):
        shade = 0.5 * (low + high)
        low, high = (shade, high) if found_mm(shade) > case.et0_mm else (low, shade)
    return place(shade)


def pot_of(case: Case) -> Pot:
    """Return the pot that a case describes."""
    return a_pot("1", case.crop, case.medium, case.vessel, "here", (case.width_m, case.height_m),
                 leaf_area_m2=case.leaf_area_m2, wall=case.wall,
                 mulch=1.0 if case.covered else 0.0)  # fmt: skip


def used_in_a_day_l(case: Case, season_day: int | None = None) -> tuple[float, float]:
    """Return litres transpired and evaporated in a day: the first of a full pot, or of several.

    Parameters
    ----------
    case : the plant, its vessel, and the day.
    season_day : days since planting, from which its size and the vigour of its leaves follow by
        the stages of its crop; None for the size and leaves as they are in the case.
    """
    pot = pot_of(case)
    if season_day is not None:
        size = math.sqrt(float(cover_in_season(float(season_day), pot.crop.stages_d)))
        pot = replace(
            pot,
            canopy_width_m=case.width_m * size,
            canopy_height_m=case.height_m * size,
            planted=(START - timedelta(days=season_day)).date(),
        )
    garden = a_garden(
        pot, places=(place_of(case),), site=replace(SITE, latitude_deg=case.latitude_deg)
    )
    standing = filled(standing_of(garden, 1))
    belief = replace(standing.belief, log_use=np.zeros((1, 1)))
    weather = weather_of(case.latitude_deg, case.wind_2m_m_s)
    later = fold(replace(standing, belief=belief), [], weather, START + case.days * DAY, 1)
    assert later is not None
    moved = later.belief.settled_l / case.days
    return (
        float(moved[LEDGER.index("transpired_l"), 0]),
        float(moved[LEDGER.index("evaporated_l"), 0]),
    )


@lru_cache(maxsize=64)
def used_in_a_season_l(case: Case) -> tuple[float, float]:
    """Return litres transpired and evaporated from planting to the end of the crop's stages."""
    days = range(STRETCH_D // 2, sum(pot_of(case).crop.stages_d), STRETCH_D)
    used = STRETCH_D * np.array([used_in_a_day_l(case, day) for day in days]).sum(axis=0)
    return float(used[0]), float(used[1])


def ours(figure: Figure, case: Case) -> float:
    """Return ours for one end of a figure's bracket, in the figure's unit."""
    if figure.unit.startswith("L a season"):
        leaves, rest = used_in_a_season_l(case)
    else:
        leaves, rest = used_in_a_day_l(case)
    used = leaves if figure.unit.endswith("by the leaves") else leaves + rest
    match figure.unit:
        case "L a day from the mix":
            return rest
        case "L per mm of ET0":
            return used / case.et0_mm
        case "mm per mm of ET0, on its leaves":
            # A leaf's own use: what the mix evaporates is not counted over leaves.
            assert case.leaf_area_m2 is not None
            return leaves / case.et0_mm / case.leaf_area_m2
        case "mm per mm of ET0, on its canopy":
            return leaves / case.et0_mm / case.canopy_m2
        case "mm per mm of ET0, on its ground" | "mm per mm of ET0, on its ground, by the leaves":
            assert case.ground_m2 is not None
            return used / case.et0_mm / case.ground_m2
        case _:
            return used


@lru_cache(maxsize=1)
def table() -> tuple[Beside, ...]:
    """Return every usable figure with ours."""
    return tuple(
        Beside(figure, (ours(figure, figure.low), ours(figure, figure.high))) for figure in FIGURES
    )


def span(low: float, high: float) -> str:
    """Return a bracket in three digits, or the one number that it is."""
    return f"{low:.3g}" if f"{low:.3g}" == f"{high:.3g}" else f"{low:.3g}–{high:.3g}"


def printed() -> str:
    """Return the table as it is printed, and as it stands in the README."""
    rows = [
        "| plant | unit | theirs | ours | ratio | verdict | what we assumed | source |",
        "|---|---|---|---|---|---|---|---|",
    ]
    rows += [
        f"| {row.figure.plant} | {row.figure.unit} | {span(*row.figure.theirs)} "
        f"| {span(*row.ours)} | {row.ratio:.2f} | {row.verdict} | {row.figure.all_assumed} "
        f"| {row.figure.source} [{row.figure.tag}] |"
        for row in table()
    ]
    misfits = [f"- {row.figure.plant}: {row.figure.misfit}" for row in table() if row.far]
    left = [f"- {line}" for line in LEFT_OUT]
    return "\n".join(
        [*rows, "", "Where the middles differ by more than a factor of 1.5, and why we think so:",
         "", *misfits, "", "Left out:", "", *left]
    )  # fmt: skip


if __name__ == "__main__":
    print(printed())
