"""A journal that lives as long as the process: for the demo, for replays, and for trying out."""

from __future__ import annotations

import tempfile
from bisect import bisect_right, insort
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from threading import RLock

from irrigate.errors import JournalError
from irrigate.garden.events import Claimed, Fact
from irrigate.outside.journal.codec import Codec, microseconds
from irrigate.outside.journal.retention import Mark, worth_keeping
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.ports import Checkpoint


class MemoryJournal:
    """`irrigate.ports.Journal` without a file; facts go through the same codec all the same."""

    def __init__(self) -> None:
        self._codec = Codec()
        self._turn = RLock()
        self._closed = False
        self._appended: list[Fact] = []
        self._in_order: list[Fact] = []
        self._by_id: dict[str, Fact] = {}
        self._claims: set[str] = set()
        self._checkpoints: dict[Mark, Checkpoint] = {}

    def append(self, facts: Sequence[Fact], *, durable: bool = False) -> None:  # noqa: ARG002 - nothing here is
        """Add facts, all or none; a known id is passed over."""
        with self._open():
            fresh: dict[str, Fact] = {}
            claims: set[str] = set()
            for fact in (self._kept(fact) for fact in facts):
                if fact.id in self._by_id or fact.id in fresh:
                    continue
                if isinstance(fact.body, Claimed):
                    if fact.body.key in self._claims | claims:
                        raise JournalError(f"{fact.body.key!r} was claimed before")
                    claims.add(fact.body.key)
                fresh[fact.id] = fact
            for fact in fresh.values():
                self._appended.append(fact)
                insort(self._in_order, fact, key=lambda one: one.order)
            self._by_id |= fresh
            self._claims |= claims

    def claim(self, fact: Fact) -> bool:
        """Append a `Claimed` fact unless its key was claimed before; say which."""
        if not isinstance(fact.body, Claimed):
            raise TypeError("only a Claimed can be claimed")
        with self._open():
            if self._kept(fact) and fact.body.key in self._claims:
                return False
            if fact.id in self._by_id:
                raise JournalError(f"fact {fact.id} is there already, and is no claim of this key")
            self.append([fact])
        return True

    def claimed(self, key: str) -> bool:
        """Return whether the key has been claimed."""
        with self._open():
            return key in self._claims

    def position(self) -> int:
        """Return how many facts there are."""
        with self._open():
            return len(self._appended)

    def since(self, position: int) -> list[Fact]:
        """Return the facts appended after ``position``, in order of appending."""
        with self._open():
            return self._appended[max(position, 0) :]

    def facts(
        self,
        kinds: Sequence[type] | None = None,
        *,
        valid_after: datetime | None = None,
        valid_until: datetime | None = None,
    ) -> list[Fact]:
        """Return facts by (valid_at, recorded_at, id): after (exclusive) and until (inclusive)."""
        with self._open():
            start, stop = 0, len(self._in_order)
            if valid_after is not None:
                start = self._behind(valid_after)
            if valid_until is not None:
                stop = self._behind(valid_until)
            found = self._in_order[start:stop]
        return found if kinds is None else [fact for fact in found if type(fact.body) in kinds]

    def newest(self, kind: type, *, valid_until: datetime | None = None) -> Fact | None:
        """Return the last fact of a kind."""
        found = self.facts((kind,), valid_until=valid_until)
        return found[-1] if found else None

    def oldest(self, kind: type) -> Fact | None:
        """Return the first fact of a kind."""
        found = self.facts((kind,))
        return found[0] if found else None

    def fact(self, fact_id: str) -> Fact | None:
        """Return one fact."""
        with self._open():
            return self._by_id.get(fact_id)

    def save_checkpoint(self, checkpoint: Checkpoint) -> None:
        """Keep a checkpoint beside the facts; only the newest few are kept."""
        with self._open():
            self._checkpoints[_mark(checkpoint)] = checkpoint
            keep = worth_keeping(self._checkpoints)
            self._checkpoints = {mark: self._checkpoints[mark] for mark in keep}

    def checkpoint(self, before: datetime, position: int) -> Checkpoint | None:
        """Return the newest checkpoint valid at or before ``before`` that saw <= ``position``."""
        latest_us = microseconds(before)
        with self._open():
            marks = [
                (valid_us, seen)
                for valid_us, seen in self._checkpoints
                if valid_us <= latest_us and seen <= position
            ]
            return self._checkpoints[max(marks)] if marks else None

    def drop_checkpoints(self, valid_after: datetime) -> None:
        """Forget checkpoints valid after this moment: a late fact changed what they hold."""
        latest_us = microseconds(valid_after)
        with self._open():
            self._checkpoints = {
                mark: kept for mark, kept in self._checkpoints.items() if mark[0] <= latest_us
            }

    def backup(self, path: Path) -> None:
        """Write everything to ``path``, as the journal in a file that it might have been."""
        with self._open(), tempfile.TemporaryDirectory() as folder:
            copy = SqliteJournal(Path(folder) / "journal")
            try:
                copy.append(self._appended)
                for checkpoint in self._checkpoints.values():
                    copy.save_checkpoint(checkpoint)
                copy.backup(path)
            finally:
                copy.close()

    def close(self) -> None:
        """Let go of it; what it held is gone."""
        self._closed = True

    @contextmanager
    def _open(self) -> Iterator[None]:
        with self._turn:
            if self._closed:
                raise JournalError("this journal has been closed")
            yield

    def _kept(self, fact: Fact) -> Fact:
        return self._codec.fact(self._codec.stored(fact))

    def _behind(self, at: datetime) -> int:
        microseconds(at)  # refuses a moment without a zone
        return bisect_right(self._in_order, at, key=lambda one: one.valid_at)


def _mark(checkpoint: Checkpoint) -> Mark:
    return microseconds(checkpoint.valid_at), checkpoint.position
