"""Messages kept in memory: for a trial run, and for whoever wants to see what was said."""

from __future__ import annotations

from collections.abc import Iterable

from irrigate.ports import Message


class MemoryChannel:
    """Keeps a history of every attempt; ``failures`` are raised by the first attempts in turn.

    None among the failures lets that attempt succeed; when they are used up, all succeed.
    """

    def __init__(self, name: str, failures: Iterable[BaseException | None] = ()) -> None:
        self.name = name
        self.attempts: list[Message] = []
        self.delivered: list[Message] = []
        self._failures = list(failures)

    def deliver(self, message: Message) -> None:
        """Keep the message, or raise the next failure."""
        self.attempts.append(message)
        failure = self._failures.pop(0) if self._failures else None
        if failure is not None:
            raise failure
        self.delivered.append(message)
