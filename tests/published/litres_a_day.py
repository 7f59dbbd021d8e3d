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
from functools import lru_cache
from typing import Literal

import numpy as np

from irrigate.garden.belief import LEDGER
from irrigate.garden.exposure import place_weather
from irrigate.garden.fold import fold
from irrigate.garden.pots import Place, Pot
from irrigate.garden.weather import HourlyWeather
from tests.garden.hourly_tables import clear_summer
from tests.garden.makers import DAY, SITE, START, a_garden, a_pot, filled, standing_of
from tests.published.litres_figures import FIGURES, LEFT_OUT, Case, Figure

# Size against full size in each stage of FAO-56 Table 11 (initial, development, mid, late):
# an assumption of ours, and only where a season is added up.
SIZE_IN_STAGE = (0.35, 0.7, 1.0, 1.0)
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
            near = 1.0 / COMPARABLE_WITHIN <= self.ratio <= COMPARABLE_WITHIN
            return "within 1.5" if near else "outside"
        low, high = self.figure.theirs
        return "brackets meet" if self.ours[0] <= high and low <= self.ours[1] else "outside"


@lru_cache(maxsize=64)
def _weather(latitude_deg: float, wind_2m_m_s: float) -> HourlyWeather:
    """Return clear days of July, 18 to 32 °C, at a latitude."""
    site = replace(SITE, latitude_deg=latitude_deg)
    table = clear_summer(24 * 8, site, int((START - 4 * DAY).timestamp()))
    return replace(table, wind_2m_m_s=np.full(len(table), wind_2m_m_s))


@lru_cache(maxsize=64)
def place_of(latitude_deg: float, wind_2m_m_s: float, et0_mm: float) -> Place:
    """Return a place whose reference ET that day is as wanted: more or less of it shaded."""
    weather = _weather(latitude_deg, wind_2m_m_s)
    day = (weather.end_s > START.timestamp()) & (weather.end_s <= (START + DAY).timestamp())
    low, high = 0.0, 0.95

    def found_mm(shade: float) -> float:
        place = Place("here", shade=shade, wind=1.0, rain=0.0)
        garden = a_garden(
            a_pot("1", place="here"), places=(place,), site=replace(SITE, latitude_deg=latitude_deg)
        )
        return float(place_weather(garden, weather).et0_mm[0, 0, day].sum())

    if not found_mm(high) <= et0_mm <= found_mm(low):
        raise ValueError(f"no shade gives {et0_mm} mm: {found_mm(high):.2f} to {found_mm(low):.2f}")
    for _ in range(30):
        shade = 0.5 * (low + high)
        low, high = (shade, high) if found_mm(shade) > et0_mm else (low, shade)
    return Place("here", shade=shade, wind=1.0, rain=0.0)


def used_in_a_day_l(case: Case, size: float = 1.0) -> tuple[float, float]:
    """Return litres transpired and evaporated in a day that begins with a full pot.

    Parameters
    ----------
    case : the plant, its vessel, and the day.
    size : width and height against the case's own [–].
    """
    pot: Pot = a_pot("1", case.crop, case.medium, case.vessel, "here",
                     (case.width_m * size, case.height_m * size))  # fmt: skip
    place = place_of(case.latitude_deg, case.wind_2m_m_s, case.et0_mm)
    garden = a_garden(pot, places=(place,), site=replace(SITE, latitude_deg=case.latitude_deg))
    standing = filled(standing_of(garden, 1))
    belief = replace(standing.belief, log_use=np.zeros((1, 1)))
    weather = _weather(case.latitude_deg, case.wind_2m_m_s)
    later = fold(replace(standing, belief=belief), [], weather, START + DAY, 1)
    assert later is not None
    moved = later.belief.settled_l
    return (
        float(moved[LEDGER.index("transpired_l"), 0]),
        float(moved[LEDGER.index("evaporated_l"), 0]),
    )


def ours(figure: Figure, case: Case) -> float:
    """Return ours for one end of a figure's bracket, in the figure's unit."""
    match figure.unit:
        case "L a day":
            return sum(used_in_a_day_l(case))
        case "L a day from the mix":
            return used_in_a_day_l(case)[1]
        case "L a season":
            stages = a_pot("1", case.crop).crop.stages_d
            return sum(
                days * sum(used_in_a_day_l(case, size))
                for days, size in zip(stages, SIZE_IN_STAGE, strict=True)
            )
        case "L a season by the leaves":
            stages = a_pot("1", case.crop).crop.stages_d
            return sum(
                days * used_in_a_day_l(case, size)[0]
                for days, size in zip(stages, SIZE_IN_STAGE, strict=True)
            )
        case "mm per mm of ET0":
            assert case.ground_m2 is not None
            return sum(used_in_a_day_l(case)) / case.et0_mm / case.ground_m2


@lru_cache(maxsize=1)
def table() -> tuple[Beside, ...]:
    """Return every usable figure with ours."""
    return tuple(
        Beside(figure, (ours(figure, figure.low), ours(figure, figure.high))) for figure in FIGURES
    )


def _span(low: float, high: float) -> str:
    return f"{low:.3g}" if f"{low:.3g}" == f"{high:.3g}" else f"{low:.3g}–{high:.3g}"


def printed() -> str:
    """Return the table as it is printed, and as it stands in the README."""
    rows = [
        "| plant | unit | theirs | ours | ratio | verdict | what we assumed | source |",
        "|---|---|---|---|---|---|---|---|",
    ]
    rows += [
        f"| {row.figure.plant} | {row.figure.unit} | {_span(*row.figure.theirs)} "
        f"| {_span(*row.ours)} | {row.ratio:.2f} | {row.verdict} | {row.figure.assumed} "
        f"| {row.figure.source} [{row.figure.tag}] |"
        for row in table()
    ]
    misfits = [f"- {row.figure.plant}: {row.figure.misfit}" for row in table() if row.figure.misfit]
    left = [f"- {line}" for line in LEFT_OUT]
    return "\n".join(
        [*rows, "", "Where ours is outside, and why we think so:", "", *misfits, "",
         "Left out:", "", *left]
    )  # fmt: skip


if __name__ == "__main__":
    print(printed())
