"""Small words that every message is made of: pots, doses, times and lists."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from irrigate import units
from irrigate.garden.actions import Line
from irrigate.garden.pot_answers import stands_in_water
from irrigate.garden.pots import Garden, Pot

# For less than this, an eighth of a can is half as much again.
LEAST_CANS = 1.0 / 12.0


def called(pot: Pot) -> str:
    """Return a pot as it is spoken of: the number painted on it and its name."""
    return f"{pot.label} {pot.name}" if pot.name and pot.name != pot.label else pot.label


def dose_words(garden: Garden, volume_l: float) -> str:
    """Say a dose in the gardener's cans, or seconds of hose if its flow was measured."""
    if volume_l < 0.05:
        return "a splash"
    manner = garden.manner
    return units.say_dose(volume_l, can_l=manner.can_l, hose_l_s=manner.hose_l_s)


def dose_said(garden: Garden, line: Line) -> str:
    """Say a pot's dose: which part goes into its reservoir, and exactly where water would stand.

    An eighth of a can, the least that is said of one, may be far more than a small pot lacks. It
    runs away below, but not where a saucer or an outer pot keeps it: there it is cups, or mL.
    """
    manner, pot = garden.manner, garden.pot(line.pot_id)
    small = manner.hose_l_s is None and 0.0 < line.dose_l < LEAST_CANS * manner.can_l
    if small and stands_in_water(pot):
        return units.say_volume(line.dose_l, us_units=manner.us_units)
    dose = dose_words(garden, line.dose_l)
    if line.below_l <= 0.0:
        return dose
    if line.dose_l - line.below_l < 0.05:
        return f"fill the reservoir: about {dose}"
    return f"fill: about {dose}, {dose_words(garden, line.below_l)} of it into the reservoir"


def clock(garden: Garden, at: datetime, *, coarse: bool = False) -> str:
    """Say a time of day in the garden's zone; ``coarse`` to the half hour."""
    local = at.astimezone(ZoneInfo(garden.site.time_zone))
    if coarse:
        local += timedelta(minutes=15)
        local = local.replace(minute=30 * (local.minute // 30))
    if not garden.manner.us_units:
        return f"{local:%H:%M}"
    if local.hour % 12 == 0 and local.minute == 0:
        return "noon" if local.hour else "midnight"
    minutes = f":{local:%M}" if local.minute else ""
    return f"{local.hour % 12 or 12}{minutes} {'am' if local.hour < 12 else 'pm'}"


def moment(garden: Garden, at: datetime, seen_from: datetime, *, coarse: bool = False) -> str:
    """Say a moment: the time alone on the same day, with the day otherwise."""
    zone = ZoneInfo(garden.site.time_zone)
    days = (at.astimezone(zone).date() - seen_from.astimezone(zone).date()).days
    time = clock(garden, at, coarse=coarse)
    if days == 0:
        return time
    if days == 1:
        return f"{time} tomorrow"
    return f"{at.astimezone(zone):%A} {time}"


def day_part(garden: Garden, at: datetime, *, short: bool = False) -> str:
    """Say a moment some days off as loosely as it is known: Thursday afternoon."""
    local = at.astimezone(ZoneInfo(garden.site.time_zone))
    parts = ((5, "night"), (11, "morning"), (14, "midday"), (18, "afternoon"), (22, "evening"))
    part = next((name for until, name in parts if local.hour < until), "night")
    return f"{local:%a} {part}" if short else f"{local:%A} {part}"


def listed(names: Sequence[str], most: int = 4) -> str:
    """Join names as a sentence does; the tail of a list longer than ``most`` as a count."""
    if len(names) > most:
        return f"{', '.join(names[:3])} and {len(names) - 3} more"
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"
