"""The package's own tables of plants, mixes and pot kinds, each value with its source.

The files are read as the gardener's is: every value is written as ``[value, "tag"]``, and the tag
begins with V, A, R or M as the head of ``media.yaml`` explains.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Generic, TypeVar, get_args

from irrigate.errors import GardenFileError, InputError
from irrigate.garden.crops import Crop
from irrigate.garden.media import Medium
from irrigate.garden.pots import Wall
from irrigate.garden.vessels import RoundBowl, RoundTaper, SquareTaper, Trough, Vessel
from irrigate.settings import nodes
from irrigate.settings.nodes import Node, plain, read_tree
from irrigate.settings.source import source_of

T = TypeVar("T")

SHAPES: Mapping[str, type[RoundTaper | SquareTaper | Trough | RoundBowl]] = {
    "round": RoundTaper,
    "square": SquareTaper,
    "trough": Trough,
    "bowl": RoundBowl,
}


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of pot: its vessel, and what its wall is made of."""

    name: str
    vessel: Vessel
    wall: Wall


@dataclass(frozen=True, slots=True)
class Stocked(Generic[T]):
    """One entry of a catalogue, and where each of its values comes from."""

    value: T
    tags: Mapping[str, str]

    @property
    def unverified(self) -> tuple[str, ...]:
        """The fields whose values come from memory or judgement."""
        return tuple(name for name, tag in self.tags.items() if tag.startswith("M"))


@dataclass(frozen=True, slots=True)
class Shelf(Generic[T]):
    """One catalogue: entries by name, and every spelling that leads to one."""

    entries: Mapping[str, Stocked[T]]
    spellings: Mapping[str, str]

    def find(self, name: str) -> str | None:
        """Return the catalogue's own name for what somebody called ``name``, or None."""
        folded = _folded(name)
        singular = (folded, folded.removesuffix("s"), folded.removesuffix("es"))
        return next((self.spellings[word] for word in singular if word in self.spellings), None)

    def __getitem__(self, name: str) -> Stocked[T]:
        return self.entries[name]


@cache
def crops() -> Shelf[Crop]:
    """Return the plants."""
    return _shelf("crops.yaml", _crop)


@cache
def media() -> Shelf[Medium]:
    """Return the mixes."""
    return _shelf("media.yaml", _medium)


@cache
def kinds() -> Shelf[Kind]:
    """Return the kinds of pot."""
    return _shelf("vessels.yaml", _kind)


def _shelf(file_name: str, build: Callable[[str, Mapping[str, Any], str], T]) -> Shelf[T]:
    """Read one catalogue file; what is wrong in it is told as in a gardener's file."""
    content = resources.files("irrigate.catalogue").joinpath(file_name).read_bytes()
    source = source_of(content, file_name)
    entries: dict[str, Stocked[T]] = {}
    spellings: dict[str, str] = {}
    for key, node in read_tree(source).entries:
        try:
            values, tags, aliases = _pairs(node)
            stocked = Stocked(build(key.text, values, _source_of_all(tags)), tags)
        except (InputError, ValueError, TypeError, KeyError) as wrong:
            what = f"{key.text}: {type(wrong).__name__}: {wrong}"
            raise GardenFileError([source.fault(key.mark, what)]) from wrong
        entries[key.text] = stocked
        for spelling in (key.text, *aliases):
            if spellings.setdefault(_folded(spelling), key.text) != key.text:
                what = f"{key.text}: “{spelling}” already means {spellings[_folded(spelling)]}"
                raise GardenFileError([source.fault(key.mark, what)])
    return Shelf(entries, spellings)


def _pairs(node: Node) -> tuple[dict[str, Any], dict[str, str], list[str]]:
    """Part an entry into its values, their tags, and its other names."""
    if not isinstance(node, nodes.Mapping):
        raise TypeError("fields are expected")
    values: dict[str, Any] = {}
    tags: dict[str, str] = {}
    aliases: list[str] = []
    for key, pair in node.entries:
        content = plain(pair)
        if key.text == "aliases":
            aliases = content
            continue
        values[key.text], tags[key.text] = content
        if tags[key.text][0] not in "VARM":
            raise ValueError(f"{key.text} has the tag {tags[key.text]}")
    return values, tags, aliases


def _source_of_all(tags: Mapping[str, str]) -> str:
    """Sum up an entry's tags: the distinct sources, or that all is a default."""
    read = dict.fromkeys(tag[1:].strip() for tag in tags.values() if not tag.startswith("M"))
    tables = sorted({int(table) for tag in read for table in re.findall(r"\bT([0-9]+)\b", tag)})
    named = [tag for tag in read if tag and not re.search(r"\bT[0-9]", tag)]
    if tables:
        named.insert(0, f"FAO-56 Tables {', '.join(map(str, tables))}")
    if any(tag.startswith("M") for tag in tags.values()):
        named.append("the rest default, not verified" if named else "default, not verified")
    return "; ".join(named)


def _crop(name: str, values: Mapping[str, Any], source: str) -> Crop:
    given = dict(values)
    stages = tuple(int(days) for days in given.pop("stages_d", None) or ())
    likes, fruiting = given.pop("likes"), given.pop("fruiting") == "true"
    months = tuple(float(share) for share in given.pop("leaves_by_month", None) or ())
    if likes not in ("even", "dry-between"):
        raise ValueError(f"likes {likes}")
    numbers: dict[str, Any] = {field: float(value) for field, value in given.items()}
    return Crop(
        name=name, stages_d=stages, likes=likes, fruiting=fruiting, source=source,
        leaves_by_month=months, **numbers,
    )  # fmt: skip


def _medium(name: str, values: Mapping[str, Any], source: str) -> Medium:
    given = dict(values)
    mineral = given.pop("mineral") == "true"
    numbers = {field: float(value) for field, value in given.items()}
    return Medium(name=name, mineral=mineral, source=source, **numbers)


def _kind(name: str, values: Mapping[str, Any], _source: str) -> Kind:
    given = dict(values)
    shape, wall = SHAPES[given.pop("shape")], given.pop("wall")
    if wall not in get_args(Wall):
        raise ValueError(f"wall {wall}")
    open_base = given.pop("open_base", "false") == "true"
    numbers: dict[str, Any] = {field: float(value) for field, value in given.items()}
    if "volume_l" in numbers:
        vessel: Vessel = shape.of_volume(numbers.pop("volume_l"))
        if numbers or open_base:
            raise ValueError(f"volume_l and {', '.join(numbers) or 'open_base'}")
    else:
        if open_base:
            numbers["open_base"] = True
        vessel = shape(**numbers)
    return Kind(name, vessel, wall)


def _folded(name: str) -> str:
    return " ".join(name.casefold().replace("_", " ").split())
