"""Where the service keeps its state: as said, else by environment, else the first usual folder."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

VARIABLE = "IRRIGATE_STATE"
# Set by systemd for a unit with StateDirectory=; of several folders the first is ours.
BY_SYSTEMD = "STATE_DIRECTORY"
INSTALLED = Path("/var/lib/irrigate")
AT_HOME = Path("~/.local/share/irrigate")


@dataclass(frozen=True, slots=True)
class StateFolder:
    """The folder, and what lies where in it; whether it is there is for its users to say."""

    path: Path

    @property
    def journal(self) -> Path:
        """The file of recorded facts."""
        return self.path / "journal.sqlite"

    @property
    def spool(self) -> Path:
        """The folder through which answers are handed in."""
        return self.path / "spool"


def state_folder(said: Path | None = None) -> StateFolder:
    """Return the state folder."""
    if said is not None:
        return StateFolder(said)
    variable = os.environ.get(VARIABLE)
    if variable:
        return StateFolder(Path(variable))
    by_systemd = os.environ.get(BY_SYSTEMD, "").split(":")[0]
    if by_systemd:
        return StateFolder(Path(by_systemd))
    return StateFolder(INSTALLED if INSTALLED.exists() else AT_HOME.expanduser())


def _resolve(
    _context: click.Context, _parameter: click.Parameter, said: Path | None
) -> StateFolder:
    return state_folder(said)


def state_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the option ``--state``; it arrives as ``state``, a `StateFolder`."""
    return click.option(
        "--state",
        type=click.Path(path_type=Path),
        callback=_resolve,
        metavar="DIR",
        help=f"The service's state folder [default: ${VARIABLE}, {INSTALLED}, or {AT_HOME}].",
    )(command)
