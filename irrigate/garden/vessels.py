"""The vessels that plants stand in: inside shape, room for water and air, opening to the sky.

Every shape here has a cross-section that is at most quadratic in height, so its volume is exact by
the prismoidal rule (areas at both ends and four times that halfway).
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import Any

import numpy as np

from irrigate.errors import InputError
from irrigate.science.arrays import FloatArray, Values

LITRES_PER_M3 = 1000.0

TRADE_SIZE_L: Mapping[int, float] = MappingProxyType(
    {1: 2.8, 2: 6.0, 3: 9.0, 5: 14.9, 6: 19.0, 7: 24.6, 10: 34.1, 15: 54.9, 20: 74.2, 25: 104.5}
)
"""Litres in a nursery pot of a trade size, as one grower prints them under NIST labelling rules.

A trade gallon is about 0.71-0.75 US gallon. Sizes differ between makers (a #3 is sold with 9.0 to
11.4 L): a measured pot is always better.
"""

# Proportions of a pot known only by its volume: from memory of common nursery pots, not verified.
BASE_TO_TOP = 0.80
HEIGHT_TO_TOP = 0.95
TROUGH_LENGTH_TO_WIDTH = 3.0
HEADSPACE_SHARE = 0.08
"""Part of the height left unfilled, so that about nine tenths of the volume hold medium."""

OPEN_BASE_SUCTION_M = 0.5
"""A bed that stands on soil drains on into it: no water table hangs at its base, and the mix is
drawn down to about the 5 kPa at which a growing medium counts as drained. From memory."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)


class Vessel(ABC):
    """What every vessel can tell; each shape gives its inside dimensions."""

    __slots__ = ()

    height_m: float
    headspace_m: float

    @property
    def base_suction_m(self) -> float:
        """Suction at the base when drained [m of water]: none over holes, some over soil."""
        return OPEN_BASE_SUCTION_M if getattr(self, "open_base", False) else 0.0

    @abstractmethod
    def area_m2(self, height_m: Values) -> Any:
        """Inside cross-section [m²] at a height above the base [m], 0 to ``height_m``."""

    @property
    def filled_height_m(self) -> float:
        """Depth of the medium [m]."""
        return self.height_m - self.headspace_m

    @property
    def opening_area_m2(self) -> float:
        """Area open to rain, at the rim [m²]."""
        return float(self.area_m2(self.height_m))

    @property
    def surface_area_m2(self) -> float:
        """Area of the medium's top, from which it dries [m²]."""
        return float(self.area_m2(self.filled_height_m))

    @property
    def side_area_m2(self) -> float:
        """Wall beside the medium [m²], its slope left out: perimeter × height, summed upwards."""
        depth = self.filled_height_m
        heights = depth * (_NODES + 1.0) / 2.0
        return float(np.sum(_WEIGHTS * self.perimeter_m(heights)) * depth / 2.0)

    @abstractmethod
    def perimeter_m(self, height_m: Values) -> Any:
        """Inside circumference [m] at a height above the base [m]."""

    @property
    def volume_l(self) -> float:
        """Inside volume to the rim [L]: what a maker's label means."""
        return self.volume_below_l(self.height_m)

    @property
    def filled_volume_l(self) -> float:
        """Volume of the medium [L]."""
        return self.volume_below_l(self.filled_height_m)

    def volume_below_l(self, height_m: float) -> float:
        """Inside volume below a height [m], in litres; exact for every shape here."""
        middle = self.area_m2(height_m / 2.0)
        ends = self.area_m2(0.0) + self.area_m2(height_m)
        return float(LITRES_PER_M3 * height_m * (ends + 4.0 * middle) / 6.0)

    def levels(self, lowest_m: float = 0.0) -> tuple[FloatArray, FloatArray]:
        """Heights [m] between ``lowest_m`` and the top of the medium, and the volume share of each.

        Sixteen Gauss-Legendre nodes; the shares sum to 1. Exact for polynomials up to degree 29.
        """
        depth = self.filled_height_m - lowest_m
        heights = lowest_m + depth * (_NODES + 1.0) / 2.0
        volumes = _WEIGHTS * self.area_m2(heights)
        return heights, volumes / volumes.sum()

    def _refuse_impossible(self) -> None:
        for field in fields(self):  # type: ignore[arg-type]  # every shape is a dataclass
            value = getattr(self, field.name)
            if field.name == "open_base":
                continue
            if field.name == "headspace_m":
                if not 0.0 <= value < self.height_m:
                    raise InputError(
                        f"headspace {value:g} m: must be at least 0 and less than the pot's "
                        f"inside height of {self.height_m:g} m"
                    )
            elif not (math.isfinite(value) and value > 0.0):
                what = field.name.removesuffix("_m").replace("_", " ")
                raise InputError(f"{what} {value:g} m: must be more than 0")


@dataclass(frozen=True, slots=True)
class RoundTaper(Vessel):
    """A round pot, straight or tapered; also a bucket or a fabric bag."""

    top_diameter_m: float
    base_diameter_m: float
    height_m: float
    headspace_m: float = 0.0

    def __post_init__(self) -> None:
        self._refuse_impossible()

    @classmethod
    def of_volume(
        cls,
        volume_l: float,
        base_to_top: float = BASE_TO_TOP,
        height_to_top: float = HEIGHT_TO_TOP,
        headspace_share: float = HEADSPACE_SHARE,
    ) -> RoundTaper:
        """Make a round pot that is known by its volume to the rim [L], in usual proportions.

        Top diameter D from V = (π/12) D³ (height/D) (1 + b + b²), b the base to top ratio.
        """
        _refuse_no_volume(volume_l)
        shape = math.pi / 12.0 * height_to_top * (1.0 + base_to_top + base_to_top**2)
        top = (volume_l / LITRES_PER_M3 / shape) ** (1.0 / 3.0)
        height = height_to_top * top
        return cls(top, base_to_top * top, height, headspace_share * height)

    def area_m2(self, height_m: Values) -> Any:
        """Inside cross-section [m²] at a height above the base [m]."""
        return (
            math.pi / 4.0 * _between(self, self.base_diameter_m, self.top_diameter_m, height_m) ** 2
        )

    def perimeter_m(self, height_m: Values) -> Any:
        """Inside circumference [m] at a height above the base [m]."""
        return math.pi * _between(self, self.base_diameter_m, self.top_diameter_m, height_m)


@dataclass(frozen=True, slots=True)
class SquareTaper(Vessel):
    """A square pot, straight or tapered."""

    top_side_m: float
    base_side_m: float
    height_m: float
    headspace_m: float = 0.0

    def __post_init__(self) -> None:
        self._refuse_impossible()

    @classmethod
    def of_volume(
        cls,
        volume_l: float,
        base_to_top: float = BASE_TO_TOP,
        height_to_top: float = HEIGHT_TO_TOP,
        headspace_share: float = HEADSPACE_SHARE,
    ) -> SquareTaper:
        """Make a square pot that is known by its volume to the rim [L], in usual proportions."""
        _refuse_no_volume(volume_l)
        shape = height_to_top * (1.0 + base_to_top + base_to_top**2) / 3.0
        top = (volume_l / LITRES_PER_M3 / shape) ** (1.0 / 3.0)
        height = height_to_top * top
        return cls(top, base_to_top * top, height, headspace_share * height)

    def area_m2(self, height_m: Values) -> Any:
        """Inside cross-section [m²] at a height above the base [m]."""
        return _between(self, self.base_side_m, self.top_side_m, height_m) ** 2

    def perimeter_m(self, height_m: Values) -> Any:
        """Inside circumference [m] at a height above the base [m]."""
        return 4.0 * _between(self, self.base_side_m, self.top_side_m, height_m)


@dataclass(frozen=True, slots=True)
class Trough(Vessel):
    """A long box, straight or tapered; also a raised bed, with ``open_base`` on the ground."""

    top_length_m: float
    top_width_m: float
    base_length_m: float
    base_width_m: float
    height_m: float
    headspace_m: float = 0.0
    open_base: bool = False

    def __post_init__(self) -> None:
        self._refuse_impossible()

    @classmethod
    def of_volume(
        cls,
        volume_l: float,
        length_to_width: float = TROUGH_LENGTH_TO_WIDTH,
        height_to_width: float = HEIGHT_TO_TOP,
        headspace_share: float = HEADSPACE_SHARE,
    ) -> Trough:
        """Make a straight-sided trough that is known by its volume to the rim [L]."""
        _refuse_no_volume(volume_l)
        width = (volume_l / LITRES_PER_M3 / (length_to_width * height_to_width)) ** (1.0 / 3.0)
        length, height = length_to_width * width, height_to_width * width
        return cls(length, width, length, width, height, headspace_share * height)

    def area_m2(self, height_m: Values) -> Any:
        """Inside cross-section [m²] at a height above the base [m]."""
        length = _between(self, self.base_length_m, self.top_length_m, height_m)
        width = _between(self, self.base_width_m, self.top_width_m, height_m)
        return length * width

    def perimeter_m(self, height_m: Values) -> Any:
        """Inside circumference [m] at a height above the base [m]."""
        length = _between(self, self.base_length_m, self.top_length_m, height_m)
        width = _between(self, self.base_width_m, self.top_width_m, height_m)
        return 2.0 * (length + width)


@dataclass(frozen=True, slots=True)
class RoundBowl(Vessel):
    """A bowl or hanging basket: half a spheroid, widest at the rim."""

    top_diameter_m: float
    height_m: float
    headspace_m: float = 0.0

    def __post_init__(self) -> None:
        self._refuse_impossible()

    @classmethod
    def of_volume(
        cls,
        volume_l: float,
        height_to_top: float = 0.5,
        headspace_share: float = HEADSPACE_SHARE,
    ) -> RoundBowl:
        """Make a bowl that is known by its volume to the rim [L]; by default half a ball."""
        _refuse_no_volume(volume_l)
        top = (volume_l / LITRES_PER_M3 / (math.pi / 6.0 * height_to_top)) ** (1.0 / 3.0)
        height = height_to_top * top
        return cls(top, height, headspace_share * height)

    def area_m2(self, height_m: Values) -> Any:
        """Inside cross-section [m²] at a height above the base [m]."""
        below_rim = 1.0 - height_m / self.height_m
        return math.pi / 4.0 * self.top_diameter_m**2 * (1.0 - below_rim**2)

    def perimeter_m(self, height_m: Values) -> Any:
        """Inside circumference [m] at a height above the base [m]."""
        return 2.0 * np.sqrt(math.pi * self.area_m2(height_m))


def _between(vessel: Vessel, base: float, top: float, height_m: Values) -> Any:
    return base + (top - base) * (height_m / vessel.height_m)


def _refuse_no_volume(volume_l: float) -> None:
    if not (math.isfinite(volume_l) and volume_l > 0.0):
        raise InputError(f"volume {volume_l:g} L: must be more than 0")
