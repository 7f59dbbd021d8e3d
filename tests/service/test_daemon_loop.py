"""The daemon's loop with a clock that is moved by hand: steps, leaps, failures, the watchdog."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

import pytest

from irrigate.errors import IrrigateError, JournalError
from irrigate.garden.events import Fact, Refused
from irrigate.outside.channels.direct import DirectOutbox
from irrigate.outside.channels.memory import MemoryChannel
from irrigate.outside.inbox.memory import MemoryInbox
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.outside.weather.memory import TableWeather
from irrigate.ports import GardenText
from irrigate.service import daemon as daemon_module
from irrigate.service.clock_sense import RELEASED, clock_trouble, newest_recorded
from irrigate.service.cycle import Ports
from irrigate.service.daemon import Daemon, Surroundings
from tests.garden.hourly_tables import clear_summer
from tests.garden.makers import SITE, a_garden, a_pot

START = datetime(2027, 7, 10, 15, 5, tzinfo=UTC)


class HandClock:
    """A wall clock that is moved by hand beside a steady one that runs."""

    def __init__(self, at: datetime) -> None:
        self.offset = at - datetime.fromtimestamp(time.monotonic(), UTC)

    def now(self) -> datetime:
        """Return the moved wall clock."""
        return datetime.fromtimestamp(time.monotonic(), UTC) + self.offset

    def monotonic_s(self) -> float:
        """Return the steady clock."""
        return time.monotonic()

    def move(self, by: timedelta) -> None:
        """Move the wall clock."""
        self.offset += by


class File:
    """A garden file of one pot."""

    def read(self) -> GardenText:
        """Return the garden, without ids."""
        garden = a_garden(a_pot("1"))
        pots = tuple(replace(pot, id="", vessel_id="", plant_id="") for pot in garden.pots)
        return GardenText(replace(garden, pots=pots), "digest")


class Journal(MemoryJournal):
    """A journal that can be made to fail."""

    failing = 0

    def position(self) -> int:
        """Return the position, unless it is to fail."""
        if self.failing and threading.current_thread().name == "loop":
            type(self).failing -= 1
            raise JournalError("the journal is locked")
        return super().position()


@dataclass(slots=True)
class Running:
    """A daemon in a thread, and what it said."""

    clock: HandClock
    journal: Journal
    told: list[str] = field(default_factory=list)
    troubles: list[str] = field(default_factory=list)
    fetched: list[float] = field(default_factory=list)
    ended: list[BaseException | None] = field(default_factory=list)
    daemon: Daemon | None = None

    def until(self, look: Callable[[], bool], within_s: float = 15.0) -> None:
        """Wait until something is so."""
        end = time.monotonic() + within_s
        while not look():
            assert time.monotonic() < end, (self.told[-3:], self.troubles, self.ended)
            time.sleep(0.02)


@contextmanager
def running(at: datetime = START, journal: Journal | None = None) -> Iterator[Running]:
    """Run a daemon on loopback memory for as long as the block lasts."""
    clock = HandClock(at)
    state = Running(clock, journal or Journal())
    table = clear_summer(24 * 20, SITE, int((START - timedelta(days=4)).timestamp()) // 3600 * 3600)
    ports = Ports(
        state.journal, MemoryInbox(), TableWeather(table),
        DirectOutbox([MemoryChannel("phone")], clock), File(), members=8,
    )  # fmt: skip
    around = Surroundings(
        clock=clock,
        fetch=lambda: state.fetched.append(time.monotonic()),
        backup=lambda: None,
        garden_changed=lambda: False,
        waiting=lambda: False,
        notify=state.told.append,
        keep_trouble=lambda text: state.troubles.append(text) or "somewhere",
    )
    state.daemon = Daemon(ports, around)

    def live() -> None:
        try:
            assert state.daemon is not None
            state.daemon.run()
        except BaseException as failed:  # noqa: BLE001 - the test judges it
            state.ended.append(failed)
        else:
            state.ended.append(None)

    thread = threading.Thread(target=live, name="loop")
    thread.start()
    try:
        yield state
    finally:
        state.daemon.stop()
        thread.join(timeout=20)
        assert not thread.is_alive()


def test_ready_fed_and_stopped() -> None:
    """It is ready after its first step, feeds the watchdog from the loop, and says when it ends."""
    with running() as state:
        state.until(lambda: "WATCHDOG=1" in state.told)
        assert state.told.index("READY=1") < state.told.index("WATCHDOG=1")
        state.until(lambda: bool(state.fetched))
    assert state.told[-1] == "STOPPING=1"
    assert state.ended == [None]


def test_a_clock_before_the_release_is_waited_for() -> None:
    """A board that wakes in 1970 stamps nothing until its clock is set."""
    with running(datetime(1970, 1, 1, 0, 5, tzinfo=UTC)) as state:
        state.until(lambda: any(word.startswith("STATUS=waiting") for word in state.told))
        assert state.journal.position() == 0
        assert "READY=1" not in state.told
        state.clock.move(START - datetime(1970, 1, 1, 0, 5, tzinfo=UTC))
    assert state.ended == [None]


def test_a_clock_set_back_an_hour_is_stepped_by_at_once() -> None:
    """Jobs that sleep by the wall clock are begun anew, and a step is made."""
    with running() as state:
        state.until(lambda: "READY=1" in state.told)
        state.clock.move(timedelta(hours=3))
        steps = state.journal.position()
        state.until(lambda: state.journal.position() > steps)
        fetches = len(state.fetched)
        state.clock.move(-timedelta(hours=1))
        state.until(lambda: len(state.fetched) > fetches)
    assert state.ended == [None]


def test_a_leap_of_years_is_not_believed_at_once() -> None:
    """Nothing is stamped ten years ahead while a time server may still put the clock right."""
    with running() as state:
        state.until(lambda: "WATCHDOG=1" in state.told)
        state.clock.move(timedelta(days=3650))
        count = len(state.told)
        state.until(lambda: len(state.told) > count + 2)
        last = newest_recorded(state.journal)
        assert last is not None
        assert last < START + timedelta(days=1)
        state.clock.move(-timedelta(days=3650))
        state.until(lambda: len(state.told) > count + 4)
    assert state.ended == [None]


def test_a_clock_far_back_is_never_stamped_by(monkeypatch: pytest.MonkeyPatch) -> None:
    """However long it stays wrong: not one fact is recorded in 1972."""
    monkeypatch.setattr(daemon_module, "WILD_LEAP_WAIT_S", 1.0)
    with running() as state:
        state.until(lambda: "WATCHDOG=1" in state.told)
        position = state.journal.position()
        state.clock.move(datetime(1972, 1, 1, tzinfo=UTC) - START)
        state.until(lambda: any(word.startswith("STATUS=waiting") for word in state.told))
        assert state.journal.position() == position
        state.clock.move(START + timedelta(hours=2) - datetime(1972, 1, 1, tzinfo=UTC))
        state.until(lambda: state.journal.position() > position)
    assert state.ended == [None]


def test_a_step_that_fails_is_tried_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A locked journal costs a step and a pause; the next one goes on."""
    monkeypatch.setattr(daemon_module, "FIRST_PAUSE_S", 0.1)
    with running() as state:
        state.until(lambda: "READY=1" in state.told)
        Journal.failing = 1
        assert state.daemon is not None
        state.daemon.wake()
        state.until(lambda: Journal.failing == 0)
        position = state.journal.position()
        state.clock.move(timedelta(hours=2))
        state.until(lambda: state.journal.position() > position)
    assert state.ended == [None]


def test_a_journal_that_stays_locked_ends_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """After failing for long enough it gives up, for its supervisor to start it afresh."""
    monkeypatch.setattr(daemon_module, "FIRST_PAUSE_S", 0.01)
    monkeypatch.setattr(daemon_module, "GIVE_UP_S", 0.2)
    with running() as state:
        state.until(lambda: "READY=1" in state.told)
        Journal.failing = 1000

        def woken_and_ended() -> bool:
            assert state.daemon is not None
            state.daemon.wake()
            return bool(state.ended)

        state.until(woken_and_ended)
        Journal.failing = 0
    assert isinstance(state.ended[0], IrrigateError)
    assert "the journal is locked" in str(state.ended[0])
    assert state.told[-1] == "STOPPING=1"


@pytest.mark.parametrize(
    ("now", "last", "trouble"),
    [
        (RELEASED, None, None),
        (RELEASED - timedelta(seconds=1), None, "before this program was written"),
        (START, START + timedelta(minutes=59), None),
        (START, START + timedelta(minutes=61), "before the last record"),
    ],
)
def test_what_no_clock_can_say(now: datetime, last: datetime | None, trouble: str | None) -> None:
    """Before the release, or well before the last record, it is wrong."""
    said = clock_trouble(now, last)
    assert (said is None) if trouble is None else (trouble in str(said))


def test_the_newest_record_is_by_when_it_was_written() -> None:
    """A fact about the past that came last is the newest."""
    journal = MemoryJournal()
    assert newest_recorded(journal) is None
    journal.append([Fact("a", START, START, Refused("x", "y"))])
    journal.append(
        [Fact("b", START - timedelta(days=3), START + timedelta(hours=1), Refused("x", "y"))]
    )
    assert newest_recorded(journal) == START + timedelta(hours=1)
