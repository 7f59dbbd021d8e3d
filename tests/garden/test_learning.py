"""Learning: against an exact Kalman filter where one applies, and against wrong answers."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden import learning
from irrigate.garden.balance import missing_l
from irrigate.garden.belief import imbalance_l
from irrigate.garden.believed import Standing
from irrigate.garden.events import Fact, Finger, GardenVersion, Marked, Planted, TillRan
from irrigate.garden.fold import fold
from irrigate.garden.pots import Garden
from irrigate.garden.priors import USE
from irrigate.garden.shared import Normals, Sites, known_of
from irrigate.garden.vessels import RoundTaper
from irrigate.garden.watering import RAN_L, RAN_SHARE
from tests.garden.makers import (
    DAY,
    START,
    a_garden,
    a_pot,
    fact,
    filled,
    standing_of,
    summer,
    version,
)

MEMBERS = 200
DAYS = summer(days=16)
MINUTE = timedelta(minutes=1)


def covered(count: int = 6) -> Garden:
    """Return pots that lose water by their leaves alone, far from dry in a day: a linear garden."""
    big = RoundTaper.of_volume(80.0)
    return a_garden(
        *(
            a_pot(str(number + 1), ("pepper", "tomato")[number % 2], vessel=big,
                  size_m=(0.7, 0.9), mulch=1.0)
            for number in range(count)
        )
    )  # fmt: skip


def filled_daily(garden: Garden, day: int) -> list[Fact]:
    """Return that every pot was filled, at noon UTC of a day."""
    at = START + day * DAY + timedelta(hours=12)
    return [
        fact(TillRan(pot.id, None, True), at, name=f"all {day} {pot.id}") for pot in garden.pots
    ]


def lived(
    garden: Garden, litres: dict[int, dict[int, float]], days: int, members: int = MEMBERS
) -> Standing:
    """Return the belief after days of filling, and of litres told by day and row."""
    start = filled(standing_of(garden, members, START + timedelta(hours=12)))
    facts: list[Fact] = []
    for day in range(1, days + 1):
        at = START + day * DAY + timedelta(hours=12) - MINUTE
        for row, told in litres.get(day, {}).items():
            pot_id = garden.pots[row].id
            facts.append(fact(TillRan(pot_id, told, True), at, name=f"told {day} {row}"))
        facts += filled_daily(garden, day)
    until = START + days * DAY + timedelta(hours=12)
    found = fold(start, facts, DAYS, until, members)
    assert found is not None
    return found


def asked_l(garden: Garden) -> np.ndarray:
    """Return what each pot asks from noon to noon with a use factor of 1 [day, pot]."""
    days = []
    for day in range(6):
        standing = standing_of(garden, 1, START + day * DAY + timedelta(hours=12))
        belief = replace(standing.belief, log_use=np.zeros_like(standing.belief.log_use))
        standing = replace(standing, belief=belief)
        full = np.broadcast_to(standing.traits.capacity_l, belief.water_l.shape).copy()
        belief = replace(belief, water_l=full, surface_mm=np.zeros_like(full))
        later = fold(replace(standing, belief=belief), [], DAYS, belief.at + DAY, 1)
        assert later is not None
        days.append(missing_l(later.belief.water_l, later.traits)[:, 0])
    return np.array(days)


def test_the_filter_is_the_exact_one_where_all_is_linear() -> None:
    """Means and spreads agree with the exact Kalman filter (Kalman 1960) within sampling error.

    The pots lose water by their leaves alone, so the logarithm of the litres is that of the asked
    litres plus log use, plus the noise of an answer. The exact filter is `known_of` over sites of
    these (itself checked against the full matrix). In logarithms the model is linear but for terms
    of the size of the noise squared (0.014): hence 0.02. Answers keep within 1.2 of their standard
    deviations, because further out the tails are heavy on purpose. The sampling
    error of a mean is its spread over the root of the members left after each of five drawings,
    about a third of them: it must fall as members rise.
    """
    garden = covered()
    asked = asked_l(garden)
    for members in (200, 2400):
        off, widths = [], []
        for seed in (3, 4):
            litres, exact = told_and_exact(garden, asked, seed)
            found = lived(garden, litres, 5, members).belief.log_use
            spread = np.sqrt(exact.variance)
            sampling = spread * np.sqrt(5.0 / (members / 3.0))
            off.append((np.abs(found.mean(axis=1) - exact.mean) - 0.02) / sampling)
            widths.append(found.std(axis=1) / spread)
        assert np.max(off) < 3.0, members
        assert 0.95 < np.mean(widths) < 1.25, members


def told_and_exact(
    garden: Garden, asked: np.ndarray, seed: int
) -> tuple[dict[int, dict[int, float]], Normals]:
    """Return five days of answers about four of six pots, and what they say exactly."""
    rng = np.random.default_rng(seed)
    truth = np.array([0.5, -0.2, 0.35, -0.1, 0.45, -0.3])
    litres: dict[int, dict[int, float]] = {}
    sites = Sites.none(6)
    for day in range(1, 6):
        litres[day] = {}
        precision, pull = sites.precision.copy(), sites.pull.copy()
        for row in range(4):
            used = asked[day - 1, row] * np.exp(truth[row])
            noise = np.hypot(RAN_L, RAN_SHARE * used)
            litres[day][row] = float(used + noise * rng.uniform(-1.2, 1.2))
            precision[row] += (used / noise) ** 2
            pull[row] += np.log(litres[day][row] / asked[day - 1, row]) * (used / noise) ** 2
        sites = Sites(precision, pull).faded(USE.drift_per_day**2)
    return litres, known_of(USE, [pot.group for pot in garden.pots], sites)


def test_a_report_far_off_moves_little_and_is_mended() -> None:
    """Five standard deviations off after five that agreed: under a tenth of the factor's spread.

    Two more true reports then leave it where it would have been without.
    """
    garden = covered(2)
    asked = asked_l(garden)
    true = {day: {0: float(asked[day - 1, 0] * 1.2)} for day in range(1, 6)}
    before = lived(garden, true, 5).belief.log_use[0]
    expected = float(asked[5, 0] * 1.2)
    wrong = expected + 5.0 * float(
        np.hypot(np.hypot(RAN_L, RAN_SHARE * expected), expected * before.std())
    )
    mean, spread = before.mean(), before.std()
    after = lived(garden, {**true, 6: {0: wrong}}, 6).belief.log_use[0]
    assert abs(after.mean() - mean) < 0.10 * spread
    mended = {**true, 6: {0: wrong}, 7: {0: expected}, 8: {0: expected}}
    without = {**true, 7: {0: expected}, 8: {0: expected}}
    left = lived(garden, mended, 8).belief.log_use[0]
    never = lived(garden, without, 8).belief.log_use[0]
    assert abs(left.mean() - never.mean()) < 0.10 * spread


def test_a_report_of_one_pot_teaches_its_like() -> None:
    """Litres of one pepper move the others of its group much, and a tomato less."""
    garden = covered(6)
    asked = asked_l(garden)
    plain = lived(garden, {}, 2).belief.log_use.mean(axis=1)
    taught = lived(garden, {1: {0: float(asked[0, 0] * 1.8)}}, 2).belief.log_use.mean(axis=1)
    moved = taught - plain
    assert moved[0] > 0.2
    assert np.all(moved[[2, 4]] > 0.6 * moved[0])
    assert np.all((moved[[1, 3, 5]] > 0.0) & (moved[[1, 3, 5]] < 0.5 * moved[0]))


def test_a_new_plant_takes_nothing_from_its_like() -> None:
    """What a plant that is gone had taught the others stays with them as it was.

    To sum a leaf out of a Gaussian tree changes no other margin (a rule of probability).
    """
    garden = covered(4)
    told = {1: {0: float(asked_l(garden)[0, 0] * 1.8)}}
    kept = lived(garden, told, 2)
    at = kept.belief.at + timedelta(hours=1)
    left, anew = (fold(kept, facts, DAYS, at + MINUTE, MEMBERS)
                  for facts in ([fact(Marked("p-1", "paused", on=True), at)],
                                [fact(Planted("p-1"), at)]))  # fmt: skip
    assert left is not None
    assert anew is not None
    assert anew.belief.log_use[1:] == pytest.approx(left.belief.log_use[1:], abs=1e-9)
    assert anew.belief.log_use[0].std() > 1.2 * left.belief.log_use[0].std()


def test_an_answer_just_before_the_garden_changes_teaches_as_ever() -> None:
    """A garden read at the very moment of an answer moves no pot away from what is known of it."""
    garden = covered(4)
    begun = lived(garden, {}, 2)
    at = begun.belief.at + timedelta(hours=20)
    ran = fact(TillRan("p-1", float(asked_l(garden)[0, 0] * 1.8), True), at, name="a")
    known = [ran, fact(GardenVersion(garden, "anew"), at, name="b")]
    together = fold(begun, known, DAYS, at, MEMBERS)
    alone = fold(begun, [ran], DAYS, at, MEMBERS)
    assert together is not None
    assert alone is not None
    assert together.belief.log_use == pytest.approx(alone.belief.log_use, abs=1e-9)


def test_pots_that_contradict_each_other_are_weighed_all_the_same() -> None:
    """However unlikely all outcomes of a round became, only how they compare counts (Bayes)."""
    garden = covered(3)
    start = standing_of(garden, MEMBERS)
    walked = np.tile(1.0 + np.arange(MEMBERS) % 3, (3, 1))
    says = np.zeros((3, 3))
    says[:, 0] = (-12.0, -20.0, -20.0)
    belief = replace(start.belief, walked=walked, round_says=says)
    after = learning.shared(replace(start, belief=belief), learning.sites_of(belief))
    assert np.mean(after.walked[1] == 1.0) > 0.99
    assert np.mean(after.walked[0] == 1.0) == pytest.approx(1 / 3, abs=0.01)


def test_water_goes_along_with_what_is_learnt() -> None:
    """A pot that turns out to be thirstier has used more since it was last full."""
    garden = covered(4)
    asked = asked_l(garden)
    facts = [version(garden), *filled_daily(garden, 0)]
    late = START + 2 * DAY
    told = fact(TillRan("p-1", float(asked[0, 0] * 2.5), True), late - MINUTE)
    plain = fold(None, facts, DAYS, late, MEMBERS)
    taught = fold(None, [*facts, told], DAYS, late, MEMBERS)
    assert plain is not None
    assert taught is not None
    like, room = 2, lambda one: missing_l(one.belief.water_l, one.traits).mean(axis=1)
    assert room(taught)[like] > 1.15 * room(plain)[like]
    assert np.abs(imbalance_l(taught.belief)).max() < 1e-9


@settings(max_examples=15, deadline=None)
@given(st.lists(st.sampled_from(["wet", "moist", "dry"]), min_size=1, max_size=6))
def test_what_is_seen_keeps_the_balance_and_the_bounds(feels: list[str]) -> None:
    """However often a pot is felt, water adds up and stays within what the pot can hold."""
    garden = covered(2)
    facts = [version(garden)]
    for index, feel in enumerate(feels):
        facts.append(fact(Finger("p-1", feel), START + (index + 1) * timedelta(hours=5)))  # type: ignore[arg-type]
    found = fold(None, facts, DAYS, START + 2 * DAY, 64)
    assert found is not None
    assert np.abs(imbalance_l(found.belief)).max() < 1e-9
    assert np.all(found.belief.water_l <= found.traits.capacity_l + 1e-9)
    assert np.all(found.belief.water_l >= 0.0)


def test_equal_weights_change_nothing() -> None:
    """What fits every member alike leaves the very same belief."""
    belief = standing_of(covered(2), 32).belief
    assert learning.seen(belief, 0, np.ones(32), "f") is belief


def test_what_was_seen_grows_old() -> None:
    """A year without answers leaves the factor nearly as wide as at first."""
    garden = covered(2)
    standing = lived(garden, {1: {0: float(asked_l(garden)[0, 0])}}, 2)
    sharp = standing.belief.log_use[0].std()
    for _ in range(400):
        standing = replace(standing, belief=learning.drifted(standing))
    old = standing.belief.log_use[0]
    assert old.std() > 1.5 * sharp
    assert np.abs(imbalance_l(standing.belief)).max() < 1e-9
