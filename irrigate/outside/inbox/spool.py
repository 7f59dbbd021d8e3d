"""The inbox as a folder: one file for each item, from any process of the group.

A file is written under a passing name, brought to the platter, and only then given the name under
which it is found: no reader ever meets half an item, and an item that was acknowledged survives
a power cut. What does not belong is moved into ``set-aside/`` with a note that says why.
"""

from __future__ import annotations

import fcntl
import os
import secrets
import stat
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path

from irrigate.errors import JournalError
from irrigate.outside.inbox.paper import LARGEST_BYTES, file_name, mark, read, written
from irrigate.ports import Item

SET_ASIDE = "set-aside"
_PASSING = ".passing-"
_FOLDER_MODE = 0o2770  # what is put here belongs to the group of the folder
_FILE_MODE = 0o660
_TRIES = 5
_NOTE = ".why.txt"
_LONGEST_NAME = 200  # a note's name has to fit as well


class SpoolInbox:
    """`irrigate.ports.Inbox` in a folder; any number of processes put, one takes.

    A key is one item for as long as it waits; whether it was done before, the journal knows. A
    folder that cannot be read or written is a `JournalError`.

    Parameters
    ----------
    directory : the folder; made, writable for its group, if it is not there.
    """

    def __init__(self, directory: Path) -> None:
        self.directory = Path(directory).absolute()
        with self._plain_errors("made"):
            if not self.directory.is_dir():
                self._make()
        self._stuck: set[str] = set()

    # --- for whoever has something to say ---------------------------------------------------
    def put(self, item: Item) -> None:
        """Keep the item; it is on disk when this returns. A key that waits already is kept once."""
        content, name = written(item), file_name(item)
        with self._plain_errors("written"), self._folder() as folder:
            if not self._named(folder, mark(item.key)):
                _write(folder, name, content)
            # For a repeat too: the first may not have reached the platter yet.
            os.fsync(folder)

    # --- for the daemon -----------------------------------------------------------------------
    def has_waiting(self) -> bool:
        """Return whether there is anything to look at; cheap enough for once a second."""
        with self._plain_errors("read"), os.scandir(self.directory) as entries:
            return any(self._concerns_us(entry.name) for entry in entries)

    def waiting(self) -> list[Item]:
        """Return what has not been marked done, in order of arrival; set aside what is no item."""
        items: dict[str, Item] = {}
        with self._plain_errors("read"), self._folder() as folder:
            for name in sorted(_names(folder)):
                if name.startswith(_PASSING):
                    _remove_if_abandoned(folder, name)
                elif self._concerns_us(name):
                    item = self._read_or_set_aside(folder, name)
                    if item is not None:
                        # Two processes may have put one key at one time: the earlier stands.
                        items.setdefault(item.key, item)
        return list(items.values())

    def done(self, keys: Sequence[str]) -> None:
        """Forget the items: their facts are in the journal."""
        with self._plain_errors("written"), self._folder() as folder:
            marks = {mark(key) for key in keys}
            for name in self._named(folder, *marks):
                with suppress(FileNotFoundError):
                    os.unlink(name, dir_fd=folder)
            # Not brought to the platter: after a power cut they come again, and are recognised.

    # --- underneath -----------------------------------------------------------------------------
    def _concerns_us(self, name: str) -> bool:
        """Return whether a name in the folder is one to look at: an item, or something foreign."""
        return not (name == SET_ASIDE or name.startswith(_PASSING) or name in self._stuck)

    def _read_or_set_aside(self, folder: int, name: str) -> Item | None:
        try:
            return _read(folder, name)
        except FileNotFoundError:
            return None  # somebody else took it
        except (OSError, ValueError, RecursionError) as fault:
            why = fault.strerror if isinstance(fault, OSError) else str(fault)
        try:
            _set_aside(folder, name, why or "no reason given")
        except OSError:
            # It stays where it is, and must not keep the others from being read.
            self._stuck.add(name)
        return None

    def _make(self) -> None:
        try:
            self.directory.mkdir(mode=0o700)
        except FileExistsError:
            return  # another process was quicker
        self.directory.chmod(_FOLDER_MODE)  # mkdir leaves out what the umask says
        _to_the_platter(self.directory.parent)

    @contextmanager
    def _folder(self) -> Iterator[int]:
        folder = os.open(self.directory, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
        try:
            yield folder
        finally:
            os.close(folder)

    @contextmanager
    def _plain_errors(self, what: str) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            raise JournalError(
                f"the inbox {self.directory} cannot be {what}: {error.strerror}"
            ) from error

    @staticmethod
    def _named(folder: int, *marks: str) -> list[str]:
        endings = tuple(f"-{one}.json" for one in marks)
        return [name for name in _names(folder) if name.endswith(endings)]


def _names(folder: int) -> list[str]:
    with os.scandir(folder) as entries:
        return [entry.name for entry in entries]


def _to_the_platter(folder: Path) -> None:
    opened = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def _write(folder: int, name: str, content: bytes) -> None:
    """Make the file appear whole under its name."""
    for attempt in range(1, _TRIES + 1):
        passing = _PASSING + secrets.token_hex(8)
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC | os.O_NOFOLLOW
        opened = os.open(passing, flags, _FILE_MODE, dir_fd=folder)
        try:
            # Says that somebody is at work on it: see _remove_if_abandoned.
            fcntl.flock(opened, fcntl.LOCK_EX)
            os.fchmod(opened, _FILE_MODE)  # the umask must not keep the daemon from reading it
            _write_all(opened, content)
            os.fsync(opened)
            os.rename(passing, name, src_dir_fd=folder, dst_dir_fd=folder)
            return
        except BaseException as error:
            with suppress(OSError):
                os.unlink(passing, dir_fd=folder)
            # Taken for abandoned between its making and its locking: once more.
            if not isinstance(error, FileNotFoundError) or attempt == _TRIES:
                raise
        finally:
            os.close(opened)


def _write_all(opened: int, content: bytes) -> None:
    rest = memoryview(content)
    while rest:
        rest = rest[os.write(opened, rest) :]


def _remove_if_abandoned(folder: int, name: str) -> None:
    """Remove a passing file whose writer has died: nobody holds its lock any more."""
    with suppress(OSError):
        opened = os.open(name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK, dir_fd=folder)
        try:
            fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
            os.unlink(name, dir_fd=folder)
        finally:
            os.close(opened)


def _read(folder: int, name: str) -> Item:
    """Return the item in a file; links, devices and whatever else is no plain file are refused."""
    opened = os.open(name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK, dir_fd=folder)
    try:
        if not stat.S_ISREG(os.fstat(opened).st_mode):
            raise ValueError("it is not a plain file")
        with os.fdopen(opened, "rb", closefd=False) as file:
            content = file.read(LARGEST_BYTES + 1)
    finally:
        os.close(opened)
    if len(content) > LARGEST_BYTES:
        raise ValueError(f"it is larger than {LARGEST_BYTES} bytes")
    item = read(content)
    if file_name(item) != name:
        raise ValueError("its name is not that of the item in it")
    return item


def _set_aside(folder: int, name: str, why: str) -> None:
    """Move what cannot be read out of the way, with a note beside it."""
    with suppress(FileExistsError):
        os.mkdir(SET_ASIDE, _FOLDER_MODE, dir_fd=folder)
    flags = os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW | os.O_CLOEXEC
    aside = os.open(SET_ASIDE, flags, dir_fd=folder)
    try:
        free = _free_name(name, set(_names(aside)))
        with suppress(FileNotFoundError):
            os.rename(name, free, src_dir_fd=folder, dst_dir_fd=aside)
            flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW
            note = os.open(free + _NOTE, flags, _FILE_MODE, dir_fd=aside)
            with os.fdopen(note, "w", encoding="utf-8", errors="replace") as file:
                file.write(f"Set aside because it could not be read: {why}\n")
    finally:
        os.close(aside)


def _free_name(name: str, taken: set[str]) -> str:
    """Return the name, or the name with 2, 3 … behind it, such that it and its note are free."""
    stem = name if len(os.fsencode(name)) <= _LONGEST_NAME else mark(name)
    candidates = (stem if number == 1 else f"{stem}.{number}" for number in count(1))
    return next(one for one in candidates if not {one, one + _NOTE} & taken)
