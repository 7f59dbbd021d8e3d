"""Time zones to propose: the machine's own, or the one whose city lies nearest."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from importlib import resources
from pathlib import Path
from zoneinfo import available_timezones


def machine_zone(environment: Mapping[str, str], root: Path = Path("/")) -> str | None:
    """Return the name of the time zone this machine is set to, or None if it is in UTC or mute."""
    names = [environment.get("TZ", "").removeprefix(":")]
    with suppress(OSError):
        names.append(str((root / "etc/localtime").readlink()).rpartition("zoneinfo/")[2])
    with suppress(OSError, UnicodeDecodeError):
        names.append((root / "etc/timezone").read_text(encoding="utf-8").strip())
    known = (name for name in names if name in available_timezones())
    found = next(known, "")
    return None if found in ("", "UTC", "GMT") or found.startswith("Etc/") else found


def nearest_zone(latitude_deg: float, longitude_deg: float) -> str:
    """Return the time zone whose principal city lies nearest: a proposal, not more."""
    return min(
        _cities(),
        key=lambda zone: _apart(_cities()[zone][1:], (latitude_deg, longitude_deg)),
    )


def country_of(zone: str) -> str:
    """Return the two letters of the country that a time zone's city lies in, or nothing."""
    return _cities()[zone][0] if zone in _cities() else ""


@cache
def _cities() -> dict[str, tuple[str, float, float]]:
    """Country, latitude and longitude [°] of every zone's city, from the time zone database."""
    table = resources.files("tzdata.zoneinfo").joinpath("zone.tab").read_text(encoding="utf-8")
    cities = {}
    for line in table.splitlines():
        if line.startswith("#"):
            continue
        country, position, zone = line.split("\t")[:3]
        found = re.fullmatch(r"([+-][0-9]+)([+-][0-9]+)", position)
        if found:
            cities[zone] = (country, _degrees(found[1], 2), _degrees(found[2], 3))
    return cities


def _degrees(text: str, digits: int) -> float:
    """Read ISO 6709: sign, degrees of so many digits, minutes, perhaps seconds."""
    whole, minutes, seconds = text[1 : 1 + digits], text[1 + digits :][:2], text[3 + digits :]
    value = int(whole) + int(minutes or 0) / 60 + int(seconds or 0) / 3600
    return -value if text[0] == "-" else value


def _apart(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Return a measure that grows with the distance between two places [°, °]."""
    (latitude, longitude), (to_latitude, to_longitude) = (
        (math.radians(north), math.radians(east)) for north, east in (one, other)
    )
    return (
        math.sin((to_latitude - latitude) / 2) ** 2
        + math.cos(latitude) * math.cos(to_latitude) * math.sin((to_longitude - longitude) / 2) ** 2
    )
