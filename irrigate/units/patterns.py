"""Regular expressions of the texts that `irrigate.units.reading` takes, for a JSON schema.

They are built out of the readers' own tables, in the part of the language that ECMA-262 and Python
have in common, and are a little wider than the readers: whatever a reader takes matches, and most
of what it refuses does not. Ranges are the readers' own affair.
"""

from __future__ import annotations

import re

from irrigate.units.instruments import AREA, LIGHT, SALT
from irrigate.units.reading import (
    DURATION,
    FRACTIONS,
    LENGTH,
    SHARE,
    TEMPERATURES,
    VOLUME,
    WORDS,
    Measure,
)

FIGURES = (
    rf"([0-9]{{0,6}}\s?[{''.join(FRACTIONS)}]"
    r"|([0-9]{1,6}\s+)?[0-9]{1,4}\s?[/⁄]\s?[0-9]{1,4}"
    r"|[0-9]{1,9}(\.[0-9]{1,9})?|\.[0-9]{1,9})"
)
"""A number in figures, without a sign."""


SIZES = (*LENGTH.units, *VOLUME.units)
"""Units that the size of a thing is said in."""


def any_case(word: str) -> str:
    """Return a pattern for a word in capitals, in small letters, or mixed."""
    letters = (
        f"[{letter.lower()}{letter.upper()}]" if letter.lower() != letter.upper() else letter
        for letter in re.sub(r"([.*+?^$()\[\]{}|\\/])", r"\\\1", word)
    )
    return "".join(letters).replace(" ", r"[\s.,-]+")


def one_of(words: list[str] | tuple[str, ...]) -> str:
    """Return a pattern for any of the words, the longest tried first."""
    longest_first = sorted(dict.fromkeys(words), key=lambda word: (-len(word), word))
    return f"({'|'.join(any_case(word) for word in longest_first)})"


def whole(pattern: str) -> str:
    """Return a pattern for a text that is nothing else."""
    return rf"^\s*{pattern}\s*$"


def length() -> str:
    """Return the pattern of a length."""
    return whole(_pairs(LENGTH))


def volume() -> str:
    """Return the pattern of a volume without cans or a hose."""
    return whole(_pairs(VOLUME))


def effort() -> str:
    """Return the pattern of what one round may take: cans, a volume, or a time with the hose."""
    cans = rf"{_NUMBER}\s*[cC][aA][nN][sS]?"
    return whole(rf"({cans}|{_pairs(VOLUME)}|{_pairs(DURATION)})")


def duration() -> str:
    """Return the pattern of a length of time."""
    return whole(_pairs(DURATION))


def area() -> str:
    """Return the pattern of an area."""
    return whole(_pairs(AREA))


def light() -> str:
    """Return the pattern of light on an area, anywhere in a text."""
    return _pairs(LIGHT)


def salt() -> str:
    """Return the pattern of a water's salt."""
    led = r"[eE][cC]\s*[:=]?\s*"
    return whole(rf"(({led})?{_pairs(SALT)}|{led}[0-9.]+)")


def temperature() -> str:
    """Return the pattern of a temperature."""
    return whole(rf"{_NUMBER}\s*{one_of(TEMPERATURES)}")


def share() -> str:
    """Return the pattern of a percentage; zero needs no sign."""
    return whole(rf"(0(\.0*)?|{_pairs(SHARE)})")


def flow() -> str:
    """Return the pattern of a volume in a time."""
    time = one_of(tuple(DURATION.units))
    over = rf"(\s+([iI][nN]|[pP][eE][rR])\s+|\s*/\s*)({_pairs(DURATION)}|{time}[\s.,]*)"
    per_minute = rf"{_NUMBER}\s*([gG][pP][mM]|[lL][pP][mM])"
    return whole(rf"({_pairs(VOLUME)}{over}|{per_minute})")


_IN_WORDS = rf"{one_of(tuple(WORDS))}\s+(([aA][nN]?|[oO][fF])\s+)?"
_NUMBER = rf"([-−+]?\s*{FIGURES}|{_IN_WORDS})"


def _pairs(measure: Measure) -> str:
    """Return the pattern of one number with its unit, or of several that add up."""
    unit = rf"[\s.,]*{one_of(tuple(measure.units))}[\s.,]*"
    return rf"({_NUMBER}{unit}({FIGURES}{unit})*)"
