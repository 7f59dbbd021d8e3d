"""What the value and the unit of an event say, by the event's kind."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from difflib import get_close_matches
from typing import get_args

from irrigate import units
from irrigate.garden.events import (
    CanopyMeasured,
    Drained,
    Finger,
    Given,
    Planted,
    Probe,
    ProbeRaw,
    RainAtPots,
    RainSaid,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.garden.pot_answers import FEELS, VOLUME_SPREAD
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.probing import probe_said
from irrigate.service.replaying import LeafArea, OfPot

# Limits that catch a wrong unit; common practice, no source.
MOST_TIMES_VOLUME = 2.0  # water at once, as a multiple of the pot's volume
MOST_KG_L, MOST_PLANT_KG = 3.0, 20.0  # wet mineral soil with its pot, and a small tree
LARGEST_PLANT_M = 10.0
MOST_LEAF_M2_PER_M2 = 10.0  # leaf area over the ground of a dense crown
MOST_RAIN_MM = 500.0

RAIN = "rain"

Reader = Callable[[str, Pot, Garden], OfPot | LeafArea]


def rain(said: str) -> RainAtPots:
    """Read what was seen of the last day's rain."""
    words = said.lower()
    if words in get_args(RainSaid):
        return RainAtPots(said=words)  # type: ignore[arg-type]  # it is one of them
    if not said:
        raise ValueError("say how much: none, some, ran through, or a depth such as 12 mm")
    depth_mm = units.length_m(said) * 1000.0
    if not 0.0 <= depth_mm <= MOST_RAIN_MM:
        raise ValueError(f"{said} of rain cannot be; 0 to {MOST_RAIN_MM:g} mm is taken")
    return RainAtPots(depth_mm=depth_mm)


def _given(said: str, pot: Pot, garden: Garden) -> Given:
    if not said:
        raise ValueError("say how much was given: a volume such as 2 L")
    volume_l = _volume_l(said, pot, garden)
    how = next((word for word in ("hose", "can") if word in said.lower()), "measured")
    return Given("", volume_l, how, VOLUME_SPREAD[how])


def _till_ran(said: str, pot: Pot, garden: Garden) -> TillRan:
    return TillRan("", _volume_l(said, pot, garden) if said else None)


def _till_ran_twice(said: str, pot: Pot, garden: Garden) -> TillRan:
    return TillRan("", _volume_l(said, pot, garden) if said else None, twice=True)


def _volume_l(said: str, pot: Pot, garden: Garden) -> float:
    manner = garden.manner
    volume_l = units.volume_l(said, can_l=manner.can_l, hose_l_s=manner.hose_l_s)
    most_l = MOST_TIMES_VOLUME * pot.vessel.volume_l
    if not 0.0 < volume_l <= most_l:
        most = units.say_volume(most_l, us_units=manner.us_units)
        raise ValueError(f"pot {pot.label} cannot have had {said}; more than 0 and at most {most}")
    return volume_l


def _weighed(said: str, pot: Pot, _garden: Garden) -> Weighed:
    if not said:
        raise ValueError("say what the whole pot weighed, such as 12.4 kg")
    mass_kg = units.mass_kg(said)
    most_kg = MOST_KG_L * pot.vessel.volume_l + MOST_PLANT_KG
    if not 0.0 < mass_kg <= most_kg:
        raise ValueError(
            f"pot {pot.label} cannot weigh {said}; more than 0 and at most {most_kg:.0f} kg"
        )
    return Weighed("", mass_kg)


def _weighed_anew(said: str, pot: Pot, garden: Garden) -> Weighed:
    return replace(_weighed(said, pot, garden), anew=True)


def _finger(said: str, _pot: Pot, _garden: Garden) -> Finger:
    feel = FEELS.get(said.lower())
    if feel is None:
        raise ValueError(f"{said!r} is not how a finger finds the mix; say wet, moist or dry")
    return Finger("", feel)  # type: ignore[arg-type]  # the table holds nothing else


def _wilting(said: str, _pot: Pot, _garden: Garden) -> Wilting:
    _check_nothing(said, "wilting")
    return Wilting("")


def _planted(said: str, _pot: Pot, _garden: Garden) -> Planted:
    _check_nothing(said, "planted")
    return Planted("")


def _check_nothing(said: str, kind: str) -> None:
    if said:
        raise ValueError(f"{kind} says everything by itself; leave {said!r} out")


def _probe(said: str, pot: Pot, _garden: Garden) -> Probe | ProbeRaw:
    return replace(probe_said(said, pot), pot_id="")


def _drained(said: str, pot: Pot, garden: Garden) -> Drained:
    if not said:
        raise ValueError("say how much ran out below: a volume such as 0.5 L, or 0")
    if re.fullmatch(r"0(\.0*)?( ?[A-Za-z ]+)?", said):
        return Drained("", 0.0)
    return Drained("", _volume_l(said, pot, garden))


def _canopy(said: str, _pot: Pot, _garden: Garden) -> CanopyMeasured:
    sides = re.fullmatch(r"(.+?)\s*[x×]\s*(.+)", said, re.IGNORECASE)
    if sides is None:
        raise ValueError(f"{said!r} is not width x height; say it as in 40 x 60 cm")
    height = sides[2]
    unit = re.search(r"[^\d\s.]+$", height)
    width = (
        sides[1] if re.search(r"[^\d\s.]$", sides[1]) else f"{sides[1]} {unit[0] if unit else ''}"
    )
    width_m, height_m = units.length_m(width), units.length_m(height)
    if not (0.0 < width_m <= LARGEST_PLANT_M and 0.0 < height_m <= LARGEST_PLANT_M):
        raise ValueError(f"{said} cannot be; more than 0 and at most {LARGEST_PLANT_M:g} m a side")
    return CanopyMeasured("", width_m, height_m)


def _leaf_area(said: str, _pot: Pot, _garden: Garden) -> LeafArea:
    if not said:
        raise ValueError("say one side of all leaves, such as 0.4 m2 or 4 ft2")
    area_m2 = units.area_m2(said)
    most_m2 = MOST_LEAF_M2_PER_M2 * LARGEST_PLANT_M**2
    if not 0.0 < area_m2 <= most_m2:
        raise ValueError(f"{said} cannot be; more than 0 and at most {most_m2:.0f} m2 is taken")
    return LeafArea(area_m2)


OF_POT: Mapping[str, Reader] = {
    "given": _given,
    "till-ran": _till_ran,
    "till-ran-twice": _till_ran_twice,
    "weighed": _weighed,
    "weighed-anew": _weighed_anew,
    "finger": _finger,
    "wilting": _wilting,
    "probe": _probe,
    "drained": _drained,
    "planted": _planted,
    "canopy": _canopy,
    "leaf-area": _leaf_area,
}
"""How to read the value of each kind of event that concerns a pot."""


def known_kind(said: str) -> str:
    """Return a kind of event as it is spelled here; a `ValueError` if there is none."""
    word = said.casefold()
    if word in OF_POT or word == RAIN:
        return word
    kinds = [*OF_POT, RAIN]
    near = get_close_matches(word, kinds, n=1)
    hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(kinds)}"
    if not said:
        raise ValueError(f"the cell is empty; {hint}")
    raise ValueError(f"{said!r} is no kind of event; {hint}")
