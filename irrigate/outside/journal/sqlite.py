"""The journal in one SQLite file: append-only facts, claims, and a few checkpoints."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import astuple, fields
from datetime import datetime
from pathlib import Path
from threading import RLock
from typing import Any

from irrigate.errors import JournalError
from irrigate.garden.events import Claimed, Fact, Unknown
from irrigate.outside.journal.codec import Codec, Stored, microseconds, moment
from irrigate.outside.journal.publishing import published
from irrigate.outside.journal.retention import worth_keeping
from irrigate.outside.journal.schema import MIGRATIONS, migrate, refuse_newer, version_of
from irrigate.outside.journal.writer_lock import WriterLock
from irrigate.ports import Checkpoint

_COLUMNS = ", ".join(field.name for field in fields(Stored))
_PLACES = ", ".join("?" for _ in fields(Stored))
_INSERT = f"INSERT INTO facts ({_COLUMNS}) VALUES ({_PLACES})"  # noqa: S608 - our own names
_SELECT = f"SELECT {_COLUMNS} FROM facts"  # noqa: S608 - our own names
_WAL_KEPT_BYTES = 4 * 1024 * 1024


class SqliteJournal:
    """`irrigate.ports.Journal` in a file. One process writes; any number read beside it.

    May be used from several threads: they take turns.

    Parameters
    ----------
    path : the file; made if it is not there, unless ``read_only``.
    read_only : leave the writing to another process; the file's health is not examined.
    busy_timeout_s : how long another program may keep the file to itself [s].
    """

    def __init__(self, path: Path, *, read_only: bool = False, busy_timeout_s: float = 5.0) -> None:
        self.path = Path(path).absolute()
        self._codec = Codec()
        self._turn = RLock()
        self._timeout_s = busy_timeout_s
        self._read_only = read_only
        self._closed = False
        self._writer = None if read_only else WriterLock(self.path)
        try:
            with self._plain_errors():
                self._connection = self._connect(read_only=read_only)
                try:
                    self._prepare()
                except BaseException:
                    self._connection.close()
                    raise
        except BaseException:
            if self._writer is not None:
                self._writer.release()
            raise

    # --- facts ------------------------------------------------------------------------------
    def append(self, facts: Sequence[Fact], *, durable: bool = False) -> None:
        """Add facts in one transaction; a known id is passed over. ``durable``: on the platter."""
        rows = [self._codec.stored(fact) for fact in facts]
        with self._transaction(durable=durable):
            for row in rows:
                if not self._has("id", row.id):
                    if row.claim is not None and self._has("claim", row.claim):
                        raise JournalError(f"{row.claim!r} was claimed before")
                    self._connection.execute(_INSERT, astuple(row))

    def claim(self, fact: Fact) -> bool:
        """Append a `Claimed` fact durably unless its key was claimed before; say which."""
        if not isinstance(fact.body, Claimed):
            raise TypeError("only a Claimed can be claimed")
        row = self._codec.stored(fact)
        with self._transaction(durable=True):
            if self._has("claim", fact.body.key):
                return False
            if self._has("id", row.id):
                raise JournalError(f"fact {row.id} is there already, and is no claim of this key")
            self._connection.execute(_INSERT, astuple(row))
        return True

    def claimed(self, key: str) -> bool:
        """Return whether the key has been claimed."""
        with self._reading():
            return self._has("claim", key)

    def position(self) -> int:
        """Return how many facts there are; it only grows."""
        with self._reading():
            return self._position()

    def since(self, position: int) -> list[Fact]:
        """Return the facts appended after ``position``, in order of appending."""
        return self._found("WHERE position > ? ORDER BY position", (position,))

    def facts(
        self,
        kinds: Sequence[type] | None = None,
        *,
        valid_after: datetime | None = None,
        valid_until: datetime | None = None,
    ) -> list[Fact]:
        """Return facts by (valid_at, recorded_at, id): after (exclusive) and until (inclusive)."""
        after = -(2**63) if valid_after is None else microseconds(valid_after)
        until = 2**63 - 1 if valid_until is None else microseconds(valid_until)
        window, span = "valid_us > ? AND valid_us <= ?", (after, until)
        if kinds is None:
            return self._found(f"WHERE {window} ORDER BY valid_us, recorded_us, id", span)
        known = self._codec.known(kinds)
        with self._reading():
            found = [
                fact
                for one in known
                for fact in self._found(f"WHERE kind = ? AND version <= ? AND {window}", one + span)
            ]
            if Unknown in kinds:
                mine = self._codec.known()
                none_of_mine = "AND NOT (kind = ? AND version <= ?) " * len(mine)
                values = [*span, *(value for one in mine for value in one)]
                found += self._found(f"WHERE {window} {none_of_mine}", values)
        return sorted(found, key=lambda fact: fact.order)

    def newest(self, kind: type, *, valid_until: datetime | None = None) -> Fact | None:
        """Return the last fact of a kind, without reading the rest."""
        until = 2**63 - 1 if valid_until is None else microseconds(valid_until)
        return self._first_of(kind, "AND valid_us <= ?", (until,), "DESC")

    def oldest(self, kind: type) -> Fact | None:
        """Return the first fact of a kind."""
        return self._first_of(kind, "", (), "ASC")

    def _first_of(self, kind: type, also: str, values: tuple[int, ...], way: str) -> Fact | None:
        ((name, version),) = self._codec.known((kind,))
        order = f"ORDER BY valid_us {way}, recorded_us {way}, id {way} LIMIT 1"
        found = self._found(
            f"WHERE kind = ? AND version <= ? {also} {order}", (name, version, *values)
        )
        return found[0] if found else None

    def fact(self, fact_id: str) -> Fact | None:
        """Return one fact."""
        found = self._found("WHERE id = ?", (fact_id,))
        return found[0] if found else None

    # --- checkpoints ------------------------------------------------------------------------
    def save_checkpoint(self, checkpoint: Checkpoint) -> None:
        """Keep a checkpoint beside the facts; only the newest few are kept."""
        row = (
            microseconds(checkpoint.valid_at),
            checkpoint.position,
            checkpoint.format,
            checkpoint.content,
        )
        with self._transaction():
            self._connection.execute("INSERT OR REPLACE INTO checkpoints VALUES (?, ?, ?, ?)", row)
            marks = set(self._rows("SELECT valid_us, position FROM checkpoints"))
            self._connection.executemany(
                "DELETE FROM checkpoints WHERE valid_us = ? AND position = ?",
                sorted(marks - worth_keeping(marks)),
            )

    def checkpoint(self, before: datetime, position: int) -> Checkpoint | None:
        """Return the newest checkpoint valid at or before ``before`` that saw <= ``position``."""
        with self._reading():
            found = self._rows(
                "SELECT valid_us, position, format, content FROM checkpoints"
                " WHERE valid_us <= ? AND position <= ?"
                " ORDER BY valid_us DESC, position DESC LIMIT 1",
                (microseconds(before), position),
            )
        return Checkpoint(moment(found[0][0]), *found[0][1:]) if found else None

    def drop_checkpoints(self, valid_after: datetime) -> None:
        """Forget checkpoints valid after this moment: a late fact changed what they hold."""
        with self._transaction():
            self._connection.execute(
                "DELETE FROM checkpoints WHERE valid_us > ?", (microseconds(valid_after),)
            )

    # --- the file as a whole ----------------------------------------------------------------
    def backup(self, path: Path) -> None:
        """Copy the whole journal to ``path`` while it stays in use."""
        self._refuse_closed()
        if Path(path).absolute().resolve() == self.path.resolve():
            raise JournalError(f"{path} is the journal itself: name another file for its backup")
        # A connection of its own, so that nobody waits for the copy.
        with (
            self._plain_errors(),
            closing(self._connect(read_only=True)) as source,
            published(Path(path)) as draft,
            closing(sqlite3.connect(draft, isolation_level=None)) as target,
        ):
            source.backup(target)
            # So that the copy is one file, and can be read from a medium that is not written.
            target.execute("PRAGMA journal_mode = DELETE")
            _refuse_damaged(target, draft)

    def check(self) -> None:
        """Read the whole file through; raise if it is damaged."""
        with self._reading():
            _refuse_damaged(self._connection, self.path)

    def close(self) -> None:
        """Let go of it."""
        with self._turn, self._plain_errors():
            if not (self._closed or self._read_only):
                self._leave_readable()
            self._closed = True
            self._connection.close()
            if self._writer is not None:
                self._writer.release()

    # --- underneath ---------------------------------------------------------------------------
    def _connect(self, *, read_only: bool) -> sqlite3.Connection:
        if self.path.is_dir():
            raise JournalError(f"{self.path} is a folder: the journal needs a file of its own")
        if read_only and not self.path.exists():
            raise JournalError(f"there is no journal at {self.path} yet: it is made by the service")
        return sqlite3.connect(
            f"{self.path.as_uri()}?mode={'ro' if read_only else 'rwc'}",
            uri=True,
            timeout=self._timeout_s,
            isolation_level=None,
            check_same_thread=False,
        )

    def _leave_readable(self) -> None:
        """Fold the log into the file, so that whoever may only read the folder can read it."""
        with suppress(sqlite3.OperationalError):  # readers at work: they go on with the log
            self._connection.execute("PRAGMA busy_timeout = 0")
            self._connection.execute("PRAGMA journal_mode = DELETE")

    def _prepare(self) -> None:
        version = version_of(self._connection, str(self.path))
        refuse_newer(version, str(self.path))
        if self._read_only:
            if version < len(MIGRATIONS):
                raise JournalError(
                    f"{self.path} has the form of an older release: start the service once, "
                    "which brings it up"
                )
            return
        _refuse_damaged(self._connection, self.path)
        mode = self._connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
        if mode != "wal":
            raise JournalError(
                f"{self.path}: this file system cannot hold a journal that is read while it is "
                "written (SQLite's WAL): keep it on a local disk or card"
            )
        self._connection.execute(f"PRAGMA journal_size_limit = {_WAL_KEPT_BYTES}")
        migrate(self._connection, version)
        self._connection.execute("PRAGMA synchronous = NORMAL")

    @contextmanager
    def _reading(self) -> Iterator[None]:
        with self._turn, self._plain_errors():
            self._refuse_closed()
            yield

    @contextmanager
    def _transaction(self, *, durable: bool = False) -> Iterator[None]:
        if self._read_only:
            raise JournalError(f"{self.path} was opened for reading: the service alone writes it")
        with self._reading():
            # Only outside of a transaction can the next one be told to reach the platter.
            self._connection.execute(f"PRAGMA synchronous = {'FULL' if durable else 'NORMAL'}")
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise

    def _refuse_closed(self) -> None:
        if self._closed:
            raise JournalError(f"{self.path} has been closed")

    @contextmanager
    def _plain_errors(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as error:
            raise JournalError(f"{self.path} {_said(error, self._timeout_s)}") from error
        except OSError as error:
            raise JournalError(f"{self.path} cannot be opened: {error.strerror}") from error

    def _rows(self, query: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        return self._connection.execute(query, values).fetchall()

    def _has(self, column: str, value: str) -> bool:
        query = f"SELECT 1 FROM facts WHERE {column} = ?"  # noqa: S608 - our own names
        return bool(self._rows(query, (value,)))

    def _position(self) -> int:
        return int(self._rows("SELECT coalesce(max(position), 0) FROM facts")[0][0])

    def _found(self, condition: str, values: Sequence[Any] = ()) -> list[Fact]:
        with self._reading():
            rows = self._rows(f"{_SELECT} {condition}", values)
        return [self._codec.fact(Stored(*row)) for row in rows]


def _refuse_damaged(connection: sqlite3.Connection, path: Path) -> None:
    finding = connection.execute("PRAGMA quick_check(1)").fetchone()[0]
    if finding != "ok":
        raise JournalError(f"{path} {_DAMAGED} ({finding})")


_DAMAGED = (
    "is damaged. Stop the service, keep the file aside, and put the newest backup in its place"
)
_SAID = {
    sqlite3.SQLITE_CORRUPT: _DAMAGED,
    sqlite3.SQLITE_NOTADB: _DAMAGED,
    sqlite3.SQLITE_FULL: "cannot grow: the disk is full",
    sqlite3.SQLITE_READONLY: "cannot be written: look at the rights of the file and its folder",
    sqlite3.SQLITE_CANTOPEN: "cannot be opened: look for its folder and the rights there",
    sqlite3.SQLITE_PERM: "cannot be opened: look at the rights of the file and its folder",
    sqlite3.SQLITE_IOERR: "cannot be read or written: the disk or card may be failing",
}


def _said(error: sqlite3.Error, timeout_s: float) -> str:
    """Return what a gardener can make of SQLite's error, and its own words."""
    code = getattr(error, "sqlite_errorcode", -1) & 0xFF
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        plain = f"was kept busy by another program for {timeout_s:g} s: try again, or stop it"
    else:
        plain = _SAID.get(code, "failed")
    return f"{plain} ({error})"
