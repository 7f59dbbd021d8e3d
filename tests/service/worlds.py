"""A small world for the service: a garden file, weather, an inbox, a phone, and crashes."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np

from irrigate.garden.belief import Belief
from irrigate.garden.events import standing
from irrigate.garden.fold import fold
from irrigate.garden.known_weather import known_weather
from irrigate.garden.weather import HourlyWeather
from irrigate.outside.channels.direct import DirectOutbox
from irrigate.outside.channels.memory import MemoryChannel
from irrigate.outside.inbox.memory import MemoryInbox
from irrigate.outside.weather.memory import ForecastError, TableWeather
from irrigate.ports import Fetched, Item, Journal, Message
from irrigate.service.beliefs import AT_HAND, brought_up, first_grounds
from irrigate.service.cycle import Memory, Ports, Step, run_once
from irrigate.settings.garden_file import YamlGardenFile
from tests.garden.makers import summer as summer_at

# 16:00 in the garden, two and a half hours before the evening's round.
FIRST_NOW = datetime(2026, 7, 9, 23, 0, tzinfo=UTC)
MINUTES = timedelta(minutes=1)

GARDEN = """\
garden: Three pots
site: {latitude: 37.6, longitude: -120.8, elevation: 40 m, time zone: America/Los_Angeles}
units: metric
can: 8 L
rounds: [07:00, 18:30]
quiet: 21:30-06:30
reach: [phone]
people: [{name: Ann, reach: [phone], hours: [06:30-21:00]}]
places: {wall: {wind: open}, porch: {shade: 40 %, wind: sheltered}}
pots:
  1: {plant: tomato, pot: 8 L, size: {wide: 70 cm, tall: 1.1 m}, place: wall}
  2: {plant: pepper, pot: nursery 5 gal, size: {wide: 50 cm, tall: 50 cm}, place: wall}
  3: {plant: lettuce, pot: 6 L, size: {wide: 20 cm, tall: 20 cm}, place: porch}
"""


def summer(days: int = 12, begins: datetime = FIRST_NOW - timedelta(days=3)) -> HourlyWeather:
    """Return the world's weather, hot and clear."""
    table = summer_at(days, begins)
    return replace(table, temperature_c=table.temperature_c + 5.0)


class Sky:
    """A weather source that can fail; after a start it tells its days gone by again."""

    def __init__(self, table: HourlyWeather) -> None:
        self.table = table
        self.fails = False
        self.forget()

    def forget(self) -> None:
        """Be as after a start."""
        self._source = TableWeather(self.table, error=ForecastError("sky"), source="sky")

    def latest(self, now: datetime) -> Fetched | None:
        """Return what is new, or nothing while it fails."""
        return None if self.fails else self._source.latest(now)


class ClockAt:
    """The moment of the step."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def now(self) -> datetime:
        """Return it."""
        return self.at

    def monotonic_s(self) -> float:
        """Return it as seconds."""
        return self.at.timestamp()


class Crash(BaseException):
    """The power went."""


@dataclass
class Fuse:
    """Blows at the so-manieth thing that is done to the world outside; 0 is never."""

    left: int = 0
    after: bool = False

    def guard(self, target: object, *names: str) -> Any:
        """Return a stand-in of ``target`` that may crash before or after the named methods."""
        return _Guarded(target, self, frozenset(names))


class _Guarded:
    def __init__(self, target: object, fuse: Fuse, names: frozenset[str]) -> None:
        self._target, self._fuse, self._names = target, fuse, names

    def __getattr__(self, name: str) -> Any:
        method = getattr(self._target, name)
        return self._perhaps(method) if name in self._names else method

    def _perhaps(self, method: Any) -> Any:
        def done(*args: Any, **kwargs: Any) -> Any:
            self._fuse.left -= 1
            blows = self._fuse.left == 0
            if blows and not self._fuse.after:
                raise Crash
            result = method(*args, **kwargs)
            if blows:
                raise Crash
            return result

        return done


@dataclass
class World:
    """One service with all it needs, led step by step.

    Parameters
    ----------
    journal : kept over crashes.
    folder : where the garden file lies.
    """

    journal: Journal
    folder: Path
    members: int = 8
    table: HourlyWeather = field(default_factory=summer)
    now: datetime = FIRST_NOW

    def __post_init__(self) -> None:
        self.inbox = MemoryInbox()
        self.sky = Sky(self.table)
        self.phone = MemoryChannel("phone")
        self.fuse = Fuse()
        self.file = self.folder / "garden.yaml"
        self.write(GARDEN)
        self.clock = ClockAt(self.now)
        self.outbox = DirectOutbox([self.phone], self.clock)
        self.memory = Memory()

    def write(self, text: str) -> None:
        """Write the garden file."""
        self.file.write_text(text, encoding="utf-8")

    def say(self, text: str, key: str | None = None, who: str = "Ann", **more: Any) -> None:
        """Hand in an answer."""
        key = key or f"item {self.now.isoformat()} {text}"
        self.inbox.put(Item(key, more.pop("received_at", self.now), who, "phone", text, **more))

    def ports(self) -> Ports:
        """Return the world outside, with the fuse in its places."""
        return Ports(
            journal=self.fuse.guard(
                self.journal, "append", "claim", "save_checkpoint", "drop_checkpoints"
            ),
            inbox=self.fuse.guard(self.inbox, "done"),
            weather=self.sky,
            outbox=self.fuse.guard(self.outbox, "post"),
            garden_file=YamlGardenFile(self.file),
            members=self.members,
        )

    def step(self, *, reload: bool = False) -> Step:
        """Take one step now."""
        self.clock.at = self.now
        taken = run_once(self.now, self.memory, self.ports(), reload=reload)
        self.memory = taken.memory
        return taken

    def restart(self) -> None:
        """Lose all but what is on disk: the journal, the inbox, and what the phone received."""
        self.memory = Memory()
        self.sky.forget()
        self.outbox = DirectOutbox([self.phone], self.clock)

    def until(self, end: datetime, every: timedelta = 30 * MINUTES) -> list[Step]:
        """Step on until a moment, and return the steps."""
        steps = []
        while self.now < end:
            self.now = min(self.now + every, end)
            steps.append(self.step())
        return steps

    @property
    def messages(self) -> list[Message]:
        """What the phone received."""
        return self.phone.delivered


# --- what is believed ------------------------------------------------------------------------
def believed(world: World) -> Belief:
    """Return the belief of the world's service now, as its memory has it."""
    _, present = brought_up(world.memory.grounds, world.journal, world.now, 8, keeps=False)
    assert present.standing is not None
    return present.standing.belief


def believed_after_restart(world: World) -> Belief:
    """Return the belief as a start would have it."""
    grounds = first_grounds(world.journal, world.now)
    _, present = brought_up(grounds, world.journal, world.now, 8, keeps=False)
    assert present.standing is not None
    return present.standing.belief


def believed_from_the_first(world: World) -> Belief:
    """Return the belief folded from the first fact of all, without any checkpoint."""
    facts = standing(world.journal.facts(AT_HAND))
    known = fold(None, facts, known_weather(facts, int(world.now.timestamp())), world.now, 8)
    assert known is not None
    return known.belief


def same(one: Belief, other: Belief) -> bool:
    """Return whether two beliefs are the same to the last bit."""
    return all(
        np.array_equal(getattr(one, field.name), getattr(other, field.name))
        for field in fields(Belief)
    )
