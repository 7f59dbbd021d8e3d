"""A stored decision on one pot in plain words, and whether its numbers come out again."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

from irrigate import units
from irrigate.cli.explain_question import asked_of, question_reasons
from irrigate.cli.explain_working import INTRODUCTION, Section, numbered, working
from irrigate.cli.outlook_text import said_ahead_or_past
from irrigate.cli.skill_text import pot_sentence
from irrigate.cli.week_ahead import WIDTH, chance_words, said_ahead
from irrigate.errors import InputError
from irrigate.garden.actions import Action, Hold, Line, Tell
from irrigate.garden.deciding import FULL_ENOUGH, LEAST_RELIEF, LEAST_SHARE, TOO_WET
from irrigate.garden.events import Decided, Fact
from irrigate.garden.explaining import explained
from irrigate.garden.explanation import Explanation
from irrigate.garden.pots import Garden
from irrigate.garden.rounds import next_rounds
from irrigate.ports import Journal
from irrigate.service.as_known import AsKnown, present_at, present_of_decision
from irrigate.service.beliefs import Present
from irrigate.service.skill import skill
from irrigate.service.small_words import called, clock, dose_said

CENTRAL = "central_"


def decision_explained(
    journal: Journal, pot_id: str, decided: Fact, members: int
) -> Iterator[str]:  # fmt: skip
    """Yield the decision, its reasons, its message, its working, and the check of its numbers."""
    if not isinstance(decided.body, Decided):
        raise TypeError("only a decision can be explained")
    action = decided.body.action
    line = next(one for one in action.lines if one.pot_id == pot_id)
    present = present_of_decision(journal, decided, members)
    garden = _garden(present)
    now = decided.valid_at
    until = action.until if isinstance(action, Tell) else next_rounds(garden, now, 1)[0]
    yield f"{called(garden.pot(pot_id))}: decided {_on(garden, now)}, {_occasion(garden, action)}"
    yield ""
    yield _verdict(garden, line)
    yield ""
    yield "Why"
    for reason in (*_reasons(garden, line, now, until), _rule(action, line)):
        yield textwrap.fill(reason, WIDTH, initial_indent="  ", subsequent_indent="  ")
    if decided.body.text:
        yield ""
        yield "The message"
        for said in decided.body.text.splitlines():
            deeper = " " * (len(said) - len(said.lstrip()) + 2)
            yield textwrap.fill(
                said.strip(), WIDTH, initial_indent=deeper, subsequent_indent=deeper
            )
    ask = asked_of(journal, action, pot_id)
    if ask is not None:
        yield ""
        yield "Why it was asked about"
        for reason in question_reasons(garden, ask):
            yield textwrap.fill(reason, WIDTH, initial_indent="  ", subsequent_indent="  ")
    yield ""
    yield from _so_far(journal, garden, pot_id)
    yield from _worked(present, pot_id, until, line.reasons)


def without_decision(
    journal: Journal, pot_id: str, at: datetime, members: int
) -> Iterator[str]:  # fmt: skip
    """Yield the working as of a moment, of a pot on which nothing has been decided."""
    present = present_at(AsKnown(journal, journal.position()), at, members)
    garden = _garden(present)
    pot = called(garden.pot(pot_id))
    yield f"{pot}: nothing has been decided yet. The working as of {_on(garden, at)}:"
    yield ""
    yield from _worked(present, pot_id, next_rounds(garden, at, 1)[0], None)


def _so_far(journal: Journal, garden: Garden, pot_id: str) -> Iterator[str]:
    """Yield what `irrigate skill` has to say of the pot, by all that was answered since."""
    said = pot_sentence(skill(journal, garden), garden.pot(pot_id))
    yield "How it went so far"
    yield textwrap.fill(said, WIDTH, initial_indent="  ", subsequent_indent="  ")
    yield ""


def _garden(present: Present) -> Garden:
    if present.standing is None:
        raise InputError("the record holds no weather from that time: there is nothing to work on")
    return present.standing.garden


def _worked(
    present: Present, pot_id: str, until: datetime, stored: Mapping[str, float] | None
) -> Iterator[str]:
    if present.standing is None or present.weather is None:
        return
    told = explained(present.standing, present.weather, until, pot_id)
    yield INTRODUCTION
    yield from numbered(_sections(told, present.standing.garden, stored))


def _sections(
    told: Explanation, garden: Garden, stored: Mapping[str, float] | None
) -> Iterator[Section]:
    yield from working(told, garden)
    if stored is not None:
        yield "Check", checked(stored, told.stored)


# --- the decision --------------------------------------------------------------------------
def _on(garden: Garden, at: datetime) -> str:
    local = at.astimezone(ZoneInfo(garden.site.time_zone))
    return f"on {local:%A} {local.day} {local:%B} at {clock(garden, at)}"


def _occasion(garden: Garden, action: Action) -> str:
    if isinstance(action, Hold):
        return f"between rounds, but not said: {action.why}"
    if action.occasion == "warning":
        return "as a warning between rounds"
    return f"for the round at {clock(garden, action.at)}"


def _verdict(garden: Garden, line: Line) -> str:
    volume = units.say_volume(line.dose_l, us_units=garden.manner.us_units)
    dose = f"{dose_said(garden, line)} (about {volume})"
    goes = f", in {line.passes} goes with a rest between" if line.passes > 1 else ""
    if line.verdict == "water":
        return f"Water it: {dose}{goes}."
    if line.verdict == "feel":
        return f"Feel it first; only if dry at the second knuckle: {dose}{goes}."
    return "Leave it."


def _reasons(garden: Garden, line: Line, now: datetime, until: datetime) -> Iterator[str]:
    us_units = garden.manner.us_units
    by = said_ahead_or_past(garden, until, now)
    yield (
        f"Chance of getting thirsty before {by}: {chance_words(line.chance_thirsty)}"
        f" (accepted: {units.in_percent(line.risk)}); if it were full:"
        f" {chance_words(line.chance_even_full)}."
    )
    early, middle, late = (said_ahead(garden, at, now) for at in line.thirsty_at)
    yield (
        "Thirsty not within the week."
        if line.thirsty_at[0] is None
        else f"Thirsty probably {middle}, between {early} and {late}."
    )
    low, half, high = (units.in_percent(share) for share in line.share_left)
    holds = line.reasons.get("available_when_full_l")
    of = f" of the {units.say_volume(holds, us_units=us_units)} it can give" if holds else ""
    spread = "" if low == high else f", between {low} and {high}"
    yield f"Left{of}: probably {half}{spread}."
    past = line.reasons.get("runs_through_l", 0.0)
    if past > 0.0:
        said = units.say_volume(past, us_units=us_units)
        yield f"Of the dose {said} will run through: past a dry mix, or to wash out salt."
    touch = line.reasons.get("chance_dry_to_touch")
    if touch is not None:
        yield f"Chance that it feels dry at the second knuckle: {chance_words(touch)}."


def _rule(action: Action, line: Line) -> str:
    """Say which clause of the decision it was (`irrigate.garden.deciding.judge`)."""
    if isinstance(action, Tell) and action.till_ran:
        return "The first evening: every pot is watered till it runs, whatever is believed of it."
    relief = line.chance_thirsty - line.chance_even_full
    missing = line.reasons.get("share_to_bring", 1.0 - line.share_left[1])
    if line.verdict == "water":
        helps = (
            f"water lowers it to {chance_words(line.chance_even_full)}"
            if relief >= LEAST_RELIEF
            else f"{units.in_percent(missing)} of what it can give is missing"
        )
        return f"So: the chance is above the accepted one, and {helps}."
    if line.verdict == "feel":
        return (
            "So: the chance is not above the accepted one, or water would not lower it; but if it"
            " feels dry, it is."
        )
    if line.chance_thirsty > line.risk:
        return (
            "So: the chance is above the accepted one, but water would help little: it would lower"
            f" it by less than {units.in_percent(LEAST_RELIEF)}, and less than"
            f" {units.in_percent(LEAST_SHARE)} of what it can give is missing."
        )
    if line.reasons.get("chance_too_wet", 0.0) > TOO_WET:
        return "So: the chance is not above the accepted one, and its roots probably lack air."
    if line.share_left[1] > FULL_ENOUGH:
        full = units.in_percent(FULL_ENOUGH)
        return f"So: the chance is not above the accepted one, and it is probably over {full} full."
    return "So: the chance is not above the accepted one, and a touch would not change that."


# --- the check -----------------------------------------------------------------------------
def checked(stored: Mapping[str, float], again: Mapping[str, float]) -> Iterator[str]:
    """Yield whether the numbers stored with the decision come out again, to the last bit."""
    kept = {name: value for name, value in stored.items() if name.startswith(CENTRAL)}
    differing = [name for name, value in kept.items() if again.get(name) != value]
    if not kept:
        yield "   The decision was stored without its central run, by an earlier release."
        return
    if not differing:
        yield f"   All {len(kept)} numbers stored with it come out again, to the last bit:"
    else:
        yield f"   {len(differing)} of {len(kept)} numbers stored with it come out differently:"
    for name, value in kept.items():
        mark = f"  now {again.get(name, float('nan')):.17g}" if name in differing else ""
        yield f"   {name.removeprefix(CENTRAL):<22} {value:.17g}{mark}"
    if differing:
        yield textwrap.fill(
            "It may have been made by another release of this program or of numpy, on another"
            " kind of machine, or from a record of which a part is missing now (a copy put back).",
            WIDTH, initial_indent="   ", subsequent_indent="   ",
        )  # fmt: skip
