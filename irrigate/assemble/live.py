"""The service as it runs: journal, spool, weather, channels, and the daemon around them."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC
from pathlib import Path

from irrigate.assemble.folders import make_state
from irrigate.errors import GardenFileError, InputError
from irrigate.outside.channels.apprise_urls import AppriseChannel
from irrigate.outside.channels.console import ConsoleChannel
from irrigate.outside.channels.worker import OutboxWorker
from irrigate.outside.clock import SystemClock
from irrigate.outside.inbox.spool import SpoolInbox
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.outside.secrets import Secrets
from irrigate.outside.supervisor import notifier
from irrigate.outside.weather.box import FetchBox
from irrigate.outside.weather.csv_file import CsvWeather
from irrigate.outside.weather.fetcher import Fetcher
from irrigate.outside.weather.open_meteo import OpenMeteo
from irrigate.ports import Channel, WeatherSource
from irrigate.service.cycle import Ports
from irrigate.service.daemon import Daemon, Surroundings
from irrigate.settings.garden_file import YamlGardenFile, read_settings
from irrigate.settings.values import Settings, WeatherChoice

BACKUPS_KEPT = 7
# For trying the service against another server of the same kind, such as one on loopback.
WEATHER_URL = "IRRIGATE_WEATHER_URL"


@dataclass(frozen=True, slots=True)
class Folders:
    """Where the service finds and keeps things."""

    garden: Path
    state: Path
    secrets: Path | None = None


@dataclass(frozen=True, slots=True)
class Live:
    """An assembled service; `close` lets go of everything."""

    daemon: Daemon
    journal: SqliteJournal
    outbox: OutboxWorker

    def close(self) -> None:
        """Stop delivering and close the journal."""
        self.outbox.stop()
        self.journal.close()


def live(folders: Folders, environment: Mapping[str, str], members: int) -> Live:
    """Assemble the service.

    Raises
    ------
    InputError : the garden file or a secret is wrong; said in full.
    JournalError : the journal cannot be used, or another service is running on it.
    """
    settings = read_settings(folders.garden)
    clock = SystemClock()
    channels = channels_of(settings, Secrets(environment, folders.secrets))
    make_state(folders.state)
    journal = SqliteJournal(folders.state / "journal.sqlite")
    inbox = SpoolInbox(folders.state / "spool")
    box = FetchBox()
    source = weather_source(settings.service.weather, environment)
    fetcher = Fetcher(source, settings.garden.site, box, clock)
    outbox = OutboxWorker(channels, clock)
    ports = Ports(journal, inbox, box, outbox, YamlGardenFile(folders.garden), members)
    around = Surroundings(
        clock=clock,
        fetch=fetcher.fetch_if_due,
        backup=_backup(journal, folders.state, clock),
        garden_changed=_watch(folders.garden, fetcher, environment),
        waiting=lambda: inbox.has_waiting() or outbox.has_receipts(),
        notify=notifier(environment),
        keep_trouble=_keep_trouble(folders.state),
    )
    return Live(Daemon(ports, around), journal, outbox)


def weather_source(choice: WeatherChoice, environment: Mapping[str, str]) -> WeatherSource:
    """Return the source that the garden file names."""
    if choice.csv is not None:
        return CsvWeather(choice.csv, wind_height_m=choice.wind_height_m)
    url = environment.get(WEATHER_URL)
    return OpenMeteo(url) if url else OpenMeteo()


def channels_of(settings: Settings, secrets: Secrets) -> list[Channel]:
    """Return a channel for every way that the garden file names.

    The library that delivers is not loaded before there is something to deliver; a secret that
    is missing is said now, though, and not at the first message.
    """
    ways = dict.fromkeys(
        (*settings.service.reach, *(way for one in settings.garden.people for way in one.reach))
    )
    return [
        ConsoleChannel() if way == "console" else AppriseChannel(way, secrets.named(way))
        for way in ways
    ]


def _watch(garden: Path, fetcher: Fetcher, environment: Mapping[str, str]) -> Callable[[], bool]:
    """Return a look at the garden file that says whether it changed since the last look.

    A change is told once it has stood still for a look, so that a half-saved file is waited out;
    where it names another place or source of weather, the fetcher follows.
    """
    told = seen = _stamp(garden)

    def changed() -> bool:
        nonlocal told, seen
        stamp = _stamp(garden)
        still, seen = stamp == seen, stamp
        if stamp is None or stamp == told or not still:
            return False
        told = stamp
        with suppress(GardenFileError, InputError):
            settings = read_settings(garden)
            fetcher.follow(
                weather_source(settings.service.weather, environment), settings.garden.site
            )
        return True

    return changed


def _stamp(path: Path) -> tuple[int, int, int] | None:
    try:
        status = path.stat()
    except OSError:
        return None
    return (status.st_mtime_ns, status.st_size, status.st_ino)


def _backup(journal: SqliteJournal, state: Path, clock: SystemClock) -> Callable[[], None]:
    """Return the nightly copy: one a day, the last week of them kept."""

    def backup() -> None:
        folder = state / "backup"
        folder.mkdir(exist_ok=True)
        journal.backup(folder / f"journal-{clock.now().astimezone(UTC):%Y-%m-%d}.sqlite")
        for old in sorted(folder.glob("journal-????-??-??.sqlite"))[:-BACKUPS_KEPT]:
            old.unlink()

    return backup


def _keep_trouble(state: Path) -> Callable[[str], str]:
    """Return where an unexpected failure is written for an engineer; the last one only."""

    def keep(text: str) -> str:
        path = state / "last-trouble.txt"
        try:
            path.write_text(text, encoding="utf-8")
        except OSError:
            return "(it could not be written)"
        return os.fspath(path)

    return keep
