"""What the service makes of several sources: hours measured, hours untold, and what is said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from irrigate.garden.events import Fact, Forecast, Given, WeatherHours
from irrigate.garden.known_weather import ALL_FILLED, told_until_s
from irrigate.garden.pots import Garden
from irrigate.garden.weather import HOUR_S, Filled, HourlyWeather, Origin
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.ports import Fetched, Trouble
from irrigate.service.beliefs import brought_up
from irrigate.service.cycle import Ports
from irrigate.service.intake import take_weather
from tests.garden.makers import SITE, a_garden
from tests.service.worlds import (
    FIRST_NOW,
    Sky,
    World,
    believed,
    believed_after_restart,
    same,
    summer,
)

HOUR = timedelta(hours=1)
TABLE = summer(30)
GARDEN: Garden = a_garden()
NOW = FIRST_NOW + 20 * timedelta(minutes=1)
NOW_S = int(NOW.timestamp())


def fetched(now: datetime, *, back_h: int = 48, station_h: int = 0, lag_h: int = 0,
            warmer_c: float = 4.0, **more: object) -> Fetched:  # fmt: skip
    """Return what a model and a station in front of it know, as one answer.

    The station told ``station_h`` hours, the last of them ``lag_h`` hours ago.
    """
    now_s = int(now.timestamp()) // HOUR_S * HOUR_S
    hours = TABLE.between(now_s - back_h * HOUR_S, now_s + 150 * HOUR_S)
    past = hours.end_s <= now_s
    hours = replace(hours, origin=np.where(past, Origin.OBSERVED, Origin.FORECAST).astype(np.uint8))
    last_s = now_s - lag_h * HOUR_S
    by_station = (hours.end_s > last_s - station_h * HOUR_S) & (hours.end_s <= last_s)
    warm = hours.temperature_c + np.where(by_station, warmer_c, 0.0)
    told = {
        "measured_by": "roof" if station_h else "",
        "measured_s": frozenset(int(end) for end in hours.end_s[by_station]),
        "awaited_s": int(now.timestamp()) - 4500 if station_h else None,
    }
    return Fetched(
        "open-meteo", f"{now_s}", "", now, replace(hours, temperature_c=warm), **{**told, **more}
    )  # type: ignore[arg-type]


def gone_by(facts: Sequence[Fact], source: str) -> list[int]:
    """Return the ends of the hours that a source has told of, in order."""
    return sorted(
        int(end)
        for fact in facts
        if isinstance(fact.body, WeatherHours) and fact.body.source == source
        for end in fact.body.hours.end_s
    )


# --- measured replaces modelled ------------------------------------------------------------
def test_what_was_modelled_is_replaced_once_by_what_was_measured() -> None:
    """A station that starts late: its hours go over the model's, and are taken in only once."""
    facts = list(take_weather(fetched(NOW), GARDEN, (), NOW).facts)
    later = NOW + HOUR
    taken = take_weather(fetched(later, station_h=6), GARDEN, facts, later).facts
    last = int(later.timestamp()) // HOUR_S * HOUR_S
    assert gone_by(taken, "roof") == [last - HOUR_S * back for back in range(5, -1, -1)]
    assert gone_by(taken, "open-meteo") == []
    again = take_weather(fetched(later, station_h=6), GARDEN, [*facts, *taken], later).facts
    assert not any(isinstance(fact.body, WeatherHours) for fact in again)


def test_an_hour_that_the_station_owes_is_waited_for_and_no_later_one_goes_before_it() -> None:
    """The last hour is not yet the model's while the station may still tell it; later it is."""
    last = NOW_S // HOUR_S * HOUR_S
    facts = list(take_weather(fetched(NOW, station_h=5, lag_h=1), GARDEN, (), NOW).facts)
    assert told_until_s(facts) == last - HOUR_S
    # An hour later it still owes the same one, and has told the one after it.
    later = NOW + HOUR
    owing = fetched(later, station_h=5)
    owing = replace(owing, measured_s=owing.measured_s - {last})
    taken = take_weather(owing, GARDEN, facts, later).facts
    assert gone_by(taken, "open-meteo") == [last]
    assert gone_by(taken, "roof") == [last + HOUR_S]


def test_a_late_measurement_leads_to_the_belief_that_a_punctual_one_gives(tmp_path: Path) -> None:
    """Six hours told late take the fold back, and a restart gives the same bits."""

    class WithStation(Sky):
        late = False

        def latest(self, now: datetime) -> Fetched | None:
            return fetched(now, station_h=12 if self.late or not lagging else 0)

    beliefs = []
    for lagging in (False, True):
        folder = tmp_path / str(lagging)
        folder.mkdir()
        world = World(MemoryJournal(), folder, table=TABLE)
        world.sky = sky = WithStation(TABLE)
        world.step()
        world.until(FIRST_NOW + 10 * HOUR, every=HOUR)
        sky.late = True
        world.until(FIRST_NOW + 11 * HOUR, every=HOUR)
        assert same(believed(world), believed_after_restart(world))
        beliefs.append(believed(world))
    punctual, late = beliefs
    # The hours before the first step were the model's for one of them alone.
    assert late.at == punctual.at
    assert np.allclose(late.store.water_l, punctual.store.water_l, atol=0.05)


# --- hours that nobody tells ---------------------------------------------------------------
class OnlyForecast(Sky):
    """A source that tells nothing of hours gone by."""

    def latest(self, now: datetime) -> Fetched | None:
        """Return the hours to come."""
        if self.fails:
            return None
        now_s = int(now.timestamp()) // HOUR_S * HOUR_S
        hours = TABLE.between(now_s, now_s + 180 * HOUR_S).marked(Origin.FORECAST)
        clouds = np.full(len(hours), Filled.SOLAR, dtype=np.uint8)
        return Fetched("nws", f"{now_s}", "", now, replace(hours, filled=clouds))


def test_a_source_without_an_account_of_hours_gone_by_still_settles_the_belief(
    tmp_path: Path,
) -> None:
    """What was last foretold of an hour stands for it, is marked, and is scored by nobody."""
    world = World(MemoryJournal(), tmp_path, table=TABLE)
    world.sky = OnlyForecast(TABLE)
    world.step()
    world.until(FIRST_NOW + 30 * HOUR, every=HOUR)
    facts = world.journal.facts((WeatherHours,))
    assert told_until_s(facts) == int(world.now.timestamp()) // HOUR_S * HOUR_S
    assert all(np.all(fact.body.hours.filled == ALL_FILLED) for fact in facts)  # type: ignore[union-attr]
    ends = gone_by(facts, "nws")
    assert np.all(np.diff(ends) == HOUR_S)
    assert same(believed(world), believed_after_restart(world))


def test_a_real_account_later_replaces_nothing_but_goes_on(tmp_path: Path) -> None:
    """After a day without a source, hours gone by are those foretold before, not yesterday's."""
    facts = list(take_weather(fetched(NOW), GARDEN, (), NOW).facts)
    later = NOW + 30 * HOUR
    only = OnlyForecast(TABLE).latest(later)
    assert only is not None
    taken = take_weather(only, GARDEN, facts, later).facts
    told = [fact.body.hours for fact in taken if isinstance(fact.body, WeatherHours)]
    hours = HourlyWeather(
        *(np.concatenate([getattr(one, name) for one in told]) for name in told[0].__slots__)
    )
    assert len(hours) == 30
    same_hours = TABLE.select(np.isin(TABLE.end_s, hours.end_s))
    assert hours.temperature_c == pytest.approx(same_hours.temperature_c, abs=0.01)


# --- what is said --------------------------------------------------------------------------
class WithTroubles(World):
    """A world in which some sources of weather fail."""

    troubles: tuple[Trouble, ...] = ()

    def ports(self) -> Ports:
        """Return the world outside, with its troubles."""
        return replace(super().ports(), troubles=lambda: self.troubles)


def titles(world: World, word: str) -> list[str]:
    """Return the titles of the messages that hold a word."""
    return [one.title for one in world.messages if word in one.title]


def test_a_source_that_fails_is_told_once_and_then_every_day(tmp_path: Path) -> None:
    """Not in the first six hours, not at night, then once on each day that it lasts."""
    world = WithTroubles(MemoryJournal(), tmp_path, table=TABLE)
    world.step()
    world.troubles = (Trouble("roof", world.now, "has told nothing for 2 h"),)
    world.until(FIRST_NOW + 5.5 * HOUR)
    assert titles(world, "roof") == []
    world.until(FIRST_NOW + 14 * HOUR)  # it is 6 in the morning there: still quiet
    assert titles(world, "roof") == []
    world.until(FIRST_NOW + 24 * HOUR)
    assert titles(world, "roof") == ["No weather from roof since Thursday 16:00"]
    world.restart()
    world.until(FIRST_NOW + 28 * HOUR)
    assert len(titles(world, "roof")) == 1
    world.until(FIRST_NOW + 48 * HOUR)
    assert len(titles(world, "roof")) == 2
    world.troubles = ()
    world.until(FIRST_NOW + 72 * HOUR)
    assert len(titles(world, "roof")) == 2
    said = next(one for one in world.messages if "roof" in one.title)
    assert "has told nothing for 2 h" in said.body


def test_an_estimated_sun_is_said_once(tmp_path: Path) -> None:
    """A source without radiation: one message, however many forecasts."""
    world = World(MemoryJournal(), tmp_path, table=TABLE)
    world.sky = OnlyForecast(TABLE)
    world.step()
    world.until(FIRST_NOW + 30 * HOUR, every=HOUR)
    assert titles(world, "Sun estimated") == ["Sun estimated"]


@pytest.mark.parametrize(("warmer_c", "count"), [(8.0, 1), (1.0, 0)])
def test_a_station_at_odds_with_the_forecast_is_told_once(
    tmp_path: Path, warmer_c: float, count: int
) -> None:
    """A thermometer in the sun, 8 °C too warm, is asked about once; a warm yard never."""

    class Warm(Sky):
        def latest(self, now: datetime) -> Fetched | None:
            return fetched(now, station_h=12, warmer_c=warmer_c)

    world = World(MemoryJournal(), tmp_path, table=TABLE)
    world.sky = Warm(TABLE)
    world.step()
    world.until(FIRST_NOW + 60 * HOUR, every=HOUR)
    assert (
        titles(world, "Is the temperature of roof right?")
        == ["Is the temperature of roof right?"] * count
    )


# --- stale ---------------------------------------------------------------------------------
def test_stale_weather_widens_the_week_and_after_two_days_recent_days_stand_in(
    tmp_path: Path,
) -> None:
    """The same noon from a forecast of one hour, of 40 hours, and from recent days."""
    world = World(MemoryJournal(), tmp_path, table=TABLE)
    world.step()
    world.until(FIRST_NOW + 4 * 24 * HOUR, every=HOUR)
    made = world.journal.newest(Forecast)
    assert made is not None
    doubts, marks = [], []
    for age in (1, 40, 50):
        world.sky.fails = True
        world.now = made.recorded_at + age * HOUR
        world.step()
        _, present = brought_up(world.memory.grounds, world.journal, world.now, 8, keeps=False)
        assert present.doubt is not None
        assert present.doubt.made_s is not None
        assert present.weather is not None
        doubts.append(int(world.now.timestamp()) - present.doubt.made_s)
        coming = present.weather.end_s > world.now.timestamp()
        marks.append(float((present.weather.filled[coming] == ALL_FILLED).mean()))
    assert doubts == [3600, 40 * 3600, 50 * 3600]
    assert marks[0] == 0.0
    assert marks[1] < 0.3  # only behind the forecast's own end
    assert marks[2] == 1.0
    assert world.journal.newest(Given) is None


def test_the_site_is_the_garden_s() -> None:
    """The hours of these tests are of the place that the garden names."""
    assert GARDEN.site == SITE
