"""How wide and tall a plant is, from metres, from words, or from what its kind grows to."""

from __future__ import annotations

import math
from dataclasses import dataclass

from irrigate.garden.crops import Crop
from irrigate.garden.vessels import Vessel
from irrigate.settings.readers import Size
from irrigate.settings.words import SEEDLING_M

LARGEST_M = 4.0
FULL_GROWN = ("plant's size",)
"""What is assumed of a plant of which no size was said."""
RATIOS = (0.2, 1.5)
"""A plant of half its kind's height is taken as half as wide, within these bounds [M]."""


@dataclass(frozen=True, slots=True)
class Canopy:
    """A plant's size, which of its two measures had to be assumed, and from what."""

    width_m: float
    height_m: float
    assumed: tuple[str, ...] = ()
    whence: str = ""


def canopy(said: Size | None, crop: Crop, vessel: Vessel) -> Canopy:
    """Return the size that was said; what was not said follows from the plant's kind.

    A size of which nothing is said is the largest that the kind reaches in a pot: a plant that is
    taken for too large is looked at too early, and not too late.
    """
    if said is None:
        return _full_grown(crop)
    if said.seedling:
        return Canopy(*SEEDLING_M)
    width = said.width_m
    if said.width_of_pot is not None:
        width = said.width_of_pot * opening_width_m(vessel)
    height = said.height_m
    if width is None and height is None:
        return _full_grown(crop)
    if width is None and height is not None:
        assumed_m = crop.width_m * _ratio(height / crop.height_m)
        return Canopy(assumed_m, height, ("plant's width",), "from its height")
    if height is None and width is not None:
        assumed_m = crop.height_m * _ratio(width / crop.width_m)
        return Canopy(width, assumed_m, ("plant's height",), "from its width")
    return Canopy(width or 0.0, height or 0.0)


def _full_grown(crop: Crop) -> Canopy:
    return Canopy(crop.width_m, crop.height_m, FULL_GROWN, "full-grown")


def opening_width_m(vessel: Vessel) -> float:
    """Return the diameter of a circle as large as the vessel's opening [m]."""
    return math.sqrt(4 * vessel.opening_area_m2 / math.pi)


def _ratio(ratio: float) -> float:
    low, high = RATIOS
    return min(max(ratio, low), high)
