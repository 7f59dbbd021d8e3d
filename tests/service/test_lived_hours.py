"""What became of every pot, hour by hour: it ends where the service's own fold ends."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from irrigate.garden.belief import LEDGER
from irrigate.garden.events import Fact, Given, Tended, WeatherHours, standing
from irrigate.garden.fold import fold
from irrigate.garden.known_weather import known_weather
from irrigate.garden.pots import Basin
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.service.hindsight import TELLING, imbalance_l, lived_hours
from tests.garden.makers import DAY, HOUR, START, a_garden, a_pot, fact, summer, version

MEMBERS = 8


def journal_of(*facts: Fact) -> MemoryJournal:
    """Return a journal of a garden with a saucer and a reservoir, its weather, and these facts."""
    garden = a_garden(
        a_pot("1", basin=Basin("saucer", 2.0, 0.02)), a_pot("2", basin=Basin("reservoir", 3.0))
    )
    journal = MemoryJournal()
    told = fact(WeatherHours("test", summer(8)), START - 4 * DAY, name="weather")
    journal.append([version(garden), told, *facts])
    return journal


@pytest.mark.parametrize("over_h", [0.0, 0.5, 3.0, 30.0])
def test_the_hours_lived_end_where_the_fold_ends(over_h: float) -> None:
    """Water that took hours, a filled reservoir and an emptied saucer: nothing is lost on the way.

    An hour is given only what happened in it, and what took longer happened in several.
    """
    slow = Given("p-1", 9.0, "emitter", spread=0.0, over_h=over_h)
    journal = journal_of(
        fact(slow, START + timedelta(hours=2, minutes=10)),
        fact(Tended("p-2", "reservoir filled"), START + 5 * HOUR),
        fact(Tended("p-1", "saucer emptied"), START + timedelta(hours=9, minutes=30)),
    )
    end = START + 40 * HOUR
    *_, last = lived = list(lived_hours(journal, START, end, MEMBERS))
    facts = standing(journal.facts(TELLING))
    whole = fold(None, facts, known_weather(facts, int(end.timestamp())), end, MEMBERS)
    assert whole is not None
    for name in ("water_l", "below_l"):
        # Within an hour that a watering cut, the steps are cut elsewhere: the last digits differ.
        found, expected = (getattr(one.belief, name) for one in (last.standing, whole))
        assert found == pytest.approx(expected, rel=1e-6, abs=1e-6), name
    total = np.sum([hour.moved_l for hour in lived], axis=0)
    assert total[LEDGER.index("given_l"), 0] == pytest.approx(9.0)
    assert total[LEDGER.index("given_l"), 1] == pytest.approx(3.0)
    then, now = (
        (one.standing.belief.water_l + one.standing.belief.below_l).mean(axis=1)
        for one in (lived[0], last)
    )
    change = now - then
    assert imbalance_l(total, change) == pytest.approx(np.zeros(2), abs=1e-6)
