"""The grammar of answers: exact readings, exact texts of error, and nothing else for any text."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from irrigate.errors import AnswerError
from irrigate.garden.answers import Context, Reading, read_answer
from irrigate.garden.events import (
    Body,
    Finger,
    Given,
    RainAtPots,
    RoundAnswered,
    RoundTold,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.garden.pots import Manner
from tests.garden.makers import a_garden, a_pot

ZONE = ZoneInfo("America/Los_Angeles")
ROUND = datetime(2026, 7, 10, 7, 0, tzinfo=ZONE)
NOW = ROUND + timedelta(minutes=25)
KEY = "round 2026-07-10T14:00Z"
GARDEN = a_garden(
    *(a_pot(label, walk=step) for step, label in enumerate(("3", "5", "7", "9", "12", "7a"))),
    manner=Manner(can_l=8.0, hose_l_s=0.2),
)
TOLD = RoundTold(KEY, {"p-3": 2.0, "p-7": 3.0, "p-12": 1.5}, {"p-5": 1.0})
CONTEXT = Context(GARDEN, (TOLD, ROUND), NOW)


def as_told(*labels: str) -> list[Body]:
    """Return the waterings that the round's message asked for."""
    return [Given(f"p-{one}", TOLD.water_l[f"p-{one}"], "as told", 0.15, KEY) for one in labels]


def answered(outcome: str, *labels: str) -> RoundAnswered:
    """Return what was said of the round."""
    return RoundAnswered(KEY, outcome, tuple(f"p-{one}" for one in labels))  # type: ignore[arg-type]


READINGS: list[tuple[str, list[Body]]] = [
    ("all", [answered("all", "3", "5", "7", "12"), *as_told("3", "7", "12")]),
    ("ALL", [answered("all", "3", "5", "7", "12"), *as_told("3", "7", "12")]),
    ("all but 7 12", [answered("all but", "3", "5"), *as_told("3")]),
    ("all but 7, 12", [answered("all but", "3", "5"), *as_told("3")]),
    ("all but 7 and 12", [answered("all but", "3", "5"), *as_told("3")]),
    ("all but 9", [answered("all but", "3", "5", "7", "12"), *as_told("3", "7", "12")]),
    ("only 3 5", [answered("only", "3", "5"), *as_told("3")]),
    ("none", [answered("none")]),
    ("stopped after 7", [answered("stopped after", "3", "5", "7"), *as_told("3", "7")]),
    ("7 2 L", [Given("p-7", 2.0, "measured", 0.05, KEY)]),
    ("9 2 L", [Given("p-9", 2.0, "measured", 0.05, None)]),
    ("3 9 ½ can", [Given("p-3", 4.0, "can", 0.15, KEY), Given("p-9", 4.0, "can", 0.15, None)]),
    ("3 and 5 1 can", [Given("p-3", 8.0, "can", 0.15, KEY), Given("p-5", 8.0, "can", 0.15, KEY)]),
    ("3 20 s hose", [Given("p-3", 4.0, "hose", 0.2, KEY)]),
    ("3 20 s of the hose", [Given("p-3", 4.0, "hose", 0.2, KEY)]),
    ("7a 500 ml", [Given("p-7a", 0.5, "measured", 0.05, None)]),
    ("3 till it ran", [TillRan("p-3", None, twice=False, round_key=KEY)]),
    ("9 Till It Ran twice", [TillRan("p-9", None, twice=True)]),
    ("9 till it ran 2 L", [TillRan("p-9", 2.0)]),
    ("9 till it ran twice 2 L", [TillRan("p-9", 2.0, twice=True)]),
    ("7 still wet", [Finger("p-7", "wet")]),
    ("7 9 damp", [Finger("p-7", "moist"), Finger("p-9", "moist")]),
    ("9 dry", [Finger("p-9", "dry")]),
    ("9 wilting", [Wilting("p-9")]),
    ("9 is drooping", [Wilting("p-9")]),
    ("9: feels moist", [Finger("p-9", "moist")]),
    ("9: had 2 L", [Given("p-9", 2.0, "measured", 0.05, None)]),
    ("9 weighs 12 kg", [Weighed("p-9", 12.0)]),
    ("rain none", [RainAtPots("none")]),
    ("rain no", [RainAtPots("none")]),
    ("rain some", [RainAtPots("some")]),
    ("rain ran through", [RainAtPots("ran through")]),
    ("rain 12 mm", [RainAtPots(depth_mm=12.0)]),
    ("rain ½ in", [RainAtPots(depth_mm=12.7)]),
    ("7 still wet, 9 wilting", [Finger("p-7", "wet"), Wilting("p-9")]),
    ("7 2 L;\n9 dry", [Given("p-7", 2.0, "measured", 0.05, KEY), Finger("p-9", "dry")]),
]


@pytest.mark.parametrize(("text", "bodies"), READINGS, ids=[text for text, _ in READINGS])
def test_what_is_understood(text: str, bodies: list[Body]) -> None:
    """Each form is read as the very bodies that it stands for."""
    assert [body for _, body in read_answer(text, CONTEXT).said] == bodies


ERRORS = [
    ("", "there is nothing in the answer; say for example: all, or: 7 2 L"),
    (" ,; ", "there is nothing in the answer; say for example: all, or: 7 2 L"),
    ("99 2 L", "'99 2 L': there is no pot 99; there are 3, 5, 7, 9, 12, 7a"),
    ("gnome 2 L", "'gnome 2 L': there is no pot gnome; there are 3, 5, 7, 9, 12, 7a"),
    ("7", "'7': what of pot 7? say for example: 7 2 L"),
    ("7 40 L", "'7 40 L': pot 7 cannot have had that much; at most 30 L"),
    ("7 0 L", "'7 0 L': pot 7 cannot have had that much; at most 30 L"),
    ("7 till it ran 40 L", "'7 till it ran 40 L': pot 7 cannot have had that much; at most 30 L"),
    ("all but", "'all but': say: all, all but 7 12, only 3, none, or stopped after 9"),
    ("all of them", "'all of them': say: all, all but 7 12, only 3, none, or stopped after 9"),
    ("all but and", "'all but and': say which pots"),
    (
        "stopped after 3 5",
        "'stopped after 3 5': say after which one pot you stopped: stopped after 9",
    ),
    ("rain", "'rain': say: rain none, rain some, rain ran through, or rain 12 mm"),
    (
        "rain 600 mm",
        "'rain 600 mm': 600 mm of rain at once cannot be; more than 500 mm is not taken",
    ),
    ("at 25:10", "'at 25:10' is not a time of day; say for example: at 7:10"),
    ("at 7:10", "'at 7:10' says when, but not what"),
    (
        "9 dry, 7 soggy",
        (
            "'7 soggy': “soggy” is not understood; after a pot's number say an amount "
            "(2 qt, 2 L, ½ can), till it ran, wet, moist, dry, wilting, fed, cut back, unwell, "
            "paused and the like; nothing was logged, though '9 dry' is clear"
        ),
    ),
    (
        "3 5 ½ L",
        (
            "'3 5 ½ L': this could be about pot 3 or about pots 3 and 5; write “and” between pots, "
            "as in 3 and 5 ½ L, or the amount in one number, as in 1.5"
        ),
    ),
]


@pytest.mark.parametrize(("text", "expected"), ERRORS, ids=[text for text, _ in ERRORS])
def test_what_is_not_understood(text: str, expected: str) -> None:
    """Each mistake is answered with what to write instead."""
    with pytest.raises(AnswerError) as told:
        read_answer(text, CONTEXT)
    assert str(told.value) == expected


def test_where_one_stopped_goes_by_the_list_as_it_was_read() -> None:
    """With the endangered listed first, "stopped after 3" leaves out what came behind it."""
    listed = replace(TOLD, order=("p-12", "p-3", "p-7"))
    said = read_answer("stopped after 3", replace(CONTEXT, told=(listed, ROUND))).said
    assert [body for _, body in said] == [
        answered("stopped after", "12", "3"),
        *as_told("12", "3"),
    ]


def test_two_ways_to_say_what_could_be_either() -> None:
    """Both ways of writing that the refusal of two readings names are understood as meant."""
    both = read_answer("3 and 5 ½ L", CONTEXT)
    assert [body.pot_id for _, body in both.said] == ["p-3", "p-5"]  # type: ignore[union-attr]
    one = read_answer("3 5.5 L", CONTEXT)
    assert [body for _, body in one.said] == [Given("p-3", 5.5, "measured", 0.05, KEY)]


def test_when_it_was() -> None:
    """A round counts from its own moment, other things from now; “at” moves the whole line."""
    assert {at for at, _ in read_answer("all", CONTEXT).said} == {ROUND}
    assert [at for at, _ in read_answer("9 dry", CONTEXT).said] == [NOW]
    early = replace(CONTEXT, now=ROUND - timedelta(minutes=10))
    assert {at for at, _ in read_answer("all", early).said} == {early.now}
    said = read_answer("at 6:50, 9 dry", CONTEXT).said
    assert [at.astimezone(ZONE) for at, _ in said] == [ROUND - timedelta(minutes=10)]
    for text in ("at 7:40 pm; 9 dry", "9 dry; at 19:40"):
        ((at, _),) = read_answer(text, CONTEXT).said
        assert at.astimezone(ZONE) == datetime(2026, 7, 9, 19, 40, tzinfo=ZONE), text


def test_undo_is_a_reading_of_its_own() -> None:
    """“undo” alone takes back; with anything else it is not understood."""
    assert read_answer(" Undo ", CONTEXT) == Reading((), undo=True)
    with pytest.raises(AnswerError, match="there is no pot undo"):
        read_answer("undo, 9 dry", CONTEXT)


def test_undo_of_a_pot_names_one_pot() -> None:
    """“undo 9” takes back the last thing said of pot 9; of two at a time, neither."""
    pot = CONTEXT.garden.labelled("9")
    assert read_answer("undo 9", CONTEXT) == Reading((), undo=True, undo_of=pot.id)
    with pytest.raises(AnswerError, match="one pot at a time"):
        read_answer("undo 7 9", CONTEXT)
    with pytest.raises(AnswerError, match="there is no pot 99"):
        read_answer("undo 99", CONTEXT)


@pytest.mark.parametrize(
    "context",
    [replace(CONTEXT, told=None), replace(CONTEXT, now=ROUND + timedelta(hours=14, minutes=1))],
)
def test_no_round_to_answer(context: Context) -> None:
    """Without a round, or long after it, “all” is about nothing; pots can still be named."""
    with pytest.raises(AnswerError, match="there was no round lately that this could be about"):
        read_answer("all", context)
    ((_, body),) = read_answer("7 2 L", context).said
    assert body == Given("p-7", 2.0, "measured", 0.05, None)


def test_water_everything_till_it_runs() -> None:
    """Of the first evening's message “all” means till it ran, twice."""
    first = replace(TOLD, till_ran=True)
    said = read_answer("only 3", replace(CONTEXT, told=(first, ROUND))).said
    assert [body for _, body in said][1] == TillRan("p-3", None, twice=True, round_key=KEY)


WORDS = """
all but only none stopped after and rain no some ran through at undo till it twice still wet moist
dry wilting weighs 3 5 7 9 12 7a 99 2 ½ 1/2 1/0 1,5 -3 L l ml gal can cans kg mm s hose of 7:10
25:99 7.10 pm am , ; 1e9 999999999 ٣ ² NaN inf — ’
"""
words = st.sampled_from([*WORDS.split(), "\n"])


@settings(max_examples=400, deadline=None)
@given(
    st.one_of(st.text(max_size=40), st.lists(words, max_size=8).map(" ".join)),
    st.sampled_from([CONTEXT, replace(CONTEXT, told=None)]),
)
@example("9 weighs 1/0 kg", CONTEXT)
@example("at ²:10", CONTEXT)
def test_any_text_is_a_reading_or_an_answer_error(text: str, context: Context) -> None:
    """No text at all ends in another exception, and what is read is about pots that there are."""
    try:
        reading = read_answer(text, context)
    except AnswerError:
        return
    ids = {pot.id for pot in GARDEN.pots}
    for at, body in reading.said:
        assert at <= context.now
        assert getattr(body, "pot_id", "p-3") in ids
        assert 0.0 < (getattr(body, "volume_l", None) or 1.0) <= 30.0
