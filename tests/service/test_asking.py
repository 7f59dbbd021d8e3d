"""One question a day at most: when it is put, of what, in which words, and how it is answered."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from irrigate.cli.replay_tables import decisions_csv
from irrigate.garden.actions import Ask, Tell
from irrigate.garden.events import Decided, Finger, TillRan, Weighed
from irrigate.garden.pots import Manner
from irrigate.garden.rounds import local_day
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.service.asking import question_words
from tests.garden.makers import a_garden, a_pot
from tests.service.test_wording import EVENING, MORNING, line
from tests.service.worlds import FIRST_NOW, World, summer

DAYS = 9
Answers = Callable[[World, Ask], None]


def nothing(_world: World, _ask: Ask) -> None:
    """Leave the question unanswered."""


def said(world: World, ask: Ask) -> None:
    """Answer as asked, within the hour."""
    label = next(one.label for one in world.memory.garden.pots if one.id == ask.pot_id)  # type: ignore[union-attr]
    words = {"feel": "moist", "litres": "till it ran 1.5 L", "weigh": "weighs 6 kg"}
    world.say(f"{label} {words[ask.sought]}")


def lived(folder: Path, answers: Answers) -> tuple[World, list[Ask]]:
    """Live through some days in which every round is walked and answered."""
    world = World(MemoryJournal(), folder, members=60, table=summer(DAYS + 12))
    asked: list[Ask] = []
    end = FIRST_NOW + DAYS * timedelta(days=1)
    while world.now < end:
        world.now += timedelta(minutes=30)
        taken = world.step()
        asked += [action for action in taken.actions if isinstance(action, Ask)]
        for action in taken.actions:
            if isinstance(action, Tell) and action.occasion == "round":
                world.now += timedelta(minutes=50)
                world.say("all")
                for one in taken.actions:
                    if isinstance(one, Ask):
                        answers(world, one)
                world.step()
    return world, asked


@pytest.fixture(scope="module")
def answered(tmp_path_factory: pytest.TempPathFactory) -> tuple[World, list[Ask]]:
    """Return days in which every question was answered."""
    return lived(tmp_path_factory.mktemp("answered"), said)


@pytest.fixture(scope="module")
def ignored(tmp_path_factory: pytest.TempPathFactory) -> tuple[World, list[Ask]]:
    """Return the same days without one answer to a question."""
    return lived(tmp_path_factory.mktemp("ignored"), nothing)


def test_one_a_day_in_the_first_message_as_its_last_line(
    answered: tuple[World, list[Ask]],
) -> None:
    """Each question goes with the day's first round, one a day, and is journaled as it was put."""
    world, asked = answered
    assert len(asked) >= 3
    garden = world.memory.garden
    assert garden is not None
    zone = ZoneInfo(garden.site.time_zone)
    days = [local_day(one.at, zone) for one in asked]
    assert len(set(days)) == len(days)
    by_key = {message.key: message for message in world.messages}
    questions = {
        fact.body.action.key: fact.body.text
        for fact in world.journal.facts((Decided,))
        if isinstance(fact.body, Decided) and isinstance(fact.body.action, Ask)
    }
    assert set(questions) == {one.key for one in asked}
    for one in asked:
        message = by_key[one.key.removeprefix("ask with ")]
        assert message.title.startswith("07:00")
        assert message.body.splitlines()[-1] == questions[one.key]
        assert one.settles >= one.reasons["needed_rounds_a_week"]
    asking = [message for message in world.messages if "like to know" in message.body]
    assert len(asking) == len(asked)


def test_nothing_is_asked_before_the_first_soaking(answered: tuple[World, list[Ask]]) -> None:
    """As long as everything is a guess, the evening's soaking tells more than a question."""
    world, _ = answered
    soaked = next(one for one in world.messages if "till it runs, twice" in one.title)
    first = next(one for one in world.messages if "like to know" in one.body)
    assert world.messages.index(first) > world.messages.index(soaked)
    assert "like to know" not in soaked.body


def test_a_pot_is_let_be_for_three_days(answered: tuple[World, list[Ask]]) -> None:
    """The same pot comes again within three days only if it gains three times as much."""
    _, asked = answered
    for number, one in enumerate(asked):
        for before in asked[:number]:
            if before.pot_id == one.pot_id and one.at - before.at < timedelta(days=3):
                assert one.settles >= 3.0 * one.reasons["next_best_pot_settles"]


def test_answers_are_heard_and_teach(answered: tuple[World, list[Ask]]) -> None:
    """Every example that a question gives is understood, and becomes an observation of that pot."""
    world, asked = answered
    heard = world.journal.facts((Finger, TillRan, Weighed))
    for one in asked:
        near = [
            fact for fact in heard
            if fact.body.pot_id == one.pot_id and abs(fact.valid_at - one.at) < timedelta(hours=2)  # type: ignore[union-attr]
        ]  # fmt: skip
        assert near, one


def test_who_does_not_answer_is_asked_ever_less(
    ignored: tuple[World, list[Ask]], answered: tuple[World, list[Ask]]
) -> None:
    """Unanswered, the gaps grow: one day, two, four."""
    asked = ignored[1]
    gaps = [round((later.at - one.at) / timedelta(days=1)) for one, later in pairwise(asked)]
    assert gaps == [1, 2, 4][: len(gaps)]
    assert 3 <= len(asked) < len(answered[1])


def test_a_question_is_a_row_of_the_decisions(answered: tuple[World, list[Ask]]) -> None:
    """The table of decisions names the pot and what was asked of it."""
    world, asked = answered
    garden = world.memory.garden
    assert garden is not None
    table = decisions_csv([(one.at, one) for one in asked], garden)
    label = garden.pot(asked[0].pot_id).label
    assert ",question," in table.splitlines()[1]
    assert f",{label},ask: {asked[0].sought}," in table.splitlines()[1]


PHRASES = {
    "KNUCKLE": "the second knuckle: wet, moist or dry?",
    "TOOK": "till it runs out below. How much did it take?",
    "SCALE": "the scale again. What does it weigh?",
}
GARDEN = a_garden(a_pot("9", name="rosemary"), a_pot("2", name="2"))


def ask(pot_id: str, sought: str) -> Ask:
    """Return a question about a pot."""
    return Ask("ask r", ("Ann",), MORNING, EVENING, pot_id, sought, 0.5, {})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("pot_id", "sought", "us_units", "watered", "words"),
    [
        ("p-9", "feel", False, False, "feel 9 rosemary at KNUCKLE (9 moist)"),
        ("p-2", "feel", False, True, "before you water it, feel 2 at KNUCKLE (2 moist)"),
        ("p-9", "litres", False, True, "water 9 rosemary TOOK (9 till it ran 2 L)"),
        ("p-9", "litres", True, True, "water 9 rosemary TOOK (9 till it ran 2 qt)"),
        ("p-9", "weigh", True, False, "put 9 rosemary on SCALE (9 weighs 20 lb)"),
    ],
)  # fmt: skip
def test_the_words(pot_id: str, sought: str, us_units: bool, watered: bool, words: str) -> None:
    """Each question in the gardener's words and units, with an example of the answer."""
    garden = a_garden(*GARDEN.pots, manner=Manner(us_units=us_units))
    lines = (line(pot_id, "water" if watered else "leave"),)
    for short, whole in PHRASES.items():
        words = words.replace(short, whole)
    said = question_words(garden, ask(pot_id, sought), lines)
    assert said == f"One thing I would like to know: {words}"
