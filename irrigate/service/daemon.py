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
from irrigate.ports import Clock
from irrigate.service.clock_sense import clock_trouble, newest_recorded
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
# After a failed step the next one waits, ever longer; failing for so long ends the service.
FIRST_PAUSE_S, LONGEST_PAUSE_S = 5.0, 300.0
GIVE_UP_S = 1800.0

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
        self._failing_since_s: float | None = None
        self._paused_until_s = float("-inf")

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
                # Nothing is stamped by a clock that cannot be right, however long it takes.
                if not self._clock_settled():
                    return
                wall, steady = clock.now(), clock.monotonic_s()
            if self._garden_changed():
                self._reload.set()
            overdue = clock.monotonic_s() - self._stepped_at_s > OVERDUE_S
            wanted = ticked or leapt or overdue or self._reload.is_set() or self._around.waiting()
            if wanted and clock.monotonic_s() >= self._paused_until_s:
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
            self._memory, self._failures, self._failing_since_s = step.memory, 0, None
            for line in step.said:
                log.info("%s", line)
        self._stepped_at_s = self._around.clock.monotonic_s()

    def _failed(self, why: str) -> None:
        """Forget what was in memory, which costs time but no fact, and try again later."""
        now_s = self._around.clock.monotonic_s()
        # Not a new start: what was posted is still with the outbox, and is not to be sent again.
        self._memory = Memory(resumed=True)
        self._failures += 1
        pause_s = min(FIRST_PAUSE_S * 2.0 ** (self._failures - 1), LONGEST_PAUSE_S)
        self._paused_until_s = now_s + pause_s
        if self._failing_since_s is None:
            self._failing_since_s = now_s
        log.error("this step failed and is tried again in %.0f s: %s", pause_s, why)
        if now_s - self._failing_since_s >= GIVE_UP_S:
            minutes = GIVE_UP_S / 60.0
            raise IrrigateError(f"every step failed for {minutes:.0f} minutes; the last: {why}")

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
        kind = type(event.exception).__name__
        log.error("the job %r failed (%s); details in %s", event.job_id, kind, where)
