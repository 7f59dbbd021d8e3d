"""A garden's record lived through again, by the very step that the daemon runs.

The record of events is what happened: a round of which it says nothing was not walked. The habit
of the gardener (`Manner.keeps_rounds`) must not stand in for it, and setting that to 0 would not
do, since half of the remaining rounds count as walked in part. So each round that was told is
answered with "none", valid at the round itself; the water that was given stands in the record.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from irrigate.garden.actions import Action, Tell
from irrigate.garden.events import (
    CanopyMeasured,
    Drained,
    Fact,
    Finger,
    GardenVersion,
    Given,
    Planted,
    Probe,
    ProbeRaw,
    RainAtPots,
    RoundAnswered,
    TillRan,
    WeatherHours,
    Weighed,
    Wilting,
)
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.rounds import rounds_between
from irrigate.garden.weather import HOUR_S, HourlyWeather, Origin
from irrigate.ports import GardenFile, Journal
from irrigate.service.beliefs import Present
from irrigate.service.cycle import Memory, Ports, run_once
from irrigate.service.gardening import take_garden

HOUR = timedelta(hours=1)

OfPot = (
    Given | TillRan | Weighed | Finger | Wilting | Probe | ProbeRaw | Drained | Planted
    | CanopyMeasured
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class LeafArea:
    """One side of all leaves of a plant [m²]; from then on the garden is described with it.

    Parameters
    ----------
    area_m2 : as measured.
    width_m : of the plant when that was measured; None for the width that the garden tells.
    """

    area_m2: float
    width_m: float | None = None


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened, as the record has it.

    Parameters
    ----------
    at : when (UTC).
    label : of the pot; None for rain, which is everybody's.
    body : what happened; its pot id is put in when the pot has one.
    called : the name of its fact; None for one that its content gives.
    """

    at: datetime
    label: str | None
    body: OfPot | RainAtPots | LeafArea
    called: str | None = None

    @property
    def name(self) -> str:
        """The name that its fact will have."""
        said = f"event {self.at:%Y-%m-%dT%H:%M:%S.%fZ} {type(self.body).__name__}"
        return self.called or f"{said} {self.label or ''}".rstrip()


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
            ports.journal.append(facts_of(due, memory.garden, memory.digest or ""))
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


def facts_of(events: Sequence[Event | Fact], garden: Garden, digest: str) -> list[Fact]:
    """Return events as facts that were known when they happened, in order.

    Parameters
    ----------
    events : of pots that are there; a `ValueError` for another one.
    garden : as it is before them, with its identities.
    digest : of the garden file.
    """
    found = []
    for event in sorted(events, key=lambda one: (_moment(one), _name(one))):
        fact = event if isinstance(event, Fact) else _fact(event, garden, digest)
        if isinstance(fact.body, GardenVersion):
            garden = fact.body.garden
        found.append(fact)
    return found


def _name(one: Event | Fact) -> str:
    return one.name if isinstance(one, Event) else one.id


def _fact(event: Event, garden: Garden, digest: str) -> Fact:
    body = event.body
    if not isinstance(body, RainAtPots):
        pot = garden.labelled(event.label or "")
        if pot is None:
            raise ValueError(f"there is no pot {event.label}")
        if isinstance(body, LeafArea):
            version = GardenVersion(_with_leaves(garden, pot, body), digest)
            return Fact(event.name, event.at, event.at, version, who="record", channel="record")
        body = replace(body, pot_id=pot.id)
    return Fact(event.name, event.at, event.at, body, who="record", channel="record")


def _with_leaves(garden: Garden, pot: Pot, body: LeafArea) -> Garden:
    """Return the garden with leaves as dense as they were measured.

    A description's leaf area is that of the described size; its density is what matters.
    """
    ratio = pot.canopy_width_m / (body.width_m or pot.canopy_width_m)
    leafy = replace(pot, leaf_area_m2=body.area_m2 * ratio**2)
    return replace(garden, pots=tuple(leafy if one is pot else one for one in garden.pots))


def sized(events: Sequence[Event]) -> list[Event]:
    """Return the events, each leaf area with the width that was last told of its plant by then."""
    widths: dict[str | None, float] = {}
    found = []
    # At one moment the size comes first.
    for event in sorted(events, key=lambda one: (one.at, isinstance(one.body, LeafArea))):
        told = event
        if isinstance(event.body, CanopyMeasured):
            widths[event.label] = event.body.width_m
        elif isinstance(event.body, LeafArea):
            told = replace(event, body=replace(event.body, width_m=widths.get(event.label)))
        found.append(told)
    return found


def noted(
    events: Sequence[Event],
    weather: HourlyWeather,
    start: datetime,
    journal: Journal,
    garden_file: GardenFile,
) -> Garden:
    """Write a whole record into an empty journal at once, and return the garden.

    Nothing is decided on the way and no round is told: enough for what is believed and foretold.

    Parameters
    ----------
    events : after ``start``, in any order.
    weather : of hours gone by, from before the start on, without gaps or NaN.
    start : when the garden is first met.
    journal, garden_file : the world.
    """
    journal.append(take_garden(garden_file, journal, None, start).facts)
    version = journal.newest(GardenVersion)
    if version is None or not isinstance(version.body, GardenVersion):
        raise ValueError("there is no garden")
    garden, digest = version.body.garden, version.body.digest
    begun = datetime.fromtimestamp(int(weather.end_s[0]) - HOUR_S, UTC)
    told = WeatherHours("record", weather.marked(Origin.OBSERVED))
    journal.append([Fact("weather of the record", begun, begun, told, channel="record")])
    journal.append(facts_of(events, garden, digest))
    return garden


def facts_by_kind(journal: Journal) -> dict[str, int]:
    """Return how many facts of each kind a journal holds, by name."""
    counted: dict[str, int] = {}
    for fact in journal.facts():
        name = type(fact.body).__name__
        counted[name] = counted.get(name, 0) + 1
    return dict(sorted(counted.items()))
