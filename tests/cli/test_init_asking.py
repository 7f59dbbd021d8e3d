"""Questions, answered by somebody whose lines are read from a list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from irrigate.cli.asking import Terminal, asked, by_default, given
from irrigate.cli.init_answers import START, questions
from irrigate.errors import InputError

QUESTIONS = {question.option: question for question in questions("America/Los_Angeles")}
YARD = replace(START, places=(("drive", {}), ("porch", {})), kinds_in_use=("nursery 5 gal",))


def talk(option: str, lines: Sequence[str], draft=START):
    """Ask one question; return what is known then, and all that was said."""
    said: list[str] = []
    waiting = list(lines)

    def read_line(prompt: str) -> str:
        said.append(prompt)
        if not waiting:
            raise EOFError
        return waiting.pop(0)

    known = asked(QUESTIONS[option], draft, Terminal(read_line, said.append))
    assert waiting == []
    return known, said


def test_every_question_says_why_and_most_have_a_default():
    """Only where the garden lies has no default; the two lists that have none may stay empty."""
    for question in QUESTIONS.values():
        assert len(question.why) > 20
    without = [option for option, one in QUESTIONS.items() if one.default(START) is None]
    assert without == ["--where", "--kind", "--pot"]


def test_enter_takes_the_default():
    """An empty line stands for what is shown in brackets."""
    known, said = talk("--rounds", [""])
    assert known.rounds == ("07:00", "18:30")
    assert said[-1] == "Rounds [07:00, 18:30]: "


def test_no_default_and_no_answer():
    """A question without a default is asked until it is answered."""
    known, said = talk("--where", ["", "N", "38.61 N, 121.3 W"])
    assert (known.latitude, known.longitude) == ("38.61", "-121.3")
    assert "  This one has no default: please answer it." in said


def test_lists_end_with_an_empty_line_or_the_last_one():
    """A list takes lines until an empty one, or until there is nothing more to read."""
    lines = ["1 mint, nursery, porch", "2 basil, nursery"]
    for ending in (
        [
            "",
        ],
        [],
    ):
        known, said = talk("--pot", [*lines, *ending], YARD)
        assert [label for label, _ in known.pots] == ["1", "2"]
        assert "  2: basil; nursery 5 gal; porch\n  (nursery is read as nursery 5 gal)" in said


def test_undo():
    """Lines are taken back one by one, the newest first; before the first there is nothing."""
    lines = ["undo", "1 mint, nursery, porch", "2 like 1", "undo", "undo", "7 mint #5 drive", ""]
    known, said = talk("--pot", lines, YARD)
    assert [label for label, _ in known.pots] == ["7"]
    assert said.count("  The last line is taken back.") == 2


def test_places_begin_anew():
    """The first place told takes the place of the one that a garden begins with."""
    known, _ = talk("--place", ["garden: open", "garden: shade", "back: half shade", ""])
    assert [name for name, _ in known.places] == ["garden", "back"]
    assert by_default(QUESTIONS["--place"], START).places == (("garden", {"wind": "yard"}),)


def test_kinds():
    """Letters lead to a known kind; a name and measures make one of one's own."""
    lines = ["nursery 5", "nursery 5", "tub: 40 L", "tub: 30 L", "zzz", "x: nothing", ""]
    known, said = talk("--kind", lines)
    assert known.kinds_in_use == ("nursery 5 gal",)
    assert known.kinds == (("tub", {"volume": "40 L"}),)
    assert "  tub is described already" in said
    assert any("no kind has these letters; describe it" in line for line in said)
    assert any("“nothing” is not a measure of a pot" in line for line in said)


def test_options_name_themselves():
    """What is wrong with an option is said of the option."""
    with pytest.raises(InputError, match=r"^--mix: “mud” is not a mix known here"):
        given(QUESTIONS["--mix"], START, ["mud"])
