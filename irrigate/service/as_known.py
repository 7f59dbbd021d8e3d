"""A journal as it stood at one moment: for whoever reads beside the service, or looks back.

What was appended since is left out, so that several looks see one and the same record, and an
old decision is worked out again from what was known when it was made.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from irrigate.errors import InputError, JournalError
from irrigate.garden.events import Decided, Fact, GardenVersion
from irrigate.garden.pots import Garden
from irrigate.ports import Checkpoint, Journal
from irrigate.service.beliefs import Present, brought_up, first_grounds

# How far back the search for one fact looks at first, in facts.
FIRST_REACH = 256


class AsKnown:
    """The first ``position`` facts of a journal, for reading only. Implements `ports.Journal`."""

    def __init__(self, journal: Journal, position: int) -> None:
        self._journal = journal
        self._position = position
        self._later = frozenset(fact.id for fact in journal.since(position))

    def position(self) -> int:
        """Return how many facts there were."""
        return self._position

    def since(self, position: int) -> list[Fact]:
        """Return the facts appended after ``position`` up to then."""
        return self._journal.since(position)[: max(self._position - position, 0)]

    def facts(
        self,
        kinds: Sequence[type] | None = None,
        *,
        valid_after: datetime | None = None,
        valid_until: datetime | None = None,
    ) -> list[Fact]:
        """Return the facts there were, by (valid_at, recorded_at, id)."""
        found = self._journal.facts(kinds, valid_after=valid_after, valid_until=valid_until)
        return [fact for fact in found if fact.id not in self._later]

    def newest(self, kind: type, *, valid_until: datetime | None = None) -> Fact | None:
        """Return the last fact of a kind that was there."""
        found = self.facts((kind,), valid_until=valid_until)
        return found[-1] if found else None

    def oldest(self, kind: type) -> Fact | None:
        """Return the first fact of a kind that was there."""
        found = self.facts((kind,))
        return found[0] if found else None

    def fact(self, fact_id: str) -> Fact | None:
        """Return one fact, if it was there."""
        return None if fact_id in self._later else self._journal.fact(fact_id)

    def claimed(self, key: str) -> bool:
        """Return whether the key is claimed, then or since."""
        return self._journal.claimed(key)

    def checkpoint(self, before: datetime, position: int) -> Checkpoint | None:
        """Return the newest checkpoint valid at or before ``before`` that was made by then."""
        return self._journal.checkpoint(before, min(position, self._position))

    def append(self, facts: Sequence[Fact], *, durable: bool = False) -> None:  # noqa: ARG002 - as the port has it
        """Refuse: this is for reading."""
        raise _for_reading()

    def claim(self, fact: Fact) -> bool:  # noqa: ARG002 - as the port has it
        """Refuse: this is for reading."""
        raise _for_reading()

    def save_checkpoint(self, checkpoint: Checkpoint) -> None:  # noqa: ARG002 - as the port has it
        """Refuse: this is for reading."""
        raise _for_reading()

    def drop_checkpoints(self, valid_after: datetime) -> None:  # noqa: ARG002 - as the port has it
        """Refuse: this is for reading."""
        raise _for_reading()

    def backup(self, path: Path) -> None:  # noqa: ARG002 - as the port has it
        """Refuse: this is for reading."""
        raise _for_reading()

    def close(self) -> None:
        """Leave the journal itself open: whoever opened it closes it."""


def _for_reading() -> JournalError:
    return JournalError("a journal as it once stood can only be read")


def position_before(journal: Journal, fact_id: str) -> int:
    """Return how many facts there were before one was appended; a `KeyError` if it is not there."""
    end, reach = journal.position(), FIRST_REACH
    while True:
        begin = max(0, end - reach)
        for offset, fact in enumerate(journal.since(begin)):
            if fact.id == fact_id:
                return begin + offset
        if begin == 0:
            raise KeyError(fact_id)
        reach *= 8


def decision_on(journal: Journal, pot_id: str, until: datetime) -> Fact | None:
    """Return the last decision recorded by a moment that names a pot."""
    named = [
        fact
        for fact in journal.facts((Decided,), valid_until=until)
        if isinstance(fact.body, Decided)
        and any(line.pot_id == pot_id for line in fact.body.action.lines)
    ]
    return max(named, key=lambda fact: (fact.recorded_at, fact.id), default=None)


def present_at(view: Journal, at: datetime, members: int) -> Present:
    """Return the belief at a moment and the weather around it, leaving nothing behind.

    Parameters
    ----------
    view : the record to go by.
    at : the moment (UTC).
    members : size of the ensemble, where no checkpoint says it.
    """
    return brought_up(first_grounds(view, at), view, at, members, keeps=False)[1]


def present_of_decision(journal: Journal, decided: Fact, members: int) -> Present:
    """Return the belief and the weather that a decision rested on."""
    view = AsKnown(journal, position_before(journal, decided.id))
    return present_at(view, decided.valid_at, members)


def garden_at(journal: Journal, moment: datetime) -> Garden:
    """Return the garden as the service knew it at a moment; the first one if none was yet."""
    versions = journal.facts((GardenVersion,))
    known = [fact for fact in versions if fact.valid_at <= moment] or versions[:1]
    body = known[-1].body if known else None
    if not isinstance(body, GardenVersion):
        raise InputError("the record holds no garden yet: start the service (irrigate run)")
    return body.garden
