"""One question a day at most: whether to put one with a round's message, and its words."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime, timedelta
from itertools import takewhile
from zoneinfo import ZoneInfo

from irrigate.garden.actions import Ask, Line, Tell
from irrigate.garden.believed import Standing
from irrigate.garden.events import Decided, Finger, RoundTold, TillRan, Weighed
from irrigate.garden.outlook import Ahead, Outlook
from irrigate.garden.pots import Garden
from irrigate.garden.question import question
from irrigate.garden.rounds import local_day, round_key, rounds_between
from irrigate.ports import Journal
from irrigate.service.wording import called

# A pot that was asked about within this time is let be.
LATELY = timedelta(days=3)
# Who does not answer is asked less: a day later, then after two, four, and seven days.
GAPS = (1, 1, 2, 4, 7)
ANSWERED_WITHIN = timedelta(days=1)
# How far back questions are looked for, and weights: who used a scale then has one at hand.
REACH = timedelta(days=14)
WEEK = timedelta(days=7)


def question_with(
    tell: Tell, standing: Standing, ahead: Ahead, as_is: Outlook, unwell: Collection[str],
    journal: Journal,
) -> Ask | None:  # fmt: skip
    """Return the question that goes with a round's message; None if there is none worth it.

    Only with the first message of a day, and not while every state is only guessed or everything
    is to be soaked: that evening teaches more than any question. Whoever leaves questions
    unanswered is asked ever less often.

    Parameters
    ----------
    tell : the round's message.
    standing, ahead, as_is : the belief now, the coming hours, and the week without watering.
    unwell : ids of pots that nothing is learnt from.
    journal : for what was said and asked before.
    """
    now, garden = standing.belief.at, standing.garden
    if tell.till_ran or tell.guesses or _spoken_today(garden, tell, journal):
        return None
    asked, begins = _asked(garden, journal, now), max(tell.at, now)
    if not _time_for_another(garden, asked, tell.at, journal):
        return None
    best = question(
        standing, ahead, as_is, tell.lines, begins, rounds_between(garden, begins, begins + WEEK),
        lately={one.pot_id for one in asked if now - one.at < LATELY},
        weighed=_weighed(journal, now),
        unwell=unwell,
    )  # fmt: skip
    if best is None:
        return None
    return Ask(
        key=asked_with(tell.key),
        people=tell.people,
        at=tell.at,
        until=tell.until,
        pot_id=garden.pots[best.row].id,
        sought=best.sought,
        settles=best.settles,
        reasons=best.reasons,
    )


def asked_with(key: str) -> str:
    """Return the key of the question that goes with a round's message."""
    return f"ask with {key}"


def _spoken_today(garden: Garden, tell: Tell, journal: Journal) -> bool:
    """Return whether a round's message went out on the same day already."""
    told = journal.facts((RoundTold,), valid_after=tell.at - timedelta(days=2))
    return any(_days_apart(garden, fact.valid_at, tell.at) == 0 for fact in told)


def _asked(garden: Garden, journal: Journal, now: datetime) -> list[Ask]:
    """Return the questions of the last two weeks, the newest first."""
    found = []
    for at in reversed(rounds_between(garden, now - REACH, now)):
        fact = journal.fact(f"decided {asked_with(round_key(at))}")
        if (
            fact is not None
            and isinstance(fact.body, Decided)
            and isinstance(fact.body.action, Ask)
        ):
            found.append(fact.body.action)
    return found


def _time_for_another(
    garden: Garden, asked: Sequence[Ask], at: datetime, journal: Journal
) -> bool:  # fmt: skip
    """Return whether as many days have passed as are due after questions left unanswered."""
    if not asked:
        return True
    unanswered = list(takewhile(lambda one: not _answered(one, journal), asked))
    gap = GAPS[min(len(unanswered), len(GAPS) - 1)]
    return _days_apart(garden, asked[0].at, at) >= gap


def _answered(ask: Ask, journal: Journal) -> bool:
    heard = journal.facts(
        (Finger, TillRan, Weighed),
        valid_after=ask.at - ANSWERED_WITHIN / 24,
        valid_until=ask.at + ANSWERED_WITHIN,
    )
    return any(getattr(fact.body, "pot_id", None) == ask.pot_id for fact in heard)


def _days_apart(garden: Garden, one: datetime, other: datetime) -> int:
    zone = ZoneInfo(garden.site.time_zone)
    return abs((local_day(other, zone) - local_day(one, zone)).days)


def _weighed(journal: Journal, now: datetime) -> frozenset[str]:
    facts = journal.facts((Weighed,), valid_after=now - REACH)
    return frozenset(fact.body.pot_id for fact in facts if isinstance(fact.body, Weighed))


# --- its words -------------------------------------------------------------------------------
def question_words(garden: Garden, ask: Ask, lines: Sequence[Line]) -> str:
    """Return the question as the last line of a message, with how to answer it."""
    pot = garden.pot(ask.pot_id)
    us_units = garden.manner.us_units
    watered = any(line.pot_id == ask.pot_id and line.verdict == "water" for line in lines)
    before = "before you water it, " if watered else ""
    match ask.sought:
        case "feel":
            wanted = f"{before}feel {called(pot)} at the second knuckle: wet, moist or dry?"
            example = "moist"
        case "litres":
            wanted = f"water {called(pot)} till it runs out below. How much did it take?"
            example = f"till it ran {'2 qt' if us_units else '2 L'}"
        case "weigh":
            wanted = f"{before}put {called(pot)} on the scale again. What does it weigh?"
            example = f"weighs {'20 lb' if us_units else '9 kg'}"
    return f"One thing I would like to know: {wanted} ({pot.label} {example})"
