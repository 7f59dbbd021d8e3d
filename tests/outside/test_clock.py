"""The machine's clock, against the standard library's own."""

from datetime import UTC, datetime, timedelta

from irrigate.outside.clock import SystemClock


def test_now_is_the_present_in_utc() -> None:
    """The moment lies between two readings of the library's clock and knows its zone."""
    before = datetime.now(UTC)  # noqa: TID251
    told = SystemClock().now()
    after = datetime.now(UTC)  # noqa: TID251
    assert before <= told <= after
    assert told.utcoffset() == timedelta(0)


def test_monotonic_seconds_never_step_back() -> None:
    """Of two readings the later one is not the smaller."""
    clock = SystemClock()
    first = clock.monotonic_s()
    assert clock.monotonic_s() >= first
