"""Scores of a record: taken back ones dropped, corrected ones against the first note."""

from __future__ import annotations

from datetime import timedelta

import pytest

from irrigate.garden.events import Fact, Foretold, Marked, Retracted, TillRan, Wilting
from irrigate.garden.scoring import LEVELS
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.service.skill import skill
from tests.garden.makers import HOUR, START, a_garden, a_pot

QUANTILES = tuple(1.0 + 2.0 * one for one in LEVELS)


@pytest.fixture
def garden():
    """Return a garden of a few pots."""
    return a_garden(a_pot("1"), a_pot("2", "lettuce"), a_pot("3"))


def _answer(number: int, pot_id: str, litres: float, **more) -> Fact:
    at = START + number * HOUR
    return Fact(f"a{number}/0", at, at, TillRan(pot_id, litres), **more)


def _note(answer: Fact) -> Fact:
    told = Foretold(answer.id, answer.body.pot_id, "ran", QUANTILES, sign=-1, hour_l=0.2)
    return Fact(f"{answer.id}/foretold", answer.valid_at, answer.recorded_at, told)


def _journal(*facts: Fact) -> MemoryJournal:
    journal = MemoryJournal()
    journal.append(facts)
    return journal


def test_a_correction_is_scored_against_the_first_note(garden):
    """The second word counts, by what was foretold before the first."""
    pot_id = garden.pots[0].id
    first = _answer(1, pot_id, 9.0)
    again = Fact("b/0", first.valid_at, START + 9 * HOUR, TillRan(pot_id, 2.0), supersedes="a1/0")
    third = Fact("c/0", first.valid_at, START + 11 * HOUR, TillRan(pot_id, 1.9), supersedes="b/0")
    once = skill(_journal(first, _note(first), again), garden)
    assert [one.said for one in once.scores] == [2.0]
    assert once.whole.error_l == pytest.approx(0.0)
    twice = skill(_journal(first, _note(first), again, third), garden)
    assert [one.said for one in twice.scores] == [1.9]


def test_what_was_taken_back_is_dropped(garden):
    """An answer, or its correction, that no longer stands has no score."""
    pot_id = garden.pots[0].id
    first = _answer(1, pot_id, 9.0)
    again = Fact("b/0", first.valid_at, START + 9 * HOUR, TillRan(pot_id, 2.0), supersedes="a1/0")
    gone = Fact("u/0", first.valid_at, START + 10 * HOUR, Retracted(), supersedes="a1/0")
    both = Fact("u/0", first.valid_at, START + 10 * HOUR, Retracted(), supersedes="b/0")
    assert skill(_journal(first, _note(first), gone), garden).scores == ()
    # With the correction gone the first word stands again.
    back = skill(_journal(first, _note(first), again, both), garden)
    assert [one.said for one in back.scores] == [9.0]


def test_pots_groups_and_the_garden_each_have_their_count(garden):
    """Answers of a pot that is gone count for the garden alone."""
    ids = [pot.id for pot in garden.pots]
    answers = [_answer(n, pot_id, 2.0) for n, pot_id in enumerate([ids[0], ids[0], ids[1], "x"])]
    found = skill(_journal(*answers, *map(_note, answers)), garden)
    assert found.whole.checks == 4
    assert (found.of_pot(ids[0]).checks, found.of_pot(ids[1]).checks) == (2, 1)
    assert found.only(ids[1]).whole.checks == 1
    for pot_ids in found.groups().values():
        assert len(pot_ids) > 1
        assert found.of_group(pot_ids).checks == sum(found.of_pot(one).checks for one in pot_ids)


def test_since_counts_by_when_it_was_so(garden):
    """Answers of before the day are left out."""
    answers = [_answer(n, garden.pots[0].id, 2.0) for n in range(5)]
    found = skill(_journal(*answers, *map(_note, answers)), garden, START + 2 * HOUR)
    assert found.whole.checks == 3


def test_an_unwell_pot_is_not_counted(garden):
    """Nor the wilting by which it was seen to be unwell."""
    pot_id = garden.pots[0].id
    wilted = Fact("w/0", START, START, Wilting(pot_id))
    told = Foretold("w/0", pot_id, "wilting", chances=(0.02,))
    note = Fact("w/0/foretold", START, START, told)
    sick = Fact("w/sick", START, START, Marked(pot_id, "unwell", on=True))
    assert skill(_journal(wilted, note), garden).whole.drier == 1
    assert skill(_journal(wilted, note, sick), garden).whole.checks == 0
    well = Fact("v", START + HOUR, START + HOUR, Marked(pot_id, "unwell", on=False))
    later = _answer(5, pot_id, 2.0)
    found = skill(_journal(wilted, note, sick, well, later, _note(later)), garden)
    assert found.whole.checks == 1
    assert found.scores[0].at - START == timedelta(hours=5)
