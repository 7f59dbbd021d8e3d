"""Which lists were right, and which messages were of use, by what was found afterwards."""

from __future__ import annotations

from datetime import timedelta

import pytest

from irrigate.garden.actions import Hold, Line, Tell
from irrigate.garden.events import Fact, Finger, Given, RoundAnswered, TillRan, Wilting
from irrigate.garden.list_scoring import list_of, lists_tallied, use_of
from tests.garden.makers import HOUR, START

UNTIL = START + 11 * HOUR


def _line(pot_id: str, verdict: str, holds_l: float = 10.0, dose_l: float = 4.0) -> Line:
    nothing = (None, None, None)
    reasons = {"available_when_full_l": holds_l}
    return Line(pot_id, verdict, dose_l, 1, 0.3, 0.1, 0.2, nothing, (0.2, 0.5, 0.8), reasons)


def _tell(*lines: Line, occasion: str = "round", till_ran: bool = False) -> Tell:
    return Tell("round", occasion, ("Ann",), START, UNTIL, lines, till_ran=till_ran)


def _facts(*bodies, after_h: float = 0.5) -> list[Fact]:
    at = START + timedelta(hours=after_h)
    return [Fact(f"a/{n}", at + n * timedelta(minutes=1), at, one) for n, one in enumerate(bodies)]


WATER, FEEL, LEAVE = _line("a", "water"), _line("b", "feel"), _line("c", "leave")


@pytest.mark.parametrize(
    ("body", "found"),
    [
        (TillRan("a", 1.5), "right"),
        (TillRan("a", 1.4), "wrong"),
        (Finger("a", "dry"), "right"),
        (Finger("a", "wet"), "wrong"),
        (Finger("a", "moist"), None),
        (TillRan("a"), None),
        (Given("a", 5.0), None),
        (Finger("b", "dry"), "felt"),
        (Finger("b", "wet"), "felt"),
        (Finger("c", "dry"), "missed"),
        (Wilting("c"), "missed"),
        (Finger("c", "moist"), "right"),
        (Finger("d", "dry"), None),
    ],
)
def test_a_pot_is_judged_by_what_was_found(body, found):
    """15 % of what it can give is a drink worth the walk; cans judge nothing."""
    judged = list_of(_tell(WATER, FEEL, LEAVE), START, _facts(body))
    if found is None:
        assert judged is None
    else:
        assert list(judged.found.values()) == [found]
        assert judged.right == (found in {"right", "felt"})


@pytest.mark.parametrize(("took_l", "found"), [(0.25, "right"), (0.1, "wrong")])
def test_a_splash_that_was_taken_was_not_for_nothing(took_l, found):
    """A pot asked for 0.3 L, lest it get thirsty before the next round, that took most of it."""
    tell = _tell(_line("a", "water", dose_l=0.3))
    assert list_of(tell, START, _facts(TillRan("a", took_l))).found == {"a": found}


def test_only_the_first_find_before_the_next_round_counts():
    """A pot felt wet after its watering was not watered for nothing."""
    tell = _tell(WATER, LEAVE)
    judged = list_of(tell, START, _facts(TillRan("a", 3.0), Finger("a", "wet")))
    assert judged.found == {"a": "right"}
    assert list_of(tell, START, _facts(Finger("c", "dry"), after_h=11.5)) is None
    assert list_of(tell, START, _facts(Finger("c", "dry"), after_h=-2.0)) is None


def test_a_round_passed_in_silence_is_a_list_that_leaves_all():
    """A pot found dry then was missed; other holds are no lists."""
    silent = Hold("round in silence", "nothing to do", UNTIL, (LEAVE,))
    assert list_of(silent, START, _facts(Wilting("c"))).found == {"c": "missed"}
    held = Hold("warning", "quiet hours", UNTIL, (LEAVE,))
    assert list_of(held, START, _facts(Wilting("c"))) is None


def test_the_first_evening_and_warnings_are_no_lists():
    """Every pot is named then, whatever is believed of it."""
    facts = _facts(TillRan("a", 0.1))
    assert list_of(_tell(WATER, till_ran=True), START, facts) is None
    assert list_of(_tell(WATER, occasion="warning"), START, facts) is None


def test_lists_add_up():
    """A list is right if none of its pots was wrong or missed."""
    tell = _tell(WATER, FEEL, LEAVE)
    good = list_of(tell, START, _facts(TillRan("a", 3.0), Finger("b", "wet")))
    bad = list_of(tell, START, _facts(TillRan("a", 3.0), Finger("c", "dry")))
    tally = lists_tallied([good, bad])
    assert (tally.lists, tally.lists_right) == (2, 1)
    assert (tally.right, tally.felt, tally.wrong, tally.missed) == (2, 1, 0, 1)
    of_a = lists_tallied([good, bad], "a")
    assert (of_a.lists, of_a.lists_right, of_a.right) == (2, 2, 2)


@pytest.mark.parametrize(
    ("bodies", "use"),
    [
        ([Given("a", 2.0)], "useful"),
        ([Finger("b", "moist")], "useful"),
        ([RoundAnswered("round", "all", ("a", "b"))], "useful"),
        ([RoundAnswered("round", "none")], "needless"),
        ([Finger("a", "wet")], "needless"),
        ([TillRan("a", 0.5)], "needless"),
        ([Finger("c", "moist")], "unanswered"),
        ([], "unanswered"),
    ],
)
def test_a_message_is_of_use_if_something_was_done_with_reason(bodies, use):
    """None is an answer; what was found wet or took nearly nothing was asked for in vain."""
    tell, facts = _tell(WATER, FEEL, LEAVE), _facts(*bodies)
    assert use_of(tell, facts, list_of(tell, START, facts)) == use


def test_a_warning_is_of_use_if_its_pot_was_found_or_watered():
    """A pot felt wet after a warning was well without it."""
    warning = _tell(_line("c", "leave"), occasion="warning")
    assert use_of(warning, _facts(Wilting("c")), None) == "useful"
    assert use_of(warning, _facts(Given("c", 1.0)), None) == "useful"
    assert use_of(warning, _facts(Finger("c", "wet")), None) == "needless"


def test_a_message_that_asks_for_nothing_is_not_counted():
    """Nothing to water, the first evening, notices and holds."""
    assert use_of(_tell(LEAVE), _facts(Given("c", 1.0)), None) is None
    assert use_of(_tell(WATER, till_ran=True), _facts(Given("a", 1.0)), None) is None
    assert use_of(_tell(WATER, occasion="notice"), [], None) is None
    assert use_of(Hold("h", "quiet hours", UNTIL, (WATER,)), [], None) is None
