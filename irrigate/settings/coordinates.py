"""Latitude and longitude as people copy them from a map: decimal degrees, or degrees and minutes.

``38.61 N, 121.3 W``, ``38.61, -121.3``, ``N 38° 36' 36" W 121° 18'`` all say the same.
"""

from __future__ import annotations

import re

_DEGREES = (
    r"\s*(?P<sign>[-−+])?\s*(?P<degrees>[0-9]{1,3}(?:\.[0-9]{1,12})?)\s*[°º]?"
    r"(?:\s*(?P<minutes>[0-9]{1,2}(?:\.[0-9]{1,9})?)\s*['′’]"
    r"(?:\s*(?P<seconds>[0-9]{1,2}(?:\.[0-9]{1,9})?)\s*(?:\"|″|”|''))?)?"
)
_ANGLES = (
    re.compile(rf"(?P<side>[NSEW]){_DEGREES}", re.IGNORECASE),
    re.compile(rf"{_DEGREES}\s*(?P<side>[NSEW])?", re.IGNORECASE),
)
_NAMES = re.compile(r"\b(?:lat(?:itude)?|lon(?:g|gitude)?)\b\s*[:=]?", re.IGNORECASE)
_SIDES = re.compile(r"\b(north|south|east|west)\b", re.IGNORECASE)
_HINT = "write both as in 38.61 N, 121.3 W"


def coordinates(text: str) -> tuple[str, str]:
    """Return latitude and longitude in decimal degrees, as texts, south and west below zero."""
    plain = _SIDES.sub(lambda side: side[1][0], _NAMES.sub(" ", text))
    angles: list[tuple[float, str]] = []
    rest = plain.strip(" ()[]")
    while rest:
        found = _ANGLES[0].match(rest) or _ANGLES[1].match(rest)
        if found is None or len(angles) == 2:
            raise ValueError(f"“{text.strip()}” is not a latitude and a longitude: {_HINT}")
        angles.append(_angle(found, text))
        rest = rest[found.end() :].lstrip(" ,;/\t")
    if len(angles) != 2:
        raise ValueError(f"“{text.strip()}” is not a latitude and a longitude: {_HINT}")
    (first, first_side), (second, second_side) = angles
    if first_side in ("E", "W") and second_side not in ("E", "W"):
        first, second = second, first
    elif first_side and second_side and (first_side in "NS") == (second_side in "NS"):
        raise ValueError(f"{text.strip()}: one must be N or S, the other E or W: {_HINT}")
    return f"{first:.6f}".rstrip("0").rstrip("."), f"{second:.6f}".rstrip("0").rstrip(".")


def _angle(found: re.Match[str], text: str) -> tuple[float, str]:
    """Return one angle [°] and the side of the world that was written with it, or none."""
    side = (found["side"] or "").upper()
    minutes, seconds = float(found["minutes"] or 0), float(found["seconds"] or 0)
    if minutes >= 60 or seconds >= 60:
        raise ValueError(
            f"{text.strip()}: there are 60 minutes in a degree, 60 seconds in a minute"
        )
    degrees = float(found["degrees"]) + minutes / 60 + seconds / 3600
    below = found["sign"] in ("-", "−")
    if below and side:
        raise ValueError(f"{text.strip()}: a minus and {side} say it twice; keep one")
    return (-degrees if below or side in ("S", "W") else degrees) or 0.0, side
