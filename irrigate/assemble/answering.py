"""Handing an answer in from the command line: checked, kept in the spool, said back."""

from __future__ import annotations

import re
from contextlib import closing
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from irrigate.assemble.changing import change_garden
from irrigate.assemble.folders import make_state
from irrigate.errors import AnswerError, InputError, JournalError
from irrigate.garden.answers import Context, Reading, read_answer
from irrigate.garden.events import Foretold, GardenVersion
from irrigate.garden.foretelling import foreseeable
from irrigate.garden.pots import Garden
from irrigate.outside.clock import SystemClock
from irrigate.outside.inbox.spool import SpoolInbox
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.ports import Item
from irrigate.service.as_known import AsKnown
from irrigate.service.beliefs import first_grounds
from irrigate.service.clock_sense import clock_trouble, newest_recorded
from irrigate.service.doubting import doubt_words
from irrigate.service.foretelling import foretold_facts
from irrigate.service.intake import answer_facts, last_told
from irrigate.service.replies import spoken
from irrigate.settings.garden_file import read_settings

# "3 2L at 7:10" is one statement to the person who types it.
TRAILING_TIME = re.compile(r"(?<![,;]) (at \d{1,2}[:.]\d{2}(?: ?[ap]m)?)$", re.IGNORECASE)


def hand_in(
    text: str, who: str, key: str, garden_path: Path, state: Path, members: int = 200
) -> str:
    """Check an answer against the garden, keep it durably, and say what was understood.

    What changes how the garden is described goes into the garden file at once; everything else
    into the spool, from which the service takes it. What hardly fits the belief of that moment is
    kept as well, and asked about; ``members`` is the size of that ensemble.

    Raises
    ------
    AnswerError : it was not understood; nothing is kept.
    """
    text = TRAILING_TIME.sub(r"; \1", text)
    now = SystemClock().now()
    context = _context(garden_path, state, now)
    reading = read_answer(text, context)
    if reading.changes and reading.said:
        raise AnswerError(
            "part of this changes the garden file and part does not; say them one after the other"
        )
    if reading.changes:
        zone = context.garden.site.time_zone
        return f"written into the garden file:\n{change_garden(reading.changes, garden_path, zone)}"
    if reading.undo:
        make_state(state)
        SpoolInbox(state / "spool").put(Item(key, now, who, "command", text))
        return (
            f"logged: {spoken(reading, context)}. What was written into the garden file stays; "
            "change it back there."
        )
    make_state(state)
    SpoolInbox(state / "spool").put(Item(key, now, who, "command", text))
    doubts = _doubts(reading, context, Item(key, now, who, "command", text), state, members)
    return "\n".join((f"logged: {spoken(reading, context)}", *doubts))


def _doubts(
    reading: Reading, context: Context, item: Item, state: Path, members: int
) -> list[str]:  # fmt: skip
    """Return questions about what hardly fits the belief, looked at beside the service.

    Whatever is the matter with the record, the answer is safe in the spool already.
    """
    path = state / "journal.sqlite"
    if not path.exists() or not any(foreseeable(body) for _, body in reading.said):
        return []
    facts = answer_facts(item, reading, context.now)
    try:
        with closing(SqliteJournal(path, read_only=True)) as journal:
            view = AsKnown(journal, journal.position())
            grounds = first_grounds(view, context.now)
            notes = foretold_facts(facts, grounds, view, context.now, members)
    except (JournalError, ValueError):
        return []
    by_id = {fact.id: fact for fact in facts}
    said = [
        doubt_words(by_id[note.body.of], note, context.garden)
        for note in notes
        if isinstance(note.body, Foretold)
    ]
    return [one for one in said if one]


def _context(garden_path: Path, state: Path, now: datetime) -> Context:
    """Return what the answer is read against: the service's own garden if it has run."""
    known = _on_record(state / "journal.sqlite", now)
    if known is not None:
        return known
    trouble = clock_trouble(now, None)
    if trouble is not None:
        raise InputError(f"{trouble}; set the clock, then say it again")
    return Context(_labelled(read_settings(garden_path).garden), None, now)


def _on_record(path: Path, now: datetime) -> Context | None:
    """Return the context that the journal gives; None if there is none, or it cannot be read.

    An answer must find its way into the spool also while the journal is being mended.
    """
    if not path.exists():
        return None
    try:
        journal = SqliteJournal(path, read_only=True)
    except JournalError:
        return None
    try:
        trouble = clock_trouble(now, newest_recorded(journal))
        if trouble is not None:
            raise InputError(f"{trouble}; set the clock, then say it again")
        version = journal.newest(GardenVersion)
        if version is None or not isinstance(version.body, GardenVersion):
            return None
        return Context(version.body.garden, last_told(journal, now), now)
    except JournalError:
        return None
    finally:
        journal.close()


def _labelled(garden: Garden) -> Garden:
    """Return the garden with labels for ids: enough to tell its pots apart."""
    pots = tuple(replace(pot, id=pot.label) for pot in garden.pots)
    return replace(garden, pots=pots)
