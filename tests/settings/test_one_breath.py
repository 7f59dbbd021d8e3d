"""A pot told in one line."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.errors import InputError
from irrigate.settings.one_breath import told_in
from irrigate.settings.row_parts import AtHand, size_of

HERE = AtHand(
    places=("driveway", "back step", "bay"),
    own_kinds=("Black tub",),
    kinds_in_use=("nursery 5 gal", "clay pot 30 cm"),
)


@pytest.mark.parametrize(
    ("line", "label", "row"),
    [
        (
            "7 pepper, nursery 5 gal, knee-high wider than pot, driveway",
            "7",
            {
                "plant": "pepper",
                "pot": "nursery 5 gal",
                "place": "driveway",
                "size": "knee-high, wider than pot",
            },
        ),
        (
            "7a. tomatoes, 5 gal bucket, on the driveway, straw mulch, planted 2026-04-12",
            "7a",
            {
                "plant": "tomato",
                "pot": "bucket 5 gal",
                "place": "driveway",
                "mulch": "straw",
                "planted": "2026-04-12",
            },
        ),
        (
            "7 5 gal bucket, tomato, driveway, called Old red, risk 10 %",
            "7",
            {
                "plant": "tomato",
                "pot": "bucket 5 gal",
                "place": "driveway",
                "name": "Old red",
                "risk": "10 %",
            },
        ),
        (
            "12 rosemary clay 14 in wide, 16 in tall, gritty mix, back step",
            "12",
            {
                "plant": "rosemary",
                "pot": "clay pot 30 cm",
                "place": "back step",
                "mix": "gritty mix",
                "size": {"wide": "14 in", "tall": "16 in"},
            },
        ),
        (
            "3 pepper black tub driveway 50 % mulch",
            "3",
            {"plant": "pepper", "pot": "Black tub", "place": "driveway", "mulch": "50 %"},
        ),
        ("9 like 7", "9", {"like": "7"}),
        ("9 same as 7, mulched", "9", {"mulch": "yes", "like": "7"}),
        ("5 bay, nursery, bay", "5", {"plant": "bay", "pot": "nursery 5 gal", "place": "bay"}),
        (
            "5 gal bucket, tomato, driveway",
            "8",
            {"plant": "tomato", "pot": "bucket 5 gal", "place": "driveway"},
        ),
        (
            "4 mint, pot: 19 L, place: bay",
            "4",
            {"plant": "mint", "pot": "19 L", "place": "bay"},
        ),
    ],
)
def test_lines(line, label, row):
    """Number first, the rest in any order; what can be one thing only settles what is left."""
    taken = [] if "like" not in row and label != "8" else ["7"]
    assert told_in(line, HERE, taken).rows == ((label, row),)


@pytest.mark.parametrize(
    ("line", "more"),
    [
        ("7 fig, 19 L in a saucer", {"saucer": "yes"}),
        ("7 fig, 19 L with a 30 cm saucer, sunk", {"saucer": "30 cm", "stands": "sunk"}),
        (
            "7 fig, 19 L, repotted 2026-05-01 from nursery 1 gal",
            {"repotted": "2026-05-01 from nursery 1 gal"},
        ),
        ("7 fig, 19 L, 6 L reservoir", {"reservoir": "6 L"}),
        ("7 fig, 19 L, outer pot: 30 L, wall: clay", {"outer pot": "30 L", "wall": "clay"}),
        ("7 fig, 19 L, leaf area: 0.6 m2", {"leaf area": "0.6 m2"}),
    ],
)
def test_what_a_pot_is_made_of_and_stands_in(line, more):
    """Saucers, reservoirs and the like are told in the same line; a key in full always is."""
    ((label, row),) = told_in(line, AtHand(places=["porch"])).rows
    assert (label, row) == ("7", {"plant": "fig", "pot": "19 L", "place": "porch", **more})


def test_any_order():
    """The parts after the number may come in every order."""
    parts = ["pepper", "nursery 5 gal", "knee-high, wider than pot", "driveway", "bark mix"]
    told = {str(told_in(f"7 {', '.join(order)}", HERE)) for order in permutations(parts)}
    assert len(told) == 1


def test_several_at_once():
    """A range of numbers is as many pots alike."""
    told = told_in("8-12 pepper, nursery 5 gal, driveway", HERE)
    assert [label for label, _ in told.rows] == ["8", "9", "10", "11", "12"]
    assert len({str(row) for _, row in told.rows}) == 1


def test_a_kind_by_the_size_in_its_name():
    """A pot that no catalogue has is described by its own size, and that is said."""
    told = told_in("7 lemon blue tub 40 L driveway", HERE)
    assert told.rows[0][1]["pot"] == "blue tub 40 L"
    assert told.kinds == {"blue tub 40 L": {"volume": "40 L"}}
    assert told.remarks == ("blue tub 40 L is taken to hold 40 L",)


def test_the_only_place():
    """Where there is one place only, it need not be said."""
    told = told_in("7 mint, nursery 5 gal", AtHand(places=("balcony",)))
    assert told.rows[0][1]["place"] == "balcony"


def test_the_place_before():
    """A line that names no place stands where the one before did; one that does, does not."""
    told = told_in("7 mint, nursery", HERE, ["6"], "driveway")
    assert told.rows[0][1]["place"] == "driveway"
    assert told_in("7 mint, nursery, bay", HERE, ["6"], "driveway").rows[0][1]["place"] == "bay"
    assert "place" not in told_in("7 like 6", HERE, ["6"], "driveway").rows[0][1]


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("", "write as in 7 pepper, nursery 5 gal, knee-high, driveway"),
        ("7 peper, nursery, driveway", "“peper” is not understood; did you mean pepper?"),
        ("7 pepper, nursery, drivway", "“drivway” is not understood; did you mean driveway?"),
        ("7 pepper, nursery", "say where it stands too"),
        ("7", "say what grows in it and what pot it is and where it stands too"),
        ("7 pepper, mint, nursery, driveway", "“mint” comes on top of plant: pepper; keep one"),
        (
            "7 pepper, nursery, driveway, bay, knee-high, shin-high",
            "“bay” comes on top of place: driveway; keep one",
        ),
        (
            "7 bay, nursery, mulched",
            "“bay” may be the place or the plant; write place: bay or plant: bay",
        ),
        ("3 mint, nursery, bay", "there is a pot 3 already; give this one another number"),
        ("8 like 5", "there is no pot 5 yet; there is 3"),
        ("12-8 like 3", "12-8: write the lower number first, and at most 100 pots"),
        (
            "7 qqq, nursery",
            (
                "“qqq” is not understood; it is no plant, pot kind, size, place or mix known here; "
                "places are driveway, back step, bay"
            ),
        ),
        (
            "7 mint, window box, bay",
            "“window box” is not understood; which one of window box 60 cm, window box 80 cm?",
        ),
        ("7 " + "x" * 500, "one line tells of one pot; this one is longer than 400 letters"),
    ],
)
def test_lines_that_are_not_understood(line, what):
    """What is open is asked back in one sentence."""
    with pytest.raises(InputError) as refused:
        told_in(line, HERE, ["3"])
    assert str(refused.value) == what


def test_sizes():
    """Words and measures make a size; anything else is none."""
    assert size_of("Knee high wider than the pot") == "knee high, wider than the pot"
    assert size_of("wider than pot knee-high") == "wider than pot, knee-high"
    assert size_of("40 cm wide and 1.2 m tall") == {"wide": "40 cm", "tall": "1.2 m"}
    assert size_of("½ m high") == {"tall": "½ m"}
    assert size_of("knee-high wider") == "knee-high, wider than pot"
    assert size_of("ankle-high, as wide") == "ankle-high, as wide as pot"
    assert size_of("Twice as wide knee-high") == "twice as wide as pot, knee-high"
    assert size_of("seedling") == "seedling"
    assert size_of("driveway") is None


WORDS = [
    "7", "8-12", "pepper", "bay", "mint", "nursery", "5", "gal", "#5", "clay", "pot", "30", "cm",
    "knee-high", "wider than pot", "driveway", "back step", "like", "straw", "mulch", "mulched",
    "planted", "2026-04-12", "called", ",", ":", "plant:", "pot:", "size:", "wide", "tall", "x",
    "by", "40 L", "tub", "½", "-", "undo", "🌱", "risk", "10 %", "\t", "'", '"', "{", "1e9",
]  # fmt: skip


@given(st.lists(st.sampled_from(WORDS) | st.text(max_size=6), max_size=14).map(" ".join))
def test_any_line_is_told_or_asked_back(line):
    """No line breaks the parser: it tells of at least one pot, or is refused with a sentence."""
    try:
        told = told_in(line, HERE, ["7"])
    except InputError:
        return
    assert told.rows
    for _, row in told.rows:
        assert "like" in row or {"plant", "pot", "place"} <= set(row)
