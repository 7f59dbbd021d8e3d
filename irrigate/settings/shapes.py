"""A pot by what a tape measure says of it, made into a vessel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from irrigate.garden.vessels import (
    BASE_TO_TOP,
    HEADSPACE_SHARE,
    HEIGHT_TO_TOP,
    RoundBowl,
    RoundTaper,
    SquareTaper,
    Trough,
    Vessel,
)
from irrigate.units import in_litres

SMALLEST_L, LARGEST_L = 0.2, 500.0
LARGEST_BED_L = 2500.0
"""A bed of 4 by 8 ft with boards of a foot holds 900 L."""

SHAPES = ("round", "square", "trough", "bowl")
"""What a pot can be, each named by its measure at the rim."""


@dataclass(frozen=True, slots=True)
class Measured:
    """Inside measures [m] as the gardener gave them; None where not given."""

    round: float | None = None
    square: float | None = None
    trough: Sequence[float] | None = None
    bowl: float | None = None
    base: Sequence[float] | None = None
    height: float | None = None
    headspace: float | None = None
    volume_l: float | None = None
    open_base: bool = False

    @property
    def assumed(self) -> tuple[str, ...]:
        """Names of the measures that have to be taken from usual proportions."""
        if self.volume_l is not None:
            return ("shape", "height", "base", "headspace")
        wanted = (
            ("height", "headspace") if self.bowl is not None else ("height", "base", "headspace")
        )
        return tuple(name for name in wanted if getattr(self, name) is None)


def vessel_of(measured: Measured) -> Vessel:
    """Return the vessel; `ValueError` where the measures do not make one."""
    shapes = [name for name in SHAPES if getattr(measured, name)]
    if measured.open_base and measured.trough is None:
        raise ValueError("open bottom: only a bed that stands on soil has none; say trough")
    if measured.open_base and measured.height is None:
        raise ValueError("height: say how high the boards of the bed are, as in 28 cm")
    if measured.volume_l is not None:
        others = [*shapes, *(name for name in ("base", "height") if getattr(measured, name))]
        if others or measured.headspace is not None:
            raise ValueError("give the volume or the measures, not both; measures tell more")
        return RoundTaper.of_volume(measured.volume_l)
    if len(shapes) != 1:
        given = " and ".join(shapes) or "none of them"
        raise ValueError(
            f"one of round, square, trough, bowl or volume is needed; there is {given}"
        )
    vessel = _of_shape(shapes[0], measured)
    largest_l = LARGEST_L if measured.trough is None else LARGEST_BED_L
    if not SMALLEST_L <= vessel.volume_l <= largest_l:
        volume, most = in_litres(vessel.volume_l), in_litres(largest_l)
        what = "pot" if measured.trough is None else "bed"
        raise ValueError(
            f"these measures make {volume}; a {what} holds 0.2 L to {most}: check them"
        )
    return vessel


def _of_shape(shape: str, measured: Measured) -> Vessel:
    top = _top(measured)
    if len(top) != (2 if shape == "trough" else 1):
        raise ValueError("trough: write length and width, as in 80 cm by 20 cm")
    height = measured.height or HEIGHT_TO_TOP * top[-1] * (0.5 if shape == "bowl" else 1)
    if not 0.1 * top[-1] <= height <= 5 * top[-1]:
        raise ValueError("height: does not go with the width; check both")
    headspace = HEADSPACE_SHARE * height if measured.headspace is None else measured.headspace
    if headspace > height / 2:
        raise ValueError("headspace: more than half of the height is left empty; check both")
    if shape == "bowl":
        if measured.base is not None:
            raise ValueError("base: a bowl has none; take it out, or say round")
        return RoundBowl(top[0], height, headspace)
    base = _base(measured, top)
    if shape == "round":
        return RoundTaper(top[0], base[0], height, headspace)
    if shape == "square":
        return SquareTaper(top[0], base[0], height, headspace)
    return Trough(top[0], top[1], base[0], base[1], height, headspace, measured.open_base)


def _top(measured: Measured) -> tuple[float, ...]:
    """Return the one side or two of the opening."""
    if measured.trough is not None:
        return tuple(measured.trough)
    return tuple(side for side in (measured.round, measured.square, measured.bowl) if side)


def _base(measured: Measured, top: Sequence[float]) -> tuple[float, ...]:
    if measured.base is None:
        return tuple((1.0 if measured.open_base else BASE_TO_TOP) * side for side in top)
    if len(measured.base) != len(top):
        raise ValueError("base: write as many lengths as for the top")
    if any(below > 1.5 * above for below, above in zip(measured.base, top, strict=True)):
        raise ValueError("base: is far wider than the top; check both")
    return tuple(measured.base)
