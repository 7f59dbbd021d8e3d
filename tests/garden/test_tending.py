"""What is done to a pot besides watering: exact readings, and exact words for what is missing."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from irrigate.errors import AnswerError
from irrigate.garden.answers import Change, Context, read_answer
from irrigate.garden.events import (
    Body,
    CanopyMeasured,
    Finger,
    Given,
    Marked,
    Planted,
    Resized,
    Tended,
)
from irrigate.garden.pots import Manner
from tests.garden.makers import a_garden, a_pot

NOW = datetime.fromisoformat("2026-07-10T07:25:00-07:00")
GARDEN = a_garden(
    *(a_pot(label, walk=step) for step, label in enumerate(("3", "5", "7"))),
    manner=Manner(can_l=8.0),
)
CONTEXT = Context(GARDEN, None, NOW)

FACTS: list[tuple[str, list[Body]]] = [
    ("7 fed", [Tended("p-7", "fed")]),
    ("3 5 fed", [Tended("p-3", "fed"), Tended("p-5", "fed")]),
    ("all fed", [Tended("p-3", "fed"), Tended("p-5", "fed"), Tended("p-7", "fed")]),
    ("7 saucer emptied", [Tended("p-7", "saucer emptied")]),
    ("7 emitter blocked", [Tended("p-7", "emitter blocked")]),
    ("7 emitter cleared", [Tended("p-7", "emitter cleared")]),
    ("7 unwell", [Marked("p-7", "unwell", on=True)]),
    ("7 well again", [Marked("p-7", "unwell", on=False)]),
    ("7 Paused", [Marked("p-7", "paused", on=True)]),
    ("7 resumed", [Marked("p-7", "paused", on=False)]),
    ("7 cut back", [Resized("p-7", 0.5, "cut back")]),
    ("7 cut back by half", [Resized("p-7", 0.5, "cut back")]),
    ("7 cut back by 30 %", [Resized("p-7", 0.7, "cut back")]),
    ("7 cut back to 30 x 40 cm", [CanopyMeasured("p-7", 0.3, 0.4)]),
    ("7 storm-stripped", [Resized("p-7", 0.7, "stripped")]),
    ("7 now 60 x 80 cm", [CanopyMeasured("p-7", 0.6, 0.8)]),
    ("7 2 ft wide 30 in tall", [CanopyMeasured("p-7", 0.61, 0.762)]),
    ("7 replanted", [Planted("p-7")]),
    ("7 fed; 3 dry; 5 1 can", [
        Tended("p-7", "fed"), Finger("p-3", "dry"), Given("p-5", 8.0, "can", 0.15),
    ]),
]  # fmt: skip

CHANGES = [
    ("7 replanted with basil", Change("7", "plant", "basil")),
    ("7 repotted into nursery 7 gal", Change("7", "pot", "nursery 7 gal")),
    ("7 repotted in black tub", Change("7", "pot", "black tub")),
    ("7 moved to Back Porch", Change("7", "place", "Back Porch")),
    ("7 taken out", Change("7", "out")),
    ("hose 10 L in 40 s", Change("", "hose", "10 L in 40 s")),
    ("hose bucket 3 gal in 50 s", Change("", "hose", "3 gal in 50 s")),
]

ERRORS = [
    ("7 moved", "'7 moved': say the rest of it, for example: 7 moved to porch"),
    ("7 repotted", "'7 repotted': say the rest of it, for example: 7 repotted into nursery 7 gal"),
    (
        "7 cut back by lots",
        (
            "'7 cut back by lots': cut back by how much? "
            "say for example: cut back by a third, or by 30 %"
        ),
    ),
    (
        "7 cut back to nothing",
        "'7 cut back to nothing': cut back to what size? say for example: cut back to 30 x 40 cm",
    ),
    (
        "7 now 60 x 9 m",
        "'7 now 60 x 9 m': a plant in a pot is between 1 cm and 6 m (20 ft) wide and tall",
    ),
    (
        "hose bucket",
        "'hose bucket': fill a bucket, count the seconds, and say for example: hose 10 L in 40 s",
    ),
    (
        "hose 10 L in 1 s",
        ("'hose 10 L in 1 s': a hose gives between 0.005 and 2 L a second; 10 L in 1 s is 10 L/s"),
    ),
]


@pytest.mark.parametrize(("text", "bodies"), FACTS, ids=[text for text, _ in FACTS])
def test_what_becomes_a_fact(text: str, bodies: list[Body]) -> None:
    """Each form is read as the facts that it stands for, and changes no description."""
    reading = read_answer(text, CONTEXT)
    assert [body for _, body in reading.said] == bodies
    assert reading.changes == ()


@pytest.mark.parametrize(("text", "change"), CHANGES, ids=[text for text, _ in CHANGES])
def test_what_belongs_into_the_garden_file(text: str, change: Change) -> None:
    """Each form is read as a change of one entry, and is no fact."""
    reading = read_answer(text, CONTEXT)
    assert [one for _, one in reading.changes] == [change]
    assert reading.said == ()


def test_all_moved_is_every_pot_and_not_a_round() -> None:
    """“all” with something done means every pot; nothing is said of the round."""
    reading = read_answer("all moved to shade", CONTEXT)
    assert [one for _, one in reading.changes] == [
        Change(label, "place", "shade") for label in ("3", "5", "7")
    ]


def test_it_was_at_another_time() -> None:
    """“at” dates what was done like everything else."""
    ((at, _),) = read_answer("7 fed, at 6:10", CONTEXT).said
    assert at == NOW - timedelta(hours=1, minutes=15)
    ((at, _),) = read_answer("7 moved to porch, at 6:10", CONTEXT).changes
    assert at == NOW - timedelta(hours=1, minutes=15)


@pytest.mark.parametrize(("text", "expected"), ERRORS, ids=[text for text, _ in ERRORS])
def test_what_lacks_something(text: str, expected: str) -> None:
    """What begins like something done but lacks a part is answered with an example."""
    with pytest.raises(AnswerError) as told:
        read_answer(text, CONTEXT)
    assert str(told.value) == expected


def test_a_can_is_no_size() -> None:
    """A volume after a label stays a watering, whatever else was learnt to be understood."""
    context = replace(CONTEXT)
    ((_, body),) = read_answer("7 1 can", context).said
    assert body == Given("p-7", 8.0, "can", 0.15)
