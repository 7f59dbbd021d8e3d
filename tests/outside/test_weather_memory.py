"""Weather out of a table, and the box between the fetching worker and the loop."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from threading import Thread

import numpy as np
import pytest

from irrigate.garden.filling import fill
from irrigate.garden.weather import Origin, empty_weather
from irrigate.outside.weather.box import FetchBox
from irrigate.outside.weather.memory import ForecastError, TableWeather
from irrigate.ports import Fetched, Weather
from tests.garden.hourly_tables import SITE, START_S, clear_summer

START = datetime.fromtimestamp(START_S, tz=UTC)
HOUR = timedelta(hours=1)


def at(hours: float) -> datetime:
    """Return the moment so many hours after the table's start."""
    return START + hours * HOUR


def test_a_table_tells_what_passed_and_then_a_forecast() -> None:
    """Hours that have ended are observed, the horizon after them is forecast."""
    weather: Weather = TableWeather(clear_summer(), horizon_h=48)
    fetched = weather.latest(at(30.5))
    assert fetched is not None
    assert int(np.sum(fetched.hours.origin == Origin.OBSERVED)) == 30
    assert int(np.sum(fetched.hours.origin == Origin.FORECAST)) == 48
    assert fetched.fetched_at == at(30.5)


def test_between_two_runs_only_newly_passed_hours_are_told() -> None:
    """A forecast comes every six hours; in between an hour comes as it ends, and once."""
    weather = TableWeather(clear_summer())
    first = weather.latest(at(30))
    assert first is not None
    assert weather.latest(at(30.5)) is None
    next_hour = weather.latest(at(31))
    assert next_hour is not None
    assert list(next_hour.hours.end_s) == [START_S + 31 * 3600]
    assert next_hour.model_run == first.model_run
    assert weather.latest(at(31)) is None
    later = weather.latest(at(36))
    assert later is not None
    assert later.model_run != first.model_run
    assert list(later.hours.end_s[:5]) == [START_S + hour * 3600 for hour in range(32, 37)]
    assert later.hours.origin[5] == Origin.FORECAST


def test_a_perfect_forecast_is_the_table() -> None:
    """Without errors the forecast is what will be."""
    table = clear_summer()
    fetched = TableWeather(table).latest(at(12))
    assert fetched is not None
    assert np.array_equal(fetched.hours.temperature_c, table.temperature_c)


def test_errors_are_the_same_again_and_others_for_another_run() -> None:
    """The errors of a run hang on its key and moment only."""
    one = TableWeather(clear_summer(), error=ForecastError("a")).latest(at(12))
    again = TableWeather(clear_summer(), error=ForecastError("a")).latest(at(12))
    other = TableWeather(clear_summer(), error=ForecastError("b")).latest(at(12))
    assert one is not None and again is not None and other is not None  # noqa: PT018
    assert np.array_equal(one.hours.temperature_c, again.hours.temperature_c)
    assert not np.array_equal(one.hours.temperature_c, other.hours.temperature_c)
    assert np.array_equal(one.hours.temperature_c[:12], clear_summer().temperature_c[:12])


def test_errors_grow_with_the_lead() -> None:
    """Over many keys the spread on the sixth day is well above that on the first."""
    table = clear_summer(24 * 9)
    misses = []
    for key in range(60):
        fetched = TableWeather(table, error=ForecastError(str(key))).latest(at(0))
        assert fetched is not None
        misses.append(fetched.hours.temperature_c - table.temperature_c[: len(fetched.hours)])
    spread = np.std(misses, axis=0)
    assert spread[:24].mean() == pytest.approx(0.8, rel=0.35)
    assert spread[-24:].mean() > 2 * spread[:24].mean()


def test_a_mistaken_forecast_is_still_weather() -> None:
    """Every forecast with errors passes the doubts without a remark."""
    table = clear_summer(24 * 9)
    table.rain_mm[60:64] = 4.0
    for key in range(20):
        fetched = TableWeather(table, error=ForecastError(str(key))).latest(at(0))
        assert fetched is not None
        assert fill(fetched.hours, SITE, empty_weather())[1] == ()


def test_an_empty_table_tells_nothing() -> None:
    """No hours, no fetch."""
    assert TableWeather(empty_weather()).latest(START) is None


def a_fetch(minute: int) -> Fetched:
    """Return a fetch made so many minutes after the start."""
    moment = START + timedelta(minutes=minute)
    return Fetched("test", str(minute), "", moment, clear_summer(2))


def test_the_box_gives_each_fetch_once_and_the_newest_only() -> None:
    """What was replaced before it was taken is gone; what was taken does not come back."""
    box = FetchBox()
    assert box.latest(START) is None
    assert box.age_s(START) is None
    box.offer(a_fetch(0))
    box.offer(a_fetch(10))
    box.offer(a_fetch(5))
    fetched = box.latest(START)
    assert fetched is not None
    assert fetched.model_run == "10"
    assert box.latest(START) is None
    assert box.age_s(START + timedelta(minutes=25)) == 15 * 60


def test_trouble_lasts_until_a_fetch_succeeds() -> None:
    """The last failure is there for the asking, and a good fetch ends it."""
    box = FetchBox()
    box.failed(START, "no answer")
    assert box.last_error() == (START, "no answer")
    box.offer(a_fetch(1))
    assert box.last_error() is None


def test_many_threads_lose_nothing_but_what_was_replaced() -> None:
    """Four workers offer at once while one takes: the newest is taken, and none twice."""
    box = FetchBox()
    workers = [
        Thread(target=lambda part=part: [box.offer(a_fetch(m)) for m in range(part, 400, 4)])
        for part in range(4)
    ]
    taken = []
    for worker in workers:
        worker.start()
    while any(worker.is_alive() for worker in workers):
        fetched = box.latest(START)
        if fetched is not None:
            taken.append(int(fetched.model_run))
    last = box.latest(START)
    if last is not None:
        taken.append(int(last.model_run))
    assert taken == sorted(set(taken))
    assert taken[-1] == 399
