"""The columns of a table of pots: which of a pot's entries each holds, by its plain name."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from irrigate.errors import GardenFileError
from irrigate.settings.pot_entries import PotEntry
from irrigate.settings.readers import did_you_mean
from irrigate.settings.source import Mark, Source

LABELS = ("label", "number", "no", "nr", "#", "pot number", "pot no", "pot nr", "pot label", "id")
NAMES: Mapping[str, tuple[str, ...]] = {
    "plant": ("plant", "crop", "what", "what grows", "plants"),
    "pot": (
        "pot kind", "kind", "kind of pot", "pot type", "type", "pot size", "container", "vessel",
    ),
    "size": ("size", "plant size"),
    "wide": ("wide", "width", "plant width", "spread", "across"),
    "tall": ("tall", "height", "plant height", "high"),
    "place": ("place", "where", "location", "spot"),
    "mix": ("mix", "soil", "medium", "potting mix", "potting soil"),
    "name": ("name", "called", "variety"),
    "mulch": ("mulch", "mulched"),
    "covered": ("covered", "lid"),
    "saucer": ("saucer", "saucers", "dish", "drip tray", "tray"),
    "outer pot": ("outer pot", "cover pot", "cachepot", "cache pot"),
    "reservoir": ("reservoir", "water reservoir", "tank"),
    "stands": ("stands", "standing", "setting", "hanging or standing"),
    "wall": ("wall", "material", "pot material", "made of", "pot wall"),
    "colour": ("colour", "color", "pot colour", "pot color"),
    "leaf area": ("leaf area", "leaves", "area of leaves"),
    "repotted": ("repotted", "repotted on", "date repotted", "potted up"),
    "rain catch": ("rain catch", "rain caught"),
    "probe": ("probe", "probe points"),
    "planted": ("planted", "planting date", "date planted", "planted on"),
    "like": ("like", "same as"),
}  # fmt: skip
"""What a column may be called besides the key itself; capitals and stops do not matter."""

_IN_BRACKETS = re.compile(r"[(\[]([^()\[\]]*)[)\]]\s*$")


@dataclass(frozen=True, slots=True)
class Columns:
    """The table's columns.

    Parameters
    ----------
    names : as they are written.
    known : by key, the number of its column, counted from 1; ``label`` is the pot's number.
    units : by key, the unit that stands in brackets behind the column's name.
    remarks : what is said about columns that are not used.
    """

    names: tuple[str, ...] = ()
    known: Mapping[str, int] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()


def columns_of(header: list[str], source: Source, line: int) -> Columns:
    """Return what the header's names stand for; a `GardenFileError` if they are not a table's."""
    faults: list[str] = []
    known: dict[str, int] = {}
    unused: list[str] = []
    keys = [_key(name) for name in header]
    kind_named = "pot" in keys
    for column, name in enumerate(header):
        if _plain(name) == "pot":  # its number, if another column says what kind it is
            keys[column] = "label" if kind_named else "pot"
    for column, (name, key) in enumerate(zip(header, keys, strict=True), start=1):
        if key is None:
            unused += [name] if name else []
        elif key in known:
            what = f"“{name}” says the same as “{header[known[key] - 1]}”; keep one of the columns"
            faults.append(source.fault(Mark(line, column), what))
        else:
            known[key] = column
    faults += [source.fault(Mark(line, 1), what) for what in _missing(known, unused)]
    if faults:
        raise GardenFileError(faults)
    units = {key: _unit(header[column - 1]) for key, column in known.items()}
    return Columns(tuple(header), known, units, tuple(_remarks(known, unused)))


def _plain(name: str) -> str:
    lowered = (
        _IN_BRACKETS.sub("", name).casefold().replace("_", " ").replace("’", "'").strip(" .:*")
    )
    return " ".join(lowered.split())


def _unit(name: str) -> str:
    found = _IN_BRACKETS.search(name)
    return found[1].strip() if found else ""


def _key(name: str) -> str | None:
    """Return the entry that a column's name stands for, or None."""
    plain = _plain(name)
    if plain in LABELS:
        return "label"
    for key, names in NAMES.items():
        if plain in names:
            return key
    others = {field.alias or name for name, field in PotEntry.model_fields.items()}
    others -= NAMES.keys()
    return plain if plain in others else None


def _missing(known: Mapping[str, int], unused: list[str]) -> list[str]:
    """Say which columns a table of pots cannot do without."""
    wanted = {"plant": "what grows in it", "pot": "which kind of pot it is, as in nursery 5 gal"}
    missing = [key for key in wanted if key not in known]
    if not missing:
        return []
    called = {"plant": "plant", "pot": "pot kind"}
    told = []
    for key in missing:
        near = [name for name in unused if did_you_mean(name, NAMES[key], most=0)]
        hint = f"; is it the one called “{near[0]}”?" if near else ""
        told.append(f"there is no column “{called[key]}” ({wanted[key]}){hint}")
    return ["; ".join(told)]


def _remarks(known: Mapping[str, int], unused: list[str]) -> list[str]:
    said = []
    if unused:
        columns = "column" if len(unused) == 1 else "columns"
        said.append(f"Not used: the {columns} {', '.join(f'“{name}”' for name in unused)}.")
    if "label" not in known:
        said.append("The table has no column of pot numbers: they are counted from 1.")
    return said
