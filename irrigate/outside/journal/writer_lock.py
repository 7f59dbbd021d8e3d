"""One writer: the right to write a journal, held by one process at a time."""

from __future__ import annotations

import fcntl
import os
from pathlib import Path

from irrigate.errors import JournalError


class WriterLock:
    """Held from construction to `release`, or until the process ends in whatever way.

    A file beside the journal carries an advisory lock and the holder's process number. The file
    stays when the lock goes: removing it would let two processes lock two files of one name.
    """

    def __init__(self, journal: Path) -> None:
        path = journal.with_name(journal.name + ".lock")
        flags = os.O_RDWR | os.O_CREAT | os.O_CLOEXEC | os.O_NOFOLLOW
        try:
            self._file = os.open(path, flags, 0o644)
        except OSError as error:
            raise JournalError(f"{path} cannot be opened: {error.strerror}") from error
        try:
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            holder = os.read(self._file, 20).decode("ascii", "replace").strip()
            os.close(self._file)
            raise JournalError(
                f"{journal} is being written by process {holder or 'of unknown number'}. Only one "
                "may write it: stop that one first, or leave the work to it"
            ) from error
        except OSError as error:
            os.close(self._file)
            raise JournalError(f"{path} cannot be locked: {error.strerror}") from error
        os.ftruncate(self._file, 0)
        os.pwrite(self._file, f"{os.getpid()}\n".encode("ascii"), 0)

    def release(self) -> None:
        """Let others write; a second time does nothing."""
        if self._file >= 0:
            os.close(self._file)
            self._file = -1
