"""Types of the garden file's fields: each reads its text, holds it to its range, and says so."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, time
from typing import Annotated, Any, Literal
from zoneinfo import ZoneInfo, available_timezones

from pydantic import BeforeValidator, PlainValidator

from irrigate import units
from irrigate.settings import readers


def one_text(value: object) -> str:
    """Return the text; refuse a list or a mapping where one value belongs."""
    if isinstance(value, str):
        if not value.strip():
            raise ValueError("has no value: write one, or take the line out")
        return value
    raise ValueError("one value is expected here, without lines or a list below it")


def reading(read: Callable[[str], Any]) -> BeforeValidator:
    """Make a reader of texts into a step of a field's type."""
    return BeforeValidator(lambda value: read(one_text(value)))


def within(
    read: Callable[[str], float], low: float, high: float, said: str
) -> Callable[[str], float]:
    """Hold what ``read`` returns to a range, which ``said`` names for people."""

    def check(text: str) -> float:
        value = read(text)
        if not low <= value <= high:
            raise ValueError(f"{text} is out of range: {said}")
        return value

    return check


def _held(read: Callable[[str], float], low: float, high: float, said: str) -> BeforeValidator:
    return reading(within(read, low, high, said))


volume_of_pot = within(units.volume_l, 0.2, 500, "0.2 L (1 cup) to 500 L (130 gal)")

_SIDE = (0.01, 5, "1 cm (½ in) to 5 m (16 ft)")
_CANOPY = (0.01, 4, "1 cm (½ in) to 4 m (13 ft)")
_EMPTY = (0, 0.5, "0 cm to 50 cm (20 in)")
_CAN = (0.2, 30, "0.2 L (1 cup) to 30 L (8 gal)")
_FLOW = (0.005, 2, "0.3 to 120 L/min (0.1 to 30 gal/min)")
_LATITUDE = (-66.5, 66.5, "-66.5 to 66.5 degrees, south below zero")
_LONGITUDE = (-180, 180, "-180 to 180 degrees, west below zero")
_ELEVATION = (-430, 5000, "-430 m (-1400 ft) to 5000 m (16400 ft)")
_ALL = (0, 1, "0 % to 100 %")
_RISK = (0.01, 0.9, "1 % to 90 %")
_HABIT = (0.05, 1, "5 % to 100 %")
_WIND = (0.05, 1.5, "5 % to 150 %")
_NOTICE = (0, 6 * 3600, "0 min to 6 h")
_LEAD = (0, 24 * 3600, "0 min to 24 h")
_SENSOR = (0.5, 100, "0.5 m (2 ft) to 100 m (330 ft)")

Length = Annotated[float, _held(units.length_m, *_SIDE)]
Canopy = Annotated[float, _held(units.length_m, *_CANOPY)]
Headspace = Annotated[float, _held(units.length_m, *_EMPTY)]
PotVolume = Annotated[float, reading(volume_of_pot)]
CanVolume = Annotated[float, _held(units.volume_l, *_CAN)]
Flow = Annotated[float, _held(units.flow_l_s, *_FLOW)]
Latitude = Annotated[float, _held(readers.number, *_LATITUDE)]
Longitude = Annotated[float, _held(readers.number, *_LONGITUDE)]
Elevation = Annotated[float, _held(units.elevation_m, *_ELEVATION)]
Share = Annotated[float, _held(units.share, *_ALL)]
Risk = Annotated[float, _held(units.share, *_RISK)]
Habit = Annotated[float, _held(units.share, *_HABIT)]
Wind = Annotated[float, _held(readers.wind, *_WIND)]
MulchShare = Annotated[float, reading(readers.mulch)]
Notice = Annotated[float, _held(units.duration_s, *_NOTICE)]
Lead = Annotated[float, _held(units.duration_s, *_LEAD)]
SensorHeight = Annotated[float, _held(units.elevation_m, *_SENSOR)]

Number = Annotated[float, reading(readers.number)]
Sides = Annotated[tuple[float, ...], reading(readers.sides)]
YesNo = Annotated[bool, reading(readers.yes_or_no)]
TimeOfDay = Annotated[time, reading(readers.time_of_day)]
Span = Annotated[tuple[time, time], reading(readers.span)]
Day = Annotated[date, reading(readers.day)]
SizeWords = Annotated[
    readers.Size, PlainValidator(lambda said: readers.size_in_words(one_text(said)))
]


def _us_units(text: str) -> bool:
    word = text.strip().casefold()
    if word not in ("us", "metric"):
        raise ValueError(f"“{text}” is neither US nor metric")
    return word == "us"


UsUnits = Annotated[bool, reading(_us_units)]


def _likes(text: str) -> str:
    if text not in ("even", "dry-between"):
        raise ValueError(f"“{text}” is neither even nor dry-between")
    return text


Likes = Annotated[Literal["even", "dry-between"], reading(_likes)]


def _zone(text: str) -> str:
    if re.fullmatch(r"UTC|[A-Za-z]+(?:/[A-Za-z0-9_+-]+){1,2}", text):
        try:
            ZoneInfo(text)
        except (ValueError, OSError, KeyError):
            pass
        else:
            return text
    zones = sorted(available_timezones())
    city = text.replace(" ", "_").rsplit("/", 1)[-1]
    by_city = next((zone for zone in zones if zone.rsplit("/", 1)[-1] == city), None)
    hint = f"did you mean {by_city}?" if by_city else readers.did_you_mean(text, zones, most=0)
    raise ValueError(f"“{text}” is not a time zone; {hint or 'write one as in Europe/Rome'}")


TimeZone = Annotated[str, reading(_zone)]
