"""Each day's forecasts are scored once, by the running service, and the same in every way there."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from irrigate.garden.events import Fact, Forecast, ForecastScored, WeatherHours
from irrigate.garden.forecast_errors import PRIORS
from irrigate.garden.weather_doubt import doubt_of
from irrigate.outside.journal.codec import Codec
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.service.beliefs import Present, brought_up, first_grounds
from tests.service.worlds import FIRST_NOW, World, summer

DAY = timedelta(days=1)
HOUR = timedelta(hours=1)


@pytest.fixture
def world(tmp_path: Path) -> World:
    """Return a service with three weeks of weather before it."""
    one = World(MemoryJournal(), tmp_path, table=summer(30))
    one.step()
    return one


def scores(world: World) -> list[Fact]:
    """Return the scores that the journal holds."""
    return world.journal.facts((ForecastScored,))


def told_hours(world: World) -> list[Fact]:
    """Return the facts of hours gone by."""
    return world.journal.facts((WeatherHours,))


def hours_of(fact: Fact) -> int:
    """Return how many hours a fact tells."""
    return len(fact.body.hours)


def present(world: World, *, restarted: bool) -> Present:
    """Return what is believed now, by the memory or by the journal alone."""
    grounds = first_grounds(world.journal, world.now) if restarted else world.memory.grounds
    return brought_up(grounds, world.journal, world.now, 8, keeps=False)[1]


def test_every_day_is_scored_once_when_its_hours_are_told(world: World) -> None:
    """Twelve days' running makes a score for each whole day, none twice, none too soon."""
    world.until(FIRST_NOW + 12 * DAY, 2 * HOUR)
    ends = [fact.valid_at for fact in scores(world)]
    first = FIRST_NOW.replace(hour=0) + 2 * DAY
    assert ends == [first + number * DAY for number in range(len(ends))]
    assert len(ends) == 11
    for fact in scores(world):
        known = [one for one in told_hours(world) if one.recorded_at <= fact.recorded_at]
        assert max(one.valid_at + hours_of(one) * HOUR for one in known) >= fact.valid_at
    last = scores(world)[-1].body
    assert isinstance(last, ForecastScored)
    for name in PRIORS:
        assert sum(one.hours for one in last.errors[name][1:]) > 60, "six days of lead and more"


def test_a_score_holds_what_a_reader_of_the_journal_finds(world: World) -> None:
    """Forecasts and told hours read back and compared by hand give the day's mean square."""
    world.until(FIRST_NOW + 5 * DAY, 2 * HOUR)
    fact = scores(world)[-1]
    begins = fact.valid_at - DAY
    told: dict[int, float] = {}
    for one in told_hours(world):
        told |= zip(one.body.hours.end_s.tolist(), one.body.hours.temperature_c, strict=True)
    forecasts = world.journal.facts((Forecast,))
    squares = [0.0] * 7
    for days in range(7):
        stood = [one for one in forecasts if one.valid_at <= begins - days * DAY]
        if not stood or stood[-1].valid_at <= begins - (days + 1) * DAY:
            continue
        made = stood[-1].valid_at.timestamp()
        hours = stood[-1].body.hours
        for end, value in zip(hours.end_s, hours.temperature_c, strict=True):
            lead = int((end - made - 1) // 86400)
            if begins.timestamp() < end <= fact.valid_at.timestamp() and lead < 7:
                squares[lead] += (told[int(end)] - value) ** 2
    found = [one.squares for one in fact.body.errors["temperature_c"]]
    assert found == pytest.approx(squares, rel=1e-4, abs=1e-6)


def test_memory_restart_and_record_agree_on_the_doubt(world: World) -> None:
    """What is learnt of errors is the same from the steps' memory and from the journal."""
    world.until(FIRST_NOW + 9 * DAY, 3 * HOUR)
    going, again = present(world, restarted=False).doubt, present(world, restarted=True).doubt
    assert going is not None
    assert again is not None
    assert going.spreads == again.spreads
    assert going.spreads != PRIORS
    whole = doubt_of(world.journal.facts(), world.now)
    assert whole.spreads == going.spreads


def test_a_service_led_again_over_the_same_days_scores_the_same(tmp_path: Path) -> None:
    """A second life with the same weather, restarted every day, writes the same scores."""
    lives = []
    for restarts in (False, True):
        folder = tmp_path / str(restarts)
        folder.mkdir()
        world = World(MemoryJournal(), folder, table=summer(20))
        world.step()
        for day in range(1, 7):
            world.until(FIRST_NOW + day * DAY, HOUR)
            if restarts:
                world.restart()
        lives.append([(fact.id, fact.valid_at, fact.body) for fact in scores(world)])
    assert lives[0] == lives[1]
    assert len(lives[0]) == 5


def test_days_without_power_are_made_up_for_one_at_a_step(world: World) -> None:
    """After days down each step scores one day more; days that had no forecast stay empty."""
    world.until(FIRST_NOW + 3 * DAY, 2 * HOUR)
    before = len(scores(world))
    world.restart()
    world.now = FIRST_NOW + 12 * DAY
    counts = []
    for _ in range(12):
        world.now += HOUR
        world.step()
        counts.append(len(scores(world)) - before)
    assert np.all(np.diff(counts) <= 1)
    # The record's last day before, and seven at most to look back for.
    assert counts[-1] == 7
    empty = [fact for fact in scores(world) if not fact.body.errors]
    assert empty, "nobody had forecast these"


def test_scores_change_no_belief(world: World) -> None:
    """The belief is of hours gone by, which rest on no forecast and on no forecast's errors."""
    world.until(FIRST_NOW + 4 * DAY, 2 * HOUR)
    held = present(world, restarted=False).standing
    worse = Fact("worse", world.now - HOUR, world.now, ForecastScored("sky", {}))
    world.journal.append((worse,))
    later = present(world, restarted=False).standing
    assert held is not None
    assert later is not None
    assert np.array_equal(held.belief.water_l, later.belief.water_l)


def test_another_source_s_scores_do_not_count(world: World) -> None:
    """Where the weather comes from elsewhere now, its errors are a prior's until they are seen."""
    world.until(FIRST_NOW + 4 * DAY, 2 * HOUR)
    facts = world.journal.facts((ForecastScored, Forecast))
    assert doubt_of(facts, world.now).spreads != PRIORS
    other = Forecast("elsewhere", "run", facts[0].body.hours) if isinstance(
        facts[0].body, Forecast) else None  # fmt: skip
    assert other is not None
    moved = [*facts, Fact("other", world.now, world.now, other)]
    assert doubt_of(moved, world.now).spreads == PRIORS


def test_scores_age(world: World) -> None:
    """After sixty days a day's errors say nothing more."""
    world.until(FIRST_NOW + 4 * DAY, 2 * HOUR)
    facts = world.journal.facts((ForecastScored, Forecast))
    assert doubt_of(facts, world.now + 59 * DAY).spreads != PRIORS
    assert doubt_of(facts, world.now + 64 * DAY).spreads == PRIORS


def test_a_score_is_small(world: World) -> None:
    """A day's score takes less than a kilobyte in the journal."""
    world.until(FIRST_NOW + 9 * DAY, 3 * HOUR)
    sizes = [len(Codec().stored(fact).content) for fact in scores(world)]
    assert max(sizes) < 1024


def test_a_forecast_is_read_seven_times_a_day_at_most(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Scoring reads the forecasts that stood at seven midnights, and none on other steps."""
    world.until(FIRST_NOW + 9 * DAY, 2 * HOUR)
    read: list[datetime | None] = []
    newest = world.journal.newest

    def counted(kind: type, *, valid_until: datetime | None = None) -> Fact | None:
        if kind is Forecast:
            read.append(valid_until)
        return newest(kind, valid_until=valid_until)

    monkeypatch.setattr(world.journal, "newest", counted)
    world.until(FIRST_NOW + 10 * DAY, HOUR)
    assert len(read) == 7
