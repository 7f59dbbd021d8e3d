"""Looking into the service's state without touching it, or at a garden that has none yet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

from irrigate.assemble.live import weather_source
from irrigate.errors import InputError
from irrigate.garden.events import Fact, Forecast, GardenVersion, WeatherHours, standing
from irrigate.garden.weather import Filled, HourlyWeather
from irrigate.outside.clock import SystemClock
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.outside.weather import met_norway, nws, open_meteo
from irrigate.ports import Clock, Journal
from irrigate.service.as_known import AsKnown, present_at
from irrigate.service.beliefs import OLDEST_FORECAST, first_grounds
from irrigate.service.gardening import take_garden
from irrigate.service.intake import take_weather
from irrigate.service.thinking import Thought, think
from irrigate.settings.garden_file import YamlGardenFile, read_settings

# Which sources ask to be named beside what is shown of them.
ATTRIBUTIONS = {
    open_meteo.OpenMeteo.name: open_meteo.ATTRIBUTION,
    nws.NationalWeatherService.name: nws.ATTRIBUTION,
    met_norway.MetNorway.name: met_norway.ATTRIBUTION,
}


@dataclass(frozen=True, slots=True)
class SkyNews:
    """How fresh the weather is.

    Parameters
    ----------
    source, attribution : who tells it, and how they ask to be named (or empty).
    told_until : end of the last hour gone by that was told (UTC).
    forecast_from : when the newest forecast came; None without any.
    forecast_until : end of its last hour; beyond it recent days stand in.
    too_old : the forecast is not used any more: recent days stand in for all of it.
    sun_estimated : the forecast's radiation was put in by a procedure.
    """

    source: str
    attribution: str
    told_until: datetime | None
    forecast_from: datetime | None
    forecast_until: datetime | None
    too_old: bool = False
    sun_estimated: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """The week ahead, and what it rests on.

    Parameters
    ----------
    thought : the week ahead from now.
    sky : how fresh its weather is.
    first : True where there is no record yet, and all is but a prior.
    waiting : how many answers lie in the spool, not yet taken in by the service.
    remarks : what else a gardener should know of it.
    """

    thought: Thought
    sky: SkyNews
    first: bool
    waiting: int = 0
    remarks: tuple[str, ...] = ()


@contextmanager
def open_journal(path: Path) -> Iterator[SqliteJournal]:
    """Open the service's journal for reading; an `InputError` that says how to begin without."""
    if not path.exists():
        raise InputError(
            f"there is no record at {path} yet. Start the service (irrigate run), or name its"
            " folder with --state; irrigate outlook shows a first look without a record"
        )
    with closing(SqliteJournal(path, read_only=True)) as journal:
        yield journal


def system_clock() -> Clock:
    """Return the machine's clock."""
    return SystemClock()


def look(
    garden: Path,
    state: Path,
    now: datetime,
    members: int,
    environment: Mapping[str, str],
) -> Look:
    """Look a week ahead from the service's record; from priors where there is none.

    Parameters
    ----------
    garden : the garden file, needed only where there is no record.
    state : the service's folder.
    now : the present (UTC).
    members : size of the ensemble.
    environment : may name another weather server.
    """
    path = state / "journal.sqlite"
    if path.exists():
        with closing(SqliteJournal(path, read_only=True)) as journal:
            view = AsKnown(journal, journal.position())
            found = _looked(view, now, members)
            if found is not None:
                thought, sky = found
                remarks = _garden_changed(garden, view)
                return Look(thought, sky, False, _waiting(state / "spool"), remarks)
    return _first_look(garden, now, members, environment)


def _looked(view: Journal, now: datetime, members: int) -> tuple[Thought, SkyNews] | None:
    """Return the week ahead from a record; None where it holds no garden or no weather."""
    present = present_at(view, now, members)
    if present.standing is None or present.weather is None:
        return None
    sky = _sky_news(standing(list(first_grounds(view, now).facts)), now)
    return think(present.standing, present.weather, doubt=present.doubt), sky


def _sky_news(facts: Sequence[Fact], now: datetime) -> SkyNews:
    told = [fact for fact in facts if isinstance(fact.body, WeatherHours)]
    coming = [fact for fact in facts if isinstance(fact.body, Forecast)]
    # A station is spoken of beside the forecast, and not in its place.
    heard: dict[str, datetime] = {}
    for fact in sorted((*coming, *told), key=lambda one: one.recorded_at):
        heard[getattr(fact.body, "source", "")] = fact.recorded_at
    last = max(heard.values())
    sources = [name for name, at in heard.items() if last - at < OLDEST_FORECAST]
    forecast = max(coming, key=lambda fact: fact.recorded_at, default=None)
    hours = forecast.body.hours if forecast and isinstance(forecast.body, Forecast) else None
    return SkyNews(
        source=", ".join(sources),
        attribution="; ".join(ATTRIBUTIONS[name] for name in sources if name in ATTRIBUTIONS),
        told_until=_last_end(told),
        forecast_from=forecast.recorded_at if forecast else None,
        forecast_until=_last_end([forecast] if forecast else []),
        too_old=forecast is not None and now - forecast.recorded_at > OLDEST_FORECAST,
        sun_estimated=hours is not None and put_in_mostly(hours),
    )


def put_in_mostly(hours: HourlyWeather) -> bool:
    """Return whether the radiation of most hours with any was put in."""
    sunny = hours.solar_mj_m2 > 0.0
    return bool(sunny.any() and ((hours.filled[sunny] & Filled.SOLAR) > 0).mean() > 0.5)


def _last_end(facts: Sequence[Fact]) -> datetime | None:
    ends = [
        int(fact.body.hours.end_s[-1])
        for fact in facts
        if isinstance(fact.body, WeatherHours | Forecast) and len(fact.body.hours)
    ]
    return datetime.fromtimestamp(max(ends), UTC) if ends else None


def _waiting(spool: Path) -> int:
    """Return how many answers wait, without touching them."""
    try:
        return sum(1 for _ in spool.glob("*.json"))
    except OSError:
        return 0


def _garden_changed(path: Path, view: Journal) -> tuple[str, ...]:
    """Say so where the garden file was changed after the service last took it up."""
    versions = view.facts((GardenVersion,))
    taken = versions[-1].body if versions else None
    try:
        changed_s, digest = path.stat().st_mtime, sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ()
    if not isinstance(taken, GardenVersion) or taken.digest == digest:
        return ()
    if changed_s <= versions[-1].recorded_at.timestamp():
        return ()
    return (f"{path} was changed, and the service has not taken it up yet.",)


def _first_look(
    path: Path, now: datetime, members: int, environment: Mapping[str, str]
) -> Look:  # fmt: skip
    """Read the garden, fetch its weather once, and look ahead with nothing but priors."""
    settings = read_settings(path)
    source = weather_source(settings.service.weather, environment)
    fetched = source.fetch(settings.garden.site, now)
    journal = MemoryJournal()
    journal.append(take_garden(YamlGardenFile(path), journal, None, now).facts)
    taken = take_weather(fetched, settings.garden, (), now)
    journal.append(taken.facts)
    found = _looked(journal, now, members)
    if found is None:
        raise InputError(f"the weather from {fetched.source} has no hour around now")
    remarks = (taken.reply,) if taken.reply else ()
    return Look(*found, True, 0, remarks)
