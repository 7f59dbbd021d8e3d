"""Edits of the garden's text: what changes, to the byte, and what is refused in which words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.errors import InputError
from irrigate.settings.edits import (
    FORBIDDEN,
    AddPot,
    RemoveAtTop,
    RemoveFromMix,
    RemoveFromPlace,
    RemoveFromPot,
    RenamePot,
    SetAtTop,
    SetInMix,
    SetInPlace,
    SetInPot,
    TakeOutPot,
    difference,
    edited,
)
from irrigate.settings.garden_file import settings_of
from tests.campaigns.bad_garden import mutations
from tests.campaigns.edited_gardens import cases, holds_for
from tests.settings.gardens import GARDEN

SAMPLE = Path(__file__).parents[2] / "config" / "sample.yaml"


@settings(max_examples=100, deadline=None, suppress_health_check=list(HealthCheck))
@given(cases())
def test_edits_in_every_style(case):
    """Values come out as said, comments and other lines stay, and the way back leads back."""
    holds_for(case)


ANY_EDIT = st.sampled_from(
    [
        SetInPot("7", "size", "shin-high"),
        SetInPot("8", "shade", "a: b"),
        RemoveFromPot("07a", "size"),
        AddPot("9", {"plant": "basil", "pot": "5 gal", "place": "porch"}, after="7"),
        TakeOutPot("07a"),
        RenamePot("7", "17"),
        SetInPlace("porch", "wind", "open"),
        SetInMix("my mix", "n", 1.5),
        SetAtTop("hose", "10 L in 40 s"),
        RemoveAtTop("can"),
    ]
)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(mutations(), ANY_EDIT)
def test_edits_of_spoilt_files(content, edit):
    """Whatever the file has become, an edit is made or refused in words; nothing else comes out."""
    text = content.decode("utf-8", "surrogateescape")
    try:
        outcome = edited(text, [edit], name="")
    except InputError as refused:
        outcome = str(refused)
        assert re.match(":( |[0-9]+:[0-9]+: )", outcome)
    assert outcome


EXACT = [
    (  # a block row
        "pots:\n  7: # seven\n    plant: pepper # hot\n\n    # below\n  8: {}\n",
        SetInPot("7", "plant", "basil"),
        "pots:\n  7: # seven\n    plant: basil # hot\n\n    # below\n  8: {}\n",
    ),
    (  # a new key stands behind the last, before what was remarked on below
        "pots:\n  7:\n    plant: pepper # hot\n    # below\n\n  8: {}\n",
        SetInPot("7", "mulch", "straw"),
        "pots:\n  7:\n    plant: pepper # hot\n    mulch: straw\n    # below\n\n  8: {}\n",
    ),
    (  # a flow row keeps its line, its spaces and its quotes
        "pots:\n  7: { 'plant' : 'pepper' , pot: 5 gal }   # x\n",
        SetInPot("7", "plant", "basil"),
        "pots:\n  7: { 'plant' : 'basil' , pot: 5 gal }   # x\n",
    ),
    (
        "pots:\n  7: { plant: pepper, pot: 5 gal }   # x\n",
        SetInPot("7", "risk", "10 %"),
        "pots:\n  7: { plant: pepper, pot: 5 gal, risk: 10 % }   # x\n",
    ),
    (  # a long flow row over several lines
        "pots:\n  7: {plant: pepper,  # hot\n      pot: 5 gal,  # black\n      place: a}\n",
        SetInPot("7", "risk", "10 %"),
        (
            "pots:\n  7: {plant: pepper,  # hot\n      pot: 5 gal,  # black\n      place: a,\n"
            "      risk: 10 %}\n"
        ),
    ),
    (
        "pots:\n  7: {plant: pepper,  # hot\n      pot: 5 gal,  # black\n      place: a}\n",
        RemoveFromPot("7", "pot"),
        "pots:\n  7: {plant: pepper,  # hot\n      # (pot) black\n      place: a}\n",
    ),
    (
        "pots:\n  7: {plant: pepper,  # hot\n      pot: 5 gal, place: a}\n",
        RemoveFromPot("7", "place"),
        "pots:\n  7: {plant: pepper,  # hot\n      pot: 5 gal}\n",
    ),
    (  # CRLF, and no line break at the end
        "pots:\r\n  7:\r\n    plant: pepper",
        SetInPot("7", "pot", "5 gal"),
        "pots:\r\n  7:\r\n    plant: pepper\r\n    pot: 5 gal",
    ),
    (  # a byte order mark
        "\ufeffpots: {7: {plant: pepper}}",
        SetInPot("7", "plant", "fig"),
        "\ufeffpots: {7: {plant: fig}}",
    ),
    (  # quoted keys
        "pots:\n  '7':\n    \"plant\": pepper\n  8: {}\n",
        RenamePot("7", "17"),
        "pots:\n  '17':\n    \"plant\": pepper\n    was: 7\n  8: {}\n",
    ),
    (  # a renaming follows the pot to where others are like it, and replaces an older one
        "pots:\n  7: {plant: pepper, was: 3}\n  8: {like: 7}\n",
        RenamePot("7", "9"),
        "pots:\n  9: {plant: pepper, was: 7}\n  8: {like: 9}\n",
    ),
    (  # a row taken out leaves its comments behind, which say what they were about
        "pots:\n  # tall\n  7:  # black\n    plant: pepper  # from Ana\n    # wilts\n  8: {}\n",
        TakeOutPot("7"),
        "pots:\n  # tall\n  # (7) black\n  # (7) from Ana\n  # (7) wilts\n  8: {}\n",
    ),
    (  # a value in lines becomes one beside its key; its comments stay
        (
            "pots:\n  7:\n    size:  # in May\n      wide: 5 cm  # measured\n      # guessed\n"
            "      tall: 9 cm\n    pot: x\n"
        ),
        SetInPot("7", "size", "shin-high, wider than pot"),
        (
            "pots:\n  7:\n    size: shin-high, wider than pot  # in May\n      # measured\n"
            "      # guessed\n    pot: x\n"
        ),
    ),
    (  # of a value in lines only the lines that differ are touched
        "pots:\n  7:\n    size:\n      wide: 5 cm  # measured\n      tall: 9 cm  # guessed\n",
        SetInPot("7", "size", {"tall": "1 m", "wide": "5 cm"}),
        "pots:\n  7:\n    size:\n      wide: 5 cm  # measured\n      tall: 1 m  # guessed\n",
    ),
    (  # texts over several lines
        "pots:\n  7:\n    name: |  # two\n      old\n\n      red\n\n    pot: x\n",
        SetInPot("7", "name", "Old red"),
        "pots:\n  7:\n    name: Old red # two\n\n    pot: x\n",
    ),
    (
        "pots:\n  7:\n    name: old\n      red\n    pot: x\n",
        SetInPot("7", "name", "Old red"),
        "pots:\n  7:\n    name: Old red\n    pot: x\n",
    ),
    (  # a place of which nothing was said
        "places:\n  porch:   # tiled\n  yard: ~\npots: {7: {}}\n",
        SetInPlace("porch", "roof", True),
        "places:\n  porch: {roof: yes}   # tiled\n  yard: ~\npots: {7: {}}\n",
    ),
    (
        "places:\n  porch:\n    roof: yes   # tin\n  yard: ~\n",
        RemoveFromPlace("porch", "roof"),
        "places:\n  porch: {}\n    # (roof) tin\n  yard: ~\n",
    ),
    (
        "mixes: {mine: {like: potting mix, n: 1.4}}\n",
        RemoveFromMix("mine", "n"),
        "mixes: {mine: {like: potting mix}}\n",
    ),
    ("mixes: {mine: {}}\n", SetInMix("mine", "n", 2.0), "mixes: {mine: {n: 2}}\n"),
    (  # a new key at the top stands where the documented order has it
        "garden: x\ncan: 8 L   # green\n# hose?\n\npots: {7: {}}\n",
        SetAtTop("hose", "10 L in 40 s"),
        "garden: x\ncan: 8 L   # green\nhose: 10 L in 40 s\n# hose?\n\npots: {7: {}}\n",
    ),
    ("can: 8 L  # green\nrisk: 5 %\n", RemoveAtTop("can"), "# (can) green\nrisk: 5 %\n"),
    (
        "rounds:\n  - 07:00 # early\n  - 19:00\npots: {}\n",
        SetAtTop("rounds", ["06:30", "22:00"]),
        'rounds: [06:30, "22:00"]\n  # early\npots: {}\n',
    ),
    (  # a new row is written in the way of the one before it
        "pots:\n  7:\n      plant: fig\n      # dear\n  8: {plant: basil}\n",
        AddPot("9", {"plant": "mint", "size": {"wide": "5 cm"}}, after="7"),
        (
            "pots:\n  7:\n      plant: fig\n      # dear\n  9:\n      plant: mint\n"
            "      size: {wide: 5 cm}\n  8: {plant: basil}\n"
        ),
    ),
    (
        "pots:\n  7:\n    plant: fig\n  8: {plant: basil}\n# end\n",
        AddPot("no", {"plant": "mint", "size": "knee-high, wider than pot"}),
        (
            'pots:\n  7:\n    plant: fig\n  8: {plant: basil}\n  "no": {plant: mint, size: '
            '"knee-high, wider than pot"}\n# end\n'
        ),
    ),
    (  # what says so already is not touched
        "pots: {7: {plant: 'fig'}}",
        SetInPot("7", "plant", "fig"),
        "pots: {7: {plant: 'fig'}}",
    ),
]


@pytest.mark.parametrize(("old", "edit", "new"), EXACT, ids=range(len(EXACT)))
def test_the_text_to_the_byte(old, edit, new):
    """Each edit changes its own place and nothing else."""
    assert edited(old, [edit]) == new


def test_a_renaming_taken_back():
    """A pot that takes its known number back no longer says that it was another."""
    once = edited(GARDEN, [RenamePot("8", "18")])
    assert edited(once, [RenamePot("18", "8", known_as="8")]) == GARDEN
    twice = edited(once, [RenamePot("18", "28", known_as="8")])
    assert settings_of(twice).renamed == (("3", "07a"), ("8", "28"))


def test_several_edits_of_the_sample():
    """The sample garden takes a handful of edits at once, and is in order afterwards."""
    old = SAMPLE.read_text(encoding="utf-8")
    new = edited(
        old,
        [
            SetInPot("1", "size", "head-high, wider than pot"),
            SetInPot("3", "size", {"wide": "40 cm", "tall": "60 cm"}),
            AddPot("13", {"plant": "basil", "pot": "5 L", "place": "porch"}, after="4"),
            RenamePot("12a", "12"),
            TakeOutPot("9"),
            SetAtTop("hose", "10 L in 40 s"),
        ],
    )
    labels = [pot.label for pot in settings_of(new).garden.pots]
    assert labels == ["1", "2", "3", "4", "13", "5", "6", "7", "8", "10", "11", "12"]
    comments = [line for line in old.splitlines() if line.lstrip().startswith("#")]
    assert [line for line in new.splitlines() if line in comments] == comments


MISTAKES = [
    (SetInPot("70", "risk", "5 %"), "there is no pot 70; did you mean 7?"),
    (SetInPlace("drive", "wind", "open"), "there is no place drive; did you mean driveway?"),
    (SetInMix("mix", "n", 1), "there is no mix mix; did you mean my mix?"),
    (RemoveFromPot("7", "risk"), "pot 7 has no “risk”: there is nothing to take out"),
    (RemoveAtTop("hose"), "the file has no “hose”: there is nothing to take out"),
    (AddPot("8", {}), "there is a pot 8 already; give this one another number"),
    (AddPot("9", {}, after="6"), "there is no pot 6 to stand behind; there is 7, 07a, 8"),
    (RenamePot("7", "8"), "there is a pot 8 already: take another name"),
    (RenamePot("7", "7"), "pot 7 has that number already"),
    (SetAtTop("garden", "a\nb"), "“a�b” holds a character that cannot be written (U+000A): "),
    (SetInPot("7", "risk", float("nan")), "nan is not a number that can be written"),
    (SetInPot("7", "risk", None), "None cannot be written: give a text, a number, a date, or "),
]


@pytest.mark.parametrize(("edit", "said"), MISTAKES, ids=range(len(MISTAKES)))
def test_what_cannot_be_done(edit, said):
    """An edit that has nothing to take hold of says so, and what there is."""
    with pytest.raises(InputError) as refused:
        edited(GARDEN, [edit])
    assert str(refused.value).startswith(f"garden.yaml: {said}")


def test_the_only_pot_stays():
    """A garden has at least one pot."""
    with pytest.raises(InputError, match="pot 7 is the only one"):
        edited("pots: {7: {}}", [TakeOutPot("7")])


UNUSUAL = [
    ("pots:\n  7: {plant: fig}\n", RenamePot("7", "a" * 1200)),
    ("pots:\n  7:\n    was: |+\n      a\n\n\n  8: {}\n", SetInPot("7", "mulch", "no")),
    ("pots:\n  ? 7\n  :\n    - fig\n  ? 8\n", SetInPot("7", "mulch", "no")),
]


@pytest.mark.parametrize(("text", "edit"), UNUSUAL, ids=range(len(UNUSUAL)))
def test_unusual_yaml_is_left_to_a_person(text, edit):
    """Where a splice would change more than was asked for, nothing is changed."""
    with pytest.raises(InputError, match="change it by hand"):
        edited(text, [edit])


@pytest.mark.parametrize("tab", ["pots:\n\t7: {}\n", "pots:\n  7:\n  \tplant: fig\n"])
def test_tabs_are_refused_as_by_the_reader(tab):
    """A file that its reader refuses is not edited either."""
    with pytest.raises(InputError, match="a tab; indent with spaces instead"):
        edited(tab, [SetInPot("7", "plant", "fig")])


@pytest.mark.parametrize(
    "edit",
    [
        *(SetAtTop(key, "x") for key in sorted(FORBIDDEN)),
        RemoveAtTop("people"),
        SetInPot("7", "line", "porch"),
        AddPot("9", {"plant": "fig", "line": "porch"}),
        SetAtTop("pots", {"7": {"line": "porch"}}),
    ],
)
def test_what_the_page_may_not_touch(edit):
    """Who is told, where weather comes from and what opens are changed in the file only."""
    with pytest.raises(InputError, match="is not changed from the page, for safety"):
        edited(GARDEN, [edit], by_page=True)


def test_the_page_may_change_the_rest():
    """A place may be called line; what is about pots is the page's to change."""
    old = "places: {line: {wind: open}}\n"
    new = edited(old, [SetInPlace("line", "wind", "yard")], by_page=True)
    assert new == "places: {line: {wind: yard}}\n"
    assert edited(GARDEN, [SetInPot("7", "risk", "5 %")], by_page=True) != GARDEN


def test_the_difference():
    """What would change is shown with a line around it, and nothing where nothing does."""
    old = "a: 1\r\nb: 2\r\nc: 3\r\nd: 4"
    assert difference(old, old) == ""
    assert difference(old, old.replace("3", "5"), "g.yaml").split("\n") == [
        "--- g.yaml before",
        "+++ g.yaml after",
        "@@ -2,3 +2,3 @@",
        " b: 2",
        "-c: 3",
        "+c: 5",
        " d: 4",
    ]
