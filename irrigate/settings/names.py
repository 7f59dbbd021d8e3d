"""Types of the names in a garden file: those it gives, and those it refers to."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated, Any

from pydantic import AfterValidator, ValidationInfo

from irrigate import units
from irrigate.settings import written
from irrigate.settings.catalogue import Shelf
from irrigate.settings.fields import one_text, reading, volume_of_pot
from irrigate.settings.kind_words import kind_of
from irrigate.settings.readers import did_you_mean
from irrigate.settings.stocked_names import named, stocked
from irrigate.settings.words import SPOKEN_FOR
from irrigate.settings.written import Written
from irrigate.units import patterns

PROVIDERS = ("open-meteo",)


@dataclass(frozen=True, slots=True)
class Known:
    """The names that a garden file may refer to: the catalogue's and its own.

    ``places`` and ``ways`` are None where the file does not list them.
    """

    plants: Shelf[Any]
    mixes: Shelf[Any]
    kinds: Shelf[Any]
    places: tuple[str, ...] | None = None
    ways: tuple[str, ...] | None = None
    own: dict[str, tuple[str, ...]] = field(default_factory=dict)


def _known(info: ValidationInfo) -> Known:
    if not isinstance(info.context, Known):
        raise TypeError("a garden file is checked against the names it may refer to")
    return info.context


# --- names that the file gives -------------------------------------------------------------
def tidy_name(text: str) -> str:
    """Return a name with single spaces; refuse a long one."""
    name = " ".join(text.split())
    if len(name) > 60:
        raise ValueError("is longer than 60 letters; say it shorter")
    return name


def _label(text: str) -> str:
    if not re.fullmatch(r"\w(?:[\w.-]{0,10}\w)?", text):
        raise ValueError(
            f"“{text}” cannot be a pot's number: one word of at most 12 letters or digits, as in 7a"
        )
    if text.casefold() in SPOKEN_FOR:
        raise ValueError(f"“{text}” has a meaning in answers; give the pot a number, as in 7")
    return text


def _way(text: str) -> str:
    if not re.fullmatch(r"[a-z][a-z0-9-]{0,30}", text):
        raise ValueError(f"“{text}” cannot be a way's name: small letters and dashes, as in phone")
    return text


def _provider(text: str) -> str:
    if text not in PROVIDERS:
        hint = did_you_mean(text, PROVIDERS)
        raise ValueError(f"“{text}” is no source of weather; {hint} or a table, {{csv: its name}}")
    return text


Name = Annotated[str, reading(tidy_name), written.anything("name", "a name of your own")]
Label = Annotated[
    str,
    reading(_label),
    Written(
        "pot number",
        lambda: {
            "description": "a pot's number: one word of at most 12 letters or digits, as in 7a",
            "type": ["string", "number"],
            "pattern": r"^[^\s.-]([^\s]{0,10}[^\s.-])?$",
            "not": {"enum": sorted(SPOKEN_FOR)},
        },
    ),
]
Way = Annotated[
    str,
    reading(_way),
    written.text(
        "way", "a way to be reached", patterns.whole("[a-z][a-z0-9-]{0,30}"), "phone", "console"
    ),
]
Provider = Annotated[
    str,
    reading(_provider),
    written.words("provider", "a source of weather", PROVIDERS, as_text=False),
]


# --- names that the file refers to ---------------------------------------------------------
def _known_way(name: str, info: ValidationInfo) -> str:
    ways = _known(info).ways
    if ways is not None and name not in (*ways, "console"):
        hint = did_you_mean(name, (*ways, "console"))
        raise ValueError(f"“{name}” is not among the ways under “reach”; {hint}")
    return name


def _place(name: str, info: ValidationInfo) -> str:
    places = _known(info).places
    if places is not None and name not in places:
        raise ValueError(f"“{name}” is not among the places; {did_you_mean(name, places)}")
    return name


def _own_or_stocked(name: str, shelf: str, what: str, known: Known) -> str:
    """Return the name an entry goes by, the file's own first; refuse what neither has."""
    own = known.own.get(shelf, ())
    if name in own:
        return name
    stock: Shelf[Any] = getattr(known, shelf)
    found = stock.find(name)
    if found is None:
        names = [*own, *stock.spellings]
        if shelf == "kinds":  # a pot of another size is never meant
            figures = re.findall("[0-9]+", name)
            names = [one for one in names if re.findall("[0-9]+", one) == figures]
        hint = did_you_mean(name, names, most=0) if names else ""
        heading = {"plants": "plants", "mixes": "mixes", "kinds": "pot kinds"}[shelf]
        hint = hint or f"describe it under “{heading}”"
        raise ValueError(f"“{name}” is not a {what} known here; {hint}")
    return found


def _on_shelf(shelf: str, what: str) -> AfterValidator:
    def check(name: str, info: ValidationInfo) -> str:
        return _own_or_stocked(name, shelf, what, _known(info))

    return AfterValidator(check)


def _in_catalogue(shelf: str, what: str) -> AfterValidator:
    def check(name: str, info: ValidationInfo) -> str:
        return _own_or_stocked(name, shelf, what, replace(_known(info), own={}))

    return AfterValidator(check)


def pot_in_words(value: object, info: ValidationInfo) -> str | float | Mapping[str, str]:
    """Return the name of a kind of pot, its volume [L], or the measures that its name tells."""
    text = tidy_name(one_text(value))
    known = _known(info)
    try:
        return _own_or_stocked(text, "kinds", "pot kind", known)
    except ValueError:
        found = _pot_as_people_say(text, known)
        if found is not None:
            return found
        if not units.begins_with_number(text):
            raise
    return volume_of_pot(text)


def _pot_as_people_say(text: str, known: Known) -> str | float | Mapping[str, str] | None:
    """Return the kind, volume [L] or measures that people mean by ``5 gallon bucket``, or None."""
    try:
        found = kind_of(text, known.own.get("kinds", ()))
    except ValueError:
        return None
    if found.measures:
        return found.measures
    if found.name in known.kinds.entries or found.name in known.own.get("kinds", ()):
        return found.name
    return volume_of_pot(re.sub(r"(?i)\b(?:pot|container)s?\b", "", found.name).strip())


KnownWay = Annotated[Way, AfterValidator(_known_way)]
PlaceName = Annotated[
    Name, AfterValidator(_place), written.anything("place name", "one of the places")
]
PlantName = Annotated[Name, _on_shelf("plants", "plant"), Written("plant", named("plants"))]
MixName = Annotated[Name, _on_shelf("mixes", "mix"), Written("mix", named("mixes"))]
CataloguePlant = Annotated[
    Name, _in_catalogue("plants", "plant"), Written("catalogue plant", stocked("plants"))
]
CatalogueMix = Annotated[
    Name, _in_catalogue("mixes", "mix"), Written("catalogue mix", stocked("mixes"))
]
