"""How right the lists were: of the pots that a message named or left out, which were found so.

Judged by what was found between the message and the next round, the first of it for each pot:

- to be watered: right if it took at least `LEAST_TAKEN` of what it can give till it ran, or half
  of what it was to get where that was a splash, or felt dry; wrong if it took less, or felt wet;
- to be felt first: right to ask if somebody felt it, whatever was found;
- left out: right if it felt moist or wet; missed if it felt dry or hung its leaves.

Litres from a can say how much somebody gave, not how much was missing, so they judge nothing. On
the first evening every pot is named whatever is believed of it: that is no list.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from irrigate.garden.actions import Action, Hold, Line, Tell
from irrigate.garden.events import Fact, Finger, Given, RoundAnswered, TillRan, Wilting

# A watering worth the walk: as in `irrigate.garden.deciding.LEAST_SHARE`.
LEAST_TAKEN = 0.15
# A pot that will not last may be asked for less: then this share of it was not for nothing.
OF_DOSE = 0.5
SILENT = "nothing to do"

Found = Literal["right", "felt", "wrong", "missed"]


@dataclass(frozen=True, slots=True)
class Judged:
    """What became of one round's list.

    Parameters
    ----------
    key : of the round.
    at : the round (UTC).
    found : by pot id, of the pots that something was found of.
    """

    key: str
    at: datetime
    found: dict[str, Found]

    @property
    def right(self) -> bool:
        """Whether nothing in it was wrong or missed."""
        return not {"wrong", "missed"} & set(self.found.values())


@dataclass(frozen=True, slots=True)
class ListTally:
    """Lists that something was found of, and the pots in them.

    Parameters
    ----------
    lists, lists_right : how many, and of how many no pot was wrong or missed.
    right, felt, wrong, missed : pots, over all lists.
    """

    lists: int
    lists_right: int
    right: int
    felt: int
    wrong: int
    missed: int


@dataclass(frozen=True, slots=True)
class MessageTally:
    """Messages that asked for something: of use, acted on for nothing, or not answered."""

    useful: int
    needless: int
    unanswered: int


def list_of(action: Action, told_at: datetime, facts: Sequence[Fact]) -> Judged | None:
    """Return what became of a list; None for what is none, or where nothing was found.

    Parameters
    ----------
    action : what was decided.
    told_at : when (UTC).
    facts : answers that stand, in order.
    """
    if isinstance(action, Tell) and action.occasion == "round" and not action.till_ran:
        begins, until = action.at, action.until
    elif isinstance(action, Hold) and action.why == SILENT and action.until is not None:
        begins, until = told_at, action.until
    else:
        return None
    found: dict[str, Found] = {}
    for fact in facts:
        # What is said of the round itself is valid at it; felt on the way there counts as well.
        if not min(begins, told_at) <= fact.valid_at < until:
            continue
        pot_id = getattr(fact.body, "pot_id", None)
        line = next((one for one in action.lines if one.pot_id == pot_id), None)
        if line is None or line.pot_id in found:
            continue
        judged = _judged(line, fact)
        if judged is not None:
            found[line.pot_id] = judged
    return Judged(action.key.removesuffix(" in silence"), begins, found) if found else None


def _judged(line: Line, fact: Fact) -> Found | None:
    body = fact.body
    if line.verdict == "leave":
        if isinstance(body, Wilting) or (isinstance(body, Finger) and body.feel == "dry"):
            return "missed"
        return "right" if isinstance(body, Finger) else None
    if line.verdict == "feel":
        return "felt" if isinstance(body, Finger) or _enough(line, fact) is not None else None
    if isinstance(body, Finger) and body.feel != "moist":
        return "right" if body.feel == "dry" else "wrong"
    return {True: "right", False: "wrong", None: None}[_enough(line, fact)]


def _enough(line: Line, fact: Fact) -> bool | None:
    """Return whether a pot took enough till it ran; None where that was not told."""
    holds = line.reasons.get("available_when_full_l", 0.0)
    if not isinstance(fact.body, TillRan) or fact.body.volume_l is None or holds <= 0.0:
        return None
    least = LEAST_TAKEN * holds
    if line.verdict == "water":
        least = min(least, OF_DOSE * line.dose_l)
    return fact.body.volume_l >= least


def use_of(action: Action, facts: Sequence[Fact], judged: Judged | None) -> str | None:
    """Return whether a message was "useful", "needless" or "unanswered"; None if it asked nothing.

    Parameters
    ----------
    action : what was decided.
    facts : answers that stand, in order.
    judged : what became of its list, if it is one.

    Notes
    -----
    Useful: at least one pot that it asked for was watered, felt, or found hanging, and was not
    found to need nothing. Needless: all that were, needed nothing, or somebody answered "none".
    """
    if not isinstance(action, Tell) or action.occasion == "notice" or action.till_ran:
        return None
    asked = {
        line.pot_id
        for line in action.lines
        if action.occasion == "warning" or line.verdict != "leave"
    }
    if not asked:
        return None
    done: set[str] = set()
    wet: set[str] = set()
    answered = False
    for fact in facts:
        body = fact.body
        if isinstance(body, RoundAnswered) and body.round_key == action.key:
            answered = True
            done |= asked & set(body.pot_ids)
        elif action.at <= fact.valid_at < action.until and isinstance(
            body, Given | TillRan | Finger | Wilting
        ):
            done |= asked & {body.pot_id}
            if isinstance(body, Finger) and body.feel == "wet" and action.occasion == "warning":
                wet.add(body.pot_id)
    for_nothing = wet if judged is None else _wrong(judged)
    needed = done - for_nothing
    if needed:
        return "useful"
    return "needless" if done or answered else "unanswered"


def _wrong(judged: Judged) -> set[str]:
    return {pot_id for pot_id, how in judged.found.items() if how == "wrong"}


def lists_tallied(lists: Sequence[Judged], pot_id: str | None = None) -> ListTally:
    """Return what lists come to, of all pots or of one."""
    found = [{pot: how for pot, how in one.found.items() if pot_id in {None, pot}} for one in lists]
    found = [one for one in found if one]
    counted = [how for one in found for how in one.values()]
    return ListTally(
        lists=len(found),
        lists_right=sum(not {"wrong", "missed"} & set(one.values()) for one in found),
        right=counted.count("right"),
        felt=counted.count("felt"),
        wrong=counted.count("wrong"),
        missed=counted.count("missed"),
    )
