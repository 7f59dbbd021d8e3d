"""The reports of a record beside what was foretold of them."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

from irrigate.garden.events import Fact, Foretold
from irrigate.garden.foretelling import said_of
from irrigate.garden.scoring import Score, scored
from irrigate.service.hindsight import Meeting


@dataclass(frozen=True, slots=True)
class Report:
    """A report that was foretold: its fact, its score, and whether it was held out."""

    fact: Fact
    score: Score
    held_out: bool


def reporting(held_out: Collection[str], on_report: Callable[[Report], None]) -> Meeting:
    """Return what scores each report that is met, and hands it on.

    Parameters
    ----------
    held_out : ids of the facts that are not learnt from.
    on_report : takes the reports as they come.
    """

    def met(fact: Fact, foretold: Foretold) -> None:
        score = scored(foretold, said_of(fact.body), fact.valid_at)
        on_report(Report(fact, score, fact.id in held_out))

    return met
