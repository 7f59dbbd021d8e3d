"""What every outbox does alike with the ways to reach a person."""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from datetime import datetime
from threading import current_thread, main_thread

from irrigate.errors import DeliveryError
from irrigate.ports import Channel, Message, Receipt

_log = logging.getLogger(__name__)


def by_name(channels: Sequence[Channel]) -> Mapping[str, Channel]:
    """Return the channels by name; two of one name are a mistake in the program."""
    named = {channel.name: channel for channel in channels}
    if len(named) != len(channels):
        raise ValueError("two channels have the same name")
    return named


def try_once(channel: Channel, message: Message) -> DeliveryError | None:
    """Hand the message over; return what went wrong, or None."""
    try:
        channel.deliver(message)
    except DeliveryError as failure:
        return failure
    except BaseException as surprise:  # even a library's own exit must not end the outbox
        if isinstance(surprise, KeyboardInterrupt) and current_thread() is main_thread():
            raise  # somebody at the keyboard means all of us
        # Its text may hold an address or a password, so only its kind is told.
        kind = type(surprise).__name__
        _log.warning("%s: unexpected %s while delivering %s", channel.name, kind, message.key)
        return DeliveryError(f"{channel.name}: unexpected {kind}", perhaps_delivered=True)
    return None


def no_such_way(message: Message, way: str, now: datetime) -> Receipt:
    """Return the receipt for a way that is not set up."""
    detail = f"there is no way called {way!r}: set it up, or take it out of `reach`"
    return Receipt(message.key, f"{message.person.name}/{way}", False, 0, now, detail)


def no_way(message: Message, now: datetime) -> Receipt:
    """Return the receipt for a person who cannot be reached at all."""
    detail = "no way to reach them is given: add one under `reach`"
    return Receipt(message.key, f"{message.person.name}/", False, 0, now, detail)
