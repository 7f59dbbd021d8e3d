"""Every zone of the IANA database, every quarter of an hour of the clock, 2026 and 2027.

Run by hand: ``python -m tests.campaigns.clock_changes`` (some minutes). For each zone, the ten days
around each of its clock changes are looked at: every round must come exactly once per local day.
"""

from __future__ import annotations

import sys
import zoneinfo
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from irrigate.garden.pots import RoundTime, Site
from irrigate.garden.rounds import local_day, rounds_between
from tests.garden.makers import a_garden

BEGIN, END = datetime(2026, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


def changes(zone: ZoneInfo) -> Iterator[datetime]:
    """Yield the hours in which the offset of a zone changes."""
    at = BEGIN
    while at < END:
        if at.astimezone(zone).utcoffset() != (at + HOUR).astimezone(zone).utcoffset():
            yield at
        at += HOUR


def wrong_days(name: str) -> list[str]:
    """Return a line for each round and local day on which it does not come exactly once."""
    zone = ZoneInfo(name)
    found = []
    for change in [*changes(zone), BEGIN + 200 * DAY]:
        for quarter in range(96):
            moment = time(quarter // 4, quarter % 4 * 15)
            garden = replace(
                a_garden(), site=Site(0.0, 0.0, 0.0, name), rounds=(RoundTime(moment),)
            )
            count = Counter(
                local_day(at, zone)
                for at in rounds_between(garden, change - 4 * DAY, change + 4 * DAY)
            )
            first = local_day(change, zone)
            for offset in (-2, -1, 0, 1, 2):
                day = first + offset * DAY
                if count[day] != 1:
                    found.append(f"{name}: {moment:%H:%M} came {count[day]} times on {day}")
    return found


def main() -> int:
    """Look at all zones; the exit code is 1 if a round was lost or came twice."""
    wrong = []
    zones = sorted(zoneinfo.available_timezones())
    for name in zones:
        wrong += wrong_days(name)
    print(f"{len(zones)} zones, {len(wrong)} wrong days")
    for line in wrong[:50]:
        print(line)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
