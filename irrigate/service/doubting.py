"""Asking once about an answer that hardly fits, whether it was of that pot.

It does no harm meanwhile: every likelihood has a floor. It can be taken back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from irrigate import units
from irrigate.garden.actions import Tell
from irrigate.garden.events import (
    Body,
    Claimed,
    Decided,
    Drained,
    Fact,
    Finger,
    Foretold,
    Probe,
    ProbeRaw,
    Retracted,
    TillRan,
    Weighed,
)
from irrigate.garden.pots import Garden
from irrigate.garden.scoring import FEELS, band
from irrigate.ports import Journal
from irrigate.service.foretelling import foretold_score
from irrigate.service.thinking import Decision
from irrigate.service.wording import called

# An answer that could not be asked about for so long is let go.
OPEN = timedelta(days=7)


def with_doubts(decision: Decision, journal: Journal, garden: Garden, now: datetime) -> Decision:
    """Return the decision with questions about such answers at the end of its message.

    Parameters
    ----------
    decision : returned as it is where it says nothing, or where there is nothing to ask.
    journal : read only; that it was asked is noted with the message.
    garden : the pots as they are.
    now : the present (UTC).
    """
    if not isinstance(decision.action, Tell):
        return decision
    asked = {}
    for note in _noted(journal, now):
        answer = journal.fact(_of(note))
        if answer is None or not _is_there(garden, answer) or journal.claimed(_key(note)):
            continue
        words = doubt_words(answer, note, garden)
        if words:
            asked[words] = Fact(f"claim {_key(note)}", now, now, Claimed(_key(note)))
    if not asked:
        return decision
    body = "\n".join((decision.body, *asked))
    written = f"{decision.title}\n{body}"
    facts = [
        replace(fact, body=replace(fact.body, text=written))
        if isinstance(fact.body, Decided) and fact.body.action is decision.action
        else fact
        for fact in decision.facts
    ]
    return replace(decision, body=body, facts=(*facts, *asked.values()))


def doubt_words(answer: Fact, note: Fact, garden: Garden) -> str:
    """Return the question about an answer, or nothing where it is likely enough."""
    if not isinstance(note.body, Foretold) or not foretold_score(answer, note).stray:
        return ""
    pot = garden.pot(note.body.pot_id)
    said = _said(answer.body, note.body, us_units=garden.manner.us_units)
    if not said:
        return ""
    return f"{called(pot)}: {said}. Was it pot {pot.label}? If not: irrigate log undo {pot.label}"


def _noted(journal: Journal, now: datetime) -> Sequence[Fact]:
    """Return what was foretold of late and stands."""
    recent = journal.facts((Foretold, Retracted), valid_after=now - OPEN)
    gone = {fact.supersedes for fact in recent}
    return [fact for fact in recent if isinstance(fact.body, Foretold) and fact.id not in gone]


def _of(note: Fact) -> str:
    return note.body.of if isinstance(note.body, Foretold) else ""


def _key(note: Fact) -> str:
    return f"doubt of {_of(note)}"


def _is_there(garden: Garden, answer: Fact) -> bool:
    return getattr(answer.body, "pot_id", None) in {pot.id for pot in garden.pots}


def _said(body: Body, told: Foretold, *, us_units: bool) -> str:
    """Return what was said and what was expected, in the gardener's units."""
    match body:
        case TillRan(volume_l=float() as volume):
            return f"{_volume(volume, us_units)} until it ran, {_litres(told, us_units)}"
        case Drained(volume_l=volume):
            return f"{_volume(volume, us_units)} drained, {_litres(told, us_units)}"
        case Weighed(mass_kg=mass):
            low, high = (_mass(one, us_units) for one in band(told))
            return f"weighs {_mass(mass, us_units)}, {_between(low, high)}"
        case Probe(theta=theta):
            low, high = (units.in_percent(one) for one in band(told))
            return f"the probe at {units.in_percent(theta)}, {_between(low, high)}"
        case ProbeRaw(reading=reading):
            low, high = (f"{one:.0f}" for one in sorted(band(told)))
            return f"the probe at {reading:g}, {_between(low, high)}"
        case Finger(feel=feel):
            expected = max(zip(told.chances, FEELS, strict=True))[1]
            return f"felt {feel}, expected {expected}"
    return ""


def _litres(told: Foretold, us_units: bool) -> str:
    low, high = (_volume(one, us_units) for one in band(told))
    return _between(low, high)


def _between(low: str, high: str) -> str:
    if low == high:
        return f"expected {low}"
    # One unit is enough where both have the same.
    number, _, unit = low.rpartition(" ")
    short = number if number and high.endswith(f" {unit}") else low
    return f"expected {short} to {high}"


def _volume(volume_l: float, us_units: bool) -> str:
    return units.say_volume(volume_l, us_units=us_units)


def _mass(mass_kg: float, us_units: bool) -> str:
    return f"{mass_kg / units.POUND_KG:.1f} lb" if us_units else f"{mass_kg:.1f} kg"
