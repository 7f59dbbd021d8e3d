"""How quick and how small the service is: `python -m tests.benchmarks.service`.

One step with the week ahead for 50 pots × 200 members; the time until `irrigate run` is ready,
and what it keeps resident before and after its first message, with a phone and a weather server
on loopback.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import psutil

from irrigate.garden.weather import Origin
from irrigate.outside.channels.direct import DirectOutbox
from irrigate.outside.channels.memory import MemoryChannel
from irrigate.outside.clock import SystemClock
from irrigate.outside.inbox.memory import MemoryInbox
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.outside.weather.memory import TableWeather
from irrigate.outside.weather.open_meteo import understood
from irrigate.service.cycle import Memory, Ports, run_once
from irrigate.settings.garden_file import YamlGardenFile
from tests.e2e.running_service import Service, garden_text, phone, running, summer_site, weather
from tests.outside.weather_server import answer_of

MIB = 1024 * 1024
POTS = 50


def measure() -> dict[str, float]:
    """Return the numbers, by name with the unit in it."""
    return {**measure_step(), **measure_process()}


def measure_step() -> dict[str, float]:
    """Time hourly steps on a real journal: fold, the week ahead, verdicts, facts written."""
    site = summer_site()
    start = datetime.now(UTC).replace(minute=5, second=0, microsecond=0)  # noqa: TID251
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "garden.yaml").write_text(garden_text(site, POTS, minutes_to_round=240))
        hours = understood(answer_of(site, start, past_days=4, days=16), site, start).hours
        table = replace(hours.marked(Origin.OBSERVED))
        journal = SqliteJournal(folder / "journal.sqlite")
        ports = Ports(
            journal, MemoryInbox(), TableWeather(table),
            DirectOutbox([MemoryChannel("phone")], SystemClock()),
            YamlGardenFile(folder / "garden.yaml"), members=200,
        )  # fmt: skip
        step = run_once(start, Memory(), ports)
        took = []
        for hour in range(1, 25):
            begun = time.perf_counter()
            step = run_once(start + timedelta(hours=hour), step.memory, ports)
            took.append(time.perf_counter() - begun)
        journal.close()
    took.sort()
    return {
        "step of an hour, median ms": 1000 * took[len(took) // 2],
        "step of an hour, worst of 24 ms": 1000 * took[-1],
    }


def measure_process() -> dict[str, float]:
    """Start the real command twice: once far from a round, once with a message due."""
    quiet = _resident(minutes_to_round=240, wait_for=lambda received: False)
    told = _resident(minutes_to_round=10, wait_for=bool)
    return {
        "ready after s": quiet[0],
        "resident before the first message MiB": quiet[1],
        "resident after the first message MiB": told[1],
    }


def _resident(
    minutes_to_round: int, wait_for: Callable[[list[object]], bool]
) -> tuple[float, float]:
    site = summer_site()
    with tempfile.TemporaryDirectory() as name, phone() as receiver, weather(site) as url:
        folder = Path(name)
        (folder / "garden.yaml").write_text(garden_text(site, POTS, minutes_to_round))
        begun = time.perf_counter()
        with running(folder, receiver.url, url) as service:
            service.until_notified("READY=1")
            ready_s = time.perf_counter() - begun
            _settle(service, lambda: wait_for(receiver.received))
            resident = psutil.Process(service.process.pid).memory_info().rss
            service.end()
    return ready_s, resident / MIB


def _settle(service: Service, enough: Callable[[], bool]) -> None:
    """Let the weather come and, where one is due, the message go; then some seconds more."""
    end = time.monotonic() + 20
    while time.monotonic() < end and not enough():
        time.sleep(0.2)
        if "decided" not in service.log.read_text() and time.monotonic() > end - 14:
            break
    time.sleep(3)


def main() -> None:
    """Print the numbers."""
    for name, value in measure().items():
        print(f"{name:40} {value:8.2f}")


if __name__ == "__main__":
    main()
