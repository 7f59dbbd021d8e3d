"""Telling the supervisor that started us how we are: a datagram on the socket it names."""

from __future__ import annotations

import socket
from collections.abc import Callable, Mapping
from contextlib import suppress


def notifier(environment: Mapping[str, str]) -> Callable[[str], None]:
    """Return a function that sends one state to the socket in NOTIFY_SOCKET; nothing without it.

    The supervisor's absence is never our failure, and it is never waited for: one that does not
    read must not hold up the watering.
    """
    path = environment.get("NOTIFY_SOCKET", "")
    if not path.startswith(("/", "@")):
        return lambda _: None
    address = f"\0{path[1:]}" if path.startswith("@") else path

    def notify(state: str) -> None:
        with suppress(OSError), socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as sender:
            sender.setblocking(False)
            sender.sendto(state.encode(), address)

    return notify
