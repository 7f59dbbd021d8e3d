"""When time is short: who comes first, and where one may stop."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.garden.actions import Line
from irrigate.garden.effort import SPARED, hours_thirsty, in_order, spared_h
from irrigate.garden.outlook import look_ahead, run
from irrigate.garden.pots import Manner
from tests.garden.makers import START, a_garden, a_pot, filled, standing_of, summer

GARDEN = a_garden(*(a_pot(str(number)) for number in range(1, 7)))


def a_line(number: int, dose_l: float, spared: float) -> Line:
    """Return a verdict to water a pot."""
    nobody = (None, None, None)
    return Line(
        f"p-{number}", "water", dose_l, 1, 0.9, 0.1, 0.2, nobody, (0.2, 0.3, 0.4), {SPARED: spared}
    )


lines = st.lists(st.tuples(st.floats(0.1, 8.0), st.floats(0.0, 24.0)), min_size=1, max_size=6).map(
    lambda pairs: [a_line(index + 1, *pair) for index, pair in enumerate(pairs)]
)


@given(lines, st.floats(0.1, 40.0))
def test_every_pot_is_listed_once_and_what_comes_first_fits(found: list[Line], most: float) -> None:
    """No pot is lost or doubled; what comes first fits the effort, unless it is a single pot."""
    garden = replace(GARDEN, manner=Manner(at_most_l=most))
    order = in_order(garden, found)
    ids = [line.pot_id for line in (*order.first, *order.if_time)]
    assert sorted(ids) == sorted(line.pot_id for line in found)
    assert len(order.first) >= 1
    given_l = sum(line.dose_l for line in order.first)
    assert given_l <= most + 1e-9 or len(order.first) == 1
    if order.if_time:
        spared = [line.reasons[SPARED] for line in order.first]
        assert spared == sorted(spared, reverse=True)
        assert spared[0] == max(line.reasons[SPARED] for line in found)


@given(lines)
def test_with_time_for_all_the_walk_is_kept(found: list[Line]) -> None:
    """Without a limit, or within it, the order is that of walking."""
    total = sum(line.dose_l for line in found)
    for most in (None, total + 1e-6):
        order = in_order(replace(GARDEN, manner=Manner(at_most_l=most)), found)
        assert order.first == tuple(found)
        assert order.if_time == ()


def test_thirst_is_counted_from_its_moment() -> None:
    """A full pot is thirsty for no longer than one as it is, and none for longer than that."""
    standing = standing_of(GARDEN, 16)
    ahead = look_ahead(standing, summer())
    until = START + timedelta(hours=36)
    as_is = hours_thirsty(run(ahead, standing.belief.store, START), until)
    full = hours_thirsty(run(ahead, filled(standing).belief.store, START), until)
    assert np.all(full <= as_is + 1e-9)
    assert np.all((as_is >= 0.0) & (as_is <= 36.0))
    assert as_is.max() > 1.0


def test_an_hour_of_thirst_costs_some_more() -> None:
    """Fruit and new roots count for half as much again, what dries in between for half."""
    pepper = a_pot("1", "pepper")
    lettuce, rosemary = a_pot("2", "lettuce"), a_pot("3", "rosemary")
    plain = spared_h(lettuce, 4.0, 1.0, START)
    assert plain == pytest.approx(3.0)
    assert spared_h(pepper, 4.0, 1.0, START) == pytest.approx(1.5 * plain)
    assert spared_h(rosemary, 4.0, 1.0, START) == pytest.approx(0.5 * plain)
    young = replace(lettuce, planted=date(2026, 7, 1))
    assert spared_h(young, 4.0, 1.0, START) == pytest.approx(1.5 * plain)
    assert spared_h(lettuce, 1.0, 2.0, START) == 0.0
