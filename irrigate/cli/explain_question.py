"""Why a pot was asked about: what an answer would settle, and what was expected of it."""

from __future__ import annotations

from collections.abc import Iterator

from irrigate import units
from irrigate.garden.actions import Action, Ask
from irrigate.garden.events import Decided
from irrigate.garden.pots import Garden
from irrigate.ports import Journal
from irrigate.service.asking import asked_with


def asked_of(journal: Journal, action: Action, pot_id: str) -> Ask | None:
    """Return the question that went with a round's message, if it was about this pot."""
    fact = journal.fact(f"decided {asked_with(action.key)}")
    if fact is None or not isinstance(fact.body, Decided):
        return None
    ask = fact.body.action
    return ask if isinstance(ask, Ask) and ask.pot_id == pot_id else None


def question_reasons(garden: Garden, ask: Ask) -> Iterator[str]:
    """Yield sentences that say why the question was put."""
    needed, other = ask.reasons["needed_rounds_a_week"], ask.reasons["next_best_pot_settles"]
    yield (
        f"An answer would settle some {ask.settles:.1f} of a week's rounds, over all pots, that "
        f"would be judged wrongly without it; one about another pot at most {other:.1f}. It is "
        f"asked for from {needed:g} on."
    )
    yield f"Expected: {_expected(garden, ask)}."


def _expected(garden: Garden, ask: Ask) -> str:
    us_units = garden.manner.us_units
    if ask.sought == "feel":
        return ", ".join(
            f"{feel} {units.in_percent(ask.reasons[f'chance_{feel}'])}"
            for feel in ("dry", "moist", "wet")
        )
    unit = "l" if ask.sought == "litres" else "kg"
    low, middle, high = (ask.reasons[f"expected_{level}_{unit}"] for level in (10, 50, 90))
    if unit == "l":
        said = [units.say_volume(one, us_units=us_units) for one in (low, middle, high)]
    elif us_units:
        said = [f"{one / units.POUND_KG:.1f} lb" for one in (low, middle, high)]
    else:
        said = [f"{one:.1f} kg" for one in (low, middle, high)]
    return f"{said[1]}, between {said[0]} and {said[2]}"
