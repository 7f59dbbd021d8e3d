"""Whatever the documents show of a garden file is taken by the reader, and by its JSON schema."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from irrigate.errors import GardenFileError
from irrigate.settings.garden_file import read_settings, settings_of
from irrigate.settings.json_schema import garden_schema
from irrigate.settings.nodes import plain, read_tree
from irrigate.settings.schema import GardenEntry
from irrigate.settings.source import source_of
from tests.docs.documents import DOCUMENTS, TOP, Piece, blocks, inline
from tests.settings.yaml_as_editors_see_it import as_editors_see_it

KEYS = {field.alias or name for name, field in GardenEntry.model_fields.items()}

MINIMAL = """\
site: {latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}
rounds: [07:00]
places: {driveway: {wind: open}, porch: }
pots:
  1: {plant: basil, pot: 5 gal, place: porch}
"""
"""What a snippet is a part of."""


def snippets() -> list[Piece]:
    """Return all that is part of a garden file: blocks of YAML, and entries between backticks."""
    found = [piece for piece in blocks() if piece.language in ("yaml", "yml")]
    for piece in inline():
        key, colon, _ = piece.text.partition(": ")
        if colon and key in KEYS:
            found.append(piece)
    return found


def merged(whole: Any, part: Any) -> Any:
    """Return a garden with a snippet put in: entries are added, anything else is replaced."""
    if isinstance(whole, dict) and isinstance(part, dict):
        return whole | {key: merged(whole.get(key), value) for key, value in part.items()}
    return part


@pytest.mark.parametrize("piece", snippets(), ids=lambda piece: piece.where)
def test_a_snippet_is_a_part_of_a_garden(piece):
    """Put into a small garden, it is read without a fault, and an editor marks nothing."""
    part = plain(read_tree(source_of(piece.text.encode(), piece.where)))
    assert set(part) <= KEYS
    whole = merged(plain(read_tree(source_of(MINIMAL.encode(), "minimal"))), part)
    settings_of(json.dumps(whole, ensure_ascii=False), piece.where)
    typed = merged(as_editors_see_it(MINIMAL), as_editors_see_it(piece.text))
    assert list(Draft202012Validator(garden_schema()).iter_errors(typed)) == []


def test_snippets_are_found():
    """The README shows a row of a pot, and how the weather and the ways are named."""
    shown = {piece.text.partition(":")[0] for piece in snippets()}
    assert {"pots", "weather", "reach"} <= shown
    assert {path.name for path in DOCUMENTS} >= {"README.md", "DEVELOPERS.md"}


def test_a_wrong_snippet_would_be_found():
    """The same way through refuses a row that cannot be."""
    part = {"pots": {"7": {"plant": "peper", "pot": "19 L", "place": "porch"}}}
    whole = merged(plain(read_tree(source_of(MINIMAL.encode(), "minimal"))), part)
    with pytest.raises(GardenFileError, match="did you mean pepper"):
        settings_of(json.dumps(whole))


def gardens() -> list[Path]:
    """Return every garden file in the package and beside it."""
    yamls = [*(TOP / "config").glob("**/*.y*ml"), *(TOP / "irrigate").glob("**/*.y*ml")]
    return sorted(path for path in yamls if {"site", "pots"} <= _top_keys(path))


def _top_keys(path: Path) -> set[str]:
    node = yaml.compose(path.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
    return {key.value for key, _ in node.value} if isinstance(node, yaml.MappingNode) else set()


@pytest.mark.parametrize("path", gardens(), ids=lambda path: path.name)
def test_every_garden_that_comes_along_is_in_order(path):
    """Each is read without a fault and has pots; what it leaves out is said."""
    settings = read_settings(path)
    assert settings.garden.pots
    assert set(settings.readings) == {pot.label for pot in settings.garden.pots}


def test_the_gardens_are_found():
    """The sample to copy and the demonstration's are among them."""
    assert {path.name for path in gardens()} >= {"sample.yaml", "demo_garden.yaml"}
