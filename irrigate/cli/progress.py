"""A bar for what takes more than a second: on standard error, and on a terminal alone."""

from __future__ import annotations

import sys
import time
from types import TracebackType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.progress import Progress

AFTER_S = 1.0


class Bar:
    """A bar that shows itself when the work turns out to be long; rich is imported then."""

    def __init__(self, what: str) -> None:
        self._what = what
        self._begun_s = time.monotonic()
        self._shown: Progress | None = None

    def __enter__(self) -> Bar:
        """Begin to wait for the second to pass."""
        return self

    def reached(self, share: float) -> None:
        """Say which share of the work is done [0–1]."""
        if self._shown is None:
            if not sys.stderr.isatty() or time.monotonic() - self._begun_s < AFTER_S:
                return
            self._shown = self._drawn()
        self._shown.update(self._shown.task_ids[0], completed=share)

    def _drawn(self) -> Progress:
        from rich.console import Console
        from rich.progress import Progress

        shown = Progress(console=Console(stderr=True), transient=True)
        shown.add_task(self._what, total=1.0)
        shown.start()
        return shown

    def __exit__(
        self,
        kind: type[BaseException] | None,
        trouble: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Take the bar away."""
        if self._shown is not None:
            self._shown.stop()
