"""One step after another: what is told when, once, and what a crash or a fault leaves behind."""

from __future__ import annotations

import contextlib
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from irrigate.errors import DeliveryError, GardenFileError
from irrigate.garden.actions import Tell
from irrigate.garden.events import (
    Claimed,
    Decided,
    Delivered,
    GardenVersion,
    Given,
    Heard,
    Refused,
    RoundAnswered,
    RoundTold,
    WeatherHours,
)
from irrigate.outside.channels.memory import MemoryChannel
from irrigate.outside.journal.memory import MemoryJournal
from tests.service.worlds import FIRST_NOW, GARDEN, MINUTES, Crash, World, believed

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
EVENING = datetime(2026, 7, 10, 1, 30, tzinfo=UTC)
MORNING = datetime(2026, 7, 10, 14, 0, tzinfo=UTC)


@pytest.fixture
def world(tmp_path: Path) -> World:
    """Return a world after its first step, in the afternoon."""
    world = World(MemoryJournal(), tmp_path)
    world.step()
    return world


def bodies(world: World, kind: type) -> list:
    """Return the bodies of one kind of fact, in order."""
    return [fact.body for fact in world.journal.facts((kind,))]


def test_the_first_step_takes_garden_and_weather(world: World) -> None:
    """After it the garden has identities, the weather of the days gone by is told by the day."""
    (version,) = bodies(world, GardenVersion)
    assert [pot.label for pot in version.garden.pots] == ["1", "2", "3"]
    assert len({pot.id for pot in version.garden.pots}) == 3
    told = bodies(world, WeatherHours)
    assert len(told) == 4, "three days gone by touch four days UTC"
    assert sum(len(body.hours) for body in told) == 72
    assert world.messages == [], "the evening's round is two and a half hours off"


def test_a_message_half_an_hour_before_each_round(world: World) -> None:
    """Each round is told once, at the gardener's notice before it, and not before."""
    world.until(EVENING - 31 * MINUTES, 10 * MINUTES)
    assert world.messages == []
    world.now = EVENING - 30 * MINUTES
    world.step()
    (first,) = world.messages
    assert first.key == "round 2026-07-10T01:30Z"
    assert first.title == "18:30: water everything till it runs, twice"
    world.until(MORNING - 30 * MINUTES, 10 * MINUTES)
    assert [message.key for message in world.messages][1:] == ["round 2026-07-10T14:00Z"]
    assert world.messages[1].expires_at == datetime(2026, 7, 11, 1, 30, tzinfo=UTC)
    world.until(MORNING + 3 * HOUR)
    assert sum(message.key.startswith("round") for message in world.messages) == 2


def test_the_intent_is_written_before_the_message(world: World) -> None:
    """A decision, its round and its claim stand in the journal in one stroke, as they were told."""
    world.now = EVENING - 30 * MINUTES
    world.step()
    (decided,) = world.journal.facts((Decided,))
    (told,) = bodies(world, RoundTold)
    assert isinstance(decided.body, Decided)
    action = decided.body.action
    assert isinstance(action, Tell)
    assert told.water_l == {line.pot_id: line.dose_l for line in action.lines}
    assert told.till_ran
    (message,) = world.messages
    assert decided.body.text == f"{message.title}\n{message.body}"
    assert [claimed.key for claimed in bodies(world, Claimed)] == [message.key]


@pytest.mark.parametrize("after", [False, True], ids=["before", "after"])
@pytest.mark.parametrize("left", range(1, 6))
def test_a_crash_at_the_round(world: World, left: int, after: bool) -> None:
    """Wherever the power goes the round is told; twice only if nobody can know, and so marked."""
    world.now = EVENING - 30 * MINUTES
    world.fuse.left, world.fuse.after = left, after
    try:
        world.step()
    except Crash:
        world.restart()
        world.step()
    world.fuse.left = 0
    world.until(EVENING + HOUR)
    keys = [message.key for message in world.messages if message.key.startswith("round")]
    assert set(keys) == {"round 2026-07-10T01:30Z"}
    assert sum(not message.repeated for message in world.messages) <= 1
    assert len({message.body for message in world.messages}) == 1


@pytest.mark.parametrize("after", [False, True], ids=["before", "after"])
@pytest.mark.parametrize("left", range(1, 6))
def test_what_was_told_is_what_the_journal_holds(world: World, left: int, after: bool) -> None:
    """Back only after an hour and more, the message is word for word the decision on record."""
    world.until(MORNING - 31 * MINUTES, HOUR)
    world.now = MORNING - 30 * MINUTES
    world.fuse.left, world.fuse.after = left, after
    with contextlib.suppress(Crash):
        world.step()
    world.fuse.left = 0
    world.restart()
    world.now = MORNING + 55 * MINUTES
    world.step()
    (decided,) = (
        fact.body
        for fact in world.journal.facts((Decided,))
        if isinstance(fact.body, Decided) and fact.body.action.key == "round 2026-07-10T14:00Z"
    )
    told = [message for message in world.messages if message.key == decided.action.key]
    assert {f"{message.title}\n{message.body}" for message in told} == {decided.text}
    assert bodies(world, RoundTold)[-1].water_l == {
        line.pot_id: line.dose_l for line in decided.action.lines if line.verdict == "water"
    }


def test_unconfirmed_messages_are_sent_again_and_marked(world: World) -> None:
    """After a start, what nobody acknowledged goes out again as a possible repeat."""
    world.now = EVENING - 30 * MINUTES
    world.step()
    # The process ended before the receipt was written.
    world.restart()
    world.now += 5 * MINUTES
    world.step()
    assert [message.repeated for message in world.messages] == [False, True]
    world.now += 5 * MINUTES
    world.step()
    assert [body.ok for body in bodies(world, Delivered)] == [True]
    world.restart()
    world.step()
    assert len(world.messages) == 2, "it was acknowledged now"


def test_a_delivery_that_failed_is_in_the_journal(tmp_path: Path) -> None:
    """A message that could not be handed over leaves a receipt that says why."""
    world = World(MemoryJournal(), tmp_path)
    world.phone = MemoryChannel("phone", [DeliveryError("no such number")])
    world.restart()
    world.step()
    world.until(EVENING - 20 * MINUTES, 10 * MINUTES)
    (receipt,) = bodies(world, Delivered)
    assert (receipt.ok, receipt.person, receipt.detail) == (False, "Ann/phone", "no such number")


def test_a_round_missed_while_down_is_not_told_late(world: World) -> None:
    """Up to an hour late a round is still told; later it was missed, and the next one is told."""
    world.now = EVENING + 59 * MINUTES
    world.step()
    world.now = MORNING + 61 * MINUTES
    world.step()
    world.until(MORNING + 11 * HOUR)
    rounds = [message.key for message in world.messages if message.key.startswith("round")]
    assert rounds == ["round 2026-07-10T01:30Z", "round 2026-07-11T01:30Z"]


def test_an_answer_is_logged_with_its_words(world: World) -> None:
    """The words, the answer and each watering stand in the journal; the inbox is empty."""
    world.until(EVENING + 20 * MINUTES)
    world.say("all but 3", key="k")
    step = world.step()
    assert "Ann said 'all but 3': logged" in step.said
    assert bodies(world, Heard) == [Heard("k", "all but 3")]
    (answer,) = bodies(world, RoundAnswered)
    assert answer.outcome == "all but"
    assert len(answer.pot_ids) == 2
    assert world.inbox.waiting() == []
    assert {fact.who for fact in world.journal.facts((Heard, RoundAnswered))} == {"Ann"}


def test_an_answer_that_is_not_understood_moves_nothing(world: World) -> None:
    """It is kept with the reason, and the belief is what it was."""
    world.until(EVENING + 20 * MINUTES)
    before = believed(world)
    world.say("water the gnome")
    world.step()
    (refusal,) = bodies(world, Refused)
    assert refusal.what == "water the gnome"
    assert refusal.why.startswith("'water the gnome': there is no pot water")
    assert (believed(world).water_l == before.water_l).all()


@pytest.mark.parametrize(
    ("offset", "why"),
    [
        (-15 * DAY, "only the last 14 days can still be corrected"),
        (10 * MINUTES, "the time it is said for lies in the future"),
    ],
)
def test_answers_out_of_time_are_refused(world: World, offset: timedelta, why: str) -> None:
    """Older than the window, or from the future: refused with a clear word."""
    world.say("1 2 L", at=world.now + offset)
    world.step()
    assert [body.why for body in bodies(world, Refused)] == [why]
    assert bodies(world, Given) == []


def test_an_item_handed_in_again_after_a_crash_is_taken_once(world: World) -> None:
    """A crash between journal and inbox, then an undo by somebody: neither counts twice."""
    for text in ("1 1 L", "2 2 L", "undo"):
        world.now += MINUTES
        world.say(text, key=text)
        # Words, and the garden behind them, are in the journal; the inbox is not told.
        world.fuse.left, world.fuse.after = 2, False
        with pytest.raises(Crash):
            world.step()
        world.fuse.left = 0
        world.restart()
        world.step()
    assert [body.volume_l for body in bodies(world, Given)] == [1.0, 2.0]
    gone = {fact.supersedes for fact in world.journal.facts() if fact.supersedes}
    assert gone == {"2 2 L/heard", "2 2 L/0"}, "the first watering stands"


def test_a_broken_garden_file_is_told_once_and_the_last_good_one_kept(world: World) -> None:
    """The fault goes to the phone with its line; the service goes on with what it had."""
    world.write(GARDEN.replace("plant: pepper", "plant: peppre"))
    for _ in range(3):
        world.now += MINUTES
        world.step(reload=True)
    (notice,) = world.messages
    assert notice.title == "The garden file has a fault"
    assert "peppre" in notice.body
    assert "pepper" in notice.body
    assert len(bodies(world, GardenVersion)) == 1
    world.write(GARDEN.replace("can: 8 L", "can: 9 L"))
    world.now += MINUTES
    world.step(reload=True)
    assert bodies(world, GardenVersion)[-1].garden.manner.can_l == 9.0


def test_without_any_good_garden_there_is_nothing_to_go_on_with(tmp_path: Path) -> None:
    """A first start with a broken file is an error for whoever starts it."""
    world = World(MemoryJournal(), tmp_path)
    world.write("pots: [")
    with pytest.raises(GardenFileError):
        world.step()


def test_without_weather_it_waits(tmp_path: Path) -> None:
    """Before the first weather nothing is believed, and it says so; then it goes on."""
    world = World(MemoryJournal(), tmp_path)
    world.sky.fails = True
    assert "waiting for the first weather" in world.step().said
    world.sky.fails = False
    world.now += HOUR
    assert world.step().thought is not None


def test_a_pot_added_between_two_steps(world: World) -> None:
    """A new row is a new pot with an id of its own; the others keep theirs and their bits."""
    world.until(FIRST_NOW + HOUR)
    before = believed(world)
    world.write(GARDEN + "  4: {plant: basil, pot: 4 L, size: {wide: 30 cm}, place: porch}\n")
    world.step(reload=True)
    after = believed(world)
    assert after.pot_ids[:3] == before.pot_ids
    assert (after.water_l[:3] == before.water_l).all()
    assert len(after.pot_ids) == 4
