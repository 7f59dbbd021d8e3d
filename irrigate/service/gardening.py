"""The garden file taken in: identities, versions in time, and what must be asked or told."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from irrigate.errors import GardenFileError, InputError
from irrigate.garden.actions import Tell
from irrigate.garden.edits_in_time import Known, Version, renewed, versions
from irrigate.garden.events import (
    Decided,
    Fact,
    GardenVersion,
    PotSeen,
    Refused,
    Retracted,
    standing,
)
from irrigate.garden.identity import Identified, identified, minted
from irrigate.garden.pots import Garden
from irrigate.ports import GardenFile, Item, Journal
from irrigate.service.beliefs import WINDOW
from irrigate.service.thinking import Decision
from irrigate.service.wording import garden_fault, not_taken, pots_changed_places

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Taken:
    """What the garden file came to: facts to append, and a question that it leaves open."""

    facts: tuple[Fact, ...] = ()
    question: Decision | None = None


def take_garden(file: GardenFile, journal: Journal, digest: str | None, now: datetime) -> Taken:
    """Read the garden file; a changed one becomes a new version, with identities minted.

    Raises
    ------
    GardenFileError : it is wrong; whoever calls keeps the last good garden.
    """
    text = file.read()
    if text.digest == digest:
        return Taken()
    history = _history(journal)
    seen = [fact.body for fact in journal.facts((PotSeen,)) if isinstance(fact.body, PotSeen)]
    before = history[-1].garden if history else None
    labels = [pot.label for pot in before.pots] if before else []
    try:
        made = identified(text.garden, seen, labels, text.renamed, now)
    except InputError as wrong:
        raise GardenFileError([str(wrong)]) from wrong
    garden, fresh = _with_new_plants_and_vessels(made, before, seen, now)
    stamp = f"{now:%Y-%m-%dT%H:%M:%S.%fZ}"
    facts = [Fact(f"pot {body.pot_id} {body.label} {stamp}", now, now, body) for body in fresh]
    facts += [
        _version_fact(version, text.digest, stamp, now)
        for version in versions(history, garden, now, now - WINDOW)
    ]
    question = _who_is_who(made, garden, now) if made.added and made.gone else None
    return Taken(tuple(facts), question)


def _history(journal: Journal) -> list[Known]:
    """Return the versions that stand, in order."""
    facts = standing(journal.facts((GardenVersion, Retracted)))
    return [
        Known(fact.id, fact.valid_at, fact.body.garden)
        for fact in facts
        if isinstance(fact.body, GardenVersion)
    ]


def _with_new_plants_and_vessels(
    made: Identified, before: Garden | None, known: Sequence[PotSeen], now: datetime
) -> tuple[Garden, list[PotSeen]]:
    """Mint new identities where an edit put another plant or another vessel in a pot's place."""
    old = {pot.id: pot for pot in before.pots} if before else {}
    fresh = {seen.pot_id: seen for seen in made.seen}
    taken = {one for seen in (*known, *made.seen) for one in (seen.vessel_id, seen.plant_id)}
    pots = []
    for pot in made.garden.pots:
        plant, vessel = renewed(old[pot.id], pot) if pot.id in old else (False, False)
        if plant or vessel:
            another = minted(made.garden.name, pot.label, now, taken)
            pot = replace(
                pot,
                plant_id=another.plant_id if plant else pot.plant_id,
                vessel_id=another.vessel_id if vessel else pot.vessel_id,
            )
            fresh[pot.id] = PotSeen(pot.label, pot.id, pot.vessel_id, pot.plant_id)
        pots.append(pot)
    return replace(made.garden, pots=tuple(pots)), list(fresh.values())


def _version_fact(version: Version, digest: str, stamp: str, now: datetime) -> Fact:
    name = f"garden {digest[:12]} {stamp}"
    if version.at != now:
        name += f" from {version.at:%Y-%m-%dT%H:%M:%S.%fZ}"
    body = GardenVersion(version.garden, digest)
    return Fact(name, version.at, now, body, supersedes=version.replaces)


def _who_is_who(made: Identified, garden: Garden, now: datetime) -> Decision:
    """Ask whether a pot that went and one that came are the same; it is never guessed."""
    key = f"notice pots {_name(*made.gone, '/', *made.added)} {now:%Y-%m-%d}"
    return notice(key, pots_changed_places(made.gone, made.added), garden, now)


def garden_refused(wrong: GardenFileError, garden: Garden, now: datetime) -> Decision:
    """Return the notice about a garden file that cannot be read; its key is that of the faults."""
    key = f"notice garden {_name(*wrong.faults)}"
    refusal = Fact(
        f"garden refused {now:%Y-%m-%dT%H:%M:%S.%fZ}",
        now,
        now,
        Refused("garden file", "\n".join(wrong.faults)),
    )
    told = notice(key, garden_fault(wrong.faults), garden, now)
    return replace(told, facts=(refusal, *told.facts))


def answer_refused(item: Item, why: str, garden: Garden, now: datetime) -> Decision:
    """Return the notice that something handed in could not be taken after all."""
    return notice(f"notice refused {item.key}", not_taken(item.text, why), garden, now)


def notice(key: str, text: str, garden: Garden, now: datetime) -> Decision:
    """Return something to tell everybody; the first line of its text is the title."""
    people = tuple(person.name for person in garden.people)
    tell = Tell(key, "notice", people, now, now + DAY, notice=text)
    title, _, body = text.partition("\n")
    return Decision(tell, title, body, (Fact(f"decided {key}", now, now, Decided(tell, text)),))


def _name(*words: str) -> str:
    """Return a short name for some words, so that the same thing is told of once."""
    return hashlib.blake2b("\n".join(words).encode(), digest_size=8).hexdigest()
