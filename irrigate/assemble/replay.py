"""A replay: the service stepped through a table of weather and a record of events."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from irrigate.assemble.simulated import SteppedClock
from irrigate.garden.actions import Action
from irrigate.garden.known_weather import stood_in
from irrigate.garden.pots import Garden
from irrigate.garden.weather import HOUR_S, HourlyWeather
from irrigate.outside.channels.direct import DirectOutbox
from irrigate.outside.channels.memory import MemoryChannel
from irrigate.outside.inbox.memory import MemoryInbox
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.outside.weather.memory import ForecastError, TableWeather
from irrigate.ports import GardenText, Message
from irrigate.service.cycle import Ports
from irrigate.service.hindsight import Lived, lived_hours
from irrigate.service.holding_out import NOTHING_HELD, HoldOut, parted
from irrigate.service.replaying import (
    Event,
    Passed,
    facts_by_kind,
    facts_of,
    live_through,
    noted,
    sized,
)
from irrigate.service.reporting import Report, reporting

# How far a forecast reaches; past the end of the table the last day comes over again.
HORIZON_H = 192

WAY = "replay"


@dataclass(frozen=True, slots=True, eq=False)
class Scenario:
    """What is replayed.

    Parameters
    ----------
    garden : as its file says it.
    weather : without gaps or NaN, from some days before ``start``, if there are, to ``end``.
    events : after ``start`` and not after ``end``.
    start, end : whole hours (UTC).
    members : size of the ensemble.
    error : of the forecasts; None for forecasts that come true.
    hold_out : which reports are foretold and not learnt from.
    decides : False to ask for beliefs only: no week ahead is run, no round told.
    """

    garden: GardenText
    weather: HourlyWeather
    events: tuple[Event, ...]
    start: datetime
    end: datetime
    members: int = 200
    error: ForecastError | None = None
    hold_out: HoldOut = NOTHING_HELD
    decides: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class Replayed:
    """What a replay came to.

    Parameters
    ----------
    garden : with its identities.
    actions : every decision, with the moment it was made at.
    messages : what went out.
    facts : how many of each kind the journal holds.
    hours : yields the start and every hour, from what is known in the end; hands on each report
        that was foretold on the way.
    """

    garden: Garden
    actions: tuple[tuple[datetime, Action], ...]
    messages: tuple[Message, ...]
    facts: dict[str, int]
    hours: Callable[[Callable[[Report], None]], Iterator[Lived]]


class _ReadGarden:
    """A garden file that was read once; its people are reached in memory."""

    def __init__(self, text: GardenText) -> None:
        garden = text.garden
        people = tuple(replace(person, reach=(WAY,)) for person in garden.people)
        self._text = replace(text, garden=replace(garden, people=people))

    def read(self) -> GardenText:
        """Return the same text at every reading."""
        return self._text


def replayed(
    scenario: Scenario, on_step: Callable[[Passed], None] = lambda _step: None
) -> Replayed:
    """Live through a scenario, handing on each step as it is taken."""
    start, end = scenario.start, scenario.end
    channel, journal = MemoryChannel(WAY), MemoryJournal()
    told, held = parted(sized(scenario.events), scenario.hold_out)
    actions: list[tuple[datetime, Action]] = []
    if scenario.decides:
        garden = _decided(scenario, told, journal, channel, actions, on_step)
    else:
        known = scenario.weather.select(scenario.weather.end_s <= int(end.timestamp()))
        garden = noted(told, known, start, journal, _ReadGarden(scenario.garden))
    held_out = facts_of(held, garden, scenario.garden.digest)

    def hours(on_report: Callable[[Report], None]) -> Iterator[Lived]:
        meeting = reporting({fact.id for fact in held_out}, on_report)
        return lived_hours(journal, start, end, scenario.members, held_out=held_out, meet=meeting)

    return Replayed(
        garden=garden,
        actions=tuple(actions),
        messages=tuple(channel.delivered),
        facts=facts_by_kind(journal),
        hours=hours,
    )


def _decided(
    scenario: Scenario,
    events: Sequence[Event],
    journal: MemoryJournal,
    channel: MemoryChannel,
    actions: list[tuple[datetime, Action]],
    on_step: Callable[[Passed], None],
) -> Garden:
    """Take every step that the service would have taken, and return the garden."""
    start, end = scenario.start, scenario.end
    clock = SteppedClock(start)
    ports = Ports(
        journal=journal,
        inbox=MemoryInbox(),
        weather=TableWeather(
            _with_a_morrow(scenario.weather, end), HORIZON_H, scenario.error, source="table"
        ),
        outbox=DirectOutbox([channel], clock),
        garden_file=_ReadGarden(scenario.garden),
        members=scenario.members,
    )

    def moved_to(at: datetime) -> None:
        clock.at = at

    garden = scenario.garden.garden
    for step in live_through(events, start, end, ports, moved_to):
        actions += [(step.at, action) for action in step.actions]
        garden = step.garden
        on_step(step)
    return garden


def _with_a_morrow(weather: HourlyWeather, end: datetime) -> HourlyWeather:
    """Return the table up to the end, and what is forecast beyond: its last day over again.

    Without rain, and marked as put in. What the table holds after the end is a forecast too.
    """
    return stood_in(weather, int(end.timestamp()) + HORIZON_H * HOUR_S)
