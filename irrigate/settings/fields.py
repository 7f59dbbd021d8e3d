"""Types of the garden file's fields: each reads its text, holds it to its range, and says so."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, PlainValidator

from irrigate import units
from irrigate.settings import readers, written
from irrigate.settings.words import HEIGHTS_M, MULCHES, WIDTHS_OF_POT, WINDS
from irrigate.units import patterns


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


def held(read: Callable[[str], float], low: float, high: float, said: str) -> BeforeValidator:
    """Make a reader of texts that are held to a range into a step of a field's type."""
    return reading(within(read, low, high, said))


_POT = (0.2, 500, "0.2 L (1 cup) to 500 L (130 gal)")
_SIDE = (0.01, 5, "1 cm (½ in) to 5 m (16 ft)")
_CANOPY = (0.01, 4, "1 cm (½ in) to 4 m (13 ft)")
_EMPTY = (0, 0.5, "0 cm to 50 cm (20 in)")
_CAN = (0.2, 30, "0.2 L (1 cup) to 30 L (8 gal)")
_FLOW = (0.005, 2, "0.3 to 120 L/min (0.1 to 30 gal/min)")
_LATITUDE = (-66.5, 66.5, "-66.5 to 66.5 degrees, south below zero")
_LONGITUDE = (-180, 180, "-180 to 180 degrees, west below zero")
_ELEVATION = (-430, 5000, "-430 m (-1400 ft) to 5000 m (16400 ft)")
_ALL = (0, 1, "0 % to 100 %")
_HELD = (0.01, 0.98, "1 % to 98 %")
_PARTS = (0.01, 1000, "0.01 to 1000 parts")
_RISK = (0.01, 0.9, "1 % to 90 %")
_HABIT = (0.05, 1, "5 % to 100 %")
_WIND = (0.05, 1.5, "5 % to 150 %")
_SALT = (0, 20, "0 to 20 dS/m (20000 uS/cm)")
_COLD = (-40, 20, "-40 °C (-40 °F) to 20 °C (68 °F)")
_STEM = (0, 0.9, "0 % to 90 % of its height")
_SENSOR = (0.5, 100, "0.5 m (2 ft) to 100 m (330 ft)")

volume_of_pot = within(units.volume_l, *_POT)


def _size_words() -> str:
    high = patterns.one_of([word.removesuffix("-high") for word in HEIGHTS_M])
    wide = patterns.one_of([word.removesuffix("pot") for word in WIDTHS_OF_POT])
    part = (
        rf"({high}[\s-]*[hH][iI][gG][hH]|{wide}(([tT][hH][eE]|[iI][tT][sS]|[aA])\s+)?[pP][oO][tT])"
    )
    seedling = rf"([aA]\s+)?{patterns.any_case('seedling')}"
    return patterns.whole(rf"({seedling}|{part}((\s*,\s*|\s+and\s+){part})?)")


Length = Annotated[
    float,
    held(units.length_m, *_SIDE),
    written.length("length", _SIDE[2], "30 cm", "12 in"),
]
Canopy = Annotated[
    float,
    held(units.length_m, *_CANOPY),
    written.length("plant size", _CANOPY[2], "50 cm", "20 in"),
]
Headspace = Annotated[
    float,
    held(units.length_m, *_EMPTY),
    written.length("headspace", _EMPTY[2], "3 cm", "1 in"),
]
PotVolume = Annotated[
    float,
    reading(volume_of_pot),
    written.volume("pot volume", _POT[2], "19 L", "5 gal"),
]
CanVolume = Annotated[
    float, held(units.volume_l, *_CAN), written.volume("can", _CAN[2], "8 L", "2 gal")
]
Effort = Annotated[
    str,
    reading(readers.effort),
    written.text(
        "effort",
        "how much water one round may take, in cans, as a volume, or as a time with the hose",
        patterns.effort(),
        "6 cans",
        "50 L",
        "20 min",
    ),
]
Flow = Annotated[
    float,
    held(units.flow_l_s, *_FLOW),
    written.text(
        "flow", f"a flow, {_FLOW[2]}", patterns.flow(), "10 L in 40 s", "12 L/min", "5 gal in 60 s"
    ),
]
Latitude = Annotated[
    float,
    held(readers.number, *_LATITUDE),
    written.number("latitude", _LATITUDE[2], *_LATITUDE[:2]),
]
Longitude = Annotated[
    float,
    held(readers.number, *_LONGITUDE),
    written.number("longitude", _LONGITUDE[2], *_LONGITUDE[:2]),
]
Elevation = Annotated[
    float,
    held(units.elevation_m, *_ELEVATION),
    written.length("elevation", _ELEVATION[2], "30 m", "100 ft"),
]
Share = Annotated[
    float, held(units.share, *_ALL), written.share("share", _ALL[2], "30 %", "50 %", "80 %")
]
Held = Annotated[
    float,
    held(units.share, *_HELD),
    written.share("water in a mix", _HELD[2], "52 %", "18 %"),
]
Risk = Annotated[
    float, held(units.share, *_RISK), written.share("risk", _RISK[2], "10 %", "20 %", "30 %")
]
Habit = Annotated[
    float, held(units.share, *_HABIT), written.share("habit", _HABIT[2], "80 %", "95 %")
]
Wind = Annotated[
    float,
    held(readers.wind, *_WIND),
    written.words(
        "wind", "a word, or a percentage of the wind on open ground", WINDS, written.PERCENT
    ),
]
MulchShare = Annotated[
    float,
    reading(readers.mulch),
    written.words(
        "mulch",
        "what it is made of, or the percentage of the surface it covers",
        MULCHES,
        written.PERCENT,
    ),
]
SensorHeight = Annotated[
    float,
    held(units.elevation_m, *_SENSOR),
    written.length("sensor height", _SENSOR[2], "2 m", "10 m", "33 ft"),
]

WaterSalt = Annotated[
    float,
    held(units.salt_ds_m, *_SALT),
    written.text(
        "salt in water",
        f"salt by its EC, with its unit, {_SALT[2]}",
        patterns.salt(),
        "0.9 dS/m",
        "900 uS/cm",
    ),
]
Cold = Annotated[
    float,
    held(units.temperature_c, *_COLD),
    written.text(
        "cold", f"a temperature with its unit, {_COLD[2]}", patterns.temperature(), "-2 °C", "28 F"
    ),
]
Stem = Annotated[float, held(units.share, *_STEM), written.share("bare stem", _STEM[2], "40 %")]

Number = Annotated[float, reading(readers.number), written.number("number", "a number")]


def _parts(text: str) -> float:
    try:
        return readers.number(text)
    except ValueError:
        what = f"{text} is not a number of parts; write the figure alone, as in 2 or 1.5"
        raise ValueError(what) from None


Parts = Annotated[
    float,
    held(_parts, *_PARTS),
    written.number("parts", "parts by volume, 0.01 to 1000", *_PARTS[:2]),
]
Sides = Annotated[
    tuple[float, ...],
    reading(readers.sides),
    written.text(
        "sides",
        f"one length, or two for a long shape, {_SIDE[2]}",
        patterns.whole(rf".*[0-9].*({patterns.one_of(tuple(units.reading.LENGTH.units))})"),
        "80 cm by 20 cm",
        "30 cm",
    ),
]
YesNo = Annotated[
    bool,
    reading(readers.yes_or_no),
    written.words("yes or no", "yes or no", ("yes", "no", "true", "false"), {"type": "boolean"}),
]
SizeWords = Annotated[
    readers.Size,
    PlainValidator(lambda said: readers.size_in_words(one_text(said))),
    written.text(
        "size in words",
        "how high and how wide the plant is, or that it is a seedling",
        _size_words(),
        "knee-high, wider than pot",
        "waist-high, as wide as pot",
        "shin-high",
        "twice as wide as pot",
        "seedling",
    ),
]


def _us_units(text: str) -> bool:
    word = text.strip().casefold()
    if word not in ("us", "metric"):
        raise ValueError(f"“{text}” is neither US nor metric")
    return word == "us"


UsUnits = Annotated[
    bool, reading(_us_units), written.words("units", "US or metric", ("US", "metric"))
]


def _likes(text: str) -> str:
    if text not in _LIKES:
        raise ValueError(f"“{text}” is neither even nor dry-between")
    return text


_LIKES = ("even", "dry-between")
Likes = Annotated[
    Literal["even", "dry-between"],
    reading(_likes),
    written.words("likes", "even, or dry-between", _LIKES, as_text=False),
]
