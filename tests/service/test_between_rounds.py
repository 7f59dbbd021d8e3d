"""Between rounds the service warns of what was left out, once, and remembers what it has said."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from irrigate.garden.actions import Hold, Tell
from irrigate.garden.believed import Standing
from irrigate.garden.events import Decided, Fact, RoundTold
from irrigate.garden.rounds import round_key
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.ports import Journal
from irrigate.service.thinking import Thought, decide_between, decide_round, round_due, think
from tests.garden.makers import a_garden, a_pot, filled, standing_of, summer, version

HOUR = timedelta(hours=1)
MORNING = datetime(2026, 7, 10, 14, 0, tzinfo=UTC)  # 07:00 in the garden
NOON = MORNING + timedelta(hours=3, minutes=30)
GARDEN = a_garden(a_pot("1"), a_pot("2"))


def thought_at(now: datetime, shares: tuple[float, float]) -> Thought:
    """Return the week ahead with the two pots at these shares of available water."""
    standing = filled(standing_of(GARDEN, 24, now))
    level = np.array(shares)[:, np.newaxis]
    # All members alike in their dry point, so that a share says what it says.
    belief = replace(standing.belief, dry_point=np.full((2, 24), 0.5))
    standing = Standing(standing.garden, standing.known, belief)
    water = standing.traits.limit_l + level * standing.traits.available_l
    return think(replace(standing, belief=replace(belief, water_l=water)), summer(12))


def told(at: datetime, *asked: str) -> Fact:
    """Return the message of a round that asked to water these pots."""
    body = RoundTold(round_key(at), dict.fromkeys(asked, 1.0), {})
    return Fact(f"told {at}", at, at - timedelta(minutes=30), body)


@pytest.fixture
def journal() -> Journal:
    """Return a journal in which the morning's message asked for nothing."""
    journal = MemoryJournal()
    journal.append([told(MORNING)])
    return journal


def lines_of(decision: object) -> list[str]:
    """Return the pots that a decision speaks of."""
    action = getattr(decision, "action", None)
    assert isinstance(action, Tell), action
    return [line.pot_id for line in action.lines]


def test_a_pot_left_out_is_warned_of(journal: Journal) -> None:
    """A pot that was left in the morning and is thirsty by now is said, with the sky."""
    decision = decide_between(thought_at(NOON, (0.45, 1.0)), journal)
    assert lines_of(decision) == ["p-1"]
    assert decision is not None
    assert isinstance(decision.action, Tell)
    assert decision.action.highest_c is not None
    assert "probably thirsty already" in decision.body


def test_a_pot_that_the_message_spoke_of_is_not(journal: Journal) -> None:
    """It is known already: somebody was asked to water it this morning."""
    journal.append([told(MORNING + timedelta(minutes=1), "p-1")])
    assert decide_between(thought_at(NOON, (0.45, 1.0)), journal) is None


def test_a_message_of_days_ago_does_not_silence_a_warning() -> None:
    """Rounds have passed in silence since: what their last message asked for is long past."""
    journal = MemoryJournal()
    journal.append([told(MORNING - timedelta(days=2), "p-1")])
    assert lines_of(decide_between(thought_at(NOON, (0.45, 1.0)), journal)) == ["p-1"]


def test_never_twice_of_the_same_pot(journal: Journal) -> None:
    """What was warned of since the round is not said again; another pot is."""
    first = decide_between(thought_at(NOON, (0.45, 1.0)), journal)
    assert first is not None
    journal.append(first.facts)
    assert decide_between(thought_at(NOON + HOUR, (0.4, 1.0)), journal) is None
    assert lines_of(decide_between(thought_at(NOON + HOUR, (0.4, 0.45)), journal)) == ["p-2"]


def test_what_is_held_is_written_once(journal: Journal) -> None:
    """A hold is for the record; held again for the same reason it is not written again."""
    early = MORNING + timedelta(hours=1)
    held = decide_between(thought_at(early, (0.62, 1.0)), journal)
    assert held is not None
    assert isinstance(held.action, Hold)
    assert held.body == ""
    journal.append(held.facts)
    again = decide_between(thought_at(early + timedelta(minutes=20), (0.62, 1.0)), journal)
    assert again is None


def test_close_to_the_round_its_message_speaks(journal: Journal) -> None:
    """From the notice of the next round on nothing is said between."""
    late = datetime(2026, 7, 11, 1, 5, tzinfo=UTC)
    assert decide_between(thought_at(late, (0.2, 1.0)), journal) is None


def test_the_latest_of_several_rounds_is_due() -> None:
    """Claimed rounds are settled; of two that fall due at once only the later is told."""
    journal = MemoryJournal()
    thought = thought_at(MORNING - timedelta(minutes=30), (0.9, 0.9))
    assert round_due(thought, journal) == MORNING
    assert round_due(thought_at(MORNING - timedelta(minutes=31), (0.9, 0.9)), journal) is None
    decision = decide_round(thought, MORNING, journal)
    assert decision is not None
    assert decision.action.key == "round 2026-07-10T14:00Z"


@pytest.mark.parametrize(
    ("day", "last_told_day", "spoken"), [(1, 0, True), (13, 12, True), (15, 13, False),
                                         (21, 13, True)],
)  # fmt: skip
def test_alive_is_visible_at_first_and_weekly_later(
    day: int, last_told_day: int, spoken: bool
) -> None:
    """For two weeks each round says something; later a week may pass with nothing to do."""
    begun = MORNING - timedelta(days=15)
    sprouts = a_garden(a_pot("1", size_m=(0.05, 0.05)), a_pot("2", size_m=(0.05, 0.05)))
    journal = MemoryJournal()
    evening = begun + timedelta(hours=11, minutes=30)
    first = told(evening)
    first = replace(first, body=replace(first.body, till_ran=True))  # type: ignore[type-var]
    journal.append([version(sprouts, begun), first, told(begun + timedelta(days=last_told_day))])
    now = begun + timedelta(days=day)
    table = summer(30, begun - timedelta(days=3))
    thought = think(filled(standing_of(sprouts, 24, now - timedelta(minutes=30))), table)
    decision = decide_round(thought, now, journal)
    assert isinstance(decision.action, Tell if spoken else Hold)
    assert decision.title == ("07:00: nothing to water" if spoken else "")


def test_a_decision_is_in_its_own_facts(journal: Journal) -> None:
    """The action that is carried out is the very object in the journal's fact."""
    decision = decide_between(thought_at(NOON, (0.45, 1.0)), journal)
    assert decision is not None
    recorded = [fact.body for fact in decision.facts if isinstance(fact.body, Decided)]
    assert [body.action for body in recorded] == [decision.action]
    assert [body.text for body in recorded] == [f"{decision.title}\n{decision.body}"]
