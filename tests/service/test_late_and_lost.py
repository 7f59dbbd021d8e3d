"""Late, corrected, taken back or after a crash: the belief is the one of punctual knowledge."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from irrigate.garden.events import (
    Fact,
    Given,
    RainAtPots,
    Retracted,
    Tended,
    TillRan,
    WeatherHours,
)
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.ports import Journal
from irrigate.service.beliefs import AT_HAND, brought_up, first_grounds
from tests.service.worlds import (
    FIRST_NOW,
    GARDEN,
    World,
    believed,
    believed_after_restart,
    believed_from_the_first,
    same,
    summer,
)

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


@pytest.fixture(params=["memory", "sqlite"])
def journals(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Callable[[], Journal]]:
    """Give a maker of journals, in memory or in a file."""
    made: list[Journal] = []

    def make() -> Journal:
        new: Journal = (
            MemoryJournal()
            if request.param == "memory"
            else SqliteJournal(tmp_path / f"journal{len(made)}")
        )
        made.append(new)
        return new

    yield make
    for journal in made:
        journal.close()


def pot_id(world: World, label: str) -> str:
    """Return the id of a pot."""
    assert world.memory.garden is not None
    pot = world.memory.garden.labelled(label)
    assert pot is not None
    return pot.id


def two_days(world: World) -> World:
    """Lead a world over two rounds that nobody answers, to the evening of the second day."""
    world.step()
    world.until(FIRST_NOW + timedelta(hours=25, minutes=40), HOUR)
    return world


def test_memory_restart_and_first_fact_agree(
    journals: Callable[[], Journal], tmp_path: Path
) -> None:
    """What goes on from memory, from a checkpoint, and from the first fact has the same bits."""
    world = two_days(World(journals(), tmp_path))
    assert world.journal.checkpoint(world.now, world.journal.position()) is not None
    assert same(believed(world), believed_after_restart(world))
    assert same(believed(world), believed_from_the_first(world))


LATE = {
    "a can": lambda ids: Given(ids["1"], 3.0),
    "till it ran": lambda ids: TillRan(ids["2"], 5.0),
    "no rain": lambda ids: RainAtPots("none"),
    "rain": lambda ids: RainAtPots(depth_mm=14.0),
    "an emitter": lambda ids: Given(ids["1"], 9.0, "emitter", over_h=4.0),
    "a saucer emptied": lambda ids: Tended(ids["1"], "saucer emptied"),
    "a reservoir filled": lambda ids: Tended(ids["3"], "reservoir filled"),
}

# The same three pots; one keeps what drains, one waters itself, one grows and spreads its roots.
BASINS = (
    GARDEN.replace("place: wall}", "place: wall, saucer: 2 L, planted: 2026-06-01}", 1)
    .replace("place: wall}\n  3", "place: wall, planted: 2026-06-20}\n  3")
    .replace("place: porch}\n", "place: porch, reservoir: 2 L}\n")
)


@pytest.mark.parametrize(
    ("at", "late_by"),
    [(timedelta(hours=3, minutes=10), 6 * HOUR), (timedelta(minutes=20), timedelta(minutes=90))],
    ids=["by six hours", "over a midnight"],
)
@pytest.mark.parametrize("what", LATE)
def test_a_watering_logged_late_is_as_good_as_punctual(
    journals: Callable[[], Journal], tmp_path: Path, what: str, at: timedelta, late_by: timedelta
) -> None:
    """Known hours after it was so, a fact gives the bits of one known at once."""
    worlds = []
    for late in (False, True):
        folder = tmp_path / str(late)
        folder.mkdir()
        worlds.append(world := World(journals(), folder))
        world.write(BASINS)
        world.step()
        world.until(FIRST_NOW + at, HOUR)
        happened = world.now
        ids = {label: pot_id(world, label) for label in ("1", "2", "3")}
        if late:
            world.until(happened + late_by, HOUR)
        # The punctual fact says the same of itself, or its draws would be others.
        body = LATE[what](ids)
        world.journal.append([Fact("late or not", happened, happened, body)])
        world.until(happened + late_by, HOUR)
        world.step()
    assert same(believed(worlds[0]), believed(worlds[1]))
    for world in worlds:
        assert same(believed(world), believed_after_restart(world))
        assert same(believed(world), believed_from_the_first(world))


def test_rain_reported_before_its_hours_are_told(tmp_path: Path) -> None:
    """A report of rain, and weather of the same day told later, mean the same in any order."""
    world = World(MemoryJournal(), tmp_path)
    world.step()
    world.until(FIRST_NOW + 4 * HOUR, HOUR)
    world.now += timedelta(minutes=20)
    world.say("rain 12 mm")
    world.step()
    world.until(FIRST_NOW + 7 * HOUR, HOUR)
    assert same(believed(world), believed_from_the_first(world))
    world.sky.fails = True
    world.until(FIRST_NOW + 10 * HOUR, HOUR)
    world.say("rain 5 mm")
    world.until(FIRST_NOW + 12 * HOUR, HOUR)
    world.sky.fails = False
    world.until(FIRST_NOW + 14 * HOUR, HOUR)
    assert same(believed(world), believed_after_restart(world))
    assert same(believed(world), believed_from_the_first(world))


def test_a_correction_and_its_taking_back(tmp_path: Path) -> None:
    """A fact that supersedes another counts in its place, and taking it back restores the first."""
    world = World(MemoryJournal(), tmp_path)
    world.step()
    world.until(FIRST_NOW + 2 * HOUR, HOUR)
    at = world.now
    first = Fact("first", at, at, Given(pot_id(world, "1"), 1.0))
    world.journal.append([first])
    world.until(at + 2 * HOUR, HOUR)
    before = believed(world)
    better = Fact("better", at, world.now, Given(pot_id(world, "1"), 3.0), supersedes="first")
    world.journal.append([better])
    world.step()
    assert not same(believed(world), before)
    assert same(believed(world), believed_from_the_first(world))
    world.journal.append(
        [Fact("back", at, world.now + HOUR, Retracted("undo"), supersedes="better")]
    )
    world.step()
    assert same(believed(world), before)


@pytest.mark.parametrize("text", ["all", "all but 1", "none", "2 3 L", "1 till it ran twice"])
def test_undo_is_as_if_it_was_never_said(tmp_path: Path, text: str) -> None:
    """An answer and its undo leave the belief of a round that nobody spoke of."""
    world = World(MemoryJournal(), tmp_path)
    world.step()
    world.until(FIRST_NOW + timedelta(hours=3, minutes=10), HOUR)
    before = believed(world)
    world.say(text)
    world.step()
    assert not same(believed(world), before)
    world.say("undo", key="take it back")
    world.step()
    assert same(believed(world), before)
    assert same(believed_after_restart(world), before)


def test_the_order_of_appending_does_not_matter(tmp_path: Path) -> None:
    """The same facts in a journal in another order are the same belief."""
    world = two_days(World(MemoryJournal(), tmp_path))
    facts = world.journal.facts(AT_HAND)
    shuffled = MemoryJournal()
    shuffled.append([facts[index] for index in np.random.Generator(
        np.random.Philox(key=3)).permutation(len(facts))])  # fmt: skip
    grounds = first_grounds(shuffled, world.now)
    _, present = brought_up(grounds, shuffled, world.now, 8)
    assert present.standing is not None
    assert same(present.standing.belief, believed(world))


def test_a_late_fact_and_a_crash_before_its_checkpoints_are_dropped(tmp_path: Path) -> None:
    """A checkpoint that has not seen a late fact is not trusted, even if nobody dropped it."""
    world = two_days(World(MemoryJournal(), tmp_path))
    at = FIRST_NOW + timedelta(minutes=30)
    world.journal.append([Fact("late", at, world.now, Given(pot_id(world, "1"), 2.0))])
    # The crash: the step that would have dropped the checkpoints never came.
    world.restart()
    world.step()
    assert same(believed(world), believed_from_the_first(world))


def test_checkpoints_of_an_older_form(tmp_path: Path) -> None:
    """After an update that keeps more in a belief, a start folds from further back, to the bit."""
    world = World(MemoryJournal(), tmp_path)
    world.write(BASINS)
    two_days(world)
    newest = world.journal.checkpoint(world.now, world.journal.position())
    assert newest is not None
    world.journal.drop_checkpoints(FIRST_NOW - DAY)
    world.journal.save_checkpoint(replace(newest, format=1))
    assert same(believed_after_restart(world), believed(world))


def test_a_garden_weeks_old_without_checkpoints(tmp_path: Path) -> None:
    """After more than the window, with every checkpoint lost, a start folds from the first fact."""
    world = World(MemoryJournal(), tmp_path, table=summer(32))
    world.step()
    world.until(FIRST_NOW + 21 * DAY, timedelta(hours=12))
    reference = believed(world)
    world.journal.drop_checkpoints(FIRST_NOW - DAY)
    assert same(believed_after_restart(world), reference)
    # Something said thirteen days late is inside the window, and older than every checkpoint.
    world.say("2 3 L", at=world.now - 13 * DAY)
    world.step()
    assert same(believed(world), believed_after_restart(world))
    assert not same(believed(world), reference)


def test_a_long_first_history_does_not_fall_out_of_the_window_at_once(tmp_path: Path) -> None:
    """Hours gone by that a first fetch told weeks of stay at hand as long as each is needed."""
    world = World(MemoryJournal(), tmp_path, table=summer(30, FIRST_NOW - 14 * DAY))
    world.step()
    world.until(FIRST_NOW + 6 * DAY, timedelta(hours=12))
    told = [fact for fact in world.memory.grounds.facts if isinstance(fact.body, WeatherHours)]
    oldest = min(int(fact.body.hours.end_s[0]) for fact in told)  # type: ignore[union-attr]
    assert oldest <= (world.now - 14 * DAY).timestamp()
    assert same(believed(world), believed_after_restart(world))


def test_weather_that_fails_for_days(tmp_path: Path) -> None:
    """Without weather for three days the week ahead is still looked at whole, and rounds told."""
    world = World(MemoryJournal(), tmp_path)
    world.step()
    world.sky.fails = True
    steps = world.until(FIRST_NOW + 3 * DAY, HOUR)
    thoughts = [step.thought for step in steps if step.thought is not None]
    assert {len(thought.ahead.end_s) for thought in thoughts} == {168}
    assert sum(message.key.startswith("round") for message in world.messages) == 6
