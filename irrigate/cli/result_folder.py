"""A folder of results, written whole or not at all; what else lies in it is left alone."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from irrigate.errors import InputError


def check_folder(folder: Path, *, overwrite: bool) -> None:
    """Refuse a folder that cannot take results, before any work is done for it."""
    if folder.exists() and not folder.is_dir():
        raise InputError(f"{folder}: is there already, and is no folder; name another with --out")
    if not folder.absolute().parent.is_dir():
        raise InputError(f"{folder}: there is no folder {folder.absolute().parent} to put it in")
    if folder.is_dir() and any(folder.iterdir()) and not overwrite:
        raise InputError(
            f"{folder}: is not empty; name another folder with --out, or add --overwrite to"
            " replace the results in it"
        )


def write_folder(folder: Path, files: Mapping[str, str]) -> None:
    """Write the files (name: text) into a folder.

    A new or empty folder appears with all of them at once; in one that holds something, each file
    takes the place of its namesake when all are on disk.
    """
    part = folder.absolute().with_name(f".{folder.absolute().name}.{os.getpid()}.part")
    try:
        try:
            part.mkdir()
            for name, text in files.items():
                _write(part / name, text)
            if folder.is_dir() and any(folder.iterdir()):
                for name in files:
                    (part / name).replace(folder / name)
            else:
                part.replace(folder)
        finally:
            shutil.rmtree(part, ignore_errors=True)
    except OSError as failed:
        raise InputError(f"{folder}: cannot be written: {failed.strerror}") from None


def _write(path: Path, text: str) -> None:
    with path.open("x", encoding="utf-8", newline="") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
