"""A file that appears whole under its name, or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from irrigate.errors import JournalError


@contextmanager
def published(path: Path) -> Iterator[Path]:
    """Give a draft to be written beside ``path``; it takes that name when all is on the platter."""
    try:
        with tempfile.TemporaryDirectory(prefix=".draft-", dir=path.parent) as folder:
            draft = Path(folder) / path.name
            yield draft
            _to_the_platter(draft)
            draft.replace(path)
        _to_the_platter(path.parent)
    except OSError as error:
        raise JournalError(f"{path} cannot be written: {error.strerror}") from error


def _to_the_platter(path: Path) -> None:
    opened = os.open(path, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
