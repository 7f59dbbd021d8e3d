"""What only a journal in a file can meet: other processes, other releases, damage, a power cut."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from irrigate.errors import JournalError
from irrigate.garden.events import Claimed, Fact, Heard
from irrigate.outside.journal.schema import (
    APPLICATION_ID,
    MIGRATIONS,
    migrate,
    refuse_newer,
    version_of,
)
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.ports import Checkpoint

NOON = datetime(2025, 7, 1, 12, tzinfo=UTC)


def heard(name: str) -> Fact:
    """Make a fact."""
    return Fact(name, NOON, NOON, Heard(name, "all"))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Name a file that is not there yet."""
    return tmp_path / "journal.sqlite"


@pytest.fixture
def kept(path: Path) -> Path:
    """Leave a journal with 500 facts behind, closed."""
    with closing(SqliteJournal(path)) as journal:
        journal.append([heard(f"f{index:03}") for index in range(500)])
        journal.claim(Fact("c", NOON, NOON, Claimed("k")))
    return path


def raw(path: Path) -> sqlite3.Connection:
    """Open the file as any program might."""
    return sqlite3.connect(path, isolation_level=None)


# --- one writer, many readers ----------------------------------------------------------------
WRITER = """
import sys, os
from datetime import UTC, datetime
from pathlib import Path
from irrigate.garden.events import Fact, Heard
from irrigate.outside.journal.sqlite import SqliteJournal
noon = datetime(2025, 7, 1, 12, tzinfo=UTC)
journal = SqliteJournal(Path(sys.argv[1]))
for index in range(100_000):
    name = f"w{index:06}"
    journal.append([Fact(name, noon, noon, Heard(name, "all"))], durable=True)
    os.write(1, f"{index}\\n".encode())
"""


@pytest.fixture
def writer(path: Path) -> Iterator[subprocess.Popen[bytes]]:
    """Start another process that writes one durable fact after another, telling each."""
    with subprocess.Popen([sys.executable, "-c", WRITER, path], stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"0\n"
        yield process
        process.kill()
        process.stdout.close()


def test_a_second_writer_is_refused_and_told_who_is_the_first(
    path: Path, writer: subprocess.Popen[bytes]
) -> None:
    """The message names the process that writes."""
    with pytest.raises(JournalError, match=rf"being written by process {writer.pid}\. Only one"):
        SqliteJournal(path)


def test_a_reader_follows_a_writer_in_another_process(
    path: Path, writer: subprocess.Popen[bytes]
) -> None:
    """What has been told as written is there to be read, while more is being written."""
    assert writer.stdout is not None
    with closing(SqliteJournal(path, read_only=True)) as reader:
        for _ in range(20):
            told = int(writer.stdout.readline())
            assert reader.position() > told
            assert reader.fact(f"w{told:06}") is not None


def test_nothing_told_as_durable_is_lost_when_the_writer_is_killed(
    path: Path, writer: subprocess.Popen[bytes]
) -> None:
    """After SIGKILL the next writer gets in at once, and finds every fact that was told."""
    assert writer.stdout is not None
    for _ in range(50):
        told = int(writer.stdout.readline())
    writer.send_signal(signal.SIGKILL)
    writer.wait()
    told = max([told, *map(int, writer.stdout.read().split())])
    with closing(SqliteJournal(path)) as journal:
        # One more may have been written and not yet told.
        assert journal.position() in (told + 1, told + 2)
        assert [fact.id for fact in journal.since(0)][: told + 1] == [
            f"w{index:06}" for index in range(told + 1)
        ]


def test_the_right_to_write_goes_with_the_journal(kept: Path) -> None:
    """Even in one process there is one writer, and closing lets the next one in."""
    first = SqliteJournal(kept)
    with pytest.raises(JournalError, match=f"process {os.getpid()}"):
        SqliteJournal(kept)
    first.close()
    SqliteJournal(kept).close()


def test_a_reader_cannot_write(kept: Path) -> None:
    """Every way to change the journal is refused to a reader, plainly."""
    with closing(SqliteJournal(kept, read_only=True)) as reader:
        for use in (
            lambda: reader.append([heard("x")]),
            lambda: reader.claim(Fact("x", NOON, NOON, Claimed("x"))),
            lambda: reader.save_checkpoint(Checkpoint(NOON, 1, 1, b"")),
            lambda: reader.drop_checkpoints(NOON),
        ):
            with pytest.raises(JournalError, match="opened for reading"):
                use()
        assert reader.position() == 501
        reader.check()


def test_a_reader_can_make_a_backup(kept: Path, tmp_path: Path) -> None:
    """A backup needs no right to write the journal."""
    with closing(SqliteJournal(kept, read_only=True)) as reader:
        reader.backup(tmp_path / "copy")
    with closing(SqliteJournal(tmp_path / "copy", read_only=True)) as copy:
        assert copy.position() == 501


def test_a_backup_is_made_while_the_journal_is_in_use(
    path: Path, writer: subprocess.Popen[bytes], tmp_path: Path
) -> None:
    """The copy holds all that was told before it began, and is whole."""
    assert writer.stdout is not None
    told = int(writer.stdout.readline())
    with closing(SqliteJournal(path, read_only=True)) as reader:
        reader.backup(tmp_path / "copy")
    with closing(SqliteJournal(tmp_path / "copy")) as copy:
        assert copy.position() > told
    assert writer.poll() is None


def test_a_journal_is_not_backed_up_onto_itself(kept: Path, tmp_path: Path) -> None:
    """Neither by its name nor by another way to it."""
    (tmp_path / "link").symlink_to(kept)
    with closing(SqliteJournal(kept)) as journal:
        for itself in (kept, tmp_path / "link"):
            with pytest.raises(JournalError, match="is the journal itself"):
                journal.backup(itself)


def test_a_file_kept_busy_by_another_program_is_waited_for_and_then_given_up(kept: Path) -> None:
    """Somebody with a write transaction open makes it a `JournalError`, not SQLite's own."""
    with closing(SqliteJournal(kept, busy_timeout_s=0.05)) as journal, closing(raw(kept)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(JournalError, match=r"busy by another program for 0\.05 s"):
            journal.append([heard("x")])
        assert journal.position() == 501
        other.execute("ROLLBACK")
        journal.append([heard("x")])
        assert journal.position() == 502


# --- only appended -----------------------------------------------------------------------------
@pytest.mark.parametrize(
    "statement",
    ["UPDATE facts SET who = 'me' WHERE id = 'f000'", "DELETE FROM facts WHERE id = 'f000'"],
)
def test_facts_cannot_be_edited_or_removed_even_by_hand(kept: Path, statement: str) -> None:
    """The file itself refuses, whatever program asks."""
    with closing(raw(kept)) as other:
        with pytest.raises(sqlite3.IntegrityError, match="a fact is never"):
            other.execute(statement)
        told = other.execute("SELECT count(*), count(iif(who = 'me', 1, NULL)) FROM facts")
        assert told.fetchone() == (501, 0)


# --- releases ------------------------------------------------------------------------------------
def test_a_new_file_has_the_newest_form(path: Path) -> None:
    """The header bears our mark and the version; while it is in use the log is written ahead."""
    with closing(SqliteJournal(path)), closing(raw(path)) as other:
        assert other.execute("PRAGMA application_id").fetchone() == (APPLICATION_ID,)
        assert other.execute("PRAGMA user_version").fetchone() == (len(MIGRATIONS),)
        assert other.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_a_journal_at_rest_can_be_read_where_nothing_may_be_written(kept: Path) -> None:
    """After closing it is one file without a log, in a folder that need not be writable."""
    kept.chmod(0o444)
    kept.parent.chmod(0o555)
    try:
        assert [one.name for one in kept.parent.iterdir() if "lock" not in one.name] == [kept.name]
        # SQLite's file format, 1.3: bytes 18 and 19 are 1 with a rollback journal, 2 in WAL.
        assert kept.read_bytes()[18:20] == b"\x01\x01"
        with closing(SqliteJournal(kept, read_only=True)) as reader:
            assert reader.position() == 501
    finally:
        kept.parent.chmod(0o755)


def test_closing_does_not_wait_for_readers_nor_harm_them(kept: Path) -> None:
    """A reader goes on reading after the writer has gone, and the next writer comes in."""
    journal = SqliteJournal(kept)
    with closing(SqliteJournal(kept, read_only=True)) as reader:
        assert reader.position() == 501
        journal.append([heard("x")])
        journal.close()
        assert reader.position() == 502
        with closing(SqliteJournal(kept)) as again:
            again.append([heard("y")])
            assert reader.position() == 503


@pytest.mark.parametrize("read_only", [False, True])
def test_a_file_of_a_newer_release_is_refused(kept: Path, read_only: bool) -> None:
    """It says what to do, and leaves the file as it was."""
    with closing(raw(kept)) as other:
        other.execute(f"PRAGMA user_version = {len(MIGRATIONS) + 1}")
    with pytest.raises(JournalError, match=r"newer release .* Install that release again"):
        SqliteJournal(kept, read_only=read_only)
    with closing(raw(kept)) as other:
        assert other.execute("PRAGMA user_version").fetchone() == (len(MIGRATIONS) + 1,)


def test_a_reader_does_not_bring_an_older_file_up(path: Path) -> None:
    """An empty file is the oldest form there is: the service has to start first."""
    path.touch()
    with pytest.raises(JournalError, match="start the service once"):
        SqliteJournal(path, read_only=True)
    SqliteJournal(path).close()
    SqliteJournal(path, read_only=True).close()


LATER = (
    *MIGRATIONS,
    ("ALTER TABLE facts ADD COLUMN weight REAL", "CREATE INDEX by_weight ON facts (weight)"),
    ("CREATE TABLE extra (a INTEGER) STRICT", "INSERT INTO extra VALUES (7)"),
)


def test_an_older_file_is_brought_up_step_by_step(kept: Path) -> None:
    """Every step of a later release is taken, in order, and the facts stay."""
    with closing(raw(kept)) as connection:
        migrate(connection, version_of(connection, "it"), LATER)
        assert version_of(connection, "it") == len(LATER)
        assert connection.execute("SELECT a FROM extra").fetchall() == [(7,)]
        assert connection.execute("SELECT count(*), count(weight) FROM facts").fetchone() == (
            501,
            0,
        )
        migrate(connection, version_of(connection, "it"), LATER)
        refuse_newer(len(LATER), "it", LATER)
        with pytest.raises(JournalError, match="newer release"):
            refuse_newer(len(LATER), "it")


def test_a_step_that_fails_leaves_the_file_as_it_was(kept: Path) -> None:
    """The steps before it stand, its own statements are undone, and it can be tried again."""
    broken = (
        *LATER[:-1],
        ("CREATE TABLE extra (a INTEGER) STRICT", "INSERT INTO nowhere VALUES (1)"),
    )
    with closing(raw(kept)) as connection:
        with pytest.raises(sqlite3.OperationalError, match="nowhere"):
            migrate(connection, 1, broken)
        assert version_of(connection, "it") == len(LATER) - 1
        assert (
            connection.execute("SELECT name FROM sqlite_master WHERE name = 'extra'").fetchall()
            == []
        )
        migrate(connection, version_of(connection, "it"), LATER)
        assert version_of(connection, "it") == len(LATER)


# --- damage and strangers ------------------------------------------------------------------------
def test_a_damaged_file_is_refused_with_what_to_do(kept: Path) -> None:
    """Pages overwritten in the middle are found before anything is written."""
    content = bytearray(kept.read_bytes())
    content[8192:20480] = os.urandom(12288)
    kept.write_bytes(content)
    with pytest.raises(JournalError, match=r"is damaged\. Stop the service, keep the file aside"):
        SqliteJournal(kept)


def test_a_reader_who_meets_damage_says_so(kept: Path) -> None:
    """A reader does not look for damage unless asked, but never lets SQLite's errors through."""
    content = bytearray(kept.read_bytes())
    content[8192:] = os.urandom(len(content) - 8192)
    kept.write_bytes(content)
    with closing(SqliteJournal(kept, read_only=True)) as reader:
        with pytest.raises(JournalError, match="is damaged"):
            reader.check()
        with pytest.raises(JournalError):
            reader.facts()


def test_a_truncated_file_is_refused(kept: Path) -> None:
    """Half a file is a damaged file."""
    with kept.open("r+b") as file:
        file.truncate(kept.stat().st_size // 2)
    with pytest.raises(JournalError, match="is damaged"):
        SqliteJournal(kept)


def test_a_file_that_is_no_database_is_refused_and_left_alone(path: Path) -> None:
    """A text file by that name stays what it is."""
    path.write_text("my notes about tomatoes\n" * 99)
    for read_only in (False, True):
        with pytest.raises(JournalError, match="is damaged"):
            SqliteJournal(path, read_only=read_only)
    assert path.read_text().startswith("my notes")


def test_another_programs_database_is_refused_and_left_alone(path: Path) -> None:
    """Neither its tables nor its journal mode are touched."""
    with closing(raw(path)) as other:
        other.execute("CREATE TABLE recipes (name TEXT)")
    before = path.read_bytes()
    for read_only in (False, True):
        with pytest.raises(JournalError, match="database of another program"):
            SqliteJournal(path, read_only=read_only)
    assert path.read_bytes() == before


def test_a_refused_file_is_let_go_of(path: Path) -> None:
    """A failure to open leaves no lock behind: once mended, the file opens."""
    path.write_text("not a database, long enough to be looked at" * 20)
    with pytest.raises(JournalError):
        SqliteJournal(path)
    path.unlink()
    SqliteJournal(path).close()


@pytest.mark.parametrize("read_only", [False, True])
def test_a_folder_that_is_not_there_is_said(tmp_path: Path, read_only: bool) -> None:
    """Nothing is made in passing that the gardener did not ask for."""
    with pytest.raises(JournalError, match=r"No such file|no journal at"):
        SqliteJournal(tmp_path / "nowhere" / "journal", read_only=read_only)


def test_a_folder_in_the_files_place_is_said(path: Path) -> None:
    """A directory by the journal's name cannot be opened."""
    path.mkdir()
    for read_only in (False, True):
        with pytest.raises(JournalError, match="is a folder"):
            SqliteJournal(path, read_only=read_only)


def test_a_lock_that_is_a_link_is_not_followed(path: Path, tmp_path: Path) -> None:
    """Whoever may put a link beside the journal cannot have another file emptied."""
    (tmp_path / "precious").write_text("precious")
    (tmp_path / "journal.sqlite.lock").symlink_to(tmp_path / "precious")
    with pytest.raises(JournalError, match="cannot be opened"):
        SqliteJournal(path)
    assert (tmp_path / "precious").read_text() == "precious"


def test_a_full_disk_is_said_and_undone(kept: Path) -> None:
    """When the file cannot grow the batch is undone, and earlier facts can still be read."""
    with closing(SqliteJournal(kept)) as journal:
        pages = journal._connection.execute("PRAGMA page_count").fetchone()[0]
        journal._connection.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(JournalError, match="the disk is full"):
            journal.append([heard(f"more{index}") for index in range(2000)])
        assert journal.position() == 501
