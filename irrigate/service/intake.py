"""From what arrived to facts: answers, weather, receipts.

Nothing here thinks. Each function returns the facts to append; whatever cannot be taken becomes
a `Refused` fact, with a word for the person where there is one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np

from irrigate.errors import AnswerError
from irrigate.garden.answers import Context, Reading, read_answer
from irrigate.garden.events import (
    Body,
    Delivered,
    Fact,
    Forecast,
    ForecastMembers,
    Heard,
    Refused,
    Retracted,
    RoundTold,
    WeatherHours,
)
from irrigate.garden.filling import fill
from irrigate.garden.hour_grid import LONGEST_GAP_H
from irrigate.garden.known_weather import DAY_S, told_until_s
from irrigate.garden.member_hours import packed
from irrigate.garden.pots import Garden
from irrigate.garden.several_sources import lapsed
from irrigate.garden.weather import HOUR_S, HourlyWeather, Origin, merged
from irrigate.ports import Fetched, Item, Journal, Receipt
from irrigate.service.beliefs import WINDOW

# A clock that is a little off is no reason to refuse; one that is far off is.
NEWEST = timedelta(minutes=5)

# The service itself writes nothing into the garden file.
INTO_THE_FILE = "this changes the garden file: say it by `irrigate log`, or write it there"

OPEN_ROUND = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Intake:
    """What one arrival came to: facts to append, and words for whoever sent it."""

    facts: tuple[Fact, ...]
    reply: str = ""
    refused: bool = False


# --- answers -------------------------------------------------------------------------------
def take_answer(item: Item, garden: Garden, journal: Journal, now: datetime) -> Intake:
    """Turn somebody's words into facts; the words themselves are kept as `Heard`.

    An item that comes again, after a crash before it was marked done, was taken already: read
    anew, beside what has been said since, it might mean something else.
    """
    if journal.fact(f"{item.key}/heard") or journal.fact(f"{item.key}/0"):
        refusal = journal.fact(f"{item.key}/refused")
        if refusal is not None and isinstance(refusal.body, Refused):
            return Intake((), refusal.body.why, refused=True)
        return Intake((), "logged before")
    said_at = item.at or item.received_at
    heard = _fact(f"{item.key}/heard", said_at, now, Heard(item.key, item.text), item)
    if not now - WINDOW <= said_at <= now + NEWEST:
        return _refused(item, heard, now, _out_of_time(said_at, now))
    context = Context(garden, last_told(journal, said_at), said_at)
    try:
        reading = read_answer(item.text, context)
    except AnswerError as wrong:
        return _refused(item, heard, now, str(wrong))
    if reading.undo:
        if reading.undo_of is not None:
            return _undone_of(item, heard, reading.undo_of, journal, now)
        return _undone(item, heard, journal, now)
    if reading.changes:
        return _refused(item, heard, now, INTO_THE_FILE)
    return Intake((heard, *answer_facts(item, reading, now)), "logged")


def answer_facts(item: Item, reading: Reading, now: datetime) -> list[Fact]:
    """Return what was understood of an answer as facts, none of them in the future."""
    return [
        _fact(f"{item.key}/{number}", min(at, now), now, body, item)
        for number, (at, body) in enumerate(reading.said)
    ]


def _out_of_time(at: datetime, now: datetime) -> str:
    if at > now:
        return "the time it is said for lies in the future"
    return f"only the last {WINDOW.days} days can still be corrected"


def _refused(item: Item, heard: Fact, now: datetime, why: str) -> Intake:
    refusal = _fact(f"{item.key}/refused", heard.valid_at, now, Refused(item.text, why), item)
    # What was not understood is evidence of nothing, so its own moment must not matter.
    facts = (replace(heard, valid_at=now), replace(refusal, valid_at=now))
    return Intake(facts, why, refused=True)


def _undone(item: Item, heard: Fact, journal: Journal, now: datetime) -> Intake:
    """Take back the last thing the same person said, if there is one."""
    spoken = journal.facts((Heard, Retracted), valid_after=now - WINDOW)
    taken_back = {fact.supersedes for fact in spoken if isinstance(fact.body, Retracted)}
    last = max(
        (
            fact
            for fact in spoken
            if isinstance(fact.body, Heard)
            and fact.who == item.who
            and fact.id not in taken_back
            and journal.fact(f"{fact.body.key}/refused") is None
        ),
        # Several that came in while the service was down are recorded at one moment.
        key=lambda fact: (fact.recorded_at, fact.valid_at, fact.id),
        default=None,
    )
    if last is None or not isinstance(last.body, Heard):
        return _refused(item, heard, now, "there is nothing to take back")
    gone = _of_breath(last.body, journal, now)
    return Intake(_taken_back(item, gone, now), f"taken back: {last.body.text}")


def _undone_of(item: Item, heard: Fact, pot_id: str, journal: Journal, now: datetime) -> Intake:
    """Take back the last thing that anybody said of one pot; what they said of others stays."""
    recent = journal.facts((Heard, Retracted), valid_after=now - WINDOW)
    taken_back = {fact.supersedes for fact in recent}
    spoken = [fact for fact in recent if isinstance(fact.body, Heard)]
    for last in sorted(spoken, key=lambda fact: (fact.recorded_at, fact.id), reverse=True):
        if not isinstance(last.body, Heard) or last.id in taken_back:
            continue
        breath = _of_breath(last.body, journal, now)
        gone = [
            fact
            for fact in breath
            if getattr(fact.body, "pot_id", None) == pot_id and fact.id not in taken_back
        ]
        if gone:
            others = [fact for fact in breath if fact not in gone and fact.id not in taken_back]
            if all(isinstance(fact.body, Heard) for fact in others):
                gone += others
            return Intake(_taken_back(item, gone, now), f"taken back: {last.body.text}")
    return _refused(item, heard, now, "there is nothing to take back of that pot")


def _of_breath(said: Heard, journal: Journal, now: datetime) -> list[Fact]:
    """Return all facts that one answer came to, its own words with them."""
    prefix = f"{said.key}/"
    return [fact for fact in journal.facts(valid_after=now - WINDOW) if fact.id.startswith(prefix)]


def _taken_back(item: Item, gone: Sequence[Fact], now: datetime) -> tuple[Fact, ...]:
    return tuple(
        replace(
            _fact(f"{item.key}/{number}", fact.valid_at, now, Retracted("undo"), item),
            supersedes=fact.id,
        )
        for number, fact in enumerate(gone)
    )


def last_told(journal: Journal, at: datetime) -> tuple[RoundTold, datetime] | None:
    """Return the last round's message that had been sent by a moment, and its round."""
    told = [
        fact
        for fact in journal.facts((RoundTold,), valid_after=at - OPEN_ROUND)
        if isinstance(fact.body, RoundTold) and fact.recorded_at <= at + NEWEST
    ]
    if not told or not isinstance(told[-1].body, RoundTold):
        return None
    return told[-1].body, told[-1].valid_at


# --- weather -------------------------------------------------------------------------------
def take_weather(
    fetched: Fetched, garden: Garden, at_hand: Sequence[Fact], now: datetime
) -> Intake:
    """Turn a fetch into facts: hours gone by that are new, and a forecast if it is a new run.

    Of hours that were told before only what a station measured is taken, once: it replaces what
    a model had of them. Hours gone by that nobody tells are as they were last foretold, marked.
    """
    told_s = told_until_s(at_hand) or 0
    now_s = int(now.timestamp())
    known = merged([fact.body.hours for fact in at_hand if isinstance(fact.body, WeatherHours)])
    raw = merged([_foretold(at_hand, told_s, now_s), lapsed(fetched.hours, now_s)])
    hours, remarks = fill(_joined(known, raw), garden.site, known)
    wanted = (hours.end_s <= now_s) & (hours.end_s > told_s)
    measured = np.isin(hours.end_s, list(fetched.measured_s))
    if fetched.awaited_s is not None:
        wanted &= measured | (hours.end_s <= fetched.awaited_s)
        # Nothing after the first hour that is waited for, or it would be passed over for good.
        waiting = hours.end_s[(hours.end_s > told_s) & ~wanted]
        wanted &= hours.end_s < (waiting[0] if waiting.size else now_s + 1)
    late = measured & (hours.end_s <= told_s) & ~np.isin(hours.end_s, _measured(fetched, at_hand))
    stamp = f"{fetched.source} {now:%Y-%m-%dT%H:%M:%SZ}"
    facts = _gone_by(
        hours.select(wanted & ~measured), fetched.told_by or fetched.source, stamp, now
    )
    facts += _gone_by(hours.select((wanted | late) & measured), fetched.measured_by, stamp, now)
    coming = hours.select(hours.end_s > now_s)
    runs = {fact.body.model_run for fact in at_hand if isinstance(fact.body, Forecast)}
    if len(coming) and fetched.model_run not in runs:
        run = Forecast(fetched.source, fetched.model_run, coming.marked(Origin.FORECAST))
        facts.append(Fact(f"forecast {stamp}", now, now, run, channel=fetched.source))
    facts += _ensemble(fetched, at_hand, stamp, now)
    return Intake(tuple(facts), "; ".join((*fetched.remarks, *remarks)))


def _gone_by(hours: HourlyWeather, source: str, stamp: str, now: datetime) -> list[Fact]:
    """Return hours gone by as a fact for each day.

    So as time passes old days go out of sight and younger ones stay.
    """
    facts = []
    for day in _days(hours):
        begun = datetime.fromtimestamp(int(day.end_s[0]) - HOUR_S, UTC)
        fact_id = f"weather {stamp} of {begun:%Y-%m-%dT%HZ}"
        facts.append(Fact(fact_id, begun, now, WeatherHours(source, day), channel=source))
    return facts


def _foretold(at_hand: Sequence[Fact], told_s: int, now_s: int) -> HourlyWeather:
    """Return what was last foretold of the hours gone by that nobody has told of, marked."""
    runs = sorted(
        (fact for fact in at_hand if isinstance(fact.body, Forecast)),
        key=lambda fact: (fact.recorded_at, fact.id),
    )
    tables = [fact.body.hours for fact in runs if isinstance(fact.body, Forecast)]
    return lapsed(merged(tables).between(told_s, now_s).marked(Origin.FORECAST), now_s)


def _measured(fetched: Fetched, at_hand: Sequence[Fact]) -> list[int]:
    """Return the ends of the hours that the same stations told before."""
    return [
        int(end)
        for fact in at_hand
        if isinstance(fact.body, WeatherHours) and fact.body.source == fetched.measured_by
        for end in fact.body.hours.end_s
    ]


def _ensemble(fetched: Fetched, at_hand: Sequence[Fact], stamp: str, now: datetime) -> list[Fact]:
    """Return the source's ensemble as a fact, if it is a new run of it."""
    theirs = fetched.members
    runs = {fact.body.model_run for fact in at_hand if isinstance(fact.body, ForecastMembers)}
    if theirs is None or fetched.members_run in runs:
        return []
    body = ForecastMembers(
        source=fetched.source,
        model_run=fetched.members_run,
        first_end_s=int(theirs.end_s[0]),
        hour_count=int(theirs.end_s.size),
        member_count=theirs.count,
        content=packed(theirs),
    )
    return [Fact(f"forecast members {stamp}", now, now, body, channel=fetched.source)]


def _days(hours: HourlyWeather) -> list[HourlyWeather]:
    """Return the hours of each day (UTC) apart."""
    day = (hours.end_s - 1) // DAY_S
    return [hours.select(day == one) for one in np.unique(day)]


def _joined(known: HourlyWeather, hours: HourlyWeather) -> HourlyWeather:
    """Return the hours behind the last known one, so that a gap between them is filled too."""
    if not len(known) or not len(hours):
        return hours
    gap_h = (int(hours.end_s[0]) - int(known.end_s[-1])) // HOUR_S
    if not 1 < gap_h <= LONGEST_GAP_H:
        return hours
    return merged([known.select(slice(-1, None)), hours])


# --- receipts ------------------------------------------------------------------------------
def take_receipts(receipts: Sequence[Receipt], now: datetime) -> Intake:
    """Turn the last words on deliveries into facts; attempts that will be repeated are not kept.

    The reply names what could not be delivered, for the log.
    """
    last = [one for one in receipts if one.final]
    facts = tuple(
        Fact(
            f"delivered {one.key} {one.person} {one.attempt}",
            one.at,
            now,
            Delivered(one.key, one.person, one.ok, one.attempt, one.detail),
            channel="outbox",
        )
        for one in last
    )
    failed = [f"{one.key} did not reach {one.person}: {one.detail}" for one in last if not one.ok]
    return Intake(facts, "; ".join(failed))


def _fact(fact_id: str, valid_at: datetime, now: datetime, body: Body, item: Item) -> Fact:
    return Fact(fact_id, valid_at, now, body, who=item.who, channel=item.channel)
