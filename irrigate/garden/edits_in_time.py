"""A changed description in time: from when on it holds, and whose identities it keeps.

An edit of a pot's row is a change or a correction. A change came about at a moment: by ``since:``
in the row, else when it was read. A correction (``since: always``) was never otherwise.

- another plant: a new plant grows there, whose thirst is not known yet;
- another pot or mix: the plant was repotted, and what it is in now is not known yet;
- a corrected row keeps what was learnt of plant and pot: only the description was wrong.

A correction takes hold now, like everything that says nothing else: what was believed in the
past stays as it was believed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from irrigate.garden.pots import Garden, Place, Pot
from irrigate.garden.rounds import at_local

ALWAYS = "always"
# A day without a time of day: by noon of it, most of what is done in a garden is done.
NOON = time(12)


@dataclass(frozen=True, slots=True)
class Version:
    """A garden in force from a moment on; ``replaces`` is the id of the version it corrects."""

    at: datetime
    garden: Garden
    replaces: str | None = None


@dataclass(frozen=True, slots=True)
class Known:
    """A version on record: the id of its fact, from when it holds, and the garden."""

    fact_id: str
    at: datetime
    garden: Garden


def renewed(old: Pot, new: Pot) -> tuple[bool, bool]:
    """Return whether an edit put a new plant into the pot, and whether it is another vessel.

    Both pots bear the same id. A correction renews neither.
    """
    if new.since == ALWAYS and old.since != ALWAYS:
        return False, False
    other_vessel = (old.vessel, old.medium.name) != (new.vessel, new.medium.name)
    return old.crop.name != new.crop.name, other_vessel


def took_hold(old: Pot | None, new: Pot, zone: ZoneInfo, now: datetime) -> datetime:
    """Return from when on a changed row holds (UTC), not later than now.

    A ``since`` that stood there before the edit speaks of an earlier one, and is passed over.
    """
    if new.since in {None, ALWAYS} or (old is not None and old.since == new.since):
        return now
    return min(since_moment(str(new.since), zone), now)


def since_moment(text: str, zone: ZoneInfo) -> datetime:
    """Return the moment of an ISO date, or date and time, in a zone (UTC)."""
    moment = datetime.fromisoformat(text)
    if len(text) <= len("2026-07-03"):
        return at_local(date.fromisoformat(text), NOON, zone)
    if moment.tzinfo is not None:
        return moment.astimezone(UTC)
    return at_local(moment.date(), moment.time(), zone)


def versions(
    history: Sequence[Known], garden: Garden, now: datetime, oldest: datetime
) -> tuple[Version, ...]:
    """Return the versions that an edited garden file makes, in order.

    Parameters
    ----------
    history : the versions that stand, in order; the last is the one before this edit.
    garden : as edited, identities filled in.
    now : when it was read (UTC).
    oldest : how far back a change may reach (UTC); an older one holds from then on.

    Returns
    -------
    The whole edited garden now; and, where rows changed earlier, the gardens of those moments
    with these rows changed, and the versions after them corrected.
    """
    present = Version(now, garden)
    if not history:
        return (present,)
    zone = ZoneInfo(garden.site.time_zone)
    before = {pot.id: pot for pot in history[-1].garden.pots}
    earlier = [
        (max(took_hold(before.get(pot.id), pot, zone, now), oldest), pot)
        for pot in garden.pots
        if before.get(pot.id) != pot
    ]
    earlier = [(at, pot) for at, pot in earlier if at < now]
    if not earlier:
        return (present,)
    moments = {at for at, _ in earlier}
    made = []
    for known in history:
        due = [pot for at, pot in earlier if at <= known.at]
        if due:
            made.append(Version(known.at, _with(known.garden, due, garden), known.fact_id))
    recorded = {known.at for known in history}
    for at in moments - recorded:
        ground = [known.garden for known in history if known.at <= at]
        if ground:
            due = [pot for moment, pot in earlier if moment <= at]
            made.append(Version(at, _with(ground[-1], due, garden)))
    return (*sorted(made, key=lambda version: version.at), present)


def _with(ground: Garden, pots: Sequence[Pot], edited: Garden) -> Garden:
    """Return a garden with some pots as they were edited, and the places that they need."""
    changed = {pot.id: pot for pot in pots}
    kept = tuple(changed.pop(pot.id, pot) for pot in ground.pots)
    return replace(
        ground, pots=(*kept, *changed.values()), places=_places(ground.places, edited.places)
    )


def _places(ground: Sequence[Place], edited: Sequence[Place]) -> tuple[Place, ...]:
    known = {place.name for place in ground}
    return (*ground, *(place for place in edited if place.name not in known))
