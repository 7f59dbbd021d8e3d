"""Why a pot was asked about, out of the stored question and in the gardener's units."""

from __future__ import annotations

from dataclasses import replace

import pytest

from irrigate.cli.explain_question import asked_of, question_reasons
from irrigate.garden.actions import Ask, Sought, Tell
from irrigate.garden.events import Decided, Fact
from irrigate.garden.pots import Manner
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.service.asking import asked_with
from tests.garden.makers import HOUR, START, a_garden, a_pot

GARDEN = a_garden(a_pot("9"), a_pot("2"))
ROUND = Tell("round r", "round", ("Ann",), START, START + 12 * HOUR)
SETTLES = {"needed_rounds_a_week": 0.25, "next_best_pot_settles": 0.52}


def ask(sought: Sought, **expected: float) -> Ask:
    """Return a question that went with the round."""
    reasons = {**SETTLES, **expected}
    key = asked_with(ROUND.key)
    return Ask(key, ("Ann",), START, ROUND.until, "p-9", sought, 1.66, reasons)


def test_it_is_found_beside_the_round_that_it_went_with() -> None:
    """Of the pot that was asked about, and of no other; none where there was no question."""
    journal, put = MemoryJournal(), ask("feel")
    assert asked_of(journal, ROUND, "p-9") is None
    journal.append([Fact(f"decided {put.key}", START, START, Decided(put, "feel 9"))])
    assert asked_of(journal, ROUND, "p-9") == put
    assert asked_of(journal, ROUND, "p-2") is None
    assert asked_of(journal, replace(ROUND, key="round s"), "p-9") is None


@pytest.mark.parametrize(
    ("put", "us_units", "expected"),
    [
        (ask("feel", chance_dry=0.2, chance_moist=0.5, chance_wet=0.3), False,
         "dry 20 %, moist 50 %, wet 30 %"),
        (ask("litres", expected_10_l=0.5, expected_50_l=1.5, expected_90_l=2.5), False,
         "1.5 L, between 500 mL and 2.5 L"),
        (ask("weigh", expected_10_kg=8.0, expected_50_kg=9.0, expected_90_kg=10.0), True,
         "19.8 lb, between 17.6 lb and 22.0 lb"),
    ],
)  # fmt: skip
def test_its_reasons_in_words(put: Ask, us_units: bool, expected: str) -> None:
    """What it would settle, what any other pot would, what was needed, and what was expected."""
    garden = a_garden(*GARDEN.pots, manner=Manner(us_units=us_units))
    worth, likely = question_reasons(garden, put)
    assert "some 1.7 of a week's rounds" in worth
    assert "one about another pot at most 0.5" in worth
    assert "from 0.25 on" in worth
    assert likely == f"Expected: {expected}."
