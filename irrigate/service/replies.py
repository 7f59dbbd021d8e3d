"""Saying back what was understood of an answer."""

from __future__ import annotations

from irrigate import units
from irrigate.garden.answers import Context, Reading
from irrigate.garden.events import (
    Body,
    CanopyMeasured,
    Drained,
    Finger,
    Given,
    Marked,
    Planted,
    Probe,
    ProbeRaw,
    RainAtPots,
    Resized,
    RoundAnswered,
    Tended,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.service.wording import called, listed, moment

MARK_OFF = {"paused": "watched again", "unwell": "well again"}
OUTCOMES = {
    "all": "the round was done",
    "none": "the round was not done",
    "all but": "the round was done but for what you named",
    "only": "of the round only what you named was done",
    "stopped after": "the round was done in part",
}


def spoken(reading: Reading, context: Context) -> str:
    """Return what was understood, in the gardener's units."""
    garden = context.garden
    if reading.undo_of is not None:
        pot = called(garden.pot(reading.undo_of))
        return f"the last thing said of {pot} is taken back"
    if reading.undo:
        return "the last thing you said is taken back"
    whole = any(isinstance(body, RoundAnswered) for _, body in reading.said)
    said = []
    for at, body in reading.said:
        if whole and isinstance(body, Given | TillRan | Tended) and body.round_key is not None:
            continue
        word = "from" if isinstance(body, Given) and body.over_h > 0.0 else "at"
        when = "" if at == context.now else f" {word} {moment(garden, at, context.now)}"
        said.append(f"{_one(body, context)}{when}")
    return "; ".join(said)


def _one(body: Body, context: Context) -> str:
    garden = context.garden
    if isinstance(body, RoundAnswered):
        done = [called(garden.pot(pot_id)) for pot_id in body.pot_ids]
        named = f" ({listed(done)})" if done and body.outcome != "all" else ""
        return f"{OUTCOMES[body.outcome]}{named}"
    us_units = garden.manner.us_units
    if isinstance(body, RainAtPots):
        if body.depth_mm is not None:
            return f"{units.say_rain(body.depth_mm, us_units=us_units)} of rain"
        return {"none": "no rain", "some": "some rain"}.get(str(body.said), "rain that ran through")
    pot_id = getattr(body, "pot_id", None)
    pot = called(garden.pot(pot_id)) if pot_id is not None else ""
    return f"{pot} {_watered(body, us_units) or _seen(body, us_units) or _done(body, us_units)}"


def _watered(body: Body, us_units: bool) -> str:
    match body:
        case Given(volume_l=volume):
            where = " into its reservoir" if body.how == "reservoir" else ""
            long = f" over {_hours(body.over_h)}" if body.over_h > 0.0 else ""
            return f"had {units.say_volume(volume, us_units=us_units)}{where}{long}"
        case Tended(what="reservoir filled", volume_l=float() as volume):
            return f"reservoir took {units.say_volume(volume, us_units=us_units)}, and is full"
        case TillRan(volume_l=None):
            return "was watered till it ran"
        case TillRan(volume_l=float() as volume):
            return f"took {units.say_volume(volume, us_units=us_units)} till it ran"
    return ""


def _hours(hours: float) -> str:
    """Say how long something took: 20 min, 3 h, 2.5 h."""
    return f"{hours * 60.0:.0f} min" if hours < 1.0 else f"{hours:.3g} h"


def _seen(body: Body, us_units: bool) -> str:
    match body:
        case Weighed(mass_kg=mass):
            pounds = mass / units.POUND_KG
            return f"weighs {pounds:.1f} lb" if us_units else f"weighs {mass:.1f} kg"
        case Finger(feel=feel):
            return f"feels {feel}"
        case Wilting():
            return "is wilting"
        case Probe(theta=theta):
            return f"holds {units.in_percent(theta)} of water by the probe"
        case ProbeRaw(reading=reading, share=share):
            full = units.in_percent(min(max(share, 0.0), 1.0))
            return f"shows {reading:g} on the probe, {full} of the way from dry to just drained"
        case Drained(volume_l=volume):
            return f"drained {units.say_volume(volume, us_units=us_units)}"
    return ""


def _done(body: Body, us_units: bool) -> str:
    match body:
        case CanopyMeasured(width_m=width, height_m=height):
            wide = units.say_length(width, us_units=us_units)
            return f"is {wide} wide and {units.say_length(height, us_units=us_units)} tall"
        case Resized(factor=factor, why=why):
            return f"was {why}, to {units.in_percent(factor)} of its width and height"
        case Marked(mark=mark, on=on):
            return f"is {mark if on else MARK_OFF[mark]}"
        case Tended(what=what):
            return what
        case Planted():
            return "has a new plant"
    return ""
