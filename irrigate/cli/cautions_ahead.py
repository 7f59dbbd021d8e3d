"""What else the time until the next round asks for, besides water."""

from __future__ import annotations

from collections.abc import Iterator

from irrigate.garden.actions import Caution
from irrigate.garden.rounds import next_rounds
from irrigate.service.caution_words import caution_said
from irrigate.service.cautioning import cautions_at
from irrigate.service.thinking import Thought, lines_for

# These belong to the work of a round, and are said there.
AT_WORK = frozenset({"heavy", "hot hours", "dry mix"})


def found_ahead(thought: Thought) -> tuple[Caution, ...]:
    """Return the cautions from now to the next round, said before or not."""
    now = thought.now
    until = next_rounds(thought.standing.garden, now, 1)[0]
    lines = lines_for(thought, now, until)
    found = cautions_at(thought.standing, thought.as_is, thought.weather, lines, now, until)
    return tuple(one for one in found if one.kind not in AT_WORK)


def cautions_ahead(thought: Thought) -> Iterator[str]:
    """Yield a line for each of them."""
    for caution in found_ahead(thought):
        yield caution_said(thought.standing.garden, caution, thought.now)
