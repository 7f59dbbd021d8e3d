"""A new file put in place whole: never half written, and never over another without a word."""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path

from irrigate.errors import InputError


def refuse_to_overwrite(path: Path) -> None:
    """Raise an `InputError` if something stands at the path already."""
    if path.is_dir():
        raise InputError(f"{path}: is a folder; name the garden file to be written in it")
    if os.path.lexists(path):
        raise InputError(
            f"{path}: there is a file of this name; nothing was written. Name another one, or let "
            "--force put a new one in its place (the old one is kept beside it)"
        )


def write_new(path: Path, text: str, *, force: bool = False) -> Path | None:
    """Write a file that was not there before; return where an old one was kept, if one was.

    The text reaches the disk before it gets its name. With ``force`` an old file is kept as
    ``.bak``, or with a number where that name is taken too.
    """
    if not force or path.is_dir():
        refuse_to_overwrite(path)
    target = path.resolve() if force else path
    try:
        if not target.parent.exists():
            target.parent.mkdir(parents=True)
        descriptor, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        beside = Path(name)
        try:
            with os.fdopen(descriptor, "w", encoding="utf-8", newline="\n") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            beside.chmod(0o666 & ~_umask())
            kept = _keep(target) if force and target.exists() else None
            _name(beside, target, force=force)
        finally:
            beside.unlink(missing_ok=True)
    except FileExistsError:
        refuse_to_overwrite(path)
        raise
    except OSError as failed:
        where = failed.filename or path
        raise InputError(f"{where}: cannot be written ({failed.strerror})") from None
    return kept


def _name(beside: Path, target: Path, *, force: bool) -> None:
    """Give the finished file its name; without ``force`` only if the name is still free."""
    if force:
        beside.replace(target)
        return
    try:
        os.link(beside, target)
    except FileExistsError:
        raise
    except OSError:  # some file systems know no second names
        refuse_to_overwrite(target)
        beside.replace(target)


def _keep(target: Path) -> Path:
    """Copy the old file beside itself under a name that is free."""
    number = 1
    while True:
        kept = target.with_name(f"{target.name}.bak{number if number > 1 else ''}")
        if not os.path.lexists(kept):
            shutil.copy2(target, kept)
            return kept
        number += 1


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
