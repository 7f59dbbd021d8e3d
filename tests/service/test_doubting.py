"""An answer that hardly fits is asked about once, and can be taken back by its pot."""

from __future__ import annotations

from datetime import timedelta

import pytest

from irrigate.garden.events import Decided, Fact, Finger, Foretold, Retracted, TillRan, standing
from irrigate.garden.scoring import LEVELS
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.service.doubting import doubt_words
from tests.service.worlds import MINUTES, World, believed, believed_from_the_first, same

HOUR = timedelta(hours=1)


@pytest.fixture
def world(tmp_path):
    """Return a service whose pots were all soaked on the first evening."""
    made = World(MemoryJournal(), tmp_path)
    made.step()
    made.until(made.now + 3 * HOUR)
    made.say("all")
    made.until(made.now + 2 * HOUR)
    return made


def _asking(world) -> list[str]:
    return [one.body for one in world.messages if "Was it pot" in one.body]


def test_litres_that_cannot_be_are_asked_about_in_the_next_message_only(world):
    """A full 8 L pot that takes 12 L more: one question, in what is said and in what is kept."""
    world.say("1 till it ran 12 L")
    world.until(world.now + 36 * HOUR)
    asked = _asking(world)
    assert len(asked) == 1
    line = next(one for one in asked[0].splitlines() if "Was it pot" in one)
    assert line.startswith(("1 tomato: 12 L until it ran, expected ", "1: 12 L"))
    assert line.endswith("Was it pot 1? If not: irrigate log undo 1")
    kept = [fact.body.text for fact in world.journal.facts((Decided,)) if line in fact.body.text]
    assert len(kept) == 1


def test_what_fits_is_not_asked_about(world):
    """A drink that the pot had room for passes without a word."""
    world.until(world.now + 20 * HOUR)
    world.say("1 till it ran 1.5 L; 2 moist")
    world.until(world.now + 24 * HOUR)
    assert _asking(world) == []


def test_a_doubt_that_was_undone_is_not_asked(world):
    """Taken back before the next message, there is nothing to ask about."""
    world.say("1 till it ran 12 L")
    world.step()
    world.now += MINUTES
    world.say("undo 1", who="Bob")
    world.until(world.now + 24 * HOUR)
    assert _asking(world) == []


def test_undo_of_a_pot_takes_back_that_pot_alone_and_folds_anew(world):
    """Whoever says it: the others of the same breath stay, and the belief is as without it."""
    world.say("1 till it ran 12 L; 2 till it ran 1 L")
    world.now += MINUTES
    world.step()
    with_it = believed(world)
    world.say("2 moist")
    world.now += MINUTES
    world.step()
    world.say("undo 1", who="Bob")
    world.now += MINUTES
    world.step()
    left = standing(world.journal.facts((TillRan, Finger, Foretold, Retracted)))
    garden = world.memory.garden
    of_first = [
        fact
        for fact in left
        if fact.body.pot_id == garden.pots[0].id and fact.body.volume_l
        if isinstance(fact.body, TillRan)
    ]
    assert of_first == []
    assert {type(fact.body) for fact in left if fact.body.pot_id == garden.pots[1].id} == {
        TillRan, Finger, Foretold,
    }  # fmt: skip
    now = believed(world)
    assert not same(with_it, now)
    assert same(now, believed_from_the_first(world))


def test_undo_again_takes_back_the_one_before(world):
    """Each takes back one breath of the pot; in the end there is none left."""
    for words in ("3 dry", "3 moist"):
        world.now += MINUTES
        world.say(words)
        world.step()
    for left in (1, 0):
        world.now += MINUTES
        world.say("undo 3")
        world.step()
        facts = standing(world.journal.facts((Finger, Retracted)))
        assert len(facts) == left


def test_words_in_the_units_of_the_gardener(world):
    """US gardeners read quarts and pounds; a finger is told by the word that was expected."""
    from dataclasses import replace

    garden = world.memory.garden
    us = replace(garden, manner=replace(garden.manner, us_units=True))
    pot_id, now = garden.pots[1].id, world.now
    quantiles = tuple(1.0 + one for one in LEVELS)
    note = Fact("n", now, now, Foretold("a", pot_id, "ran", quantiles, sign=-1))
    answer = Fact("a", now, now, TillRan(pot_id, 9.0))
    metric, quarts = doubt_words(answer, note, garden), doubt_words(answer, note, us)
    assert "9 L until it ran, expected 1.1 to 1.9 L" in metric
    assert "qt" in quarts
    felt = Fact("n", now, now, Foretold("a", pot_id, "finger", chances=(0.001, 0.009, 0.99)))
    dry = doubt_words(Fact("a", now, now, Finger(pot_id, "dry")), felt, garden)
    assert "felt dry, expected wet" in dry
    likely = doubt_words(Fact("a", now, now, Finger(pot_id, "wet")), felt, garden)
    assert likely == ""
