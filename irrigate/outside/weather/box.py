"""The newest weather between the worker that fetches it and the loop that uses it."""

from __future__ import annotations

from datetime import datetime
from threading import Lock

from irrigate.ports import Fetched, Trouble


class FetchBox:
    """Holds one fetch until it is taken; safe between threads. Implements `ports.Weather`."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._waiting: Fetched | None = None
        self._newest_at: datetime | None = None
        self._trouble: tuple[datetime, str] | None = None
        self._failing: dict[str, Trouble] = {}

    def offer(self, fetched: Fetched) -> None:
        """Put a fetch in, in place of one that was not taken; an older one than known is dropped.

        A good fetch ends the trouble before it.
        """
        with self._lock:
            if self._newest_at is not None and fetched.fetched_at < self._newest_at:
                return
            self._waiting = fetched
            self._newest_at = fetched.fetched_at
            self._trouble = None
            self._failing = {
                name: self._since(name, fetched.fetched_at, why) for name, why in fetched.troubles
            }

    def failed(self, at: datetime, why: str, source: str = "") -> None:
        """Note that a fetch did not succeed; ``source`` is by whose name it is spoken of."""
        with self._lock:
            self._trouble = (at, why)
            self._failing[source] = self._since(source, at, why)

    def forget(self) -> None:
        """Forget the troubles: from now on other sources are asked."""
        with self._lock:
            self._trouble = None
            self._failing = {}

    def troubles(self) -> tuple[Trouble, ...]:
        """Return the sources that fail, each with the moment of its first failure in a row."""
        with self._lock:
            return tuple(self._failing.values())

    def _since(self, source: str, at: datetime, why: str) -> Trouble:
        before = self._failing.get(source)
        return Trouble(source, before.since if before else at, why)

    def latest(self, now: datetime) -> Fetched | None:  # noqa: ARG002 - the port asks for it
        """Return the newest fetch not yet returned, or None."""
        with self._lock:
            fetched, self._waiting = self._waiting, None
            return fetched

    def age_s(self, now: datetime) -> float | None:
        """Return how old the newest fetch is [s], taken or not; None if there was none yet."""
        with self._lock:
            return None if self._newest_at is None else (now - self._newest_at).total_seconds()

    def last_error(self) -> tuple[datetime, str] | None:
        """Return when and why fetching last failed, or None if it has succeeded since."""
        with self._lock:
            return self._trouble
