"""`irrigate run`: the service, in the foreground, until it is told to stop."""

from __future__ import annotations

import ctypes
import logging
import os
import signal
import sys
from contextlib import suppress
from pathlib import Path
from typing import Any

import click

from irrigate.cli.garden_option import garden_option
from irrigate.cli.state_option import StateFolder, state_option

MEMBERS = 200
SECRETS = "IRRIGATE_SECRETS"
# Names of glibc's tunables in its mallopt(3).
MMAP_THRESHOLD, ARENA_MAX = -3, -8


@click.command("run")
@garden_option
@state_option
@click.option(
    "--secrets",
    type=click.Path(path_type=Path),
    envvar=SECRETS,
    metavar="FILE",
    help="A file of secrets, readable by its owner only [default: $IRRIGATE_REACH_… alone].",
)
@click.option("--members", type=click.IntRange(8, 1000), default=MEMBERS, hidden=True)
def command(garden: Path, state: StateFolder, secrets: Path | None, members: int) -> None:
    """Watch the pots and tell the gardener in time; runs until it is stopped.

    SIGHUP reads the garden file again (it is also read when it changes); SIGTERM and SIGINT end.
    """
    from irrigate.assemble.live import Folders, live

    os.umask(0o027)  # where the garden lies and who is away is nobody else's business
    _keep_small()
    _log_plainly()
    service = live(Folders(garden, state.path, secrets), os.environ, members)
    _on_signals(service.daemon)
    try:
        service.daemon.run()
    finally:
        service.close()


def _keep_small() -> None:
    """Ask the C library to give large arrays back at once, where it is the one that can.

    It would else keep the peak of each hour's ensemble for good, on a machine that has little.
    """
    with suppress(OSError, AttributeError):
        allocator = ctypes.CDLL(None)
        allocator.mallopt(MMAP_THRESHOLD, 256 * 1024)
        allocator.mallopt(ARENA_MAX, 2)


def _log_plainly() -> None:
    """Send log lines to standard error; under a supervisor that stamps them, without the time."""
    stamped = "JOURNAL_STREAM" in os.environ
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(logging.Formatter("%(message)s" if stamped else "%(asctime)s %(message)s"))
    logger = logging.getLogger("irrigate")
    logger.setLevel(logging.INFO)
    logger.addHandler(handler)
    logger.propagate = False
    logging.getLogger("apscheduler").setLevel(logging.ERROR)


def _on_signals(daemon: Any) -> None:
    """Let signals set flags, and nothing else."""
    signal.signal(signal.SIGTERM, lambda *_: daemon.stop())
    signal.signal(signal.SIGINT, lambda *_: daemon.stop())
    signal.signal(signal.SIGHUP, lambda *_: daemon.reload())
