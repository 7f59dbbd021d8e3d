"""What an answer is read against, and what was understood of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from irrigate.garden.events import Body, RoundTold
from irrigate.garden.pots import Garden

# An answer is about the last round's message if it comes within this time of the round.
ROUND_REACH = timedelta(hours=14)


@dataclass(frozen=True, slots=True)
class Context:
    """The garden, the round that is spoken of, and the moment.

    Parameters
    ----------
    garden : labels, units, zone.
    told : the last round's message, and the moment of the round (UTC); None before the first.
    now : when the words were said or came in (UTC).
    """

    garden: Garden
    told: tuple[RoundTold, datetime] | None
    now: datetime


@dataclass(frozen=True, slots=True)
class Change:
    """Something that changes how the garden is described: it belongs into the garden file.

    Parameters
    ----------
    label : the pot's label; empty for what is said of the garden as a whole.
    key, value : what is to stand in its row; the key ``out`` takes the row out.
    """

    label: str
    key: str
    value: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """What was understood: bodies with the moment each is valid at, changes, or an undo.

    ``undo_of`` is the id of the pot of which the last thing said is to be taken back; None for
    the last thing that the same person said of anything.
    """

    said: tuple[tuple[datetime, Body], ...]
    undo: bool = False
    undo_of: str | None = None
    changes: tuple[tuple[datetime, Change], ...] = ()


Told = tuple[datetime | None, Body | Change]
"""One thing understood, with its own moment if it has one."""
