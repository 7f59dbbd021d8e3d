"""Carrying out what was decided: the intent is written, the right is claimed, then it is done."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from irrigate.garden.actions import Tell
from irrigate.garden.events import Claimed, Decided, Delivered, Fact
from irrigate.garden.pots import Garden
from irrigate.ports import Journal, Message, Outbox
from irrigate.service.thinking import Decision

DAY = timedelta(days=1)


def claim(key: str, now: datetime) -> Fact:
    """Return the fact that claims a key."""
    return Fact(f"claim {key}", now, now, Claimed(key))


def carry_out(
    decision: Decision, now: datetime, garden: Garden, journal: Journal, outbox: Outbox
) -> None:
    """Write the intent and claim it, all at once, then say it.

    In one transaction: an intent without its claim would be thought of again after a crash, and
    what the journal then holds would not be what was said.
    """
    action = decision.action
    if not isinstance(action, Tell):
        journal.append(decision.facts, durable=True)
    elif not journal.claimed(action.key):
        journal.append((claim(action.key, now), *decision.facts), durable=True)
        _post(action, decision.title, decision.body, garden, outbox, repeated=False)


def _post(
    tell: Tell, title: str, body: str, garden: Garden, outbox: Outbox, *, repeated: bool
) -> None:
    for person in garden.people:
        if person.name in tell.people:
            outbox.post(Message(tell.key, person, title, body, tell.urgent, repeated, tell.until))


def tell_again(now: datetime, garden: Garden, journal: Journal, outbox: Outbox) -> list[str]:
    """After a start: send what was claimed before the stop and never acknowledged.

    Whether it had gone out is not known, so it is marked as a possible repeat; what is no longer
    true is dropped. Returns the keys sent again.
    """
    recent = journal.facts((Decided, Delivered), valid_after=now - DAY)
    answered = {
        (fact.body.key, fact.body.person.split("/")[0])
        for fact in recent
        if isinstance(fact.body, Delivered)
    }
    sent = []
    for fact in recent:
        if not isinstance(fact.body, Decided) or not isinstance(fact.body.action, Tell):
            continue
        tell = fact.body.action
        open_for = tuple(name for name in tell.people if (tell.key, name) not in answered)
        if not open_for or tell.until <= now or not journal.claimed(tell.key):
            continue
        title, _, body = fact.body.text.partition("\n")
        _post(replace(tell, people=open_for), title, body, garden, outbox, repeated=True)
        sent.append(tell.key)
    return sent
