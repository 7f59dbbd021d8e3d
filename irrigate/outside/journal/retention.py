"""Which checkpoints are worth their place."""

from __future__ import annotations

from collections.abc import Iterable

# As far back as a fact may still come late, and a day more.
DAYS_KEPT = 15
NEWEST_KEPT = 2

_DAY_US = 86_400 * 1_000_000

Mark = tuple[int, int]
"""When a checkpoint is valid [UTC µs], and the position in the journal that it has seen."""


def worth_keeping(marks: Iterable[Mark]) -> set[Mark]:
    """Return the newest two, and the last of each of the newest fifteen days (UTC) that have any.

    A late fact is at most two weeks late: the last belief of a day before it is near enough.
    """
    newest_first = sorted(marks, reverse=True)
    last_of_day: dict[int, Mark] = {}
    for mark in newest_first:
        last_of_day.setdefault(mark[0] // _DAY_US, mark)
    return {*newest_first[:NEWEST_KEPT], *list(last_of_day.values())[:DAYS_KEPT]}
