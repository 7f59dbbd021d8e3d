"""Stated widths and robust tails: an answer far off changes little, whatever kind it is of.

The widths themselves are from memory, and tagged so beside their numbers; here is held that they
are used as stated, and that no wrong answer does harm.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.stats import norm

from irrigate.garden.belief import FACTORS
from irrigate.garden.events import Body, Drained, Probe, ProbeRaw, TillRan, Weighed
from irrigate.garden.learning import seen
from irrigate.garden.observations import OUTLIER, likelihood, share_from_air_dry
from irrigate.garden.watering import RAN_STRAY, chance_full, give, litres_fit
from tests.garden.test_question import LIVED, ROOM, SHARE, WHOLE_KG

POT = LIVED.garden.pots[0]
FILLED_L = POT.vessel.filled_volume_l
# Something must have run through for it to be caught.
POURED = give(LIVED.belief, LIVED.traits, 0, np.full(ROOM.size, float(np.median(ROOM)) + 0.5))
HELD = {"drained": POURED}
THETA = LIVED.belief.water_l[0] / FILLED_L
SHARE_DRY = share_from_air_dry(LIVED.belief, LIVED.traits, 0)

# What each member should show, the width that is stated for it, and the answer that says so.
AMOUNTS: dict[str, tuple[np.ndarray, Callable[[float], float], Callable[[float], Body]]] = {
    "weighed": (WHOLE_KG, lambda kg: np.hypot(0.15, 0.02 * kg), lambda kg: Weighed("p-1", kg)),
    "drained": (
        POURED.past_l[0], lambda litres: np.hypot(0.1, 0.15 * litres),
        lambda litres: Drained("p-1", litres),
    ),
    "probe": (THETA, lambda _: 0.05, lambda theta: Probe("p-1", theta)),
    "raw": (
        SHARE_DRY, lambda share: 0.1 + 0.1 * (2.0 * min(max(share, 0.0), 1.0) - 1.0) ** 2,
        lambda share: ProbeRaw("p-1", 1000.0 - 500.0 * share, 1000.0, 500.0),
    ),
    "ran": (
        ROOM, lambda litres: np.hypot(0.1, 0.12 * litres), lambda litres: TillRan("p-1", litres),
    ),
}  # fmt: skip


def fits(kind: str, amount: float) -> np.ndarray:
    """Return how well an amount fits each member, by the likelihood that learning uses."""
    body = AMOUNTS[kind][2](amount)
    if isinstance(body, TillRan):
        prior = chance_full(SHARE, twice=False)
        holds_l = float(LIVED.traits.capacity_l[0].mean())
        return litres_fit(amount, ROOM, prior, holds_l)[0]
    belief = HELD.get(kind, LIVED.belief)
    return np.asarray(likelihood(body, belief, LIVED.traits, 0, FILLED_L, early=False))  # type: ignore[arg-type]


def moved_sd(kind: str, amount: float) -> float:
    """Return how far a factor's mean goes for an amount, in sd of that factor."""
    before = HELD.get(kind, LIVED.belief)
    after = seen(before, 0, fits(kind, amount), "f")
    moves = []
    for name in FACTORS:
        was, now = getattr(before, name)[0], getattr(after, name)[0]
        moves.append(abs(now.mean() - was.mean()) / was.std())
    return float(max(moves))


@pytest.mark.parametrize("kind", ["weighed", "drained", "probe", "raw"])
def test_the_stated_widths_are_used(kind: str) -> None:
    """Above its floor a likelihood is scipy's normal curve of the width stated for the answer."""
    values, width, _ = AMOUNTS[kind]
    amount = float(np.median(values))
    bell = norm.pdf((values - amount) / width(amount)) / norm.pdf(0.0)
    assert fits(kind, amount) == pytest.approx(OUTLIER + (1.0 - OUTLIER) * bell, abs=1e-9)


def test_litres_till_it_ran_as_stated() -> None:
    """A mixture of full, not full and another pot, written a second time by scipy."""
    amount, sd = float(np.median(ROOM)), np.hypot(0.1, 0.12 * ROOM)
    full = 0.4 + 0.5 * np.clip(SHARE / 0.4, 0.0, 1.0)
    by_hand = full * norm.pdf(amount, ROOM, sd)
    by_hand += (1.0 - full) * norm.cdf((ROOM - amount) / sd) / np.maximum(ROOM, sd)
    by_hand += RAN_STRAY / float(LIVED.traits.capacity_l[0].mean())
    assert fits("ran", amount) == pytest.approx(by_hand, abs=2e-4 / ROOM.min())


def off(kind: str, count: float) -> float:
    """Return the amount so many sd above what is expected: of the members and of the answer."""
    values, width, _ = AMOUNTS[kind]
    amount = float(values.mean())
    for _ in range(100):
        amount = float(values.mean() + count * np.hypot(values.std(), width(amount)))
    return amount


# Between its points no number of a probe is five sd off: what is further is refused.
@pytest.mark.parametrize("kind", ["weighed", "drained", "probe", "ran"])
def test_five_sd_off_changes_little(kind: str) -> None:
    """An amount five sd off moves no factor by a twentieth of its sd; one of two sd does."""
    assert moved_sd(kind, off(kind, 5.0)) < 0.05
    assert moved_sd(kind, off(kind, 2.0)) > 0.2


@pytest.mark.parametrize("kind", AMOUNTS)
def test_no_amount_rules_a_member_out(kind: str) -> None:
    """However absurd, an amount leaves every member some weight."""
    values, _, _ = AMOUNTS[kind]
    for amount in (0.0, float(values.mean()), 50.0 * float(values.max())):
        weights = fits(kind, amount)
        assert weights.min() > 1e-3 * weights.max()
        assert weights.min() > 0.0
