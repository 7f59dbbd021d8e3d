"""The machine's clock: the one place where the time is read."""

from __future__ import annotations

import time
from datetime import UTC, datetime


class SystemClock:
    """The time as the machine has it; whether it can be trusted is judged elsewhere."""

    def now(self) -> datetime:
        """Return the present moment (UTC, aware)."""
        # Somebody has to look at the clock: here, so that everything else is told the time.
        return datetime.now(UTC)  # noqa: TID251

    def monotonic_s(self) -> float:
        """Return seconds on a clock that never steps."""
        return time.monotonic()
