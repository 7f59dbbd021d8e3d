"""A garden's record lived through again, by the very step that the daemon runs.

The record of events is what happened: a round of which it says nothing was not walked. The habit
of the gardener (`Manner.keeps_rounds`) must not stand in for it, and setting that to 0 would not
do, since half of the remaining rounds count as walked in part. So each round that was told is
answered with "none", valid at the round itself; the water that was given stands in the record.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from irrigate.garden.actions import Action, Tell
from irrigate.garden.events import (
    CanopyMeasured,
    Drained,
    Fact,
    Finger,
    Given,
    Planted,
    Probe,
    ProbeRaw,
    RainAtPots,
    RoundAnswered,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.garden.pots import Garden
from irrigate.garden.rounds import rounds_between
from irrigate.ports import Journal
from irrigate.service.beliefs import Present
from irrigate.service.cycle import Memory, Ports, run_once

HOUR = timedelta(hours=1)

OfPot = (
    Given | TillRan | Weighed | Finger | Wilting | Probe | ProbeRaw | Drained | Planted
    | CanopyMeasured
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened, as the record has it.

    Parameters
    ----------
    at : when (UTC).
    label : of the pot; None for rain, which is everybody's.
    body : what happened; its pot id is put in when the pot has one.
    """

    at: datetime
    label: str | None
    body: OfPot | RainAtPots


@dataclass(frozen=True, slots=True, eq=False)
class Passed:
    """One step that was taken: when, in which garden, what it decided, and the belief, if any."""

    at: datetime
    garden: Garden
    actions: tuple[Action, ...]
    present: Present | None


def moments(
    garden: Garden, events: Sequence[Event], start: datetime, end: datetime
) -> list[datetime]:
    """Return when to step: at every whole hour, event, and notice of a round, start and end too."""
    notice = timedelta(minutes=garden.manner.notice_min)
    found = {event.at for event in events}
    found |= {at - notice for at in rounds_between(garden, start, end + notice)}
    found |= {start + number * HOUR for number in range((end - start) // HOUR + 1)}
    return sorted(at for at in found | {end} if start <= at <= end)


def live_through(
    events: Sequence[Event],
    start: datetime,
    end: datetime,
    ports: Ports,
    move_clock: Callable[[datetime], None],
) -> Iterator[Passed]:
    """Step from ``start`` to ``end``, each event being in the journal when its moment comes.

    Parameters
    ----------
    events : after ``start`` and not after ``end``, in any order.
    start, end : whole hours (UTC).
    ports : the world; its garden file never changes.
    move_clock : sets the clock that the world outside goes by.
    """
    waiting: list[Event | Fact] = list(events)
    memory = Memory()
    for at in moments(ports.garden_file.read().garden, events, start, end):
        move_clock(at)
        due, waiting = _parted(waiting, at)
        if due and memory.garden is not None:
            ports.journal.append([_fact(one, memory.garden) for one in due])
        # What happened is in the journal before the step begins, so that nothing new would be
        # seen to arrive: to be asked for a reload makes it think all the same.
        step = run_once(at, memory, ports, reload=bool(due))
        memory = step.memory
        waiting += [_unwalked(action, at) for action in step.actions if _is_round(action)]
        if memory.garden is not None:
            yield Passed(at, memory.garden, step.actions, step.present)


def _parted(
    waiting: Sequence[Event | Fact], at: datetime
) -> tuple[list[Event | Fact], list[Event | Fact]]:
    due = [one for one in waiting if _moment(one) <= at]
    return due, [one for one in waiting if _moment(one) > at]


def _moment(one: Event | Fact) -> datetime:
    return one.at if isinstance(one, Event) else one.valid_at


def _is_round(action: Action) -> bool:
    return isinstance(action, Tell) and action.occasion == "round"


def _unwalked(action: Action, now: datetime) -> Fact:
    """Return the answer to a round: whatever was done stands in the record."""
    at = max(action.at, now) if isinstance(action, Tell) else now
    body = RoundAnswered(action.key, "none")
    return Fact(f"record of {action.key}", at, at, body, who="record", channel="record")


def _fact(one: Event | Fact, garden: Garden) -> Fact:
    """Return an event as a fact known when it happened, under a name that its content gives."""
    if isinstance(one, Fact):
        return one
    body = one.body
    if not isinstance(body, RainAtPots):
        pot = garden.labelled(one.label or "")
        if pot is None:
            raise ValueError(f"there is no pot {one.label}")
        body = replace(body, pot_id=pot.id)
    name = f"event {one.at:%Y-%m-%dT%H:%M:%S.%fZ} {type(body).__name__} {one.label or ''}"
    return Fact(name.rstrip(), one.at, one.at, body, who="record", channel="record")


def facts_by_kind(journal: Journal) -> dict[str, int]:
    """Return how many facts of each kind a journal holds, by name."""
    counted: dict[str, int] = {}
    for fact in journal.facts():
        name = type(fact.body).__name__
        counted[name] = counted.get(name, 0) + 1
    return dict(sorted(counted.items()))
