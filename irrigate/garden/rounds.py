"""When somebody is there: rounds, the hours of people, and quiet hours, in the garden's zone.

Local times are turned into UTC here and nowhere else. A local time that a clock change skips is
moved on by the length of the gap, or back where it would leave its day; one that comes twice is
taken the first time: every round happens exactly once on each of its days.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from irrigate.garden.pots import Garden, Person

DAY = timedelta(days=1)


def at_local(day: date, moment: time, zone: ZoneInfo) -> datetime:
    """Return the UTC moment of a local time of day.

    In a gap the time is moved on by the gap's length, as a clock on the wall would be; in an
    overlap the first of the two is meant (PEP 495, fold=0, does both). Where a gap ends the day
    (Nuuk, at 23:00), it is moved back instead, so that it stays on its day.
    """
    at = datetime.combine(day, moment, tzinfo=zone).astimezone(UTC)
    if local_day(at, zone) != day:
        at = datetime.combine(day, moment.replace(fold=1), tzinfo=zone).astimezone(UTC)
    return at


def local_day(at: datetime, zone: ZoneInfo) -> date:
    """Return the garden's calendar day at a UTC moment."""
    return at.astimezone(zone).date()


def rounds_between(garden: Garden, after: datetime, until: datetime) -> list[datetime]:
    """Return the rounds in (after, until], UTC, in order."""
    zone = ZoneInfo(garden.site.time_zone)
    day, last = local_day(after, zone) - DAY, local_day(until, zone) + DAY
    found = set()
    while day <= last:
        for one in garden.rounds:
            moment = at_local(day, one.at, zone)
            if day.weekday() in one.weekdays and after < moment <= until:
                found.add(moment)
        day += DAY
    return sorted(found)


def next_rounds(garden: Garden, now: datetime, count: int = 2) -> list[datetime]:
    """Return the next ``count`` rounds after ``now`` (exclusive), looking two weeks ahead."""
    return rounds_between(garden, now, now + 15 * DAY)[:count]


def round_key(at: datetime) -> str:
    """Return the name of a round in the journal, from its UTC moment."""
    return f"round {at.astimezone(UTC):%Y-%m-%dT%H:%MZ}"


def is_last_of_day(garden: Garden, at: datetime) -> bool:
    """Return whether no other round follows on the same local day."""
    zone = ZoneInfo(garden.site.time_zone)
    day = local_day(at, zone)
    return not any(local_day(other, zone) == day for other in rounds_between(garden, at, at + DAY))


def in_span(moment: time, span: tuple[time, time]) -> bool:
    """Return whether a time of day lies in a span, which may run over midnight.

    The start belongs to the span, the end does not; equal ends mean no time at all.
    """
    start, stop = span
    if start <= stop:
        return start <= moment < stop
    return moment >= start or moment < stop


def is_quiet(garden: Garden, at: datetime) -> bool:
    """Return whether nothing should be said now."""
    local = at.astimezone(ZoneInfo(garden.site.time_zone)).time()
    return in_span(local, garden.manner.quiet)


def able(garden: Garden, at: datetime) -> tuple[Person, ...]:
    """Return the people who can act at this moment."""
    local = at.astimezone(ZoneInfo(garden.site.time_zone)).time()
    return tuple(
        person for person in garden.people if any(in_span(local, span) for span in person.can_act)
    )


def can_act_later(garden: Garden, now: datetime, deadline: datetime) -> bool:
    """Return whether somebody can still act after the coming hour and before ``deadline``.

    Looked at by the quarter of an hour, outside quiet hours.
    """
    moment = now + timedelta(hours=1)
    while moment <= deadline:
        if able(garden, moment) and not is_quiet(garden, moment):
            return True
        moment += timedelta(minutes=15)
    return False
