"""The garden file, read whole: its settings, or a `GardenFileError` with everything wrong in it."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from irrigate.errors import GardenFileError
from irrigate.ports import GardenText
from irrigate.settings import catalogue
from irrigate.settings.faults import Faults
from irrigate.settings.labels import note_labels
from irrigate.settings.likeness import likened
from irrigate.settings.names import Known
from irrigate.settings.nodes import places, plain, read_tree
from irrigate.settings.place_entries import PlaceEntry
from irrigate.settings.resolve import resolve
from irrigate.settings.resolve_pots import usual_risk
from irrigate.settings.schema import GardenEntry
from irrigate.settings.source import Source, read_source, source_of
from irrigate.settings.values import Settings


class YamlGardenFile:
    """The YAML that the gardener wrote; read anew at every call."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def read(self) -> GardenText:
        """Read, check and resolve it; ids are empty strings."""
        settings = read_settings(self.path)
        return GardenText(settings.garden, settings.digest, settings.renamed)


def read_settings(path: Path) -> Settings:
    """Return what the garden file at ``path`` says; a `GardenFileError` with every fault."""
    return settings_from(read_source(path), path.parent)


def settings_of(text: str, name: str = "garden.yaml", folder: Path = Path()) -> Settings:
    """Return what a garden file's text says, as if it were called ``name``."""
    return settings_from(source_of(text.encode(), name), folder)


def settings_from(source: Source, folder: Path) -> Settings:
    """Return what a source says; files that it names lie in ``folder``."""
    tree = read_tree(source)
    raw: dict[str, Any] = plain(tree)
    likeness = likened(raw.get("pots"))
    faults = Faults(source, places(tree), likeness)
    faults.note_empty(tree)
    note_labels(raw, faults)
    if likeness.rows:
        raw = {**raw, "pots": likeness.rows}
    try:
        entry = GardenEntry.model_validate(raw, context=known_names(raw))
    except ValidationError as wrong:
        faults.note_schema(wrong)
        raise GardenFileError(faults.told()) from None
    _refuse(faults)
    resolved = resolve(entry, raw, folder, faults)
    _refuse(faults)
    return Settings(
        garden=resolved.garden,
        digest=hashlib.sha256(source.content).hexdigest(),
        renamed=resolved.renamed,
        service=resolved.service,
        remarks=tuple(resolved.remarks),
        readings=resolved.readings,
        risk=usual_risk(entry),
        unsaid=_unsaid(entry),
    )


def _unsaid(entry: GardenEntry) -> frozenset[tuple[str, ...]]:
    """Return the paths of the keys that the file leaves out, of its top and of its places."""
    left_out: set[tuple[str, ...]] = {
        (key,) for key in set(GardenEntry.model_fields) - entry.model_fields_set
    }
    for name, place in entry.places.items():
        left_out |= {
            ("places", name, key) for key in set(PlaceEntry.model_fields) - place.model_fields_set
        }
    return frozenset(left_out)


def known_names(raw: dict[str, Any]) -> Known:
    """Return the names that this file's entries may refer to."""

    def keys(heading: str) -> tuple[str, ...]:
        entries = raw.get(heading)
        return tuple(entries) if isinstance(entries, dict) else ()

    ways = raw.get("reach")
    if isinstance(ways, str):
        ways = [way.strip() for way in ways.split(",")]
    return Known(
        plants=catalogue.crops(),
        mixes=catalogue.media(),
        kinds=catalogue.kinds(),
        places=keys("places") or None,
        ways=tuple(str(way) for way in ways) if isinstance(ways, list) else None,
        own={"plants": keys("plants"), "mixes": keys("mixes"), "kinds": keys("pot kinds")},
    )


def _refuse(faults: Faults) -> None:
    told = faults.told()
    if told:
        raise GardenFileError(told)
