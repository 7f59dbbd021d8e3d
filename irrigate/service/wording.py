"""The words that reach people: from an action to a title and a body in the gardener's units."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from irrigate import units
from irrigate.garden.actions import Line, Tell
from irrigate.garden.effort import in_order
from irrigate.garden.pots import Garden
from irrigate.service.caution_words import caution_lines
from irrigate.service.small_words import (
    called,
    clock,
    day_part,
    dose_said,
    dose_words,
    listed,
    moment,
)

__all__ = [
    "HOPELESS", "called", "clock", "day_part", "dose_words", "garden_fault", "listed", "moment",
    "not_taken", "pots_changed_places", "told",
]  # fmt: skip

# More likely than not to be thirsty before the next round even if full now: say what helps.
HOPELESS = 0.5
HEAT_C = 35.0
# Weather that is fetched every hour and has not come for so long is worth a word.
STALE_H = 6.0
GUESSES = (
    "I do not know your pots yet: these are guesses. On the next evening I shall ask you to soak "
    "them all."
)
# So few pots to leave are named; more are only counted.
NAMED = 2


def told(garden: Garden, tell: Tell) -> tuple[str, str]:
    """Return the title and the body of a message."""
    if tell.occasion == "notice":
        return "About the pots", tell.notice
    if tell.occasion == "warning":
        return _warning(garden, tell)
    if tell.till_ran:
        return _first_evening(garden, tell)
    return _round(garden, tell)


# --- a round -------------------------------------------------------------------------------
def _round(garden: Garden, tell: Tell) -> tuple[str, str]:
    water = [line for line in tell.lines if line.verdict == "water"]
    feel = [line for line in tell.lines if line.verdict == "feel"]
    # What will not last is named by itself: "leave it" would be the wrong word.
    leave = [
        line for line in tell.lines if line.verdict == "leave" and line.chance_even_full <= HOPELESS
    ]
    at = clock(garden, tell.at)
    title = f"{at}: {_to_do(tell, water, feel)}"
    if not water and not feel:
        return title, _nothing_now(garden, tell, leave)
    parts = [GUESSES] if tell.guesses else []
    if water:
        parts.append(_watering(garden, water))
    if feel:
        parts.append(
            "Feel first; water only if dry at the second knuckle\n"
            + "\n".join(_dose_line(garden, line) for line in feel)
        )
    if leave or not _lost(tell):
        parts.append(_the_rest(garden, tell, leave, len(tell.lines)))
    parts.append(_sky(garden, tell))
    parts.extend(_hopeless(garden, tell))
    parts.extend(caution_lines(garden, tell))
    parts.append(_how_to_answer(garden, water or feel))
    return title, "\n".join(parts)


def _watering(garden: Garden, water: Sequence[Line]) -> str:
    """List the pots to water; where they are more than can be carried, the endangered first."""
    order = in_order(garden, water)
    lines = [_dose_line(garden, line) for line in order.first]
    if not order.if_time:
        return "\n".join(["Water", *lines])
    most = dose_words(garden, garden.manner.at_most_l or 0.0)
    rest = [_dose_line(garden, line) for line in order.if_time]
    stop = f"That is about {most}: stop here if short of time"
    return "\n".join(["Water, the most endangered first", *lines, stop, *rest])


def _to_do(tell: Tell, water: Sequence[Line], feel: Sequence[Line]) -> str:
    """Return what a round asks for, in numbers of pots: water 3, feel 2, bring in 1."""
    cold, standing = (
        sum(len(one.pot_ids) for one in tell.cautions if one.kind == kind)
        for kind in ("cold night", "standing water")
    )
    counted = (
        ("water", len(water)), ("feel", len(feel)), ("bring in", cold), ("pour off", standing),
    )  # fmt: skip
    asked = [f"{verb} {count}" for verb, count in counted if count]
    return ", ".join(asked) or "nothing to water"


def _dose_line(garden: Garden, line: Line) -> str:
    pot = garden.pot(line.pot_id)
    dose = dose_said(garden, line)
    soak = f", in {line.passes} goes with a rest between" if line.passes > 1 else ""
    return f"  {called(pot)}: {dose}{soak}"


def _the_rest(garden: Garden, tell: Tell, leave: Sequence[Line], count: int) -> str:
    if not leave:
        return f"Those are all {count} pots." if count > 1 else "That is your only pot."
    until = moment(garden, tell.until, tell.at)
    if len(leave) <= NAMED:
        names = listed([called(garden.pot(line.pot_id)) for line in leave])
        return f"Leave {names} until {until}."
    return f"Leave the other {len(leave)} until {until}; {_soonest(garden, tell, leave)}."


def _nothing_now(garden: Garden, tell: Tell, leave: Sequence[Line]) -> str:
    parts = [f"Nothing now for your {len(tell.lines)} pots; {_soonest(garden, tell, leave)}."]
    parts.append(_sky(garden, tell))
    parts.extend(_hopeless(garden, tell))
    parts.extend(caution_lines(garden, tell))
    return "\n".join(parts)


def _soonest(garden: Garden, tell: Tell, lines: Sequence[Line]) -> str:
    """Name the pot that will want water next, if that is in sight.

    Not one that is named as lost for this round anyway, nor one that is left because water would
    not help it now.
    """
    dated = [
        (line.thirsty_at[1], line)
        for line in lines
        if line.thirsty_at[1] is not None and line.thirsty_at[1] > tell.until
    ]
    if not dated:
        return "no other wants water within the week"
    when, line = min(dated, key=lambda pair: pair[0])
    return f"next probably {called(garden.pot(line.pot_id))}, {day_part(garden, when)}"


def _sky(garden: Garden, tell: Tell) -> str:
    if tell.highest_c is None:
        return "The weather is not known."
    us_units = garden.manner.us_units
    warmest = f"Up to {units.say_temperature(tell.highest_c, us_units=us_units)}"
    old = _how_old(tell.weather_age_h)
    if tell.rain_mm is None or tell.rain_mm < 0.5:
        return f"{warmest}, no rain to count on.{old}"
    rain = units.say_rain(tell.rain_mm, us_units=us_units)
    return f"{warmest}; {rain} of rain forecast, not counted on.{old}"


def _how_old(age_h: float | None) -> str:
    """Say that the weather is stale, where it is: what is foretold then rests on days before."""
    if age_h is None or age_h < STALE_H:
        return ""
    age = f"{age_h:.0f} hours" if age_h < 48 else f"{age_h / 24:.0f} days"
    return f" The last word of the weather is {age} old, so I know less than usual."


def _hopeless(garden: Garden, tell: Tell) -> list[str]:
    """Name all that will not last until the next round even when full, with what helps now."""
    until = moment(garden, tell.until, tell.at)
    watered = [line for line in _lost(tell) if line.verdict == "water"]
    full = [line for line in _lost(tell) if line.verdict != "water"]
    said = []
    if full:
        names = listed([called(garden.pot(line.pot_id)) for line in full], most=len(full))
        said.append(f"Full enough now, but will not last until {until}: {names}. {_helps(full)}")
    if watered:
        names = listed([called(garden.pot(line.pot_id)) for line in watered], most=len(watered))
        said.append(
            f"Even after this water will not last until {until}: {names}. {_helps(watered)}"
        )
    return said


def _helps(lines: Sequence[Line]) -> str:
    it = "it" if len(lines) == 1 else "them"
    return f"Move {it} into shade, or water in between."


def _lost(tell: Tell) -> list[Line]:
    return [line for line in tell.lines if line.chance_even_full > HOPELESS]


def _how_to_answer(garden: Garden, lines: Sequence[Line]) -> str:
    label = garden.pot(lines[-1].pot_id).label
    amount = "2 qt" if garden.manner.us_units else "2 L"
    return f"Answer: all, all but {label}, none, or {label}: {amount}."


def _first_evening(garden: Garden, tell: Tell) -> tuple[str, str]:
    amount = "3 qt" if garden.manner.us_units else "3 L"
    label = garden.pots[0].label
    fill = any(pot.basin is not None and pot.basin.kind == "reservoir" for pot in garden.pots)
    reservoirs = " Fill the reservoirs, too." if fill else ""
    cautions = "".join(f"{said}\n" for said in caution_lines(garden, tell))
    body = f"""\
I do not know your {len(tell.lines)} pots yet. Tonight water every one of them until it runs out \
below, go round once, and come back until it runs again.{reservoirs}
If you can, say what each one took ({label} till it ran {amount}); from then on I know how much \
it holds.
Empty the saucers afterwards, and lift nothing heavy.
{_sky(garden, tell)}
{cautions}Answer: all, or all but the ones you left."""
    return f"{clock(garden, tell.at)}: water everything till it runs, twice", body


def garden_fault(faults: Sequence[str]) -> str:
    """Return what the gardener is told when the garden file cannot be read."""
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    return (
        "The garden file has a fault\n"
        f"I go on with the last good one. {faults[0]}{more}\n"
        "irrigate check shows all of it."
    )


def not_taken(text: str, why: str) -> str:
    """Return what is said when something handed in could not be taken after all."""
    return f"Not taken: {text}\n{why}."


def pots_changed_places(gone: Sequence[str], added: Sequence[str]) -> str:
    """Return the question about pots that went and came in one edit of the garden file."""
    old, new = listed(list(gone)), listed(list(added))
    pots, verb = ("Pot", "is") if len(gone) == 1 else ("Pots", "are")
    return (
        f"{pots} {old} {verb} gone and {new} new\n"
        f"I take {new} for new. If one is the same pot under another number, write in its row: "
        f"was: {gone[0]}"
    )


# --- a warning -----------------------------------------------------------------------------
def _warning(garden: Garden, tell: Tell) -> tuple[str, str]:
    names = listed([called(garden.pot(line.pot_id)) for line in tell.lines])
    until = moment(garden, tell.until, tell.at)
    title = f"Will not last until {until}: {names}"
    body = []
    for line in tell.lines:
        pot = garden.pot(line.pot_id)
        dose = dose_said(garden, line)
        body.append(f"{called(pot)}: {dose} now; {_when(garden, tell.at, line)}")
    body.append(_sky(garden, tell))
    if tell.highest_c is not None and tell.highest_c >= HEAT_C:
        body.append("If you cannot water now, shade helps. Mind the heat yourself.")
    return title, "\n".join(body)


def _when(garden: Garden, at: datetime, line: Line) -> str:
    early, middle, late = line.thirsty_at
    if middle is None or middle <= at + timedelta(minutes=30):
        return "probably thirsty already"
    said = f"thirsty probably at {clock(garden, middle, coarse=True)}"
    if early is not None and late is not None and early > at:
        first, last = clock(garden, early, coarse=True), moment(garden, late, early, coarse=True)
        if first != last:
            today = " today" if last.endswith("tomorrow") else ""
            said += f", between {first}{today} and {last}"
    return said
