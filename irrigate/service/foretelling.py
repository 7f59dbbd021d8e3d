"""Noting what was foretold of an answer, once, before the answer is believed.

The belief is that of the answer's own moment, by all that is known when it comes. What one person
says in one breath is foretold from before all of it, but for what they said first of the same pot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from irrigate.garden.believed import Standing
from irrigate.garden.events import Fact, Foretold, Given, standing
from irrigate.garden.foretelling import FORESEEN, foreseeable, foretold, hours_of_sun, said_of
from irrigate.garden.marks import marks
from irrigate.garden.scoring import Score, scored
from irrigate.ports import Journal
from irrigate.service.beliefs import MOMENT, Grounds, Hindsight, hindsight, looked_back

SUFFIX = "/foretold"


def foretold_facts(
    answers: Sequence[Fact], grounds: Grounds, journal: Journal, now: datetime, members: int
) -> tuple[Fact, ...]:  # fmt: skip
    """Return what was foretold of each answer, to be appended with it.

    Parameters
    ----------
    answers : facts that are not in the journal yet; those of which nothing is foretold are passed
        over, and so are pots that are unwell, unknown or not yet believed of.
    grounds : what the belief rests on.
    journal : read only.
    now : the present (UTC).
    members : size of the ensemble.

    Notes
    -----
    An answer that corrects another is scored against what was foretold of that one.
    """
    asked = [fact for fact in answers if foreseeable(fact.body) and fact.supersedes is None]
    if not asked:
        return ()
    back = hindsight(grounds, journal, answers, now)
    stand = standing(list(back.facts))
    unwell = marks(stand, "unwell")
    believed: dict[tuple[datetime, frozenset[str]], tuple[Standing, tuple[float | None, ...]]] = {}
    found = []
    for fact in asked:
        pot_id, at = _pot_id(fact), fact.valid_at
        if unwell.on(pot_id, at):
            continue
        before = _said_before(fact, answers)
        if (at, before) not in believed:
            current = _before(back, journal, before, at, members)
            if current is None:
                continue
            believed[at, before] = current, hours_of_sun(current, back.weather)
        current, hours_l = believed[at, before]
        if pot_id in current.belief.pot_ids:
            told = foretold(current, fact, hours_l, late=_late(fact, stand))
            found.append(Fact(fact.id + SUFFIX, at, now, told))
    return tuple(found)


def foretold_score(fact: Fact, told: Fact) -> Score:
    """Return how well an answer's fact was foretold by the fact that was noted of it."""
    if not isinstance(told.body, Foretold):
        raise TypeError("only what was foretold can be scored")
    return scored(told.body, said_of(fact.body), fact.valid_at)


def _said_before(fact: Fact, answers: Sequence[Fact]) -> frozenset[str]:
    """Return the ids of what was said of the same pot and moment, earlier in the same breath."""
    pot_id = _pot_id(fact)
    place = [one.id for one in answers].index(fact.id)
    return frozenset(
        one.id
        for one in answers[:place]
        if one.valid_at == fact.valid_at and _pot_id(one) == pot_id
    )


def _before(
    back: Hindsight, journal: Journal, before: frozenset[str], at: datetime, members: int
) -> Standing | None:  # fmt: skip
    """Return the belief at a moment without what was said of it just now, but for ``before``."""
    answers = [
        one
        if one.valid_at != at or one.id in before
        # Put off: not applied, and yet its round is one that somebody spoke of.
        else replace(one, valid_at=at + MOMENT)
        for one in back.answers
    ]
    return looked_back(back, journal, answers, at, members)


def _late(fact: Fact, stand: Sequence[Fact]) -> bool:
    """Return whether something later was known of the pot already."""
    pot_id = _pot_id(fact)
    return any(
        one.valid_at > fact.valid_at
        and isinstance(one.body, (*FORESEEN, Given))
        and _pot_id(one) == pot_id
        for one in stand
    )


def _pot_id(fact: Fact) -> str:
    return getattr(fact.body, "pot_id", "")
