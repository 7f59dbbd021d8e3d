"""The form of the journal's file, and how an older file is brought up to it."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

from irrigate.errors import JournalError

APPLICATION_ID = 0x49524A4C
"""Stands in the file's header, so that another program's database is not taken for ours."""

Migration = tuple[str, ...]

MIGRATIONS: tuple[Migration, ...] = (
    (
        f"PRAGMA application_id = {APPLICATION_ID}",
        """
        CREATE TABLE facts (
            position INTEGER PRIMARY KEY,
            id TEXT NOT NULL UNIQUE,
            valid_us INTEGER NOT NULL,
            recorded_us INTEGER NOT NULL,
            kind TEXT NOT NULL,
            version INTEGER NOT NULL,
            content ANY NOT NULL,
            who TEXT NOT NULL,
            channel TEXT NOT NULL,
            confidence REAL NOT NULL,
            supersedes TEXT,
            claim TEXT
        ) STRICT
        """,
        "CREATE INDEX facts_in_order ON facts (valid_us, recorded_us, id)",
        "CREATE INDEX facts_by_kind ON facts (kind, valid_us)",
        "CREATE UNIQUE INDEX claims ON facts (claim) WHERE claim IS NOT NULL",
        """
        CREATE TRIGGER facts_are_never_edited BEFORE UPDATE ON facts
        BEGIN SELECT RAISE(ABORT, 'a fact is never edited'); END
        """,
        """
        CREATE TRIGGER facts_are_never_removed BEFORE DELETE ON facts
        BEGIN SELECT RAISE(ABORT, 'a fact is never removed'); END
        """,
        """
        CREATE TABLE checkpoints (
            valid_us INTEGER NOT NULL,
            position INTEGER NOT NULL,
            format INTEGER NOT NULL,
            content BLOB NOT NULL,
            PRIMARY KEY (valid_us, position)
        ) STRICT
        """,
    ),
)
"""Entry n brings a file of version n to version n + 1; entries are added, never changed."""


def version_of(connection: sqlite3.Connection, name: str) -> int:
    """Return the version of the file's form (0: empty); refuse a file that is not ours."""
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    application = int(connection.execute("PRAGMA application_id").fetchone()[0])
    tables = int(connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0])
    if application != APPLICATION_ID and (tables or version or application):
        raise JournalError(f"{name} is the database of another program, not a journal")
    return version


def refuse_newer(version: int, name: str, migrations: Sequence[Migration] = MIGRATIONS) -> None:
    """Refuse a file of a form that only a later release can read."""
    if version > len(migrations):
        raise JournalError(
            f"{name} was written by a newer release (form {version}, this one reads up to "
            f"{len(migrations)}). Install that release again, or start from a backup that was "
            "made before it"
        )


def migrate(
    connection: sqlite3.Connection, version: int, migrations: Sequence[Migration] = MIGRATIONS
) -> None:
    """Bring a file from its version to the newest, each step in one transaction."""
    for number, migration in enumerate(migrations[version:], start=version + 1):
        connection.execute("BEGIN IMMEDIATE")
        try:
            for statement in migration:
                connection.execute(statement)
            connection.execute(f"PRAGMA user_version = {number}")
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise
