"""The ways to say that a pot ran: all are read as the same bodies, and nothing else is."""

from __future__ import annotations

import pytest

from irrigate.errors import AnswerError
from irrigate.garden.answers import read_answer
from irrigate.garden.events import Body, Drained, Finger, Given, RainAtPots, TillRan
from tests.garden.test_answers import CONTEXT, KEY

ONCE, TWICE = TillRan("p-9"), TillRan("p-9", twice=True)
THREE, THREE_TWICE = TillRan("p-9", 3.0), TillRan("p-9", 3.0, twice=True)

READINGS: list[tuple[str, list[Body]]] = [
    ("9 till it ran", [ONCE]),
    ("9 until it ran out below", [ONCE]),
    ("9 ran", [ONCE]),
    ("9 till it ran through", [ONCE]),
    ("9 ran, waited, ran again", [TWICE]),
    ("9 Ran, Waited, Ran Again", [TWICE]),
    ("9 till it ran, waited, then till it ran again", [TWICE]),
    ("9 ran and then waited and it ran again", [TWICE]),
    ("9 ran; let it soak; ran again", [TWICE]),
    ("9 ran twice", [TWICE]),
    ("9 ran, ran again", [TWICE]),
    ("9 till it ran 3 L", [THREE]),
    ("9 till it ran, 3 L", [THREE]),
    ("9 till it ran; took 3 L", [THREE]),
    ("9 took 3 L till it ran", [THREE]),
    ("9 3 L until it ran", [THREE]),
    ("9: had 3 L until it ran", [THREE]),
    ("9 till it ran, 15 s hose", [THREE]),
    ("9 till it ran 15 s of the hose", [THREE]),
    ("9 till it ran twice, 3 L", [THREE_TWICE]),
    ("9 ran, waited, ran again, 3 L", [THREE_TWICE]),
    ("9 took 3 L till it ran twice", [THREE_TWICE]),
    ("9 ran, waited, ran again 3 L", [THREE_TWICE]),
    ("9 till it ran, ½ can", [TillRan("p-9", 4.0)]),
    ("9 till it ran, 3 can", [TillRan("p-9", 24.0)]),
    ("9 till it ran, 3 dry", [ONCE, Finger("p-3", "dry")]),
    ("9 till it ran, 3 2 L", [ONCE, Given("p-3", 2.0, "measured", 0.05, KEY)]),
    ("9 till it ran, 3 L, 3 2 L", [THREE, Given("p-3", 2.0, "measured", 0.05, KEY)]),
    ("9 2 L, 3 dry", [Given("p-9", 2.0, "measured", 0.05, None), Finger("p-3", "dry")]),
    ("rain ran through", [RainAtPots("ran through")]),
    ("rain ran through, 9 ran", [RainAtPots("ran through"), ONCE]),
    ("9 drained 0.5 L", [Drained("p-9", 0.5)]),
    ("9 0.5 L drained", [Drained("p-9", 0.5)]),
    ("9 drained ½ can", [Drained("p-9", 4.0)]),
    ("9 drained nothing", [Drained("p-9", 0.0)]),
    ("9 drained 0 L", [Drained("p-9", 0.0)]),
    ("9 till it ran 3 L, 9 drained 200 ml", [THREE, Drained("p-9", 0.2)]),
]


@pytest.mark.parametrize(("text", "bodies"), READINGS, ids=[text for text, _ in READINGS])
def test_every_way_to_say_it(text: str, bodies: list[Body]) -> None:
    """Each wording is read as the very bodies that it stands for."""
    assert [body for _, body in read_answer(text, CONTEXT).said] == bodies


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("9 drained", "how much ran out? say for example: 9 drained 0.5 L"),
        ("9 drained 99 L", "pot 9 cannot have had that much; at most 30 L"),
        ("9 drained 3", "3 has no unit"),
        ("9 till it ran, 99 L", "pot 9 cannot have had that much"),
        ("9 waited", "is not understood"),
        ("9 2 L, 3 L", "'3 L'"),
    ],
)
def test_what_it_cannot_be(text: str, told: str) -> None:
    """Too much, too little said, and half a wording are told, and nothing is logged."""
    with pytest.raises(AnswerError) as wrong:
        read_answer(text, CONTEXT)
    assert told in str(wrong.value)
