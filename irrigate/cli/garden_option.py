"""Where the garden file is: as said, else by environment, else the first of the usual places."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

VARIABLE = "IRRIGATE_GARDEN"
INSTALLED = Path("/etc/irrigate/garden.yaml")
BESIDE = Path("config/garden.yaml")


def garden_path(said: Path | None = None) -> Path:
    """Return the path of the garden file; whether it is there is for its reader to say."""
    if said is not None:
        return said
    variable = os.environ.get(VARIABLE)
    if variable:
        return Path(variable)
    return INSTALLED if INSTALLED.exists() else BESIDE


def _resolve(_context: click.Context, _parameter: click.Parameter, said: Path | None) -> Path:
    return garden_path(said)


def garden_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the option ``--garden``; it arrives as ``garden``, a path."""
    return click.option(
        "--garden",
        type=click.Path(path_type=Path),
        callback=_resolve,
        metavar="GARDEN.yaml",
        help=f"The garden file [default: ${VARIABLE}, {INSTALLED}, or {BESIDE}].",
    )(command)


def garden_argument(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the garden file as its argument; it arrives as ``garden``, a path."""
    return click.argument(
        "garden",
        type=click.Path(path_type=Path),
        callback=_resolve,
        required=False,
        metavar="[GARDEN.yaml]",
    )(command)
