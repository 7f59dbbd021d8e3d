"""Parts of an answer in JSON, checked one by one: numbers, stamps, objects within objects."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from irrigate.errors import WeatherError


def inside(answer: object, path: str, who: str) -> Mapping[Any, Any]:
    """Return the object at a path of keys joined by dots, or raise `WeatherError`.

    Parameters
    ----------
    answer : the JSON as Python has it.
    path : as in ``properties.meta``.
    who : whose answer it is, for the error.
    """
    found = answer
    for key in path.split("."):
        found = found.get(key) if isinstance(found, Mapping) else None
    if not isinstance(found, Mapping):
        raise WeatherError(f"{who}'s answer has no {path}")
    return found


def number(value: object) -> float | None:
    """Return a number of JSON, at most a thousand million either way; None if it is not one."""
    # To Python True is a number; to JSON it is not.
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    # A whole number may be too long for a float; it is as absurd as any beyond the limits.
    return float(max(min(value, 1e9), -1e9))


def moment(value: object) -> datetime | None:
    """Return a moment written by ISO 8601 with its offset from UTC; None if it is not one."""
    if not isinstance(value, str) or len(value) > 40:
        return None
    try:
        at = datetime.fromisoformat(value)
    except ValueError:
        return None
    return at.astimezone(UTC) if at.tzinfo is not None and 1970 < at.year < 2200 else None


def short(value: object) -> str:
    """Return a value as text that is fit for a line of the log."""
    text = " ".join(str(value).split())
    return text if len(text) <= 200 else text[:200] + "…"
