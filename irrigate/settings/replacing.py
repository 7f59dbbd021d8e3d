"""A file's content replaced as a whole, or not at all; one of our processes at a time.

The new content is written beside the file, made durable, and put in its place by a rename, so that
whoever reads meanwhile sees the old file or the new one. A name beside it is in use only for that
moment; one that a power cut left behind is taken over at the next edit.
"""

from __future__ import annotations

import errno
import fcntl
import os
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Event

from irrigate.errors import InputError

LONGEST_WAIT_S = 5.0
_PAUSE_S = 0.02
_NO_LOCKS_HERE = (errno.ENOLCK, errno.EOPNOTSUPP, errno.EINVAL, errno.EBADF, errno.ENOSYS)


@contextmanager
def turn_at(path: Path) -> Iterator[Path]:
    """Wait for the turn to change the file, and yield where it really lies, links followed.

    The folder is locked, which leaves nothing behind. Where a network folder knows no locks, what
    is left is that the content is compared just before it is replaced.
    """
    try:
        target = path.resolve(strict=True)
        folder = os.open(target.parent, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    except FileNotFoundError:
        raise InputError(f"{path}: there is no such file") from None
    except PermissionError:
        raise _folder_fault(path, path.parent) from None
    except (OSError, RuntimeError) as failed:
        raise InputError(f"{path}: cannot be reached ({_reason(failed)})") from None
    try:
        _lock(folder, path)
        yield target
    finally:
        os.close(folder)  # which gives the lock back


def replace_content(target: Path, content: bytes, unchanged: Callable[[], None]) -> None:
    """Put ``content`` in the place of the file's; permissions stay, and its owner if we may.

    ``unchanged`` is called last of all before the rename, and raises if the file is not what it
    was. Whatever fails is an `InputError`, and the file is as it was.
    """
    try:
        before = target.stat()
        _refuse_unless_writable(target, before)
        beside = target.with_name(f".{target.name}.new")
        try:
            _write(beside, content, before, target)
            unchanged()
            beside.replace(target)
        except BaseException:
            with suppress(OSError):
                beside.unlink()
            raise
    except PermissionError:
        raise _folder_fault(target, target.parent) from None
    except OSError as failed:
        raise InputError(
            f"{target}: could not be written ({_reason(failed)}); it is as it was"
        ) from None
    with suppress(OSError):  # the content is in place; some folders cannot be made durable
        _settle_folder(target.parent)


def _write(beside: Path, content: bytes, before: os.stat_result, target: Path) -> None:
    with suppress(FileNotFoundError):
        beside.unlink()
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC
    with os.fdopen(os.open(beside, flags, 0o600), "wb") as file:
        file.write(content)
        file.flush()
        _keep_rights(file.fileno(), before, target)
        os.fsync(file.fileno())


def _keep_rights(file: int, before: os.stat_result, target: Path) -> None:
    mine = os.fstat(file)
    if (mine.st_uid, mine.st_gid) != (before.st_uid, before.st_gid):
        try:
            os.fchown(file, before.st_uid, before.st_gid)
        except OSError:  # only root gives files away; the group can be kept by its members
            with suppress(OSError):
                os.fchown(file, -1, before.st_gid)
    os.fchmod(file, stat.S_IMODE(before.st_mode) & 0o777)
    with suppress(OSError):
        for name in os.listxattr(target):
            with suppress(OSError):
                os.setxattr(file, name, os.getxattr(target, name))


def _settle_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _refuse_unless_writable(target: Path, before: os.stat_result) -> None:
    """Respect a file made read-only: a rename would need no right to it."""
    if not before.st_mode & 0o222 or not _may(target, os.W_OK):
        raise InputError(
            f"{target}: is read-only, and nothing was written; allow writing with "
            f"chmod u+w {target.name}, or let the service's user write it"
        )
    if not _may(target.parent, os.W_OK | os.X_OK):
        raise _folder_fault(target, target.parent)


def _may(path: Path, how: int) -> bool:
    return os.access(path, how, effective_ids=os.access in os.supports_effective_ids)


def _folder_fault(path: Path, folder: Path) -> InputError:
    return InputError(
        f"{path}: nothing was written, since this user may not write in the folder {folder}; "
        "allow it with chmod, or make this user its owner"
    )


def _lock(folder: int, path: Path) -> None:
    pause, waited = Event(), 0.0
    while True:
        try:
            fcntl.flock(folder, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if waited >= LONGEST_WAIT_S:
                raise InputError(
                    f"{path.name} is being changed by another process; nothing was written; "
                    "try again"
                ) from None
        except OSError as failed:
            if failed.errno in _NO_LOCKS_HERE:
                return
            raise InputError(f"{path}: cannot be locked ({_reason(failed)})") from None
        else:
            return
        pause.wait(_PAUSE_S)
        waited += _PAUSE_S


def _reason(failed: Exception) -> str:
    return str(getattr(failed, "strerror", None) or failed)
