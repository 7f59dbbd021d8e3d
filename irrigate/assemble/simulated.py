"""The demonstration: an invented garden, its weather and its gardener, driven through a week."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from importlib.resources import as_file, files
from pathlib import Path

import numpy as np

from irrigate.garden.actions import Action
from irrigate.garden.filling import fill
from irrigate.garden.pots import Garden, Person
from irrigate.garden.weather import HourlyWeather, Origin, empty_weather
from irrigate.outside.channels.direct import DirectOutbox
from irrigate.outside.gardener import Habits, SimulatedGardener
from irrigate.outside.inbox.memory import MemoryInbox
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.outside.weather.csv_file import CsvWeather
from irrigate.outside.weather.memory import ForecastError, TableWeather
from irrigate.planning.policies import fixed_daily
from irrigate.planning.truth import Tally, true_garden
from irrigate.ports import Fetched, GardenText, Message
from irrigate.service.cycle import Memory, Ports, run_once
from irrigate.service.thinking import Thought
from irrigate.settings.garden_file import YamlGardenFile

# The demonstration: from the first evening on, for a week, with one evening forgotten.
DEMO_START = datetime(2026, 7, 11, 23, 30, tzinfo=UTC)
DEMO_DAYS = 7
DEMO_FORGOTTEN = datetime(2026, 7, 15, 1, 30, tzinfo=UTC)
DEMO_DULL = (datetime(2026, 7, 12, 12, tzinfo=UTC), datetime(2026, 7, 13, 4, tzinfo=UTC))
DEMO_SEEN = datetime(2026, 7, 12, 17, tzinfo=UTC)
DEMO_STEP = timedelta(minutes=10)


@dataclass(frozen=True, slots=True, eq=False)
class Demonstration:
    """What a simulated week came to."""

    garden: Garden
    messages: tuple[Message, ...]
    actions: tuple[Action, ...]
    walked: tuple[str, ...]
    missed: tuple[str, ...]
    unanswered: tuple[str, ...]
    thought: Thought
    ours: Tally
    daily: Tally


class _Described:
    """A garden file whose people are also reached by the simulated gardener."""

    def __init__(self, path: Path) -> None:
        self._text = YamlGardenFile(path).read()

    def read(self) -> GardenText:
        """Return the same text at every reading."""
        people = tuple(
            Person(one.name, ("gardener",), one.can_act) for one in self._text.garden.people
        )
        return replace(self._text, garden=replace(self._text.garden, people=people))


class _Surprise:
    """Weather whose forecast for one day is wrong until that day's late morning.

    It was to be dull and calm, and turned out clear, hot and windy: what a message between
    rounds is for.
    """

    def __init__(
        self, truth: HourlyWeather, day: tuple[datetime, datetime], until: datetime
    ) -> None:
        self._table = TableWeather(truth, error=ForecastError("demo"), source="invented")
        self._day = tuple(int(at.timestamp()) for at in day)
        self._until = until

    def latest(self, now: datetime) -> Fetched | None:
        """Return what the table tells, made dull ahead of time."""
        fetched = self._table.latest(now)
        if fetched is None or now >= self._until:
            return fetched
        hours = fetched.hours
        dull = (hours.end_s > self._day[0]) & (hours.end_s <= self._day[1])
        dull &= hours.origin == Origin.FORECAST
        return replace(
            fetched,
            hours=replace(
                hours,
                temperature_c=np.where(dull, hours.temperature_c - 6.0, hours.temperature_c),
                solar_mj_m2=np.where(dull, 0.35 * hours.solar_mj_m2, hours.solar_mj_m2),
                wind_2m_m_s=np.where(dull, 0.5 * hours.wind_2m_m_s, hours.wind_2m_m_s),
            ),
        )


class SteppedClock:
    """A clock that stands until it is moved."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def now(self) -> datetime:
        """Return where it stands."""
        return self.at

    def monotonic_s(self) -> float:
        """Return the same as seconds."""
        return self.at.timestamp()


def demonstration(
    on_message: Callable[[datetime, Message], None], on_remark: Callable[[datetime, str], None]
) -> Demonstration:
    """Live through the week, handing on each message and what the gardener made of it."""
    with (
        as_file(files("irrigate") / "catalogue" / "demo_garden.yaml") as garden_path,
        as_file(files("irrigate") / "catalogue" / "demo_weather.csv") as weather_path,
    ):
        described = _Described(garden_path)
        garden = described.read().garden
        weather = whole_table(weather_path, garden, DEMO_START + timedelta(days=20))
    gardener = SimulatedGardener(
        true_garden(garden, DEMO_START, "truth"),
        weather,
        inbox := MemoryInbox(),
        Habits(forgets=0.0, forgets_on=(DEMO_FORGOTTEN,), silent=0.15),
    )
    clock = SteppedClock(DEMO_START)
    ports = Ports(
        journal=MemoryJournal(),
        inbox=inbox,
        weather=_Surprise(weather, DEMO_DULL, DEMO_SEEN),
        outbox=DirectOutbox([gardener], clock),
        garden_file=described,
    )
    memory, thought = Memory(), None
    actions: list[Action] = []
    end = DEMO_START + timedelta(days=DEMO_DAYS)
    read = remarked = 0
    while clock.at < end:
        gardener.live(clock.at)
        for at, remark in gardener.remarks[remarked:]:
            on_remark(at, remark)
        remarked = len(gardener.remarks)
        step = run_once(clock.at, memory, ports)
        memory, thought = step.memory, step.thought or thought
        actions += step.actions
        for message in gardener.read[read:]:
            on_message(clock.at, message)
        read = len(gardener.read)
        clock.at += DEMO_STEP
    gardener.live(end)
    if thought is None:
        raise RuntimeError("the demonstration never came to think")
    daily = fixed_daily(true_garden(garden, DEMO_START, "truth"), weather, end)
    return Demonstration(
        garden=thought.standing.garden,
        messages=tuple(gardener.read),
        actions=tuple(actions),
        walked=tuple(gardener.walked),
        missed=tuple(gardener.missed),
        unanswered=tuple(gardener.unanswered),
        thought=thought,
        ours=gardener.truth.tally(),
        daily=daily.tally(),
    )


def whole_table(path: Path, garden: Garden, until: datetime, past_days: int = 60) -> HourlyWeather:
    """Read the hours of a weather CSV up to a moment, its gaps filled."""
    fetched = CsvWeather(path, past_days=past_days).fetch(garden.site, until)
    return fill(fetched.hours, garden.site, empty_weather())[0]
