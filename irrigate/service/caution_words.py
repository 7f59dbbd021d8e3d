"""What else a round should know, in a line each."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from datetime import datetime, timedelta

from irrigate import units
from irrigate.garden.actions import Caution, CautionKind, Tell
from irrigate.garden.cautions import FREEZES_C, coming_night
from irrigate.garden.pots import Garden
from irrigate.service.small_words import called, clock, listed

# Paths freeze before the air at 2 m does. From memory.
ICE_BELOW_C = FREEZES_C + 1.0
# So near to the night, water given stays on the leaves and in the mix until the frost.
EVENING = timedelta(hours=4)


def caution_lines(garden: Garden, tell: Tell) -> Iterator[str]:
    """Yield a line for each caution of a round's message."""
    asked = frozenset(line.pot_id for line in tell.lines if line.verdict != "leave")
    for caution in tell.cautions:
        said = caution_said(garden, caution, tell.at)
        if caution.kind == "cold night" and _before_the_night(garden, tell.at):
            said += _water_later(garden, caution.pot_ids, asked)
        yield said


def caution_said(garden: Garden, caution: Caution, at: datetime) -> str:
    """Return one caution, for a round or a moment ``at`` (UTC)."""
    return _SAID[caution.kind](garden, caution, at)


# --- one by one ----------------------------------------------------------------------------
def _cold_night(garden: Garden, caution: Caution, _: datetime) -> str:
    air_c = caution.air_c or 0.0
    what = "Frost tonight" if air_c < FREEZES_C else "A cold night"
    ice = " Mind ice on the paths." if air_c < ICE_BELOW_C else ""
    return (
        f"{what}, down to {_air(garden, air_c)}: bring in or cover {_names(garden, caution)}.{ice}"
    )


def _standing_water(garden: Garden, caution: Caution, _: datetime) -> str:
    label = garden.pot(caution.pot_ids[0]).label
    return (
        f"Water has stood for over a day under {_names(garden, caution)}: pour it away (roots "
        f"drown in it, mosquitoes breed), and say: {label} saucer emptied."
    )


def _dry_mix(garden: Garden, caution: Caution, _: datetime) -> str:
    return (
        f"Too dry to take water at once: {_names(garden, caution)}. Half now, the rest after half "
        "an hour, or much of it runs past."
    )


def _hot_pot(garden: Garden, caution: Caution, _: datetime) -> str:
    return (
        f"In such a sun the roots in dark pots get too hot: shade the sides of "
        f"{_names(garden, caution)}, wrap {_them(caution)} in white, or stand pots close together."
    )


def _heavy(garden: Garden, caution: Caution, _: datetime) -> str:
    weights = [
        f"{called(garden.pot(pot_id))} (about {_mass(garden, mass)})"
        for pot_id, mass in zip(caution.pot_ids, caution.each_kg, strict=True)
    ]
    them = _them(caution)
    return (
        f"Heavy when wet: {listed(weights, most=len(weights))}. Roll {them}, or leave {them} in "
        f"place; do not carry {them}."
    )


def _hot_hours(garden: Garden, caution: Caution, at: datetime) -> str:
    air = _air(garden, caution.air_c or 0.0)
    return f"{air} at {clock(garden, at)}: go when it is cooler if you can, and drink."


_SAID: Mapping[CautionKind, Callable[[Garden, Caution, datetime], str]] = {
    "cold night": _cold_night,
    "standing water": _standing_water,
    "dry mix": _dry_mix,
    "hot pot": _hot_pot,
    "heavy": _heavy,
    "hot hours": _hot_hours,
}


# --- water before a frost ------------------------------------------------------------------
def _before_the_night(garden: Garden, at: datetime) -> bool:
    return coming_night(garden, at)[0] - at < EVENING


def _water_later(garden: Garden, cold: Sequence[str], asked: Collection[str]) -> str:
    """Say when to water what suffers from the night: those that were asked for, after it."""
    listed_above = [called(garden.pot(pot_id)) for pot_id in cold if pot_id in asked]
    if not listed_above:
        return ""
    return f" Water {listed(listed_above, most=len(listed_above))} tomorrow, not before the cold."


# --- small words ---------------------------------------------------------------------------
def _names(garden: Garden, caution: Caution) -> str:
    return listed([called(garden.pot(one)) for one in caution.pot_ids], most=len(caution.pot_ids))


def _them(caution: Caution) -> str:
    return "it" if len(caution.pot_ids) == 1 else "them"


def _air(garden: Garden, air_c: float) -> str:
    return units.say_temperature(air_c, us_units=garden.manner.us_units)


def _mass(garden: Garden, mass_kg: float) -> str:
    """Say a weight as well as it is known: to 5 kg, or 10 lb."""
    if garden.manner.us_units:
        return f"{round(mass_kg / units.POUND_KG / 10) * 10} lb"
    return f"{round(mass_kg / 5) * 5} kg"
