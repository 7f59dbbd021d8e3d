"""A service's state folder as `run_once` leaves it: an invented garden through invented days."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

from irrigate.garden.weather import HOUR_S, HourlyWeather
from irrigate.outside.channels.direct import DirectOutbox
from irrigate.outside.channels.memory import MemoryChannel
from irrigate.outside.inbox.memory import MemoryInbox
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.outside.weather.memory import TableWeather
from irrigate.ports import Item, Message
from irrigate.service.cycle import Memory, Ports, run_once
from irrigate.settings.garden_file import YamlGardenFile

GARDEN = """\
garden: Three pots in Quillmere
site: {latitude: 38.2, longitude: -121.0, elevation: 30 m, time zone: America/Los_Angeles}
units: UNITS
can: 8 L
rounds: [07:00, 18:30]
quiet: 22:00-06:00
people:
  - {name: Odile, reach: [console], hours: [06:30-08:30, 17:00-21:00]}
places:
  drive: {wind: open}
  porch: {wind: yard, shade: 30 %, sun: 07:00-15:00}
pots:
  3: {plant: pepper, pot: nursery 3 gal, size: "knee-high, wider than pot", place: drive}
  7a: {plant: basil, pot: nursery 1 gal, size: {wide: 35 cm, tall: 40 cm}, place: porch}
  12: {plant: lemon, pot: half barrel, mix: bark mix, size: {wide: 90 cm}, place: porch}
"""
MEMBERS = 200


def invented_weather(middle: datetime, days: int = 12) -> HourlyWeather:
    """Return hot, clear, dry days around a moment; the sun as it is at 121° west."""
    first_s = int((middle - timedelta(days=days)).timestamp()) // HOUR_S * HOUR_S
    end_s = first_s + HOUR_S * np.arange(1, 24 * 2 * days + 1, dtype=np.int64)
    solar_hour = np.mod(end_s / 3600.0 - 0.5 - 121.0 / 15.0, 24.0)
    sun = np.maximum(np.cos((solar_hour - 12.0) / 14.0 * np.pi), 0.0)
    warm = np.cos((solar_hour - 15.0) / 24.0 * 2.0 * np.pi)
    nothing = np.zeros(end_s.size)
    codes = np.zeros(end_s.size, dtype=np.uint8)
    return HourlyWeather(
        end_s=end_s,
        temperature_c=26.0 + 9.0 * warm,
        vapour_pressure_kpa=np.full(end_s.size, 1.4),
        solar_mj_m2=3.2 * sun,
        wind_2m_m_s=1.2 + 0.8 * sun,
        rain_mm=nothing,
        rain_chance=nothing,
        origin=codes,
        filled=codes,
    )


@dataclass(frozen=True)
class Kept:
    """The state folder, its garden file, and what was sent."""

    state: Path
    garden: Path
    sent: tuple[Message, ...]

    @property
    def journal(self) -> Path:
        """The journal's file."""
        return self.state / "journal.sqlite"


class _Standing:
    """A clock that stands where it is put."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def now(self) -> datetime:
        return self.at

    def monotonic_s(self) -> float:
        return self.at.timestamp()


def kept_record(
    folder: Path,
    begins: datetime,
    ends: datetime,
    weather: HourlyWeather,
    *,
    units: str = "metric",
    answers: Sequence[tuple[datetime, str, datetime | None]] = (),
    step: timedelta = timedelta(minutes=30),
    source: str = "invented",
    members: int = MEMBERS,
) -> Kept:
    """Run the service's step from one moment to another, and leave what it keeps in ``folder``.

    A folder that holds a record already is gone on with, as after a restart. ``answers`` are the
    moment each is handed in, its words, and the moment it is said for (None: then).
    """
    folder.mkdir(parents=True, exist_ok=True)
    garden = folder / "garden.yaml"
    if not garden.exists():
        garden.write_text(GARDEN.replace("UNITS", units), encoding="utf-8")
    channel, inbox = MemoryChannel("console"), MemoryInbox()
    clock = _Standing(begins)
    journal = SqliteJournal(folder / "journal.sqlite")
    ports = Ports(
        journal=journal,
        inbox=inbox,
        weather=TableWeather(weather, source=source),
        outbox=DirectOutbox([channel], clock),
        garden_file=YamlGardenFile(garden),
        members=members,
    )
    memory, waiting = Memory(), list(answers)
    while clock.at <= ends:
        while waiting and waiting[0][0] <= clock.at:
            at, text, said_for = waiting.pop(0)
            inbox.put(Item(f"answer {at.isoformat()}", at, "Odile", "test", text, said_for))
        memory = run_once(clock.at, memory, ports).memory
        clock.at += step
    journal.close()
    return Kept(folder, garden, tuple(channel.delivered))


def irrigate(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the command itself in a process of its own."""
    kept = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    return subprocess.run(
        [sys.executable, "-m", "irrigate", *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        env={**kept, "PYTHONIOENCODING": "utf-8", **environment},
        check=False,
    )
