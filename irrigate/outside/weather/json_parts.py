"""Parts of an answer in JSON, checked one by one: numbers, stamps, places, objects in objects."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from irrigate.errors import WeatherError
from irrigate.garden.pots import Site


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


def check_place(site: Site, who: str, **told: object) -> None:
    """Refuse an answer about somewhere else; a grid cell's middle may lie some way off.

    Parameters
    ----------
    site : the place that was asked about.
    who : whose answer it is, for the error.
    told : its ``longitude`` and ``latitude`` as Python has them, looked at in the order given.
    """
    wanted = {"longitude": site.longitude_deg, "latitude": site.latitude_deg}
    for name, value in told.items():
        at, asked = number(value), wanted[name]
        if at is None:
            raise WeatherError(f"{who}'s answer does not say its {name}")
        away = abs(at - asked) % 360.0
        if min(away, 360.0 - away) > 1.0:
            raise WeatherError(f"{who} answers about {name} {at:g}, not {asked:g}")
