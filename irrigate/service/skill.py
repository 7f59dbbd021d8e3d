"""What the record says of how well answers were foretold, by pot, by like pots, for the garden."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from irrigate.garden.events import (
    Decided,
    Fact,
    Finger,
    Foretold,
    Given,
    Marked,
    Retracted,
    RoundAnswered,
    TillRan,
    Wilting,
    standing,
)
from irrigate.garden.foretelling import FORESEEN, KIND, foreseeable
from irrigate.garden.list_scoring import (
    Judged,
    ListTally,
    MessageTally,
    list_of,
    lists_tallied,
    use_of,
)
from irrigate.garden.marks import marks
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.scoring import Score, Tally, tallied
from irrigate.ports import Journal
from irrigate.service.foretelling import foretold_score

ANSWERED = (*FORESEEN, Given, RoundAnswered)
# Before this there is no record anywhere.
EVER = datetime(1970, 1, 1, tzinfo=UTC)
# A message may be told before its round, and answered after it.
AROUND = timedelta(days=2)


@dataclass(frozen=True, slots=True)
class Skill:
    """How well answers were foretold since a moment.

    Parameters
    ----------
    garden : the pots as they are.
    scores : of every answer that stands, in order of time.
    lists : what became of the rounds' lists.
    messages : whether the messages were of use; None where one pot alone is looked at.
    pot_id : the pot that is looked at alone; None for all.
    """

    garden: Garden
    scores: tuple[Score, ...]
    lists: tuple[Judged, ...]
    messages: MessageTally | None
    pot_id: str | None = None

    @property
    def pots(self) -> tuple[Pot, ...]:
        """The pots that are looked at."""
        return tuple(pot for pot in self.garden.pots if self.pot_id in {None, pot.id})

    def only(self, pot_id: str) -> Skill:
        """Return the same for one pot alone."""
        scores = tuple(one for one in self.scores if one.foretold.pot_id == pot_id)
        return replace(self, scores=scores, messages=None, pot_id=pot_id)

    @property
    def whole(self) -> Tally:
        """What all scores come to."""
        return tallied(self.scores)

    def of_pot(self, pot_id: str) -> Tally:
        """Return what the scores of one pot come to."""
        return tallied(one for one in self.scores if one.foretold.pot_id == pot_id)

    def groups(self) -> Mapping[str, tuple[str, ...]]:
        """Return the ids of the pots of each group of like ones that has several."""
        found: dict[str, tuple[str, ...]] = {}
        for pot in self.pots:
            found[pot.group] = (*found.get(pot.group, ()), pot.id)
        return {name: pot_ids for name, pot_ids in found.items() if len(pot_ids) > 1}

    def of_group(self, pot_ids: Sequence[str]) -> Tally:
        """Return what the scores of some pots come to."""
        return tallied(one for one in self.scores if one.foretold.pot_id in pot_ids)

    def list_tally(self, pot_id: str | None = None) -> ListTally:
        """Return what the lists come to, of all pots that are looked at or of one."""
        return lists_tallied(self.lists, pot_id or self.pot_id)


def skill(journal: Journal, garden: Garden, since: datetime = EVER) -> Skill:
    """Score every answer valid from a moment on by what was foretold of it when it came.

    Parameters
    ----------
    journal : read only.
    garden : the pots as they are; answers about pots that are gone count for the garden.
    since : the moment (UTC).

    Notes
    -----
    Nothing is foretold anew: the notes are those of the record. What was taken back is dropped;
    what was corrected is scored by its correction against the first note. Nor is counted what was
    found of a pot while it was unwell, be it that this was seen by that very answer.
    """
    facts = journal.facts((*ANSWERED, Foretold, Decided, Retracted), valid_after=since - AROUND)
    stand = [fact for fact in standing(facts) if fact.valid_at >= since]
    answers = [fact for fact in stand if isinstance(fact.body, ANSWERED)]
    decided = [fact for fact in stand if isinstance(fact.body, Decided)]
    lists, uses = _decisions(decided, answers)
    messages = MessageTally(uses.count("useful"), uses.count("needless"), uses.count("unanswered"))
    unwell = marks(standing(journal.facts((Marked, Retracted))), "unwell")
    scores = [one for one in _scores(facts, stand) if not unwell.on(one.foretold.pot_id, one.at)]
    return Skill(garden, tuple(scores), tuple(lists), messages)


def _scores(facts: Sequence[Fact], stand: Sequence[Fact]) -> list[Score]:
    by_id = {fact.id: fact for fact in stand}
    later = {
        fact.supersedes: fact.id
        for fact in sorted(facts, key=lambda one: (one.recorded_at, one.id))
        if fact.supersedes is not None and not isinstance(fact.body, Retracted)
    }
    scores = []
    for note in stand:
        if not isinstance(note.body, Foretold):
            continue
        answer = _as_corrected(note.body.of, by_id, later)
        if answer is not None and KIND.get(type(answer.body)) == note.body.kind:
            scores.append(foretold_score(answer, note))
    return sorted(scores, key=lambda one: one.at)


def _as_corrected(
    fact_id: str, by_id: Mapping[str, Fact], later: Mapping[str, str]
) -> Fact | None:  # fmt: skip
    """Return an answer, or the one that stands in its place; None if it was taken back."""
    seen: set[str] = set()
    while fact_id not in by_id:
        if fact_id in seen or fact_id not in later:
            return None
        seen.add(fact_id)
        fact_id = later[fact_id]
    found = by_id[fact_id]
    return found if foreseeable(found.body) else None


def _decisions(
    decided: Sequence[Fact], answers: Sequence[Fact]
) -> tuple[list[Judged], list[str]]:  # fmt: skip
    lists, uses = [], []
    told = [fact for fact in answers if isinstance(fact.body, _TELLING)]
    for fact in decided:
        if not isinstance(fact.body, Decided):
            continue
        judged = list_of(fact.body.action, fact.valid_at, told)
        use = use_of(fact.body.action, told, judged)
        lists += [judged] if judged is not None else []
        uses += [use] if use is not None else []
    return lists, uses


_TELLING = (Finger, Wilting, TillRan, Given, RoundAnswered)
