"""The folder that the service keeps its state in."""

from __future__ import annotations

from pathlib import Path

from irrigate.errors import InputError


def make_state(folder: Path) -> None:
    """Make the state folder, readable by the group that may hand answers in."""
    try:
        folder.mkdir(mode=0o2750, parents=True, exist_ok=True)
    except OSError as trouble:
        raise InputError(
            f"{folder}: the state folder cannot be made ({trouble.strerror}); "
            "name another with --state"
        ) from trouble
