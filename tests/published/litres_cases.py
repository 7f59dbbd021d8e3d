"""What a published figure of one plant's water is, and a day that it may describe."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from irrigate.garden.pots import Ground, Spacing, Wall
from irrigate.garden.vessels import Vessel

Unit = Literal[
    "L a day",
    "L a day by the leaves",
    "L a day from the mix",
    "L a season",
    "L a season by the leaves",
    "L per mm of ET0",
    "mm per mm of ET0, on its ground",
    "mm per mm of ET0, on its ground, by the leaves",
    "mm per mm of ET0, on its canopy",
    "mm per mm of ET0, on its leaves",
]
_STOOD: dict[Spacing, str] = {
    "close": "canopies touching",
    "apart": "plants some way apart",
    "alone": "each plant on its own",
}
_AROUND: dict[Ground, str] = {
    "green": "amid other plants",
    "bare": "on bare ground",
    "paved": "on paving",
}


@dataclass(frozen=True, slots=True)
class Case:
    """One end of what may have been: a plant of the catalogue, its vessel, and a day.

    Parameters
    ----------
    crop, medium : names in the catalogue.
    vessel : the vessel.
    width_m, height_m : size of the plant [m].
    et0_mm : reference ET of the day where it stands [mm], under cover if it stands there.
    wind_2m_m_s : wind there [m/s].
    latitude_deg : of the place.
    spacing, around : how close plants of its kind stood, and what the surroundings were.
    glass : under glass or plastic.
    ground_m2 : ground over which a depth is counted [m²]; None where litres are.
    leaf_area_m2 : one side of its leaves [m²]; None where the crop's usual density is taken.
    wall, covered : what the vessel is made of, and whether the mix's surface is covered.
    days : how many days from a full pot on are averaged: 1 where it was filled every day.
    """

    crop: str
    medium: str
    vessel: Vessel
    width_m: float
    height_m: float
    et0_mm: float
    wind_2m_m_s: float
    latitude_deg: float
    spacing: Spacing = "apart"
    around: Ground = "bare"
    glass: bool = False
    ground_m2: float | None = None
    leaf_area_m2: float | None = None
    wall: Wall = "plastic"
    covered: bool = False
    days: int = 1

    @property
    def canopy_m2(self) -> float:
        """Return the ground that a round canopy covers [m²]."""
        return math.pi / 4.0 * self.width_m**2

    @property
    def stood(self) -> str:
        """Return how it stood, in words."""
        cover = ", under cover" if self.glass else ""
        return f"{_STOOD[self.spacing]} {_AROUND[self.around]}{cover}"


@dataclass(frozen=True, slots=True)
class Figure:
    """A published figure and the bracket of cases that it may describe.

    Parameters
    ----------
    plant : plant, vessel and place, in words.
    unit : of both brackets.
    theirs : as printed, (low, high).
    low, high : the cases at both ends of what we assume.
    assumed : that, in words; how the plants stood is added from the cases.
    source : author, year, journal, table.
    tag : V or A.
    comparable : the source states enough for a factor of 1.5; else brackets are asked to meet.
    misfit : where the middles differ by more than a factor of 1.5: why we think so.
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

    @property
    def all_assumed(self) -> str:
        """Return what we assumed, with how the plants stood."""
        low, high = self.low.stood, self.high.stood
        return f"{self.assumed}; {low}" + ("" if low == high else f" to {high}")


def own_ground(case: Case) -> Case:
    """Return the case with depths counted on the square that a plant of a full stand has."""
    return replace(case, spacing="close", ground_m2=case.width_m**2)


def under_canopy(case: Case) -> Case:
    """Return the case with depths counted on the ground right under the canopy."""
    return replace(case, ground_m2=case.canopy_m2)


def with_leaves(case: Case, leaf_area_index: float) -> Case:
    """Return the case with so much leaf area over its canopy's ground [m² m⁻²]."""
    return replace(case, leaf_area_m2=leaf_area_index * case.canopy_m2)
