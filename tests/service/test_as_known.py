"""A journal as it once stood: nothing that came later is in it, and nothing can be put in."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from irrigate.errors import InputError, JournalError
from irrigate.garden.actions import Hold, Line
from irrigate.garden.events import Claimed, Decided, Fact, Given
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.ports import Checkpoint
from irrigate.service.as_known import AsKnown, decision_on, garden_at, position_before
from tests.garden.makers import DAY, HOUR, START, fact, three_pots, version


def waterings(count: int) -> list[Fact]:
    """Return waterings told in order, each valid an hour before the one told before it."""
    return [
        fact(Given("p-1", 1.0), START - number * HOUR, START + number * HOUR, f"given {number}")
        for number in range(count)
    ]


def test_facts_told_later_are_not_in_it_whatever_moment_they_are_valid_for() -> None:
    """The first three of five are seen, in every way of asking."""
    journal = MemoryJournal()
    journal.append(waterings(5))
    view = AsKnown(journal, 3)
    assert view.position() == 3
    assert [one.id for one in view.since(1)] == ["given 1", "given 2"]
    assert view.since(4) == []
    assert [one.id for one in view.facts((Given,))] == ["given 2", "given 1", "given 0"]
    assert view.fact("given 2") is not None
    assert view.fact("given 3") is None
    journal.append([fact(Given("p-1", 1.0), START - DAY, name="afterwards")])
    assert len(AsKnown(journal, 6).facts()) == 6


def test_checkpoints_made_later_are_not_used() -> None:
    """Of two beliefs of one midnight the one that had seen no more than the view is taken."""
    journal = MemoryJournal()
    journal.append(waterings(5))
    early, late = Checkpoint(START, 2, 1, b"early"), Checkpoint(START, 4, 1, b"late")
    journal.save_checkpoint(early)
    journal.save_checkpoint(late)
    assert AsKnown(journal, 3).checkpoint(START + HOUR, 5) == early
    assert AsKnown(journal, 5).checkpoint(START + HOUR, 5) == late
    assert AsKnown(journal, 1).checkpoint(START + HOUR, 5) is None


WRITES: list[Callable[[AsKnown], object]] = [
    lambda view: view.append(waterings(1)),
    lambda view: view.claim(fact(Claimed("key"), START)),
    lambda view: view.save_checkpoint(Checkpoint(START, 1, 1, b"")),
    lambda view: view.drop_checkpoints(START),
    lambda view: view.backup(Path("nowhere")),
]


@pytest.mark.parametrize("write", WRITES)
def test_it_cannot_be_written(write: Callable[[AsKnown], object]) -> None:
    """Every way of changing a journal is refused."""
    with pytest.raises(JournalError, match="only be read"):
        write(AsKnown(MemoryJournal(), 0))


def test_the_place_of_a_fact_is_found_however_far_back() -> None:
    """Near the end and two thousand facts before it; a fact that is not there is a KeyError."""
    journal = MemoryJournal()
    journal.append(waterings(2000))
    for number in (0, 3, 1700, 1999):
        assert position_before(journal, f"given {number}") == number
    with pytest.raises(KeyError):
        position_before(journal, "never given")


def a_line(pot_id: str) -> Line:
    """Return a line that leaves a pot."""
    return Line(pot_id, "leave", 0.0, 1, 0.1, 0.0, 0.2, (None, None, None), (0.5, 0.6, 0.7), {})


def test_the_last_decision_that_names_the_pot_is_found() -> None:
    """Others that name other pots, or came later, are passed over."""
    journal = MemoryJournal()
    for number, pot in enumerate(("p-1", "p-2", "p-1")):
        held = Decided(Hold(f"key {number}", "quiet hours", None, (a_line(pot),)))
        journal.append([fact(held, START + number * HOUR, name=f"decided {number}")])
    found = [decision_on(journal, "p-1", START + hours * HOUR) for hours in (0, 1, 2)]
    assert [one and one.id for one in found] == ["decided 0", "decided 0", "decided 2"]
    assert decision_on(journal, "p-3", START + DAY) is None


def test_the_garden_of_a_moment_is_the_one_known_then() -> None:
    """The last version by then, else the first; without any it says how to begin."""
    journal = MemoryJournal()
    with pytest.raises(InputError, match="start the service"):
        garden_at(journal, START)
    whole = three_pots()
    fewer = type(whole)(
        whole.name, whole.site, whole.places, whole.pots[:1], whole.rounds, whole.people,
        whole.manner,
    )  # fmt: skip
    journal.append([version(fewer, START), version(whole, START + DAY)])
    assert len(garden_at(journal, START - DAY).pots) == 1
    assert len(garden_at(journal, START + HOUR).pots) == 1
    assert len(garden_at(journal, START + 2 * DAY).pots) == 3
