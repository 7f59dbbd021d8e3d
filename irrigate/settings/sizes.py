"""How wide and tall a plant is, from metres, from words, or from what its kind grows to."""

from __future__ import annotations

import math
from dataclasses import dataclass

from irrigate.garden.crops import Crop
from irrigate.garden.vessels import Trough, Vessel
from irrigate.settings.readers import Size
from irrigate.settings.words import SEEDLING_M

LARGEST_M = 4.0
FULL_GROWN = ("plant's size",)
"""What is assumed of a plant of which no size was said."""
AS_MANY = "as many as fill the box"
MOSTLY_BARE = 0.25
"""A box of which plants cover less than this share is asked about: they may be of one plant."""
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
    taken for too large is looked at too early, and not too late. Hence a box or bed of which no
    width is said is taken to be full of them.
    """
    if said is None:
        return _full_grown(crop, vessel)
    if said.seedling:
        return Canopy(*SEEDLING_M)
    width = said.width_m
    if said.width_of_pot is not None:
        width = said.width_of_pot * opening_width_m(vessel)
    height = said.height_m
    if width is None and height is None:
        return _full_grown(crop, vessel)
    if width is None and height is not None:
        if (stand_m := _stand_m(crop, vessel)) > crop.width_m:
            return Canopy(stand_m, height, ("plants' width",), AS_MANY)
        assumed_m = crop.width_m * _ratio(height / crop.height_m)
        return Canopy(assumed_m, height, ("plant's width",), "from its height")
    if height is None and width is not None:
        assumed_m = crop.height_m * _ratio(width / crop.width_m)
        return Canopy(width, assumed_m, ("plant's height",), "from its width")
    return Canopy(width or 0.0, height or 0.0)


def _full_grown(crop: Crop, vessel: Vessel) -> Canopy:
    width = _stand_m(crop, vessel)
    whence = f"full-grown, {AS_MANY}" if width > crop.width_m else "full-grown"
    return Canopy(width, crop.height_m, FULL_GROWN, whence)


def _stand_m(crop: Crop, vessel: Vessel) -> float:
    """Return the width of one plant, or of as many together as fill a box."""
    if not isinstance(vessel, Trough):
        return crop.width_m
    return max(crop.width_m, min(opening_width_m(vessel), LARGEST_M))


def leaves_bare(width_m: float, vessel: Vessel) -> bool:
    """Return whether most of a box is bare under what was said to grow in it."""
    if not isinstance(vessel, Trough):
        return False
    return math.pi / 4 * width_m**2 < MOSTLY_BARE * vessel.opening_area_m2


def opening_width_m(vessel: Vessel) -> float:
    """Return the diameter of a circle as large as the vessel's opening [m]."""
    return math.sqrt(4 * vessel.opening_area_m2 / math.pi)


def _ratio(ratio: float) -> float:
    low, high = RATIOS
    return min(max(ratio, low), high)
