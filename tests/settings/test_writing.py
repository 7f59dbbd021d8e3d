"""A new garden file: whatever was answered is in it, and it is in order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
import yaml
from hypothesis import given, settings

from irrigate.cli.init_answers import START
from irrigate.settings.garden_file import read_settings, settings_of
from irrigate.settings.nodes import plain, read_tree
from irrigate.settings.source import source_of
from irrigate.settings.writing import NewGarden, faults_of, garden_text, scalar
from tests.settings.new_gardens import NASTY, new_gardens


def _tidy(said: Any) -> Any:
    """Return answers as they stand in a file: single spaces, lists and mappings plain."""
    if isinstance(said, str):
        return " ".join(said.split())
    if isinstance(said, Mapping):
        return {_tidy(key): _tidy(value) for key, value in said.items()}
    return [_tidy(value) for value in said]


def _expected(garden: NewGarden) -> dict[str, Any]:
    """Return what a reader of the file must find, key for key."""
    found = {
        "garden": garden.name,
        "site": {
            "latitude": garden.latitude,
            "longitude": garden.longitude,
            "elevation": garden.elevation,
            "time zone": garden.time_zone,
        },
        "units": garden.units,
        "can": garden.can,
        "rounds": garden.rounds,
        "reach": garden.reach,
        "people": [{"name": garden.person, "reach": garden.reach}],
        "places": dict(garden.places),
        "mix": garden.mix,
        "pots": dict(garden.pots),
    }
    if garden.kinds:
        found["pot kinds"] = dict(garden.kinds)
    return dict(_tidy(found))


def _as_written(value: Any) -> Any:
    """Return what PyYAML made of a value as the text that was written for it."""
    if isinstance(value, dict):
        return {_as_written(key): _as_written(said) for key, said in value.items()}
    if isinstance(value, list):
        return [_as_written(said) for said in value]
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)


@settings(max_examples=60, deadline=None)
@given(new_gardens())
def test_whatever_is_answered_is_read_back(tmp_path_factory, garden):
    """The file is in order, and holds every answer as it was given, pots in the order given."""
    path = tmp_path_factory.mktemp("garden") / "garden.yaml"
    path.write_text(garden_text(garden), encoding="utf-8")
    read = read_settings(path).garden
    assert faults_of(garden) == []
    assert [pot.label for pot in read.pots] == [label for label, _ in garden.pots or [("1", {})]]
    assert read.site.latitude_deg == float(garden.latitude)
    assert read.name == " ".join(garden.name.split())
    held = plain(read_tree(source_of(path.read_bytes(), path.name)))
    expected = _expected(garden)
    if not garden.pots:
        held.pop("pots"), expected.pop("pots")
    assert held == expected
    assert list(held.get("pots", ())) == list(expected.get("pots", ()))


@settings(max_examples=60, deadline=None)
@given(new_gardens())
def test_any_reader_of_yaml_finds_the_same(garden):
    """PyYAML's safe loader, which guesses at types, finds the same texts: nothing lacks quotes."""
    loaded = yaml.safe_load(garden_text(garden))
    expected = _expected(garden)
    latitude = loaded["site"].pop("latitude")
    assert float(latitude) == float(expected["site"].pop("latitude"))
    if not garden.pots:
        loaded.pop("pots"), expected.pop("pots")
    assert _as_written(loaded) == expected


@pytest.mark.parametrize("text", NASTY)
def test_texts_that_need_quotes(text):
    """A text that YAML could take for something else comes back as it was, in flow style too."""
    (value,) = yaml.safe_load(f"[{scalar(text)}]")
    assert str(value) == text
    ((key, _),) = yaml.safe_load(f"{{{scalar(text)}: x}}").items()
    assert str(key) == text


def test_what_needs_no_quotes_has_none():
    """Plain words, numbers and dates stay as a gardener would write them."""
    for text in ("nursery 5 gal", "knee-high", "7", "38.61", "-121.3", "2026-04-20", "50 %"):
        assert scalar(text) == text
    assert scalar("07:00") == '"07:00"'
    assert scalar("no") == '"no"'
    assert scalar("knee-high, wider than pot") == '"knee-high, wider than pot"'


def test_one_line_a_pot_where_it_fits():
    """A short pot stands in one line, a long one in lines of its own; no line is very long."""
    row = {"plant": "pepper", "pot": "nursery 5 gal", "place": "garden"}
    many = row | {"name": "The one by the drain pipe", "mix": "potting mix", "mulch": "straw"}
    text = garden_text(replace(START, pots=(("1", row), ("2", many))))
    assert "\n  1: {plant: pepper, pot: nursery 5 gal, place: garden}\n" in text
    assert "\n  2:\n    plant: pepper\n    pot: nursery 5 gal\n" in text
    assert max(len(line) for line in text.splitlines()) <= 100


def test_without_pots_an_example_stands_for_them():
    """A garden of which no pot was told is in order all the same, and says what is an example."""
    text = garden_text(START)
    assert (
        "  # This one is only an example: put your own in its place.\n  1: {plant: tomato," in text
    )
    assert [pot.label for pot in settings_of(text).garden.pots] == ["1"]


def test_every_part_is_explained():
    """Every heading of the file has a comment before it or beside it."""
    lines = garden_text(replace(START, kinds=(("tub", {"volume": "40 L"}),))).splitlines()
    tops = [at for at, line in enumerate(lines) if line[:1].isalpha()]
    for at in tops:
        above = next(line for line in reversed(lines[:at]) if line)
        near = lines[at].startswith(("garden:", "people:")) or "#" in lines[at]
        assert near or above.startswith("#"), lines[at]


def test_faults_are_led_back_to_the_answer():
    """What the reader finds wrong is told of the entry, not of a line nobody has seen."""
    wrong = replace(START, can="9", pots=(("7", {"plant": "peper", "pot": "#5", "place": "x"}),))
    assert [(fault.path, fault.what) for fault in faults_of(wrong)] == [
        (("can",), "can: 9 has no unit: say 9 L or 9 gal"),
        (
            ("pots", "7", "plant"),
            "pot 7, plant: “peper” is not a plant known here; did you mean pepper?",
        ),
        (
            ("pots", "7", "place"),
            "pot 7, place: “x” is not among the places; there is garden",
        ),
    ]
