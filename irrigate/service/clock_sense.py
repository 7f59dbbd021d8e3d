"""Whether a clock can be right: nothing is stamped by one that cannot."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from irrigate.ports import Journal

# No clock is right that is before this program was written.
RELEASED = datetime(2026, 11, 1, tzinfo=UTC)
BACKWARDS = timedelta(hours=1)


def newest_recorded(journal: Journal) -> datetime | None:
    """Return when the newest fact was recorded."""
    last = journal.since(max(journal.position() - 1, 0))
    return last[-1].recorded_at if last else None


def clock_trouble(now: datetime, last: datetime | None) -> str | None:
    """Return why a clock cannot be right, or None.

    Parameters
    ----------
    now : what it says.
    last : when the newest fact was recorded; the clock cannot be well before it.
    """
    if now < RELEASED:
        return f"the clock says {now:%Y-%m-%d}, before this program was written"
    if last is not None and now < last - BACKWARDS:
        return (
            f"the clock says {now:%Y-%m-%d %H:%M} UTC, which is before the last record "
            f"({last:%Y-%m-%d %H:%M} UTC); if that record is what is wrong, stop the service, "
            "move journal.sqlite aside, and copy the newest file of backup/ in its place"
        )
    return None
