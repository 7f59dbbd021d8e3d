"""What is foretold of an answer is noted once, before the answer is believed."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from irrigate.garden.events import Drained, Fact, Foretold, Retracted, TillRan, standing
from irrigate.garden.scoring import band, middle
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.service.foretelling import foretold_facts, foretold_score
from tests.service.worlds import MINUTES, World, believed, believed_from_the_first, same

HOUR = timedelta(hours=1)


@pytest.fixture
def world(tmp_path):
    """Return a service that has told its first evening's round."""
    made = World(MemoryJournal(), tmp_path)
    made.step()
    made.until(made.now + 3 * HOUR)
    return made


def _foretold(world) -> list[Foretold]:
    return [fact.body for fact in world.journal.facts((Foretold,))]


def test_each_answer_is_foretold_with_it(world):
    """Litres, a finger and a weight: one note each, of the answer's id and moment."""
    world.say("1 till it ran 3 L; 2 moist; 3 weighs 4.2 kg")
    world.step()
    told = {one.kind: one for one in _foretold(world)}
    assert set(told) == {"ran", "finger", "weighed"}
    for fact in world.journal.facts((Foretold,)):
        answer = world.journal.fact(fact.body.of)
        assert answer.valid_at == fact.valid_at
        assert answer.body.pot_id == fact.body.pot_id
    assert told["finger"].quantiles == ()
    assert sum(told["finger"].chances) == pytest.approx(1.0, abs=0.01)
    assert list(told["ran"].quantiles) == sorted(told["ran"].quantiles)


def test_what_is_foretold_does_not_know_the_answer(world):
    """Two services that are told different litres foretell the same to the bit."""
    notes = []
    for said in ("1 till it ran 1 L", "1 till it ran 6 L"):
        other = World(MemoryJournal(), world.folder)
        other.step()
        other.until(world.now)
        other.say(said)
        other.step()
        notes.append(_foretold(other)[0].quantiles)
    assert notes[0] == notes[1]


def test_a_round_that_is_answered_was_not_watered_by_habit_beforehand(world):
    """Litres till it ran at a round are the room before it, not what the habit would have left."""
    world.say("1 till it ran 3 L")
    world.step()
    told = _foretold(world)[0]
    assert middle(told) > 0.3
    low, high = band(told)
    assert low < high


def test_what_was_noted_is_never_made_anew(world):
    """A later answer changes the belief of that moment, not what had been foretold."""
    world.say("1 till it ran 3 L")
    world.step()
    noted = _foretold(world)[0]
    world.until(world.now + 20 * HOUR)
    world.say("1 dry", at=world.now - 19 * HOUR)
    world.step()
    assert _foretold(world).count(noted) == 1


def test_a_late_answer_is_said_to_be_late(world):
    """One that comes after a later one of its pot was foretold with what that had taught."""
    world.until(world.now + 12 * HOUR)
    world.say("1 moist")
    world.step()
    world.say("1 dry", at=world.now - 5 * HOUR)
    world.say("2 dry", at=world.now - 5 * HOUR)
    world.step()
    late = {(one.pot_id, one.chances): one.late for one in _foretold(world)}
    assert sorted(late.values()) == [False, False, True]


def test_an_undone_answer_takes_its_note_along(world):
    """Both are taken back, and the belief is as if it had never been said."""
    before = believed(world)
    world.say("1 till it ran 3 L")
    world.now += MINUTES
    world.step()
    assert not same(before, believed(world))
    world.say("undo")
    world.step()
    left = standing(world.journal.facts((TillRan, Foretold, Retracted)))
    assert left == []
    assert same(believed(world), believed_from_the_first(world))


def test_a_breath_is_foretold_from_before_it_but_for_the_same_pot(world):
    """What drained is foretold by the watering that was told just before it."""
    world.until(world.now + 12 * HOUR)
    grounds, now = world.memory.grounds, world.now
    pot_id = world.memory.garden.pots[0].id
    ran = Fact("a/0", now, now, TillRan(pot_id, 7.5))
    drained = Fact("a/1", now, now, Drained(pot_id, 0.5))
    alone = foretold_facts([drained], grounds, world.journal, now, 8)
    both = foretold_facts([ran, drained], grounds, world.journal, now, 8)
    assert len(both) == 2
    assert middle(both[1].body) != middle(alone[0].body)
    assert both[0].body == foretold_facts([ran], grounds, world.journal, now, 8)[0].body


def test_of_an_unwell_pot_nothing_is_foretold(world):
    """What is not learnt from is not scored either."""
    world.say("1 unwell")
    world.step()
    world.now += MINUTES
    world.say("1 dry")
    world.step()
    assert _foretold(world) == []


def test_hours_of_sun_are_of_a_hot_day(world):
    """A tomato in 8 L drinks some litres on a hot day, most of them within a dozen hours."""
    world.say("1 till it ran 3 L")
    world.step()
    note = _foretold(world)[0]
    assert note.hour_l is not None
    assert 0.02 < note.hour_l < 0.6
    fact = world.journal.facts((Foretold,))[0]
    score = foretold_score(world.journal.fact(note.of), fact)
    assert score.error_h == pytest.approx(score.error_l / note.hour_l)
    assert np.isfinite(score.crps_l)
