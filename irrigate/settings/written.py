"""How the values of the garden file are written, said for editors beside the readers of them.

A field's type carries a `Written` next to its reader; `irrigate.settings.json_schema` collects
them. A schema is wider than the reader where it cannot be exact: an editor must never mark as wrong
what the reader takes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from irrigate.units import patterns

Part = dict[str, Any]
"""A part of a JSON schema."""

HINT = "patternErrorMessage"
"""What editors say of a text that does not match, instead of showing the pattern."""


@dataclass(frozen=True, slots=True)
class Written:
    """How a type is written: its part of the schema, made when asked for, under a name."""

    name: str
    part: Callable[[], Part]


@dataclass(frozen=True, slots=True)
class OrElse:
    """A shorter way to write what the type describes at length: a type, or a part of a schema."""

    shorter: Any


@dataclass(frozen=True, slots=True)
class OrCommas:
    """A list of items of a type, which may also be one text with commas between them."""

    item: Any


def text(name: str, description: str, pattern: str, *examples: str, **more: Any) -> Written:
    """Describe a text by its pattern; the first examples are what an editor proposes."""
    hint = f"{description[0].upper()}{description[1:]}; write it as in {' or '.join(examples)}"
    part = {
        "description": description,
        "type": "string",
        "pattern": pattern,
        HINT: hint,
        "examples": list(examples),
    }
    return Written(name, lambda: part | more)


def length(name: str, said: str, *examples: str) -> Written:
    """Describe a length with its unit; ``said`` is its range."""
    return text(name, f"a length with its unit, {said}", patterns.length(), *examples)


def volume(name: str, said: str, *examples: str) -> Written:
    """Describe a volume with its unit."""
    return text(name, f"a volume with its unit, {said}", patterns.volume(), *examples)


def duration(name: str, said: str, *examples: str) -> Written:
    """Describe a length of time with its unit."""
    return text(name, f"a length of time with its unit, {said}", patterns.duration(), *examples)


def share(name: str, said: str, *examples: str) -> Written:
    """Describe a percentage; a bare zero is the same in every unit."""
    described = f"a percentage, {said}"
    zero = {"type": ["string", "number"], "minimum": 0, "maximum": 0}
    return text(name, described, patterns.share(), *examples, **zero)


def number(name: str, description: str, low: float | None = None, high: float | None = None) -> Any:
    """Describe a number without a unit; its range binds where it is not in quotes."""
    bounds = {"minimum": low, "maximum": high}
    part = {
        "description": description,
        "type": ["number", "string"],
        "pattern": patterns.whole(r"[-−+]?([0-9]{1,9}(\.[0-9]{0,12})?|\.[0-9]{1,12})"),
        HINT: "A number without a unit; decimals with a point",
    }
    return Written(name, lambda: part | {key: at for key, at in bounds.items() if at is not None})


def words(
    name: str, description: str, known: Iterable[str], *others: Part, as_text: bool = True
) -> Written:
    """Describe one of a few words, in capitals or not, or something else."""
    listed = list(known)
    plain: Part = {"type": "string", "pattern": patterns.whole(patterns.one_of(listed))}
    ways = [{"enum": listed}, *([plain] if as_text else []), *others]
    return Written(name, lambda: {"description": description, "anyOf": ways})


def anything(name: str, description: str, *examples: str) -> Written:
    """Describe a text of the gardener's own; one that looks like a number is a text too."""
    part = {"description": description, "type": ["string", "number"]}
    return Written(name, lambda: part | ({"examples": list(examples)} if examples else {}))


def said(key: str) -> Part:
    """Describe an entry in which something other than no is written under ``key``."""
    no = r"^\s*([nN][oO](ne|NE)?|[fF][aA][lL][sS][eE]|0(\.0*)?(\s*%)?)\s*$"
    says_no = {"anyOf": [{"const": False}, {"const": 0}, {"type": "string", "pattern": no}]}
    return {"required": [key], "properties": {key: {"not": says_no}}}


def not_both(*pairs: tuple[str, str]) -> list[Part]:
    """Describe entries of which only one of two may be written, unless the other says no."""
    return [{"not": {"allOf": [said(one), said(other)]}} for one, other in pairs]


PERCENT: Part = {
    "type": ["string", "number"],
    "pattern": patterns.share(),
    "minimum": 0,
    "maximum": 0,
}
_HOUR, _HALF = "([01]?[0-9]|2[0-3])", r"[aApP]\.?[mM]\.?"
TIME = rf"({_HOUR}:[0-5][0-9](\s*{_HALF})?|{_HOUR}\s*{_HALF})"
"""A time of day."""
DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
TO = r"\s*(-|–|to|until)\s*"
