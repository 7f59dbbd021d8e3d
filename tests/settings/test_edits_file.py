"""Edits written to the file: over the content they were made for, whole or not at all."""

from __future__ import annotations

import fcntl
import os
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread

import pytest

from irrigate.errors import GardenFileError, InputError
from irrigate.settings import replacing
from irrigate.settings.edits import AddPot, SetAtTop, SetInPot, apply_edits, edited, proposed
from irrigate.settings.garden_file import read_settings
from tests.settings.gardens import GARDEN

STRAW = SetInPot("7", "mulch", "straw")
NOBODY = 65534


@pytest.fixture
def path() -> Iterator[Path]:
    """Yield a garden file in a folder that other users may reach."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    file = folder / "garden.yaml"
    file.write_text(GARDEN, encoding="utf-8")
    try:
        yield file
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)


@contextmanager
def without_powers() -> Iterator[None]:
    """Act as a user that permissions hold for, who may be the one we are."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


def give_away(*paths: Path) -> None:
    """Make the files the other user's, where we may."""
    if os.geteuid() == 0:
        for one in paths:
            os.chown(one, NOBODY, NOBODY)


def names_in(folder: Path) -> list[str]:
    """Return the names of the files in a folder."""
    return [one.name for one in folder.iterdir()]


def digest(path: Path) -> str:
    """Return the digest that the file's reader tells."""
    return read_settings(path).digest


def test_edits_are_written(path):
    """The file says what was edited, its digest is told, and nothing is left beside it."""
    new = apply_edits(path, [STRAW], digest(path))
    assert new == digest(path)
    assert path.read_text(encoding="utf-8") == edited(GARDEN, [STRAW])
    assert names_in(path.parent) == ["garden.yaml"]


def test_line_ends_and_mark_on_disk(path):
    """Windows line ends and a byte order mark are on the disk as they were."""
    path.write_bytes(b"\xef\xbb\xbf" + GARDEN.replace("\n", "\r\n").encode())
    apply_edits(path, [STRAW], digest(path))
    content = path.read_bytes()
    assert content.startswith(b"\xef\xbb\xbfgarden: Back yard\r\n")
    assert content.count(b"\n") == content.count(b"\r\n") == GARDEN.count("\n") + 1


def test_a_proposal_writes_nothing(path):
    """What would change is shown with the digest to apply it by; the file stays."""
    proposal = proposed(path, [STRAW])
    assert "+    mulch: straw" in proposal.difference.split("\n")
    assert path.read_text(encoding="utf-8") == GARDEN
    assert apply_edits(path, [STRAW], proposal.digest) == proposal.new_digest


def test_somebody_else_saved_meanwhile(path):
    """Edits made for an older content are refused, and the newer one stays."""
    old = digest(path)
    path.write_text(GARDEN + "# mine\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"^garden\.yaml was changed meanwhile; nothing was writ"):
        apply_edits(path, [STRAW], old)
    assert path.read_text(encoding="utf-8") == GARDEN + "# mine\n"


def test_saved_in_the_last_moment(path):
    """Content that changes while the new one is being prepared is not written over."""

    def somebody_saved() -> None:
        raise InputError("changed")

    with pytest.raises(InputError, match="changed"):
        replacing.replace_content(path, b"x", somebody_saved)
    assert path.read_text(encoding="utf-8") == GARDEN
    assert names_in(path.parent) == ["garden.yaml"]


def test_an_edit_that_spoils_the_garden(path):
    """A value that the reader refuses is refused with its place, and nothing is written."""
    with pytest.raises(GardenFileError) as refused:
        apply_edits(path, [SetInPot("7", "size", "huge"), AddPot("9", {})], digest(path))
    first, *faults = refused.value.faults
    assert first.endswith("with this change the file could not be used; nothing was written")
    assert faults[0].startswith("garden.yaml:25:11: pot 7, size: ")
    assert faults[1].startswith("garden.yaml:42:3: pot 9: “plant” is missing")
    assert path.read_text(encoding="utf-8") == GARDEN


def test_nothing_to_change(path):
    """An edit that says what is there already leaves the file untouched."""
    before = path.stat()
    assert apply_edits(path, [SetInPot("8", "mulch", "straw")], digest(path)) == digest(path)
    assert path.stat().st_ino == before.st_ino


def test_permissions_and_owner_stay(path):
    """Mode, and owner where we may give files away, are those of the file before."""
    path.chmod(0o640)
    give_away(path)
    before = path.stat()
    apply_edits(path, [STRAW], digest(path))
    after = path.stat()
    assert (after.st_mode, after.st_uid, after.st_gid) == (
        before.st_mode,
        before.st_uid,
        before.st_gid,
    )


def test_a_link_is_followed(path, tmp_path):
    """Through a link the file itself is changed, and the link stays one."""
    link = tmp_path / "garden.yaml"
    link.symlink_to(path)
    apply_edits(link, [STRAW], digest(link))
    assert link.is_symlink()
    assert path.read_text(encoding="utf-8") == edited(GARDEN, [STRAW])
    assert names_in(path.parent) == ["garden.yaml"]


def test_links_that_lead_nowhere(tmp_path):
    """A missing file and links in a circle are told in words."""
    one, other = tmp_path / "one", tmp_path / "other"
    one.symlink_to(other)
    other.symlink_to(one)
    with pytest.raises(InputError, match="cannot be reached"):
        apply_edits(one, [STRAW], "")
    with pytest.raises(InputError, match="there is no such file"):
        apply_edits(tmp_path / "none.yaml", [STRAW], "")


def test_a_read_only_file(path):
    """A file that was made read-only is not replaced, though the folder would allow it."""
    path.chmod(0o444)
    with pytest.raises(InputError, match=r"is read-only.*chmod u\+w garden\.yaml"):
        apply_edits(path, [STRAW], digest(path))
    assert path.read_text(encoding="utf-8") == GARDEN


def test_a_read_only_folder(path):
    """Where nothing may be written in the folder, the message says so and how to mend it."""
    give_away(path)
    path.parent.chmod(0o555)
    with without_powers(), pytest.raises(InputError, match="may not write in the folder"):
        apply_edits(path, [STRAW], digest(path))
    assert path.read_text(encoding="utf-8") == GARDEN


def test_a_folder_that_may_not_be_listed(path):
    """A folder that cannot be opened is refused in words too."""
    give_away(path, path.parent)
    path.parent.chmod(0o311)
    with without_powers(), pytest.raises(InputError, match="may not write in the folder"):
        apply_edits(path, [STRAW], "")
    path.parent.chmod(0o755)


def test_a_full_disk(path):
    """When the new content does not fit, the old one stays and nothing is left beside it."""
    old, limits = digest(path), resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (64, limits[1]))
    try:
        with pytest.raises(InputError, match=r"could not be written .*; it is as it was"):
            apply_edits(path, [STRAW], old)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert path.read_text(encoding="utf-8") == GARDEN
    assert names_in(path.parent) == ["garden.yaml"]


def test_what_a_power_cut_left_behind(path, tmp_path):
    """A half-written name from an earlier edit is taken over; a link there is not followed."""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.write_text("mine", encoding="utf-8")
    (path.parent / ".garden.yaml.new").symlink_to(elsewhere)
    apply_edits(path, [STRAW], digest(path))
    assert elsewhere.read_text(encoding="utf-8") == "mine"
    assert names_in(path.parent) == ["garden.yaml"]


def test_two_of_our_own_at_once(path):
    """Whoever does not get a turn is told so; with a turn, nobody's edit is lost."""
    labels = ["7", "07a", "8"]
    refusals: list[str] = []

    def keep_trying(label: str) -> None:
        for percent in range(1, 6):
            while True:
                try:
                    apply_edits(path, [SetInPot(label, "risk", f"{percent} %")], digest(path))
                except InputError as refused:
                    refusals.append(str(refused))
                else:
                    break

    threads = [Thread(target=keep_trying, args=(label,)) for label in labels]
    done = Event()
    seen: list[int] = []

    def keep_reading() -> None:
        while not done.is_set():
            seen.append(len(read_settings(path).garden.pots))

    reader = Thread(target=keep_reading)
    for thread in [*threads, reader]:
        thread.start()
    for thread in threads:
        thread.join()
    done.set()
    reader.join()
    assert [pot.risk for pot in read_settings(path).garden.pots] == [0.05, 0.05, 0.05]
    assert set(seen) == {3}
    assert set(refusals) <= {"garden.yaml was changed meanwhile; nothing was written"}
    assert names_in(path.parent) == ["garden.yaml"]


def test_another_process_has_the_turn(path, monkeypatch):
    """A process that keeps the folder for itself is waited for, and not for ever."""
    monkeypatch.setattr(replacing, "LONGEST_WAIT_S", 0.1)
    hold = (
        "import fcntl, os, sys; fcntl.flock(os.open(sys.argv[1], 0), fcntl.LOCK_EX); "
        "print(1, flush=True); input()"
    )
    with subprocess.Popen(
        [sys.executable, "-c", hold, str(path.parent)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as other:
        assert other.stdout.readline() == "1\n"
        with pytest.raises(InputError, match="is being changed by another process"):
            apply_edits(path, [STRAW], digest(path))
        other.communicate("\n")
    apply_edits(path, [STRAW], digest(path))
    folder = os.open(path.parent, os.O_RDONLY)
    fcntl.flock(folder, fcntl.LOCK_EX | fcntl.LOCK_NB)  # the turn was given back
    os.close(folder)


def test_a_file_that_would_grow_too_large(path):
    """What the reader would refuse for its size is not written."""
    with pytest.raises(InputError, match="it would be larger than 1000 kB"):
        apply_edits(path, [SetAtTop("garden", "x" * 1_000_000)], digest(path))


def test_the_page_is_held_to_its_limits_on_disk(path):
    """What is not the page's to change is refused before anything is written."""
    with pytest.raises(InputError, match="“weather” is not changed from the page"):
        apply_edits(path, [SetAtTop("weather", "x")], digest(path), by_page=True)
    assert path.read_text(encoding="utf-8") == GARDEN
