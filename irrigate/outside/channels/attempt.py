"""One delivery in a thread of its own, so that waiting for it can end before it does."""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread
from typing import Any


class Attempt:
    """Runs ``deliver`` at once; what it returned or raised can be had when it has ended."""

    def __init__(self, deliver: Callable[[], Any]) -> None:
        self._deliver = deliver
        self.outcome: Any = None
        self.surprise: BaseException | None = None
        # A daemon thread: one that hangs in a library must not keep the process alive.
        self._thread = Thread(target=self._run, name="delivery", daemon=True)
        self._thread.start()

    def ended(self, within_s: float) -> bool:
        """Wait for its end, but no longer than this; return whether it came."""
        self._thread.join(within_s)
        return not self._thread.is_alive()

    def _run(self) -> None:
        try:
            self.outcome = self._deliver()
        except BaseException as surprise:  # noqa: BLE001 - a thread has nobody to raise to
            self.surprise = surprise
