"""An item as one small JSON document, and the name of the file that holds it."""

from __future__ import annotations

import hashlib
import json
from datetime import UTC, datetime
from typing import Any

from irrigate.errors import InputError
from irrigate.ports import Item

LARGEST_BYTES = 64 * 1024
"""Far more than anybody says in one breath."""

FORMAT = 1
_FIELDS = {"format", "key", "received_at", "who", "channel", "text", "at"}


def written(item: Item) -> bytes:
    """Return the document of an item; what cannot be kept is refused with an `InputError`."""
    if not item.key:
        raise InputError("an item needs a key, so that a repeat of it can be recognised")
    plain = {
        "format": FORMAT,
        "key": item.key,
        "received_at": _stamp(item.received_at),
        "who": item.who,
        "channel": item.channel,
        "text": item.text,
        "at": None if item.at is None else _stamp(item.at),
    }
    content = json.dumps(plain, indent=1).encode("ascii")
    if len(content) > LARGEST_BYTES:
        raise InputError(
            f"that is {len(content)} bytes, and at most {LARGEST_BYTES} are taken at once: "
            "say it in parts"
        )
    return content


def read(content: bytes) -> Item:
    """Return the item in a document; a `ValueError` if there is none."""
    plain = json.loads(content)
    _require(isinstance(plain, dict), "it is not a mapping")
    _require(plain.get("format") == FORMAT, f"its format is not {FORMAT}, which is read here")
    _require(plain.keys() == _FIELDS, f"its fields are not {', '.join(sorted(_FIELDS))}")
    for name in ("key", "who", "channel", "text"):
        _require(isinstance(plain[name], str), f"{name} is not text")
    return Item(
        key=plain["key"],
        received_at=_moment(plain["received_at"]),
        who=plain["who"],
        channel=plain["channel"],
        text=plain["text"],
        at=None if plain["at"] is None else _moment(plain["at"]),
    )


def file_name(item: Item) -> str:
    """Return the name of an item's file: names in order are items in order of arrival."""
    received = item.received_at.astimezone(UTC).replace(tzinfo=None)
    stamp = received.isoformat(timespec="microseconds").translate({ord(c): None for c in "-:."})
    return f"{stamp}Z-{mark(item.key)}.json"


def mark(key: str) -> str:
    """Return what a file's name shows of a key."""
    return hashlib.blake2b(key.encode("utf-8", "surrogatepass"), digest_size=12).hexdigest()


def _stamp(at: datetime) -> str:
    if at.utcoffset() is None:
        raise InputError(f"{at.isoformat()} has no time zone")
    return at.astimezone(UTC).isoformat()


def _moment(plain: Any) -> datetime:
    _require(isinstance(plain, str), "a moment is not text")
    at = datetime.fromisoformat(plain)
    _require(at.utcoffset() is not None, "a moment has no time zone")
    return at.astimezone(UTC)


def _require(so: bool, otherwise: str) -> None:
    if not so:
        raise ValueError(otherwise)
