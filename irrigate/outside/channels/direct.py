"""Delivery on the spot, one attempt each: for the demo and for replay."""

from __future__ import annotations

from collections.abc import Sequence

from irrigate.outside.channels.ways import by_name, no_such_way, no_way, try_once
from irrigate.ports import Channel, Clock, Message, Receipt


class DirectOutbox:
    """An outbox whose ``post`` returns when every way was tried once."""

    def __init__(self, channels: Sequence[Channel], clock: Clock) -> None:
        self._channels = by_name(channels)
        self._clock = clock
        self._receipts: list[Receipt] = []

    def post(self, message: Message) -> None:
        """Deliver the message by every way of its person; a failure becomes a receipt."""
        if not message.person.reach:
            self._receipts.append(no_way(message, self._clock.now()))
        for way in message.person.reach:
            self._receipts.append(self._tried(message, way))

    def receipts(self) -> list[Receipt]:
        """Return the receipts since the last call."""
        receipts, self._receipts = self._receipts, []
        return receipts

    def _tried(self, message: Message, way: str) -> Receipt:
        person = f"{message.person.name}/{way}"
        channel = self._channels.get(way)
        if channel is None:
            return no_such_way(message, way, self._clock.now())
        now = self._clock.now()
        if message.expires_at is not None and now >= message.expires_at:
            return Receipt(message.key, person, False, 0, now, "too late to be of use")
        failure = try_once(channel, message)
        detail = "" if failure is None else str(failure)
        return Receipt(message.key, person, failure is None, 1, self._clock.now(), detail)
