"""What a watering does to a belief, and what a round does that nobody spoke of."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.balance import share_available
from irrigate.garden.belief import LEDGER, imbalance_l
from irrigate.garden.believed import Standing
from irrigate.garden.events import Fact, Given, RoundAnswered, RoundTold, TillRan
from irrigate.garden.fold import fold
from irrigate.garden.pots import Basin
from irrigate.garden.touch import finger_likelihood
from irrigate.garden.watering import FULL_FROM_DRY, FULL_FROM_MOIST, amounts_l, ran, unspoken
from tests.garden.makers import START, a_garden, a_pot, fact, filled, standing_of, summer, version

MANY = 2000
GARDEN = a_garden(*(a_pot(str(number)) for number in range(1, 6)))
IDS = tuple(pot.id for pot in GARDEN.pots)


def at_share(standing: Standing, share: float) -> Standing:
    """Return the same with every member of every pot at one share of available water."""
    water = standing.traits.limit_l + share * standing.traits.available_l
    belief = replace(standing.belief, water_l=water, opening_balance_l=water.copy())
    return replace(standing, belief=belief)


def told(till_ran: bool = False, feel: bool = False) -> RoundTold:
    """Return a round that asks for two litres in every pot."""
    doses = dict.fromkeys(IDS, 2.0)
    return RoundTold("round r", {} if feel else doses, doses if feel else {}, till_ran)


def test_silence_is_one_unknown_for_all_pots() -> None:
    """Of a round nobody spoke of: done in 80 % of members, in part in 10 %, not at all in 10 %."""
    dry = at_share(standing_of(GARDEN, MANY), 0.2)
    after = unspoken(dry, told(), frozenset(), 0.8)
    watered = after.ledger_l[LEDGER.index("given_l")] > 0.0
    every, some = watered.all(axis=0), watered.any(axis=0)
    assert every.mean() == pytest.approx(0.8 + 0.1 / 2**5, abs=0.03)
    assert (~some).mean() == pytest.approx(0.1 + 0.1 / 2**5, abs=0.03)
    # Were each pot's watering drawn apart, hardly one member in three would have them all.
    assert (some & ~every).mean() == pytest.approx(0.1, abs=0.03)


@settings(max_examples=20)
@given(st.floats(0.0, 1.0))
def test_the_habit_is_the_prior(keeps: float) -> None:
    """The share of members in which a silent round was walked is the gardener's own habit."""
    dry = at_share(standing_of(a_garden(), MANY), 0.2)
    after = unspoken(dry, RoundTold("r", {"p-1": 1.0}, {}), frozenset(), keeps)
    given_l = after.ledger_l[LEDGER.index("given_l")][0]
    assert (given_l > 0.0).mean() == pytest.approx(keeps + 0.25 * (1.0 - keeps), abs=0.04)


def test_who_was_spoken_of_is_left_out() -> None:
    """A pot of which somebody said something gets nothing from the silence."""
    dry = at_share(standing_of(GARDEN), 0.2)
    after = unspoken(dry, told(), frozenset(IDS[:2]), 1.0)
    given_l = after.ledger_l[LEDGER.index("given_l")]
    assert np.all(given_l[:2] == 0.0)
    assert np.all(given_l[2:] > 0.0)


@pytest.mark.parametrize("share", [0.05, 0.35, 0.95])
def test_what_was_to_be_felt_is_watered_where_it_is_dry(share: float) -> None:
    """A pot to be felt got water in the members in which a finger would have found it dry."""
    standing = at_share(standing_of(GARDEN, MANY), share)
    after = unspoken(standing, told(feel=True), frozenset(), 1.0)
    watered = (after.ledger_l[LEDGER.index("given_l")] > 0.0).mean()
    expected = float(finger_likelihood("dry", np.array([share]))[0])
    assert watered == pytest.approx(expected, abs=0.03)


def test_water_everything_till_it_runs_fills() -> None:
    """A first evening that was walked leaves every pot full, and nothing poured away."""
    dry = at_share(standing_of(GARDEN), 0.3)
    after = unspoken(dry, told(till_ran=True), frozenset(), 1.0)
    assert after.water_l == pytest.approx(dry.traits.capacity_l * np.ones_like(after.water_l))
    assert np.all(after.ledger_l[LEDGER.index("drained_l")] < 1e-12)


@pytest.mark.parametrize("volume", [None, 5.0, 2.0])
def test_what_ran_out_below_a_reservoir_had_filled_it(volume: float | None) -> None:
    """A mix that lacks nothing says so though 3 L went into the reservoir, and the ledger adds up.

    Five litres are more than both lacked, two are less: the belief had missed water.
    """
    start = filled(standing_of(a_garden(replace(a_pot("1"), basin=Basin("reservoir", 4.0))), 64))
    below = np.full_like(start.belief.below_l, 1.0)
    opening = start.belief.water_l + below
    start = replace(start, belief=replace(start.belief, below_l=below, opening_balance_l=opening))
    after = ran(start, 0, TillRan("p-1", volume), "a", learns=True)
    assert after.below_l == pytest.approx(4.0)
    assert after.water_l == pytest.approx(start.belief.water_l)
    assert np.abs(imbalance_l(after)).max() < 1e-9
    lacked = ran(start, 0, TillRan("p-1", 3.0), "a", learns=True)
    assert lacked.log_use == pytest.approx(start.belief.log_use)
    assert np.all(lacked.seen_precision == 0.0)


def test_a_reservoir_is_full_after_a_first_evening() -> None:
    """Watered till it runs, twice, though nobody spoke of it."""
    tub = replace(GARDEN.pots[0], basin=Basin("reservoir", 4.0))
    start = standing_of(replace(GARDEN, pots=(tub, *GARDEN.pots[1:])))
    after = unspoken(start, told(till_ran=True), frozenset(), 1.0)
    assert after.below_l[0] == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("share", "twice", "expected"),
    [(0.0, False, FULL_FROM_DRY), (0.7, False, FULL_FROM_MOIST), (0.0, True, 0.97)],
)
def test_running_out_is_not_full(share: float, twice: bool, expected: float) -> None:
    """From moist it is full nine times in ten, from dry four in ten, twice almost surely.

    The chances are from memory; this says that they are used as stated.
    """
    standing = at_share(standing_of(a_garden(), MANY), share)
    after = ran(standing, 0, TillRan("p-1", twice=twice), "f", learns=True)
    full = share_available(after.water_l, standing.traits)[0] > 1.0 - 1e-9
    assert full.mean() == pytest.approx(expected, abs=0.03)
    assert np.all(after.water_l >= standing.belief.water_l - 1e-12)
    assert np.all(after.water_l <= standing.traits.capacity_l + 1e-12)


@given(st.floats(0.0, 1.0), st.one_of(st.none(), st.floats(0.0, 20.0)), st.booleans())
def test_till_it_ran_keeps_the_ledger(share: float, volume: float | None, twice: bool) -> None:
    """Poured + corrected − drained is the change, and no more drains than was poured."""
    standing = at_share(standing_of(a_garden(), 16), share)
    after = ran(standing, 0, TillRan("p-1", volume, twice), "f", learns=True)
    assert np.all(np.abs(imbalance_l(after)) < 1e-9)
    poured, drained = (after.ledger_l[LEDGER.index(name)] for name in ("given_l", "drained_l"))
    assert np.all(drained <= poured + 1e-12)
    if volume is not None:
        assert poured == pytest.approx(volume)


@given(st.floats(0.0, 30.0), st.sampled_from([0.05, 0.15, 0.2]))
def test_said_litres_are_spread_but_never_negative(volume: float, spread: float) -> None:
    """Members got the said litres on average, with the spread of the way they were measured."""
    amounts = amounts_l(Given("p", volume, spread=spread), "fact", MANY)
    assert np.all(amounts >= 0.0)
    assert amounts.mean() == pytest.approx(volume, rel=0.02)
    assert amounts.std() == pytest.approx(spread * volume, rel=0.1, abs=1e-12)


# --- answers, through the fold -------------------------------------------------------------
def outcome(*facts: Fact) -> np.ndarray:
    """Return litres given in the end [pot, member], of a round at START + 1 h and these facts."""
    asked = fact(told(), START + timedelta(hours=1))
    known = [version(GARDEN), asked, *facts]
    known.sort(key=lambda one: one.order)
    standing = fold(None, known, summer(), START + timedelta(hours=2), 64)
    assert standing is not None
    given_l: np.ndarray = standing.belief.ledger_l[LEDGER.index("given_l")]
    return given_l


def said(what: str, *done: str) -> list[Fact]:
    """Return an answer at the round's own moment, and the waterings that it means."""
    at = START + timedelta(hours=1)
    body = RoundAnswered("round r", what, done)  # type: ignore[arg-type]
    return [
        fact(body, at, at + timedelta(minutes=9)),
        *(
            fact(Given(one, 2.0, round_key="round r"), at, at + timedelta(minutes=9))
            for one in done
        ),
    ]


def test_answers_take_the_place_of_silence() -> None:
    """“All” waters all, “all but” the others, “none” none, whatever the habit says."""
    assert np.all(outcome(*said("all", *IDS)) > 0.0)
    but = outcome(*said("all but", *IDS[1:]))
    assert np.all(but[0] == 0.0)
    assert np.all(but[1:] > 0.0)
    assert np.all(outcome(*said("none")) == 0.0)
    silent = outcome()
    assert 0.5 < (silent > 0.0).mean() < 1.0


def test_litres_said_of_one_pot_leave_the_others_to_silence() -> None:
    """“2 3 L” is known of pot 2; of the rest of the round nothing was said."""
    body = Given(IDS[1], 3.0, "measured", 0.05, "round r")
    mixed = outcome(fact(body, START + timedelta(minutes=70)))
    assert mixed[1] == pytest.approx(3.0, rel=0.3)
    assert np.array_equal(mixed[2:], outcome()[2:])
