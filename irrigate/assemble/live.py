"""The service as it runs: journal, spool, weather, channels, and the daemon around them."""

from __future__ import annotations

import hashlib
import logging
import os
from collections.abc import Callable, Mapping
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
from irrigate.outside.weather.open_meteo_ensemble import OpenMeteoEnsemble
from irrigate.ports import Channel, GardenText, WeatherSource
from irrigate.service.cycle import Ports
from irrigate.service.daemon import Daemon, Surroundings
from irrigate.service.intake import take_receipts
from irrigate.settings.garden_file import YamlGardenFile, read_settings
from irrigate.settings.values import Settings, WeatherChoice

log = logging.getLogger("irrigate")

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
        """Stop delivering, keep what was delivered until then, and close the journal."""
        self.outbox.stop()
        # What was given back undelivered stays open: it is sent at the next start.
        done = [one for one in self.outbox.receipts() if one.ok]
        try:
            self.journal.append(take_receipts(done, SystemClock().now()).facts)
        finally:
            self.journal.close()


def live(folders: Folders, environment: Mapping[str, str], members: int) -> Live:
    """Assemble the service.

    Raises
    ------
    InputError : the garden file or a secret is wrong; said in full.
    JournalError : the journal cannot be used, or another service is running on it.
    """
    make_state(folders.state)
    kept = KeptGardenFile(folders.garden, folders.state / "garden-last-good.yaml")
    settings = kept.settings()
    clock = SystemClock()
    secrets = Secrets(environment, folders.secrets)
    channels = channels_of(settings, secrets)
    journal = SqliteJournal(folders.state / "journal.sqlite")
    inbox = SpoolInbox(folders.state / "spool")
    box = FetchBox()
    source = weather_source(settings.service.weather, environment)
    fetcher = Fetcher(source, settings.garden.site, box, clock)
    outbox = OutboxWorker(channels, clock)
    ports = Ports(journal, inbox, box, outbox, kept, members)
    around = Surroundings(
        clock=clock,
        fetch=fetcher.fetch_if_due,
        backup=_backup(journal, folders.state, clock),
        garden_changed=_watch(folders.garden, fetcher, outbox, secrets, environment),
        waiting=lambda: inbox.has_waiting() or outbox.has_receipts(),
        notify=notifier(environment),
        keep_trouble=_keep_trouble(folders.state),
    )
    return Live(Daemon(ports, around), journal, outbox)


class KeptGardenFile:
    """The garden file, of which the last good text is kept beside the state.

    A restart in the middle of an edit must not mean that nobody is told anything.
    """

    def __init__(self, path: Path, kept: Path) -> None:
        self._file = YamlGardenFile(path)
        self._path, self._kept = path, kept

    def settings(self) -> Settings:
        """Return the settings of the file, or of its last good text with a word in the log."""
        try:
            return read_settings(self._path)
        except GardenFileError as wrong:
            if not self._kept.exists():
                raise
            log.warning("garden file not taken: %s", wrong.faults[0])
            return read_settings(self._kept)

    def read(self) -> GardenText:
        """Return what the file says, and keep its text if that is sound."""
        text = self._file.read()
        content = self._path.read_bytes()
        if hashlib.sha256(content).hexdigest() == text.digest:
            fresh = self._kept.with_suffix(".new")
            fresh.write_bytes(content)
            fresh.replace(self._kept)
        return text


def weather_source(choice: WeatherChoice, environment: Mapping[str, str]) -> WeatherSource:
    """Return the source that the garden file names."""
    if choice.csv is not None:
        return CsvWeather(choice.csv, wind_height_m=choice.wind_height_m)
    url = environment.get(WEATHER_URL)
    if not url:
        return OpenMeteo(ensemble=OpenMeteoEnsemble() if choice.ensemble else None)
    # Whoever serves the forecast elsewhere serves the ensemble beside it.
    beside = url.rpartition("/")[0] + "/ensemble"
    return OpenMeteo(url, ensemble=OpenMeteoEnsemble(beside) if choice.ensemble else None)


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


def _watch(
    garden: Path,
    fetcher: Fetcher,
    outbox: OutboxWorker,
    secrets: Secrets,
    environment: Mapping[str, str],
) -> Callable[[], bool]:
    """Return a look at the garden file that says whether it changed since the last look.

    A change is told once it has stood still for a look, so that a half-saved file is waited out;
    where it names another place, source of weather or way to reach people, they follow.
    """
    told = seen = _stamp(garden)

    def changed() -> bool:
        nonlocal told, seen
        stamp = _stamp(garden)
        still, seen = stamp == seen, stamp
        if stamp is None or stamp == told or not still:
            return False
        told = stamp
        try:
            settings = read_settings(garden)
            source = weather_source(settings.service.weather, environment)
            fetcher.follow(source, settings.garden.site)
            outbox.follow(channels_of(settings, secrets))
        except InputError as wrong:
            log.warning("the changed garden file is not followed: %s", str(wrong).split("\n")[0])
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
