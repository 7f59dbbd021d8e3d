"""What keeps the water that drains out of a pot: a saucer, a sealed outer pot, a reservoir.

How deep a saucer is and how much room an outer pot leaves, where that was not said, are starting
defaults from memory, not verified.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from irrigate import units
from irrigate.garden.pots import Basin
from irrigate.garden.vessels import LITRES_PER_M3, Trough, Vessel
from irrigate.settings import readers, written
from irrigate.settings.fields import reading, within
from irrigate.units import patterns

SAUCER_DEPTH_M = 0.03
SAUCER_RIM_M = 0.05
"""How much wider than the pot's base a saucer is at least that fits it."""
ROOM_SHARE = 0.25
"""What an outer pot that fits holds around the pot, as a share of the pot's own volume."""

_ACROSS = (0.04, 2, "4 cm (1½ in) to 2 m (6½ ft)")
_KEPT = (0.02, 200, "20 mL to 200 L (50 gal)")


@dataclass(frozen=True, slots=True)
class Below:
    """What was said of a basin: its width [m] or what it holds [L]; neither where it just fits."""

    across_m: float | None = None
    volume_l: float | None = None


@dataclass(frozen=True, slots=True)
class BasinRead:
    """A basin, how it is said, and what of it had to be assumed."""

    basin: Basin
    said: str
    assumed: tuple[str, ...] = ()


def saucer(text: str) -> Below | None:
    """Read ``yes``, ``30 cm`` across, ``2 L`` that it holds, or ``no``."""
    if not units.begins_with_number(text):
        hint = "write yes, its width as in 30 cm, or what it holds as in 2 L"
        return _fits_or_not(text, hint)
    try:
        volume = units.volume_l(text)
    except ValueError:
        return Below(across_m=within(units.length_m, *_ACROSS)(text))
    return Below(volume_l=within(lambda _: volume, *_KEPT)(text))


def outer_pot(text: str) -> Below | None:
    """Read ``yes``, the volume of the outer pot as in ``12 L``, or ``no``."""
    if not units.begins_with_number(text):
        return _fits_or_not(text, "write yes, or how large the outer pot is, as in 12 L")
    return Below(
        volume_l=within(units.volume_l, 0.2, 500, "0.2 L (1 cup) to 500 L (130 gal)")(text)
    )


def reservoir(text: str) -> Below | None:
    """Read what the reservoir of a pot that waters itself holds, as in ``6 L``, or ``no``."""
    if not units.begins_with_number(text):
        hint = "write what it holds when full, as in 6 L"
        if _fits_or_not(text, hint) is not None:
            raise ValueError(f"{text} does not say how much is in it; {hint}")
        return None
    return Below(volume_l=within(units.volume_l, *_KEPT)(text))


def _fits_or_not(text: str, hint: str) -> Below | None:
    try:
        return Below() if readers.yes_or_no(text) else None
    except ValueError:
        raise ValueError(f"“{text}” is not understood here; {hint}") from None


# --- from what was said to the basin -------------------------------------------------------
def saucer_under(vessel: Vessel, said: Below, us_units: bool) -> BasinRead:
    """Return the saucer of a pot; the pot stands in it, and water is kept in the ring around it."""
    depth = units.say_length(SAUCER_DEPTH_M, us_units=us_units)
    foot_m2 = float(vessel.area_m2(SAUCER_DEPTH_M / 2))
    if said.volume_l is not None:
        open_m2 = said.volume_l / LITRES_PER_M3 / SAUCER_DEPTH_M
        held = units.say_volume(said.volume_l, us_units=us_units)
        return BasinRead(Basin("saucer", said.volume_l, open_m2), f"saucer that holds {held}")
    if said.across_m is None:
        ring_m2 = _fitting_m2(vessel) - foot_m2
        assumed: tuple[str, ...] = ("width", f"depth of {depth}")
    else:
        ring_m2 = math.pi / 4 * said.across_m**2 - foot_m2
        assumed = (f"depth of {depth}",)
    if ring_m2 <= 0:
        across = units.say_length(said.across_m or 0, us_units=us_units)
        foot = units.say_length(math.sqrt(4 * foot_m2 / math.pi), us_units=us_units)
        raise ValueError(
            f"a saucer {across} across has no room for a pot {foot} wide at its base; measure "
            "both, or say what it holds, as in 2 L"
        )
    volume_l = ring_m2 * SAUCER_DEPTH_M * LITRES_PER_M3
    held = units.say_volume(volume_l, us_units=us_units)
    words = (
        ""
        if said.across_m is None
        else (f" {units.say_length(said.across_m, us_units=us_units)} across")
    )
    what = f"saucer{words} that holds {held} around the pot"
    return BasinRead(Basin("saucer", volume_l, ring_m2), what, (f"saucer's {', '.join(assumed)}",))


def outer_pot_around(vessel: Vessel, said: Below, us_units: bool) -> BasinRead:
    """Return the room that a sealed outer pot leaves; its water lies deep, and none dries away."""
    if said.volume_l is None:
        room_l = ROOM_SHARE * vessel.volume_l
        assumed: tuple[str, ...] = ("outer pot's size",)
    else:
        room_l, assumed = said.volume_l - vessel.volume_l, ()
    if room_l <= 0:
        outer = units.say_volume(said.volume_l or 0, us_units=us_units)
        inner = units.say_volume(vessel.volume_l, us_units=us_units)
        raise ValueError(f"an outer pot of {outer} has no room for a pot of {inner}; measure both")
    room = units.say_volume(room_l, us_units=us_units)
    what = f"sealed outer pot with room for {room} around the pot"
    return BasinRead(Basin("outer pot", room_l), what, assumed)


def reservoir_below(said: Below, us_units: bool) -> BasinRead:
    """Return the covered reservoir below a pot's mix."""
    volume_l = said.volume_l or 0.0
    held = units.say_volume(volume_l, us_units=us_units)
    return BasinRead(Basin("reservoir", volume_l), f"reservoir of {held}")


def _fitting_m2(vessel: Vessel) -> float:
    """Return the area of a saucer as wide as the pot's rim, and wider than its base [m²]."""
    if isinstance(vessel, Trough):
        sides = (
            max(vessel.top_length_m, vessel.base_length_m + SAUCER_RIM_M),
            max(vessel.top_width_m, vessel.base_width_m + SAUCER_RIM_M),
        )
        return sides[0] * sides[1]
    foot_m = math.sqrt(4 / math.pi * float(vessel.area_m2(SAUCER_DEPTH_M / 2)))
    rim_m = math.sqrt(4 / math.pi * vessel.opening_area_m2)
    return math.pi / 4 * max(rim_m, foot_m + SAUCER_RIM_M) ** 2


_YES = ("yes", "no", "true", "false")
_VOLUME = {"type": "string", "pattern": patterns.volume()}
_LENGTH = {"type": "string", "pattern": patterns.length()}
_BOOLEAN = {"type": "boolean"}

Saucer = Annotated[
    Below | None,
    reading(saucer),
    written.words("saucer", "yes, its width, or what it holds", _YES, _BOOLEAN, _LENGTH, _VOLUME),
]
OuterPot = Annotated[
    Below | None,
    reading(outer_pot),
    written.words("outer pot", "yes, or the volume of the outer pot", _YES, _BOOLEAN, _VOLUME),
]
Reservoir = Annotated[
    Below | None,
    reading(reservoir),
    written.words(
        "reservoir", "what it holds when full", ("no", "false"), {"const": False}, _VOLUME
    ),
]
