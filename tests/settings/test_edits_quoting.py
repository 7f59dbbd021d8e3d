"""Values written into YAML: what comes back is what went in, for our reader and for others."""

from __future__ import annotations

from datetime import date

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.settings.edits import SetInPot, edited
from irrigate.settings.nodes import plain, read_tree
from irrigate.settings.quoting import written, written_key
from irrigate.settings.source import source_of
from tests.campaigns.edited_gardens import texts

STYLES = [
    "pots:\n  7:\n    name: {}  # x\n",
    "pots: {{7: {{name: {}, plant: fig}}}}",
    "pots:\n  7: {{plant: fig, name: {} }}  # x\n",
]


def name_of(text: str) -> object:
    """Return the pot's name in a text, as the garden's reader sees it."""
    return plain(read_tree(source_of(text.encode(), "g.yaml")))["pots"]["7"]["name"]


@pytest.mark.parametrize("style", STYLES, ids=["lines", "braces", "mixed"])
@pytest.mark.parametrize("old", ["x", "'x'", '"x"', "~", "no", "|"])
@settings(max_examples=40, deadline=None)
@given(text=texts)
def test_texts_come_back(style, old, text):
    """Every text survives in place of every other, in every style of row."""
    if old == "|":
        style, old = STYLES[0].replace("  # x", ""), "|\n      x"
    before = style.format(old)
    after = edited(before, [SetInPot("7", "name", text)])
    assert name_of(after) == text
    assert after.count("# x") == before.count("# x")


@settings(max_examples=200, deadline=None)
@given(texts, st.booleans())
def test_other_readers_see_the_same_text(text, braces):
    """PyYAML's own loader, which guesses at types, sees the same text too."""
    for document in (
        f"{{x: {written(text, braces=True)}, y: z}}"
        if braces
        else f"x: {written(text, braces=False)}",
        f"x: {written({'x': [text]}, braces=braces)}",
    ):
        found = yaml.safe_load(document)["x"]
        assert found in (text, {"x": [text]})


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("no", '"no"'),
        ("22:00", '"22:00"'),
        ("07", '"07"'),
        ("null", '"null"'),
        ("", '""'),
        ("a: b", '"a: b"'),
        ("#x", '"#x"'),
        ("a #b", '"a #b"'),
        ("it's", "it's"),
        ('the "old" one', 'the "old" one'),
        ('"old"', "'\"old\"'"),
        ("é 🌱", "é 🌱"),
        ("10 %", "10 %"),
        ("knee-high, wider", "knee-high, wider"),
        ("2026-05-01", '"2026-05-01"'),
        (date(2026, 5, 1), "2026-05-01"),
        (True, "yes"),
        (False, "no"),
        (7, "7"),
        (0.2, "0.2"),
        (2.0, "2"),
        (1e-7, "0.0000001"),
        ({}, "{}"),
        ({"wide": "5 cm", "a: b": ["x, y"]}, '{wide: 5 cm, "a: b": ["x, y"]}'),
    ],
)
def test_how_values_are_written(value, text):
    """Texts are quoted where YAML or another reader of it would take them for something else."""
    assert written(value, braces=False) == text


@pytest.mark.parametrize(
    ("key", "text"), [("7", "7"), ("07", '"07"'), ("no", '"no"'), ("12a", "12a"), ("<<", '"<<"')]
)
def test_how_keys_are_written(key, text):
    """A pot's number stays plain; a label that others would take for more is quoted."""
    assert written_key(key, braces=False) == text


def test_the_gardeners_way_of_quoting_is_kept():
    """A text takes over the quotes of the one before it; a plain yes may become a plain no."""
    old = "pots: {7: {roof: yes, name: 'x', size: \"x\", planted: 2026-04-12}}"
    new = edited(
        old,
        [
            SetInPot("7", "roof", "no"),
            SetInPot("7", "name", "it's"),
            SetInPot("7", "size", "y"),
            SetInPot("7", "planted", "2026-05-01"),
        ],
    )
    assert new == "pots: {7: {roof: no, name: 'it''s', size: \"y\", planted: 2026-05-01}}"
