"""The catalogue's names as editors are told them: what to propose, and what may stand there."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from irrigate.settings import catalogue
from irrigate.settings.catalogue import Shelf
from irrigate.settings.written import Part
from irrigate.units import patterns
from irrigate.units.reading import WORDS

SHELVES: Mapping[str, tuple[str, Callable[[], Shelf[Any]]]] = {
    "plants": ("plant", catalogue.crops),
    "mixes": ("mix", catalogue.media),
    "kinds": ("pot kind", catalogue.kinds),
}

# The reader also finds names in capitals, in the plural, and with other spaces.
_SPELT_FREELY: Part = {"type": "string", "pattern": r"[A-Z_]|\s\s|^\s|\s$|s$"}
_OF_A_SIZE: Part = {
    "type": "string",
    "pattern": rf"({patterns.FIGURES}|{patterns.one_of(tuple(WORDS))})"
    rf"[\s.,-]*{patterns.one_of(patterns.SIZES)}([^A-Za-z]|$)"
    r"|(#|[tT][rR][aA][dD][eE]|[nN][uU][mM][bB][eE][rR])\s*#?\s*[0-9]",
}


def stocked(shelf: str) -> Callable[[], Part]:
    """Return what makes the schema of a name that must be the catalogue's."""

    def part() -> Part:
        called, shelf_of = SHELVES[shelf]
        names = {"enum": list(shelf_of().spellings)}
        ways = [names, _SPELT_FREELY, *([_OF_A_SIZE] if shelf == "kinds" else [])]
        return {"description": f"a {called} of the catalogue", "anyOf": ways}

    return part


def named(shelf: str) -> Callable[[], Part]:
    """Return what makes the schema of a name that may be the file's own too.

    A schema cannot look the file's own names up; it proposes the catalogue's and takes any. Where
    a file has none of its own, `irrigate.settings.json_schema` holds it to the catalogue's.
    """

    def part() -> Part:
        called, shelf_of = SHELVES[shelf]
        volume = ", or its volume as in 19 L" if shelf == "kinds" else ""
        return {
            "description": f"a {called} of the catalogue or of this file{volume}",
            "anyOf": [{"enum": list(shelf_of().spellings)}, {"type": ["string", "number"]}],
        }

    return part
