"""What only an inbox in a folder can meet: other processes, strangers' files, a sudden end."""

from __future__ import annotations

import json
import os
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.errors import JournalError
from irrigate.outside.inbox.paper import LARGEST_BYTES, file_name, written
from irrigate.outside.inbox.spool import SpoolInbox
from irrigate.ports import Item

NOON = datetime(2025, 7, 1, 12, tzinfo=UTC)


def item(key: str) -> Item:
    """Make an item."""
    return Item(key, NOON, "Ana", "page", "all")


@pytest.fixture
def inbox(tmp_path: Path) -> SpoolInbox:
    """Open an inbox in a new folder."""
    return SpoolInbox(tmp_path / "inbox")


# --- rights ------------------------------------------------------------------------------------
def test_the_folder_is_made_for_its_group(tmp_path: Path) -> None:
    """Owner and group may write, others not even look, and files take the folder's group."""
    before = os.umask(0o077)
    try:
        inbox = SpoolInbox(tmp_path / "inbox")
        inbox.put(item("k"))
    finally:
        os.umask(before)
    assert stat.S_IMODE(inbox.directory.stat().st_mode) == 0o2770
    (file,) = inbox.directory.iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o660


def test_a_folder_that_is_there_keeps_its_rights(tmp_path: Path) -> None:
    """What the gardener set up is left alone."""
    (tmp_path / "inbox").mkdir(mode=0o700)
    SpoolInbox(tmp_path / "inbox").put(item("k"))
    assert stat.S_IMODE((tmp_path / "inbox").stat().st_mode) == 0o700


def test_a_file_is_named_by_time_and_key(inbox: SpoolInbox) -> None:
    """One JSON document each, readable with the eye, under a name that sorts."""
    inbox.put(item("k"))
    (file,) = inbox.directory.iterdir()
    assert file.name == file_name(item("k"))
    assert file.name.startswith("20250701T120000000000Z-")
    assert json.loads(file.read_text())["text"] == "all"


@pytest.mark.parametrize(
    "use",
    [
        lambda inbox: inbox.put(item("k")),
        lambda inbox: inbox.waiting(),
        lambda inbox: inbox.done(["k"]),
        lambda inbox: inbox.has_waiting(),
    ],
)
def test_a_folder_that_went_away_is_a_journal_error(
    inbox: SpoolInbox, use: Callable[[SpoolInbox], object]
) -> None:
    """What cannot be kept is not said to be kept, and the message names the folder."""
    inbox.directory.rmdir()
    with pytest.raises(JournalError, match=f"{inbox.directory} cannot be .*: No such file"):
        use(inbox)


def test_a_folder_that_cannot_be_made_is_a_journal_error(tmp_path: Path) -> None:
    """The folder above has to be there."""
    with pytest.raises(JournalError, match="cannot be made"):
        SpoolInbox(tmp_path / "nowhere" / "inbox")


# --- strangers -----------------------------------------------------------------------------------
def strange_file(content: bytes) -> Callable[[Path], None]:
    """Make a maker of a file with this content."""

    def make(path: Path) -> None:
        path.write_bytes(content)

    return make


GOOD = written(item("good"))
STRANGERS: dict[str, Callable[[Path], object]] = {
    "empty": strange_file(b""),
    "half": strange_file(GOOD[: len(GOOD) // 2]),
    "no json": strange_file(b"\xff\xfe\x00"),
    "a list": strange_file(b"[]"),
    "deep": strange_file(b"[" * 60_000),
    "newer": strange_file(GOOD.replace(b'"format": 1', b'"format": 2')),
    "one field less": strange_file(GOOD.replace(b'"who": "Ana",', b"")),
    "wrong type": strange_file(GOOD.replace(b'"Ana"', b"7")),
    "no zone": strange_file(GOOD.replace(b"+00:00", b"")),
    "wrong name": strange_file(GOOD),
    "too large": strange_file(GOOD + b" " * LARGEST_BYTES),
    "folder": Path.mkdir,
    "pipe": lambda path: os.mkfifo(path),
    "link": lambda path: path.symlink_to("/etc/hostname"),
    "dangling link": lambda path: path.symlink_to("/nowhere"),
    "n" * 255: strange_file(b"a name as long as a name can be"),
    ".hidden": strange_file(b"some editor's"),
    "x.why.txt": strange_file(b"looks like a note"),
}


@pytest.mark.parametrize("name", list(STRANGERS), ids=lambda name: name[:20])
def test_what_is_no_item_is_set_aside_with_a_note(inbox: SpoolInbox, name: str) -> None:
    """It is moved, not followed, not deleted and not in the way; the note says why."""
    inbox.put(item("before"))
    STRANGERS[name](inbox.directory / name)
    inbox.put(item("behind"))
    assert {one.key for one in inbox.waiting()} == {"before", "behind"}
    aside = sorted(path.name for path in (inbox.directory / "set-aside").iterdir())
    assert len(aside) == 2
    note = (inbox.directory / "set-aside" / aside[1]).read_text()
    assert aside[1] == aside[0] + ".why.txt"
    assert note.startswith("Set aside because it could not be read: ")
    assert len(note.split(": ", 1)[1].strip()) > 5
    inbox.done(["before", "behind"])
    assert inbox.waiting() == []
    assert not inbox.has_waiting()


def test_a_second_stranger_of_one_name_does_not_replace_the_first(inbox: SpoolInbox) -> None:
    """Both are kept, each with its note."""
    for content in ("one", "two", "three"):
        (inbox.directory / "stranger").write_text(content)
        inbox.waiting()
    aside = inbox.directory / "set-aside"
    assert {path.name for path in aside.iterdir()} == {
        name + ending
        for name in ("stranger", "stranger.2", "stranger.3")
        for ending in ("", ".why.txt")
    }
    assert [(aside / f"stranger{n}").read_text() for n in ("", ".2", ".3")] == [
        "one",
        "two",
        "three",
    ]


def test_a_stranger_that_cannot_be_moved_does_not_keep_the_others(
    inbox: SpoolInbox, tmp_path: Path
) -> None:
    """A link in the place of ``set-aside`` is not followed; the items are read all the same."""
    (tmp_path / "elsewhere").mkdir()
    (inbox.directory / "set-aside").symlink_to(tmp_path / "elsewhere")
    (inbox.directory / "stranger").write_text("?")
    inbox.put(item("k"))
    assert inbox.waiting() == [item("k")]
    assert list((tmp_path / "elsewhere").iterdir()) == []
    inbox.done(["k"])
    assert not inbox.has_waiting()


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(content=st.binary(max_size=200) | st.binary(max_size=3).map(lambda tail: GOOD[:-2] + tail))
def test_no_content_can_make_reading_fail(tmp_path: Path, content: bytes) -> None:
    """Whatever bytes stand in a file, reading the inbox goes on."""
    inbox = SpoolInbox(tmp_path / "inbox")
    (inbox.directory / file_name(item("good"))).write_bytes(content)
    assert [one.key for one in inbox.waiting()] in ([], ["good"])


# --- processes -----------------------------------------------------------------------------------
PUTTER = """
import os, sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from irrigate.outside.inbox.spool import SpoolInbox
from irrigate.ports import Item
inbox, name, count = SpoolInbox(Path(sys.argv[1])), sys.argv[2], int(sys.argv[3])
noon = datetime(2025, 7, 1, 12, tzinfo=UTC)
for index in range(count):
    for key in (f"{name}-{index}", f"shared-{index}"):
        inbox.put(Item(key, noon + timedelta(seconds=index), name, "shell", key * 50))
        os.write(1, (key + "\\n").encode())
"""


def putting(inbox: SpoolInbox, name: str, count: int) -> subprocess.Popen[bytes]:
    """Start a process that puts items and tells each when it is acknowledged."""
    command = [sys.executable, "-c", PUTTER, inbox.directory, name, str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE)


def test_several_processes_put_at_once_and_one_takes(inbox: SpoolInbox) -> None:
    """Nothing is lost, nothing comes twice at one time, and a key shared by all is one item."""
    processes = [putting(inbox, f"p{number}", 40) for number in range(3)]
    taken: set[str] = set()
    while any(process.poll() is None for process in processes) or inbox.has_waiting():
        now = inbox.waiting()
        assert len({one.key for one in now}) == len(now)
        assert all(one.text == one.key * 50 for one in now)
        taken |= {one.key for one in now}
        inbox.done([one.key for one in now])
        time.sleep(0.001)
    for process in processes:
        process.communicate()
        assert process.returncode == 0
    assert taken == {
        f"{name}-{index}" for name in ("p0", "p1", "p2", "shared") for index in range(40)
    }
    assert list(inbox.directory.iterdir()) == []


def test_a_killed_process_loses_nothing_that_was_acknowledged(inbox: SpoolInbox) -> None:
    """After SIGKILL in the midst of putting, all it told is there, whole, and no scrap is left."""
    for attempt in range(4):
        process = putting(inbox, f"q{attempt}", 100_000)
        assert process.stdout is not None
        told = {process.stdout.readline().decode().strip() for _ in range(1 + 7 * attempt)}
        process.send_signal(signal.SIGKILL)
        process.wait()
        told |= set(process.stdout.read().decode().split())
        process.stdout.close()
        waiting = {one.key for one in inbox.waiting()}
        assert told <= waiting
        inbox.done(list(waiting))
        inbox.waiting()
        assert list(inbox.directory.iterdir()) == []


def test_a_scrap_of_a_dead_process_is_removed_and_that_of_a_living_one_is_not(
    inbox: SpoolInbox,
) -> None:
    """Whether somebody holds its lock tells the one from the other."""
    dead, living = inbox.directory / ".passing-dead", inbox.directory / ".passing-living"
    dead.write_bytes(GOOD[:10])
    holding = (
        "import fcntl,sys; f=open(sys.argv[1],'w'); fcntl.flock(f,2); print(flush=True); input()"
    )
    with subprocess.Popen(
        [sys.executable, "-c", holding, living], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        process.stdout.readline()
        assert not inbox.has_waiting()
        assert inbox.waiting() == []
        assert (dead.exists(), living.exists()) == (False, True)
        process.kill()
    inbox.waiting()
    assert not living.exists()
