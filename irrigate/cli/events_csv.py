"""A record of events in a CSV: what was given, seen and done, pot by pot.

Columns ``time,pot,kind,value,unit``; others are passed over.

    time    ISO 8601, with an offset or in the zone that is given
    pot     a label, several parted by spaces, or ``all``; empty for rain
    kind    and its value and unit, which may as well stand in one cell:
    given               a volume, cans or seconds of hose      2,L   1,can   20,s hose
    till-ran            nothing, or the volume that it took    3,L
    till-ran-twice      the same, left to soak and run again
    weighed             the whole pot on a scale               12.4,kg   12400,g   27,lb
    weighed-anew        the first weight on another scale, or after it was tared
    finger              wet, moist or dry
    wilting, planted    nothing
    probe               water content, or its bare number      31,%   0.31,m3/m3   610,
    drained             what ran out below                     0.4,L
    canopy              width x height of the plant            40 x 60,cm
    leaf-area           one side of all leaves, at that size   0.4,m2
    rain                a depth, or none, some, ran through    12,mm
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from difflib import get_close_matches
from typing import TypeVar

from irrigate.cli.event_values import OF_POT, RAIN, known_kind, rain
from irrigate.cli.stamps import moment_in
from irrigate.cli.table_text import TableText, read_table_text
from irrigate.errors import InputError, TableError
from irrigate.garden.events import RainAtPots
from irrigate.garden.pots import Garden, Pot
from irrigate.service.replaying import Event, LeafArea, OfPot

NEEDED = ("time", "pot", "kind", "value")
EVERY_POT = "all"

Said = TypeVar("Said")
OfRow = tuple[str | None, OfPot | RainAtPots | LeafArea]


@dataclass(frozen=True, slots=True)
class Span:
    """The time that is replayed (UTC).

    ``from_asked`` and ``to_asked`` say which of its ends somebody asked for: events beyond such
    an end are left out on purpose, beyond the weather's own they are errors.
    """

    start: datetime
    end: datetime
    from_asked: bool = False
    to_asked: bool = False

    def leaves_out(self, at: datetime) -> bool:
        """Return whether an event was not asked for; a `ValueError` if no weather tells of it."""
        if at <= self.start:
            if self.from_asked:
                return True
            raise ValueError(f"the weather begins after it, at {_said(self.start)}")
        if at > self.end:
            if self.to_asked:
                return True
            raise ValueError(f"the weather ends before it, at {_said(self.end)}")
        return False


def _said(at: datetime) -> str:
    return f"{at:%Y-%m-%dT%H:%MZ}"


@dataclass(frozen=True, slots=True)
class Record:
    """The events within the time replayed, and how many rows of the table lie outside of it."""

    events: tuple[Event, ...]
    left_out: int


@dataclass(slots=True)
class _Reading:
    """A table that is being read, and what was found in it so far."""

    path: str
    garden: Garden
    zone: tzinfo
    span: Span
    faults: list[TableError]
    events: list[Event] = field(default_factory=list)
    left_out: int = 0
    lines: dict[tuple[datetime, str | None, type], int] = field(default_factory=dict)

    def tried(self, line: int, column: str, read: Callable[[], Said]) -> Said | None:
        """Return what a cell says; None, and its fault noted, if it says nothing good."""
        try:
            return read()
        except (InputError, ValueError) as wrong:
            self.faults.append(TableError(self.path, line, column, str(wrong)))
            return None


def read_events(path: str, garden: Garden, zone: tzinfo, span: Span) -> Record:
    """Read a record of events from a file, or standard input for ``-``.

    Parameters
    ----------
    path : the table.
    garden : whose labels, cans and hose its cells speak of.
    zone : of times that carry no offset.
    span : the time that is replayed.

    Raises
    ------
    InputError : with a line for each fault, in the table's order.
    """
    faults: list[TableError] = []
    text = read_table_text(path, faults)
    lacks = [_lack(name, text.header) for name in NEEDED if name not in text.header]
    if lacks:
        raise TableError(text.path, 1, None, "; ".join(lacks))
    reading = _Reading(text.path, garden, zone, span, faults)
    for row, line in enumerate(text.lines):
        _read_row(reading, line, _cells(text, row))
    if faults:
        ordered = sorted(faults, key=lambda fault: fault.line or 0)
        raise InputError("\n".join(str(fault) for fault in ordered))
    return Record(tuple(reading.events), reading.left_out)


def _lack(name: str, there: Sequence[str]) -> str:
    folded = {other.casefold(): other for other in there}
    near = get_close_matches(name, folded, n=1, cutoff=0.7)
    if near and folded[near[0]] not in NEEDED:
        return f"no column {name}; is {folded[near[0]]!r} meant for it?"
    return f"no column {name}; needed are {', '.join(NEEDED)}"


def _cells(text: TableText, row: int) -> dict[str, str]:
    return dict(zip(text.header, (cell.strip() for cell in text.cells[row]), strict=True))


def _read_row(reading: _Reading, line: int, cells: dict[str, str]) -> None:
    """Read one row, and note what is wrong in any of its cells."""
    at = reading.tried(line, "time", lambda: moment_in(cells["time"], reading.zone))
    left_out = None
    if at is not None:
        left_out = reading.tried(line, "time", lambda: reading.span.leaves_out(at))
    kind = reading.tried(line, "kind", lambda: known_kind(cells["kind"]))
    if kind is None:
        return
    said = f"{cells['value']} {cells.get('unit', '')}".strip()
    events = _events(reading, line, cells["pot"], kind, said)
    if events is None or at is None or left_out is None:
        return
    if left_out:
        reading.left_out += 1
        return
    if reading.tried(line, "time", lambda: _noted(reading, line, at, events)):
        reading.events += [Event(at, label, body) for label, body in events]


def _events(reading: _Reading, line: int, pot: str, kind: str, said: str) -> list[OfRow] | None:
    """Return what one row says of each of its pots, or None if it is at fault."""
    garden = reading.garden
    if kind == RAIN:
        nobody = reading.tried(line, "pot", lambda: _nobody(pot))
        seen = reading.tried(line, "value", lambda: rain(said))
        return None if nobody is None or seen is None else [(None, seen)]
    pots = reading.tried(line, "pot", lambda: _pots(pot, garden))
    if pots is None:
        return None

    def of_each() -> list[OfRow]:
        return [(one.label, OF_POT[kind](said, one, garden)) for one in pots]

    return reading.tried(line, "value", of_each)


def _nobody(cell: str) -> bool:
    if cell:
        raise ValueError("rain falls on every pot; leave the cell empty")
    return True


def _pots(cell: str, garden: Garden) -> list[Pot]:
    """Return the pots that a cell names, each once."""
    if not cell:
        raise ValueError("say which pot by its label, several parted by spaces, or all")
    if cell.casefold() == EVERY_POT and garden.labelled(cell) is None:
        return list(garden.pots)
    found = []
    for label in cell.split():
        pot = garden.labelled(label)
        if pot is None:
            raise ValueError(f"there is no pot {label}; {_hint(label, garden)}")
        if pot in found:
            raise ValueError(f"pot {label} stands there twice")
        found.append(pot)
    return found


def _hint(label: str, garden: Garden) -> str:
    labels = {pot.label.casefold(): pot.label for pot in garden.pots}
    near = get_close_matches(label.casefold(), labels, n=1)
    if near:
        return f"did you mean {labels[near[0]]}?"
    return f"there are {', '.join(labels.values())}"


def _noted(reading: _Reading, line: int, at: datetime, events: Sequence[OfRow]) -> bool:
    """Note what a row speaks of; a `ValueError` if one before it spoke of the same."""
    for label, body in events:
        first = reading.lines.setdefault((at, label, type(body)), line)
        if first != line:
            whom = "of the rain" if label is None else f"of pot {label}"
            raise ValueError(
                f"line {first} says the same kind of thing {whom} at this moment; put both in one"
                " row, or give one of them another minute"
            )
    return True
