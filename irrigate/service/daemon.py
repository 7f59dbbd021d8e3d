"""The daemon: one loop that does every step, woken by jobs that only wake it.

APScheduler fetches weather and keeps the backup in threads of its own, and ticks once a minute.
It is never asked for a deadline: what is due stands in the journal, and the loop steps by itself
when no tick has come for a while. The watchdog is fed by the loop, after progress.
"""

from __future__ import annotations

import logging
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from threading import Event
from typing import Any

from apscheduler.events import EVENT_JOB_ERROR
from apscheduler.executors.pool import ThreadPoolExecutor
from apscheduler.schedulers.background import BackgroundScheduler

from irrigate.errors import InputError, IrrigateError
from irrigate.ports import Clock, Journal
from irrigate.service.cycle import Memory, Ports, run_once

TICK_S = 60
# Without a tick for this long (a clock that stepped back puts jobs to sleep) the loop steps anyway.
OVERDUE_S = 75.0
LOOK_S = 1.0
FETCH_LOOK_S = 120
# Wall and monotonic clock may part by this much between two looks before it counts as a step.
CLOCK_STEP_S = 30.0
# A leap this long is not believed at once: a board without a clock battery wakes in any year.
WILD_LEAP = timedelta(days=7)
WILD_LEAP_WAIT_S = 600.0
# No clock is right that is before this program was written.
RELEASED = datetime(2026, 11, 1, tzinfo=UTC)
BACKWARDS = timedelta(hours=1)
MOST_FAILURES = 5

log = logging.getLogger("irrigate")


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What the daemon calls beside the ports.

    Parameters
    ----------
    clock : wall and monotonic time.
    fetch : fetch weather if it is due; may take seconds; runs in a job's thread.
    backup : copy the journal; runs in a job's thread.
    garden_changed : whether the garden file is another one than at the last call.
    waiting : whether an answer or a receipt is waiting; cheap.
    notify : tell the supervisor (READY=1, WATCHDOG=1, STATUS=…, STOPPING=1).
    keep_trouble : keep the text of an unexpected failure for an engineer; returns where.
    """

    clock: Clock
    fetch: Callable[[], None]
    backup: Callable[[], None]
    garden_changed: Callable[[], bool]
    waiting: Callable[[], bool]
    notify: Callable[[str], None]
    keep_trouble: Callable[[str], str]


class Daemon:
    """Runs until it is stopped; `stop` and `reload` only set flags, so signals may call them."""

    def __init__(self, ports: Ports, around: Surroundings) -> None:
        self._ports = ports
        self._around = around
        self._memory = Memory()
        self._woken = Event()
        self._stopping = Event()
        self._reload = Event()
        self._scheduler: BackgroundScheduler | None = None
        self._stepped_at_s = float("-inf")
        self._failures = 0

    def stop(self) -> None:
        """Ask the loop to end."""
        self._stopping.set()
        self._woken.set()

    def reload(self) -> None:
        """Ask the loop to read the garden file again."""
        self._reload.set()
        self._woken.set()

    def wake(self) -> None:
        """Ask the loop to step now."""
        self._woken.set()

    def run(self) -> None:
        """Run until stopped.

        Raises
        ------
        InputError : the very first garden file is wrong.
        IrrigateError : steps failed again and again; a supervisor may start it afresh.
        """
        if not self._clock_settled():
            return
        self._step()
        self._around.notify("READY=1")
        log.info("ready")
        self._schedule()
        try:
            self._loop()
        finally:
            self._around.notify("STOPPING=1")
            self._unschedule()
            log.info("stopped")

    # --- the loop --------------------------------------------------------------------------
    def _loop(self) -> None:
        clock = self._around.clock
        wall, steady = clock.now(), clock.monotonic_s()
        while not self._stopping.is_set():
            ticked = self._woken.wait(LOOK_S)
            self._woken.clear()
            wall, steady, leapt = self._looked_at_clock(wall, steady)
            if leapt and not self._leap_believed(wall):
                continue
            if self._garden_changed():
                self._reload.set()
            overdue = clock.monotonic_s() - self._stepped_at_s > OVERDUE_S
            if ticked or leapt or overdue or self._reload.is_set() or self._around.waiting():
                self._step()
            self._around.notify("WATCHDOG=1")

    def _step(self) -> None:
        if self._stopping.is_set():
            return
        reload = self._reload.is_set()
        self._reload.clear()
        now = self._around.clock.now()
        try:
            step = run_once(now, self._memory, self._ports, reload=reload)
        except InputError:
            raise
        except IrrigateError as failed:
            self._failed(str(failed))
        except Exception as failed:  # noqa: BLE001 - one bad step must not end the watering
            where = self._around.keep_trouble(traceback.format_exc())
            self._failed(f"unexpected trouble ({type(failed).__name__}); details in {where}")
        else:
            self._memory, self._failures = step.memory, 0
            for line in step.said:
                log.info("%s", line)
        self._stepped_at_s = self._around.clock.monotonic_s()

    def _failed(self, why: str) -> None:
        """Forget what was in memory, which costs time but no fact, and try again later."""
        self._memory = Memory()
        self._failures += 1
        log.error("this step failed and is tried again: %s", why)
        if self._failures >= MOST_FAILURES:
            raise IrrigateError(f"{MOST_FAILURES} steps failed in a row; the last: {why}")

    def _garden_changed(self) -> bool:
        return self._around.garden_changed()

    # --- the clock -------------------------------------------------------------------------
    def _clock_settled(self) -> bool:
        """Wait until the clock can be right; return False if stopped meanwhile."""
        last = newest_recorded(self._ports.journal)
        said = ""
        while not self._stopping.is_set():
            trouble = clock_trouble(self._around.clock.now(), last)
            if trouble is None:
                return True
            if trouble != said:
                log.warning("waiting: %s", trouble)
                said = trouble
            self._around.notify(f"STATUS=waiting: {trouble}")
            self._around.notify("WATCHDOG=1")
            self._stopping.wait(LOOK_S)
        return False

    def _looked_at_clock(self, wall: datetime, steady: float) -> tuple[datetime, float, bool]:
        """Return both clocks now, and whether the wall clock was moved since the last look."""
        now, now_steady = self._around.clock.now(), self._around.clock.monotonic_s()
        parted = (now - wall).total_seconds() - (now_steady - steady)
        if abs(parted) < CLOCK_STEP_S:
            return now, now_steady, False
        log.warning("the clock was moved by %.0f s", parted)
        # Jobs sleep by the wall clock: begin them anew.
        self._unschedule()
        self._schedule()
        return now, now_steady, True

    def _leap_believed(self, now: datetime) -> bool:
        """Wait a while after a wild leap: a time server may put it right."""
        last = newest_recorded(self._ports.journal)
        if last is None or abs(now - last) < WILD_LEAP:
            return True
        log.warning("the clock says %s, far from the last record; waiting for it to be set", now)
        begun = self._around.clock.monotonic_s()
        while self._around.clock.monotonic_s() - begun < WILD_LEAP_WAIT_S:
            if self._stopping.wait(LOOK_S) or abs(self._around.clock.now() - last) < WILD_LEAP:
                return False
            self._around.notify("WATCHDOG=1")
        return clock_trouble(self._around.clock.now(), last) is None

    # --- jobs ------------------------------------------------------------------------------
    def _schedule(self) -> None:
        scheduler = BackgroundScheduler(
            timezone=UTC,
            executors={"default": ThreadPoolExecutor(3)},
            job_defaults={"misfire_grace_time": None, "coalesce": True, "max_instances": 1},
        )
        scheduler.add_listener(self._job_failed, EVENT_JOB_ERROR)
        scheduler.add_job(self.wake, "interval", seconds=TICK_S, id="tick")
        scheduler.add_job(self._fetch, "interval", seconds=FETCH_LOOK_S, jitter=30, id="weather")
        scheduler.add_job(self._fetch, id="weather at once")
        scheduler.add_job(self._around.backup, "cron", hour=9, minute=17, jitter=600, id="backup")
        scheduler.start()
        self._scheduler = scheduler

    def _unschedule(self) -> None:
        if self._scheduler is not None:
            self._scheduler.shutdown(wait=False)
            self._scheduler = None

    def _fetch(self) -> None:
        self._around.fetch()
        self.wake()

    def _job_failed(self, event: Any) -> None:
        """Keep what went wrong in a job; the loop goes on and the job comes again."""
        where = self._around.keep_trouble(str(event.traceback))
        log.error("the job %r failed (%s); details in %s", event.job_id, event.exception, where)


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
            f"the clock says {now:%Y-%m-%d %H:%M} UTC, "
            f"which is before the last record ({last:%Y-%m-%d %H:%M} UTC)"
        )
    return None
