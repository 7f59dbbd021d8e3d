"""A plant that hangs its leaves though its mix is wet: its roots, not its water.

Such a wilting says nothing of thirst, and what is observed of a sick plant would be learnt wrongly:
the pot is marked unwell from that moment on, and the gardener is told what helps.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from irrigate.garden.balance import share_available
from irrigate.garden.deciding import FULL_ENOUGH
from irrigate.garden.events import (
    Fact,
    Finger,
    Given,
    Marked,
    RoundTold,
    TillRan,
    Wilting,
    standing,
)
from irrigate.garden.marks import marks
from irrigate.garden.pots import Garden
from irrigate.ports import Journal
from irrigate.service.beliefs import Grounds, Hindsight, hindsight, looked_back
from irrigate.service.gardening import notice
from irrigate.service.thinking import Decision
from irrigate.service.wording import called

# What was felt and seen within this time belongs together; and leaves take as long to stand up
# again after water. From memory.
NEARLY = timedelta(hours=3)
# How sure the belief must be that a pot is fuller than `FULL_ENOUGH`, then and so long before.
SURE = 0.9


@dataclass(frozen=True, slots=True)
class _Record:
    """What stands, the answers that are just being taken among it."""

    stand: Sequence[Fact]
    back: Hindsight
    journal: Journal
    members: int


def wet_though_wilting(
    answers: Sequence[Fact], grounds: Grounds, journal: Journal, now: datetime, members: int
) -> tuple[Fact, ...]:  # fmt: skip
    """Return the marks to set on pots that hang their leaves though they are wet.

    Parameters
    ----------
    answers : facts that are not in the journal yet; the marks go with them, and are taken back
        with them.
    grounds : what the belief rests on.
    journal : read only.
    now : the present (UTC).
    members : size of the ensemble.

    Notes
    -----
    Wet is what a finger found within three hours of the wilting, with no water in between or
    shortly before; or what is believed surely of that moment and of three hours before: a plant
    that was watered only just now hangs for a while yet.
    """
    if not any(_may_tell(fact) for fact in answers):
        return ()
    back = hindsight(grounds, journal, answers, now)
    record = _Record(standing([*back.facts, *answers]), back, journal, members)
    unwell = marks(record.stand, "unwell")
    found: dict[str, Fact] = {}
    for fact in filter(_may_tell, answers):
        for wilting in _wiltings(fact, record.stand):
            pot_id, at = wilting.body.pot_id, wilting.valid_at  # type: ignore[union-attr]
            if unwell.on(pot_id, at) or pot_id in found:
                continue
            if _felt_wet(wilting, record) or (fact is wilting and _believed_wet(wilting, record)):
                body = Marked(pot_id, "unwell", on=True)
                found[pot_id] = Fact(f"{fact.id}/unwell", at, now, body, who="irrigate")
    return tuple(found.values())


def roots_told(marked: Fact, garden: Garden, now: datetime) -> Decision:
    """Return the notice that goes with a mark: what helps now, and how to take it off."""
    pot = garden.pot(marked.body.pot_id)  # type: ignore[union-attr]
    return notice(
        f"notice {marked.id}",
        f"{called(pot)} hangs its leaves though it is wet\n"
        "Shade it, do not water it, and look at its roots: it may have had too much.\n"
        f"I shall learn nothing from it until you say: {pot.label} well again.",
        garden,
        now,
    )


def _may_tell(fact: Fact) -> bool:
    body = fact.body
    return isinstance(body, Wilting) or (isinstance(body, Finger) and body.feel == "wet")


def _wiltings(fact: Fact, stand: Sequence[Fact]) -> Iterator[Fact]:
    """Yield the wiltings that a fact may be about: itself, or those near a finger's word."""
    if isinstance(fact.body, Wilting):
        yield fact
        return
    yield from (one for one in _of(fact, stand, Wilting) if _near(one, fact))


def _of(fact: Fact, stand: Sequence[Fact], *kinds: type) -> Iterator[Fact]:
    """Yield the facts of some kinds that are about the same pot."""
    pot_id = getattr(fact.body, "pot_id", None)
    for one in stand:
        if isinstance(one.body, kinds) and getattr(one.body, "pot_id", None) == pot_id:
            yield one


def _near(one: Fact, other: Fact) -> bool:
    return abs(one.valid_at - other.valid_at) <= NEARLY


def _felt_wet(wilting: Fact, record: _Record) -> bool:
    fingers = [one for one in _of(wilting, record.stand, Finger) if _near(one, wilting)]
    return any(
        getattr(one.body, "feel", "") == "wet"
        and not _watered(wilting, record, max(one.valid_at, wilting.valid_at))
        for one in fingers
    )


def _watered(wilting: Fact, record: _Record, until: datetime) -> bool:
    """Return whether the pot had water, or was to have some, since three hours before."""
    begins, pot_id = wilting.valid_at - NEARLY, getattr(wilting.body, "pot_id", "")
    asked = [
        one
        for one in record.stand
        if isinstance(one.body, RoundTold) and pot_id in {*one.body.water_l, *one.body.feel_l}
    ]
    given = [*_of(wilting, record.stand, Given, TillRan), *asked]
    return any(begins <= one.valid_at <= until for one in given)


def _believed_wet(wilting: Fact, record: _Record) -> bool:
    """Return whether the pot is surely wet by the belief, then and three hours before."""
    return all(
        _chance_wet(wilting, record, at) >= SURE
        for at in (wilting.valid_at - NEARLY, wilting.valid_at)
    )


def _chance_wet(wilting: Fact, record: _Record, at: datetime) -> float:
    """Return the chance that the pot was fuller than `FULL_ENOUGH`, but for what is just said."""
    current = looked_back(record.back, record.journal, (), at, record.members)
    pot_id = getattr(wilting.body, "pot_id", "")
    if current is None or pot_id not in current.belief.pot_ids:
        return 0.0
    row = current.belief.row(pot_id)
    share = share_available(current.belief.water_l, current.traits)[row]
    return float((share > FULL_ENOUGH).mean())
