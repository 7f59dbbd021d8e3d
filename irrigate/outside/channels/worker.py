"""An outbox with one thread of its own: posting never waits, what fails is tried again.

Each way to reach a person is a thing apart, with its own attempts and receipts, so that what
went through by one way is never sent there again because another failed.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from threading import Condition, Thread

from irrigate.errors import DeliveryError
from irrigate.outside.channels.ways import by_name, no_such_way, no_way, try_once
from irrigate.ports import Channel, Clock, Message, Receipt


@dataclass(frozen=True, slots=True)
class Patience:
    """How long to go on trying, and how often.

    Parameters
    ----------
    first_wait_s : wait after the first failure [s]; it doubles with each further one.
    longest_wait_s : no wait is longer than this [s].
    give_up_after_s : no attempt starts later than this after posting [s].
    spread : each wait is varied by up to this share, so that nobody retries in step [0–1].
    """

    first_wait_s: float = 15.0
    longest_wait_s: float = 900.0
    give_up_after_s: float = 6 * 3600.0
    spread: float = 0.2

    def wait_s(self, attempt: int, chance: float) -> float:
        """Return the wait after the given failed attempt [s]; ``chance`` lies in [0, 1)."""
        doubled = self.first_wait_s * 2.0 ** min(attempt - 1, 60)
        return min(doubled, self.longest_wait_s) * (1 + self.spread * (2 * chance - 1))


@dataclass(slots=True, eq=False)
class _Delivery:
    """One message on one way, until it is through or given up."""

    message: Message
    way: str
    posted_s: float
    due_s: float
    attempts: int = 0
    last_failure: str = ""
    perhaps_delivered: bool = False

    @property
    def person(self) -> str:
        return f"{self.message.person.name}/{self.way}"

    @property
    def identity(self) -> tuple[str, str]:
        return (self.message.key, self.person)


@dataclass(slots=True)
class _Shelf:
    """What the thread and its callers share; only touched under the condition."""

    waiting: list[_Delivery] = field(default_factory=list)
    in_hand: _Delivery | None = None
    receipts: list[Receipt] = field(default_factory=list)
    stopping: bool = False


class OutboxWorker:
    """Delivers in the background; `receipts` tells what became of each attempt."""

    def __init__(
        self,
        channels: Sequence[Channel],
        clock: Clock,
        patience: Patience | None = None,
        chance: random.Random | None = None,
    ) -> None:
        self._channels = by_name(channels)
        self._clock = clock
        self._patience = patience or Patience()
        self._chance = chance or random.Random()
        self._shelf = _Shelf()
        self._changed = Condition()
        # A daemon thread: one that hangs in a library must not keep the process alive.
        self._thread = Thread(target=self._run, name="outbox", daemon=True)
        self._thread.start()

    def post(self, message: Message) -> None:
        """Accept the message for every way of its person; returns at once.

        What is already waiting under the same key for the same way is not taken twice.
        """
        now, now_s = self._clock.now(), self._clock.monotonic_s()
        with self._changed:
            known = {one.identity for one in self._open()}
            if not message.person.reach:
                self._shelf.receipts.append(no_way(message, now))
            for way in message.person.reach:
                delivery = _Delivery(message, way, now_s, now_s)
                if way not in self._channels:
                    self._shelf.receipts.append(no_such_way(message, way, now))
                elif self._shelf.stopping:
                    self._settle(delivery, "the outbox was stopped")
                elif delivery.identity not in known:
                    known.add(delivery.identity)
                    self._shelf.waiting.append(delivery)
            self._changed.notify_all()

    def receipts(self) -> list[Receipt]:
        """Return the receipts since the last call, in the order in which they came."""
        with self._changed:
            receipts, self._shelf.receipts = self._shelf.receipts, []
            return receipts

    def follow(self, channels: Sequence[Channel]) -> None:
        """Deliver by other channels from now on; one of a name that stays is replaced."""
        with self._changed:
            self._channels = by_name(channels)

    def has_receipts(self) -> bool:
        """Return whether `receipts` would return any."""
        with self._changed:
            return bool(self._shelf.receipts)

    def settled(self, timeout_s: float) -> bool:
        """Wait until nothing is left to deliver; return False if the time ran out first."""
        with self._changed:
            return self._changed.wait_for(lambda: not self._open(), timeout_s)

    def stop(self, timeout_s: float = 10.0) -> bool:
        """Let the attempt in hand end, give the rest back as receipts; False if it did not end."""
        with self._changed:
            self._shelf.stopping = True
            self._changed.notify_all()
        self._thread.join(timeout_s)
        with self._changed:
            for delivery in self._shelf.waiting:
                self._settle(delivery, _given_back(delivery, "stopped before it was delivered"))
            self._shelf.waiting.clear()
            late = self._shelf.in_hand
            if late is not None:
                self._settle(late, "stopped while it was being delivered: it may have arrived")
                self._shelf.in_hand = None
        return not self._thread.is_alive()

    # --- the thread ------------------------------------------------------------------------
    def _run(self) -> None:
        while (delivery := self._next()) is not None:
            message = delivery.message
            if delivery.perhaps_delivered:
                message = replace(message, repeated=True)
            delivery.attempts += 1
            failure = try_once(self._channels[delivery.way], message)
            self._conclude(delivery, failure)

    def _next(self) -> _Delivery | None:
        """Wait for the next delivery that is due and take it in hand; None means stop."""
        with self._changed:
            while not self._shelf.stopping:
                self._drop_expired()
                now_s = self._clock.monotonic_s()
                due = [one for one in self._shelf.waiting if one.due_s <= now_s]
                if due:
                    # A peer that is slow to fail must not hold up what was not tried yet.
                    chosen = min(due, key=lambda one: (not one.message.urgent, one.attempts))
                    self._shelf.waiting.remove(chosen)
                    self._shelf.in_hand = chosen
                    return chosen
                self._changed.wait(self._idle_s(now_s))
            return None

    def _idle_s(self, now_s: float) -> float | None:
        """Return how long nothing will be due or expire [s], None for nothing at all."""
        now = self._clock.now()
        idle_s = [one.due_s - now_s for one in self._shelf.waiting]
        idle_s += [
            (one.message.expires_at - now).total_seconds()
            for one in self._shelf.waiting
            if one.message.expires_at is not None
        ]
        # Expiry goes by the wall clock, which may step: look again each minute.
        return min(max(min(idle_s), 0.0), 60.0) if idle_s else None

    def _conclude(self, delivery: _Delivery, failure: DeliveryError | None) -> None:
        """Write the receipt of an attempt, and shelve the delivery again if it is worth it."""
        now_s = self._clock.monotonic_s()
        with self._changed:
            if self._shelf.in_hand is not delivery:
                return  # stopped meanwhile, and its receipt is written
            self._shelf.in_hand = None
            if failure is None:
                self._receipt(delivery, ok=True, detail="", final=True)
            else:
                self._shelve_again(delivery, failure, now_s)
            self._changed.notify_all()

    def _shelve_again(self, delivery: _Delivery, failure: DeliveryError, now_s: float) -> None:
        delivery.last_failure = str(failure)
        delivery.perhaps_delivered |= failure.perhaps_delivered
        patience = self._patience
        delivery.due_s = now_s + patience.wait_s(delivery.attempts, self._chance.random())
        if failure.final:
            self._settle(delivery, str(failure))
        elif delivery.due_s - delivery.posted_s > patience.give_up_after_s:
            self._settle(delivery, _given_back(delivery, "given up"))
        else:
            self._receipt(delivery, ok=False, detail=str(failure), final=False)
            self._shelf.waiting.append(delivery)

    def _drop_expired(self) -> None:
        """Settle what is of no use any more: a late warning sends somebody out for nothing."""
        now = self._clock.now()
        for delivery in list(self._shelf.waiting):
            expires_at = delivery.message.expires_at
            if expires_at is not None and now >= expires_at:
                self._shelf.waiting.remove(delivery)
                self._settle(delivery, _given_back(delivery, "too late to be of use"))
                self._changed.notify_all()

    # --- under the condition ---------------------------------------------------------------
    def _open(self) -> list[_Delivery]:
        in_hand = self._shelf.in_hand
        return self._shelf.waiting + ([] if in_hand is None else [in_hand])

    def _settle(self, delivery: _Delivery, detail: str) -> None:
        self._receipt(delivery, ok=False, detail=detail, final=True)

    def _receipt(self, delivery: _Delivery, *, ok: bool, detail: str, final: bool) -> None:
        now, key = self._clock.now(), delivery.message.key
        self._shelf.receipts.append(
            Receipt(key, delivery.person, ok, delivery.attempts, now, detail, final)
        )


def _given_back(delivery: _Delivery, why: str) -> str:
    """Return why a delivery ended, with what went wrong last if anything did."""
    return f"{why}; last: {delivery.last_failure}" if delivery.last_failure else why
