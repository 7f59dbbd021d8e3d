"""A replay: the service stepped through a table of weather and a record of events."""

from __future__ import annotations

from collections.abc import Callable, Iterator
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
from irrigate.service.replaying import Event, Passed, facts_by_kind, live_through

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
    """

    garden: GardenText
    weather: HourlyWeather
    events: tuple[Event, ...]
    start: datetime
    end: datetime
    members: int = 200
    error: ForecastError | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Replayed:
    """What a replay came to.

    Parameters
    ----------
    garden : with its identities.
    actions : every decision, with the moment it was made at.
    messages : what went out.
    facts : how many of each kind the journal holds.
    hours : yields the start and every hour, from what is known in the end.
    """

    garden: Garden
    actions: tuple[tuple[datetime, Action], ...]
    messages: tuple[Message, ...]
    facts: dict[str, int]
    hours: Callable[[], Iterator[Lived]]


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
    channel, clock, journal = MemoryChannel(WAY), SteppedClock(start), MemoryJournal()
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

    actions: list[tuple[datetime, Action]] = []
    garden = scenario.garden.garden
    for step in live_through(scenario.events, start, end, ports, moved_to):
        actions += [(step.at, action) for action in step.actions]
        garden = step.garden
        on_step(step)
    return Replayed(
        garden=garden,
        actions=tuple(actions),
        messages=tuple(channel.delivered),
        facts=facts_by_kind(journal),
        hours=lambda: lived_hours(journal, start, end, scenario.members),
    )


def _with_a_morrow(weather: HourlyWeather, end: datetime) -> HourlyWeather:
    """Return the table up to the end, and what is forecast beyond: its last day over again.

    Without rain, and marked as put in. What the table holds after the end is a forecast too.
    """
    return stood_in(weather, int(end.timestamp()) + HORIZON_H * HOUR_S)
