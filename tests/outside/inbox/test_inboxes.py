"""What every inbox promises, asked of the one in a folder and of the one in memory alike."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Protocol

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.errors import InputError
from irrigate.outside.inbox.memory import MemoryInbox
from irrigate.outside.inbox.paper import LARGEST_BYTES, file_name, read, written
from irrigate.outside.inbox.spool import SpoolInbox
from irrigate.ports import Inbox, Item

NOON = datetime(2025, 7, 1, 12, tzinfo=UTC)


class Waking(Inbox, Protocol):
    """An inbox that tells cheaply whether anything has come."""

    def has_waiting(self) -> bool:
        """Return whether there is anything to look at."""


def item(key: str, seconds: float = 0.0, text: str = "all but 7") -> Item:
    """Make an item received so many seconds after noon."""
    return Item(key, NOON + timedelta(seconds=seconds), "Ana", "page", text)


@pytest.fixture(params=["folder", "memory"])
def inbox(request: pytest.FixtureRequest, tmp_path: Path) -> Waking:
    """Open an empty inbox of either sort."""
    return SpoolInbox(tmp_path / "inbox") if request.param == "folder" else MemoryInbox()


def test_a_new_inbox_is_empty(inbox: Waking) -> None:
    """Nothing waits, and there is nothing to look at."""
    assert inbox.waiting() == []
    assert not inbox.has_waiting()


def test_an_item_waits_until_it_is_done(inbox: Waking) -> None:
    """It comes back whole, as often as it is asked for, until its key is marked done."""
    whole = Item("k", NOON, "Zoë", "page", "stopped after 9\n\0😀", NOON - timedelta(hours=6))
    inbox.put(whole)
    assert inbox.has_waiting()
    assert inbox.waiting() == inbox.waiting() == [whole]
    inbox.done(["k"])
    assert inbox.waiting() == []
    assert not inbox.has_waiting()


def test_items_wait_in_order_of_arrival(inbox: Waking) -> None:
    """When they were received counts, to the microsecond, not when they were put."""
    for key, seconds in [("c", 2.0), ("a", 0.5), ("d", 86400.0), ("b", 0.500001)]:
        inbox.put(item(key, seconds))
    assert [one.key for one in inbox.waiting()] == ["a", "b", "c", "d"]


def test_one_key_is_one_item(inbox: Waking) -> None:
    """A repeat, even at another time and in other words, changes nothing."""
    inbox.put(item("k", 1.0, "all"))
    inbox.put(item("k", 1.0, "all"))
    inbox.put(item("k", 0.0, "none"))
    inbox.put(item("k", 9.0, "none"))
    assert inbox.waiting() == [item("k", 1.0, "all")]
    inbox.done(["k"])
    assert inbox.waiting() == []


def test_done_takes_what_it_names_and_nothing_else(inbox: Waking) -> None:
    """Several keys at once, a key twice, and keys that nobody put are no fault."""
    for key in "abcd":
        inbox.put(item(key))
    inbox.done(["b", "nobody", "d", "d"])
    inbox.done([])
    assert sorted(one.key for one in inbox.waiting()) == ["a", "c"]


def test_moments_come_back_in_utc(inbox: Waking) -> None:
    """Noon in UTC+2 is ten o'clock UTC."""
    noon = datetime(2025, 7, 1, 12, tzinfo=timezone(timedelta(hours=2)))
    inbox.put(Item("k", noon, "Ana", "page", "all", noon))
    (back,) = inbox.waiting()
    assert back.at is not None
    assert back.at.isoformat() == back.received_at.isoformat() == "2025-07-01T10:00:00+00:00"


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: item("k", text="x" * LARGEST_BYTES), "at most 65536 are taken at once"),
        (lambda: item("", text="all"), "needs a key"),
        (lambda: Item("k", NOON.replace(tzinfo=None), "", "", ""), "no time zone"),
        (lambda: Item("k", NOON, "", "", "", NOON.replace(tzinfo=None)), "no time zone"),
    ],
)
def test_what_cannot_be_kept_is_refused(inbox: Waking, make: Callable[[], Item], says: str) -> None:
    """Too large, without a key or without a zone: an `InputError`, and nothing waits."""
    with pytest.raises(InputError, match=says):
        inbox.put(make())
    assert inbox.waiting() == []


def test_threads_put_and_one_takes_and_nothing_is_lost(inbox: Waking) -> None:
    """Every item put by any thread is taken once."""

    def put(thread: int) -> None:
        for index in range(25):
            inbox.put(item(f"{thread}-{index}", index))

    taken: list[str] = []
    with ThreadPoolExecutor(4) as pool:
        putting = [pool.submit(put, thread) for thread in range(4)]
        while not all(one.done() for one in putting) or inbox.has_waiting():
            keys = [one.key for one in inbox.waiting()]
            taken += keys
            inbox.done(keys)
        for one in putting:
            one.result()
    assert sorted(taken) == sorted(
        f"{thread}-{index}" for thread in range(4) for index in range(25)
    )


anything = st.text(st.characters())  # lone surrogates too: a terminal may send them
moments = st.integers(0, 7 * 10**15).map(
    lambda us: datetime(1971, 1, 1, tzinfo=UTC) + timedelta(microseconds=us)
)
items = st.builds(
    Item,
    key=st.text(st.characters(), min_size=1),
    received_at=moments,
    who=anything,
    channel=anything,
    text=anything,
    at=st.none() | moments,
)


@given(items)
def test_any_item_comes_back_as_it_was(one: Item) -> None:
    """Whatever the words, the document holds them."""
    assert read(written(one)) == one


@given(items, items)
def test_names_are_in_order_of_arrival(one: Item, other: Item) -> None:
    """The names of files sort as the times of receipt do, and are plain names."""
    if one.received_at != other.received_at:
        assert (file_name(one) < file_name(other)) == (one.received_at < other.received_at)
    assert file_name(one).isascii()
    assert "/" not in file_name(one)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(many=st.lists(items, max_size=6), taken=st.integers(0, 6))
def test_folder_and_memory_agree(
    tmp_path_factory: pytest.TempPathFactory, many: list[Item], taken: int
) -> None:
    """The same items put into both, and the same keys done, leave the same waiting."""
    both: list[Waking] = [SpoolInbox(tmp_path_factory.mktemp("box") / "inbox"), MemoryInbox()]
    for inbox in both:
        for one in many:
            inbox.put(one)
        inbox.done([one.key for one in many[:taken]])
    assert both[0].waiting() == both[1].waiting()
    assert both[0].has_waiting() == both[1].has_waiting()
