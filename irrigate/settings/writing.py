"""A new garden file, written from what the gardener answered, and read back to be sure of it.

Every answer stays the text that was given; the reader of garden files is the only judge of it, so
that what is asked and what is read cannot come to differ.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import yaml

from irrigate.errors import GardenFileError
from irrigate.settings.garden_file import settings_of
from irrigate.settings.nodes import Path, places, read_tree
from irrigate.settings.row_parts import Row
from irrigate.settings.source import source_of

NAME = "garden.yaml"
WIDEST = 100
_YES_OR_NO = frozenset(("roof", "covered", "saucer", "outer pot"))
"""Keys whose yes and no every reader of YAML takes for what they are."""
EXAMPLE: Row = {"plant": "tomato", "pot": "bucket 5 gal", "size": "knee-high, as wide as pot"}


@dataclass(frozen=True, slots=True)
class NewGarden:
    """The answers that a new garden file is made of, each as the file has it.

    Parameters
    ----------
    places, kinds : name and entries, in the order they were given.
    pots : label and entries, in walking order; without any, one example stands in their place.
    kinds_in_use : kinds of the catalogue, named in a comment for those who add pots later.
    """

    name: str
    latitude: str
    longitude: str
    elevation: str
    time_zone: str
    units: str
    can: str
    rounds: Sequence[str]
    person: str
    reach: Sequence[str]
    mix: str
    places: Sequence[tuple[str, Mapping[str, str]]]
    kinds: Sequence[tuple[str, Mapping[str, str]]] = ()
    kinds_in_use: Sequence[str] = ()
    pots: Sequence[tuple[str, Row]] = ()


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with the answers: which entry of the file, and what."""

    path: Path
    what: str


def garden_text(garden: NewGarden) -> str:
    """Return the garden file that says what was answered, with a comment for each of its parts."""
    return "\n".join((*_household(garden), *_surroundings(garden), *_pots(garden), ""))


def faults_of(garden: NewGarden) -> list[Fault]:
    """Return what the reader of garden files finds wrong with the answers, in the file's order."""
    text = garden_text(garden)
    try:
        settings_of(text, NAME)
    except GardenFileError as refused:
        return [_fault(text, told) for told in refused.faults]
    return []


def _fault(text: str, told: str) -> Fault:
    """Lead a fault of the written text back to the entry it is about."""
    found = re.match(rf"{re.escape(NAME)}:([0-9]+):([0-9]+): (.*)", told, re.DOTALL)
    if found is None:
        return Fault((), told)
    try:
        marks = places(read_tree(source_of(text.encode(), NAME)))
    except GardenFileError:
        return Fault((), found[3])
    at = (int(found[1]), int(found[2]))
    paths = [
        path
        for table in (marks.values, marks.keys)
        for path, mark in table.items()
        if (mark.line, mark.column) == at
    ]
    return Fault(max(paths, key=len, default=()), found[3])


# --- the parts of the file -----------------------------------------------------------------
def _household(garden: NewGarden) -> Iterator[str]:
    yield "# Your garden, as you told it. Change whatever you like, here, at any time; then let"
    yield "# `irrigate check` say how it was understood. A # begins a comment. Lengths and volumes"
    yield "# need a unit: cm, m, in, ft; L, gal, qt."
    yield ""
    yield f"garden: {scalar(garden.name)}"
    yield ""
    yield "# Where the sun and the weather are worked out for. South and west are below zero."
    yield "site:"
    yield f"  latitude: {scalar(garden.latitude)}"
    yield f"  longitude: {scalar(garden.longitude)}"
    yield f"  elevation: {scalar(garden.elevation)}"
    yield f"  time zone: {scalar(garden.time_zone)}"
    yield ""
    bucket = "5 gal" if garden.units == "US" else "10 L"
    yield _beside(f"units: {scalar(garden.units)}", "what messages are written in: US or metric")
    yield _beside(f"can: {scalar(garden.can)}", "what one can holds, filled as you fill it")
    yield _beside(f"# hose: {bucket} in 40 s", "time a bucket once: doses are then in seconds")
    yield ""
    yield '# When you come round with water. On some days only: {at: "18:30", on: [mon, wed, fri]}'
    yield f"rounds: {_listed(garden.rounds)}"
    yield ""
    yield "# Who is told, and by which ways. Their addresses and passwords do not belong here: they"
    yield "# stand in the environment or in a file that only you may read."
    yield f"reach: {_listed(garden.reach)}"
    yield f"people: [{_flow({'name': garden.person, 'reach': garden.reach})}]"
    yield '# With hours, nobody is called out of them: {name: …, hours: ["07:00-09:00", …]}'


def _surroundings(garden: NewGarden) -> Iterator[str]:
    yield ""
    yield "# Where pots stand. sun: when the sun reaches it; shade: how much of it is kept off;"
    yield "# wind: sheltered, yard or open; roof: yes where no rain falls."
    yield "places:"
    for name, said in garden.places:
        yield f"  {key(name)}: {_flow(said)}"
    if garden.kinds:
        yield ""
        yield "# Pots that the catalogue lacks, by their inside measures or what they hold."
        yield "pot kinds:"
        for name, said in garden.kinds:
            yield f"  {key(name)}: {_flow(said)}"
    yield ""
    yield "# What fills every pot that names no mix of its own."
    yield f"mix: {scalar(garden.mix)}"


def _pots(garden: NewGarden) -> Iterator[str]:
    yield ""
    yield "# One line a pot, in the order you walk. Its number is what you paint on it. plant, pot"
    yield "# and place are needed; size, mix, mulch, planted and name may be left out."
    if garden.kinds_in_use:
        yield f"# Kinds of pot in use: {', '.join(garden.kinds_in_use)}."
    yield "pots:"
    rows = garden.pots
    if not rows:
        yield "  # This one is only an example: put your own in its place."
        rows = (("1", {**EXAMPLE, "place": garden.places[0][0]}),)
    for label, row in rows:
        line = f"  {key(label)}: {_flow(row)}"
        if len(line) <= WIDEST:
            yield line
        else:
            yield f"  {key(label)}:"
            yield from (f"    {name}: {_value(name, said)}" for name, said in row.items())


# --- quoting -------------------------------------------------------------------------------
_PLAIN_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?")
_PLAIN_WORDS = re.compile(r"\w(?:[\w %+()/°.'-]*[\w%)])?")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_RESOLVER: Any = yaml.resolver.Resolver()


def scalar(text: str) -> str:
    """Return a text as YAML has it: in quotes where any reader could take it for something else."""
    tidy = " ".join(text.split())
    if _stands_plain(tidy):
        return tidy
    escaped = tidy.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def key(text: str) -> str:
    """Return a name as YAML has it before a colon."""
    return scalar(text)


def _stands_plain(text: str) -> bool:
    """Return whether a text means itself without quotes, in flow style too."""
    if _DATE.fullmatch(text):
        return True
    if _PLAIN_NUMBER.fullmatch(text):  # 12.50 would come back as 12.5
        return text == str(float(text) if "." in text else int(text))
    if not _PLAIN_WORDS.fullmatch(text):
        return False
    tag = _RESOLVER.resolve(yaml.ScalarNode, text, (True, False))
    return bool(tag == "tag:yaml.org,2002:str")


def _beside(line: str, comment: str) -> str:
    return f"{line:<26} # {comment}"


def _listed(texts: Sequence[str]) -> str:
    return f"[{', '.join(scalar(text) for text in texts)}]"


def _flow(entries: Mapping[str, object]) -> str:
    return (
        f"{{{', '.join(f'{key(name)}: {_value(name, said)}' for name, said in entries.items())}}}"
    )


def _value(name: str, said: object) -> str:
    if isinstance(said, Mapping):
        return _flow(said)
    if isinstance(said, str):
        return said if name in _YES_OR_NO and said in ("yes", "no") else scalar(said)
    if isinstance(said, Sequence):
        return _listed([str(text) for text in said])
    raise TypeError(f"{name}: {type(said).__name__} has no place in a garden file")
