"""The source's ensemble on its way through the service: kept once a run, used while it is fresh."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from irrigate.garden.events import Fact, ForecastMembers
from irrigate.garden.forecast_errors import Doubt
from irrigate.garden.member_hours import MemberHours
from irrigate.garden.weather_doubt import doubt_of
from irrigate.outside.journal.codec import Codec
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.ports import Fetched
from irrigate.service.beliefs import brought_up, first_grounds
from tests.service.worlds import FIRST_NOW, Sky, World, summer

HOUR = timedelta(hours=1)


class SkyWithMembers(Sky):
    """The world's sky, with an ensemble of the hours to come, a new run every six hours."""

    def latest(self, now: datetime) -> Fetched | None:
        """Return what is new, the ensemble with it."""
        told = super().latest(now)
        return None if told is None else replace(told, **self.ensemble(now))

    def ensemble(self, now: datetime) -> dict[str, object]:
        """Return 31 members that differ by lasting amounts."""
        begins = int(now.timestamp()) // 3600 * 3600 + 3600
        end_s = begins + 3600 * np.arange(150, dtype=np.int64)
        off = np.linspace(-6.0, 6.0, 31)[:, np.newaxis] * np.ones(150)
        warm = np.round((25.0 + off) / 0.1) * 0.1
        members = MemberHours(end_s, {"temperature_c": warm.astype(np.float32)})
        return {"members": members, "members_run": f"{int(now.timestamp()) // 21600}"}


def a_world(journal: MemoryJournal | SqliteJournal, folder: Path) -> World:
    """Return a world with such a sky."""
    world = World(journal, folder, table=summer(30))
    world.sky = SkyWithMembers(world.table)
    world.step()
    return world


def kept(world: World) -> list[Fact]:
    """Return the ensembles in the journal."""
    return world.journal.facts((ForecastMembers,))


def doubt(world: World, *, restarted: bool = False) -> Doubt:
    """Return how wrong the forecast may be, from the memory or the journal alone."""
    grounds = first_grounds(world.journal, world.now) if restarted else world.memory.grounds
    found = brought_up(grounds, world.journal, world.now, 8, keeps=False)[1].doubt
    assert found is not None
    return found


def test_a_run_is_kept_once(tmp_path: Path) -> None:
    """Two days of steps leave one fact for each six-hourly run, a small one."""
    world = a_world(MemoryJournal(), tmp_path)
    world.until(FIRST_NOW + 48 * HOUR, HOUR)
    runs = [fact.body.model_run for fact in kept(world)]
    assert len(runs) == len(set(runs)) == 9
    assert max(len(Codec().stored(fact).content) for fact in kept(world)) < 4096


def test_only_the_newest_is_at_hand_and_a_restart_finds_the_same(tmp_path: Path) -> None:
    """The memory holds one ensemble; a start reads the same out of the journal on disk."""
    world = a_world(SqliteJournal(tmp_path / "journal.sqlite"), tmp_path)
    world.until(FIRST_NOW + 30 * HOUR, HOUR)
    at_hand = [f for f in world.memory.grounds.facts if isinstance(f.body, ForecastMembers)]
    assert len(at_hand) == 1
    one, other = doubt(world).theirs, doubt(world, restarted=True).theirs
    assert one is not None
    assert other is not None
    assert np.array_equal(one.end_s, other.end_s)
    assert np.array_equal(one.values["temperature_c"], other.values["temperature_c"])
    world.journal.close()


def test_the_week_ahead_spreads_with_it(tmp_path: Path) -> None:
    """Members that lie far apart make ET0 of the week ahead uncertain; without, it is less so."""
    world = a_world(MemoryJournal(), tmp_path)
    world.members = 62
    world.restart()
    world.sky = SkyWithMembers(world.table)
    world.now += HOUR
    unsure = world.step().thought
    other_folder = tmp_path / "plain"
    other_folder.mkdir()
    plain = World(MemoryJournal(), other_folder, table=summer(30), members=62)
    plain.now += HOUR
    usual = plain.step().thought
    assert unsure is not None
    assert usual is not None
    wide = unsure.ahead.places.et0_mm.sum(axis=2).std(axis=1)
    narrow = usual.ahead.places.et0_mm.sum(axis=2).std(axis=1)
    wall, porch = wide / narrow
    assert wall > 1.5
    assert porch > 1.1, "sheltered, where warmth counts for less"


def test_an_old_one_is_left_and_a_damaged_one_passed_over(tmp_path: Path) -> None:
    """After a day without a new run, or with content that is no ensemble, errors are the usual."""
    world = a_world(MemoryJournal(), tmp_path)
    world.until(FIRST_NOW + 12 * HOUR, HOUR)
    facts = world.journal.facts()
    assert doubt_of(facts, world.now).theirs is not None
    assert doubt_of(facts, world.now + 25 * HOUR).theirs is None
    body = kept(world)[-1].body
    assert isinstance(body, ForecastMembers)
    spoiled = replace(body, model_run="x", content={"temperature_c": "damaged"})
    world.journal.append((Fact("spoiled", world.now, world.now, spoiled),))
    assert doubt(world).theirs is None
    world.now += HOUR
    assert world.step().thought is not None


@pytest.mark.parametrize("source", ["elsewhere", "sky"])
def test_only_the_forecast_s_own_source_counts(tmp_path: Path, source: str) -> None:
    """The ensemble of a source that was left is left, too."""
    world = a_world(MemoryJournal(), tmp_path)
    facts = [
        replace(fact, body=replace(fact.body, source=source))
        if isinstance(fact.body, ForecastMembers)
        else fact
        for fact in world.journal.facts()
    ]
    assert (doubt_of(facts, world.now).theirs is not None) == (source == "sky")
