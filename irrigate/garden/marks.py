"""Marks on pots: which are paused, which are unwell, and since when."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from irrigate.garden.events import Fact, Marked


@dataclass(frozen=True, slots=True)
class Marks:
    """When one mark was set on pots and taken off again, in order."""

    turns: tuple[tuple[datetime, str, bool], ...]

    def on(self, pot_id: str, at: datetime) -> bool:
        """Return whether a pot bears the mark at a moment (from the turn on, inclusive)."""
        state = False
        for moment, which, on in self.turns:
            if moment > at:
                break
            if which == pot_id:
                state = on
        return state

    def bearing(self, at: datetime) -> frozenset[str]:
        """Return the ids of all pots that bear the mark at a moment."""
        return frozenset(which for _, which, _ in self.turns if self.on(which, at))


def marks(facts: Iterable[Fact], mark: str) -> Marks:
    """Gather one kind of mark from facts that stand, in order."""
    return Marks(
        tuple(
            (fact.valid_at, fact.body.pot_id, fact.body.on)
            for fact in facts
            if isinstance(fact.body, Marked) and fact.body.mark == mark
        )
    )
