"""A garden that really is, for trying a policy on: one member, hidden from the service.

Its thirst, capacities and dry points are drawn from the same priors as a belief's, under a key
of its own, so that no member of any belief is the truth.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from irrigate.garden.adoption import adopted
from irrigate.garden.balance import share_available
from irrigate.garden.belief import FELT, LEDGER, MEMBER_ARRAYS, Belief, moved_l
from irrigate.garden.believed import Standing
from irrigate.garden.fold import fold
from irrigate.garden.pots import Garden
from irrigate.garden.traits import vitals
from irrigate.garden.watering import emptied, give
from irrigate.garden.weather import Floats, HourlyWeather

PAST_ANY_BELIEF = 1024


@dataclass(frozen=True, slots=True, eq=False)
class Tally:
    """What a policy came to, by pot: hours thirsty and too wet, litres given and drained."""

    thirsty_h: Floats
    too_wet_h: Floats
    given_l: Floats
    drained_l: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Truth:
    """The real garden at one moment."""

    standing: Standing

    @property
    def thirsty_h(self) -> Floats:
        """Hours that each pot was thirsty so far [pot]."""
        return np.asarray(self.standing.belief.felt_h[FELT.index("thirsty_h")])

    @property
    def too_wet_h(self) -> Floats:
        """Hours that each pot's roots lacked air so far [pot]."""
        return np.asarray(self.standing.belief.felt_h[FELT.index("wet_h")])

    @property
    def share(self) -> Floats:
        """Available water as a share of what each pot holds [pot]."""
        water = self.standing.belief.water_l
        return np.asarray(share_available(water, self.standing.traits), dtype=np.float64)[:, 0]

    @property
    def missing_l(self) -> Floats:
        """Litres below container capacity [pot]."""
        lacking = self.standing.traits.capacity_l - self.standing.belief.water_l
        return np.maximum(np.asarray(lacking, dtype=np.float64), 0.0)[:, 0]

    @property
    def to_fill_l(self) -> Floats:
        """Litres that each mix, and any reservoir below it, lack [pot]."""
        below = self.standing.traits.fills_l - self.standing.belief.below_l
        return self.missing_l + np.maximum(np.asarray(below, dtype=np.float64), 0.0)[:, 0]

    def tally(self) -> Tally:
        """Return what it came to so far."""
        moved = moved_l(self.standing.belief)
        return Tally(
            self.thirsty_h,
            self.too_wet_h,
            moved[LEDGER.index("given_l")],
            moved[LEDGER.index("drained_l")],
        )


def true_garden(garden: Garden, at: datetime, key: str) -> Truth:
    """Return a real garden that fits a description; another ``key`` gives another one."""
    pots = tuple(
        replace(pot, vessel_id=f"{pot.vessel_id}|{key}", plant_id=f"{pot.plant_id}|{key}")
        for pot in garden.pots
    )
    hidden = replace(garden, name=f"{garden.name}|{key}", pots=pots)
    known = vitals(pots)
    # Like pots share draws by their group; a member past the last of any belief is nobody's.
    belief = _only(adopted(None, hidden, known, at, PAST_ANY_BELIEF), PAST_ANY_BELIEF - 1)
    return Truth(Standing(hidden, known, belief))


def _only(belief: Belief, member: int) -> Belief:
    one = {name: getattr(belief, name)[:, member : member + 1].copy() for name in MEMBER_ARRAYS}
    ledger = belief.ledger_l[:, :, member : member + 1].copy()
    return replace(belief, **one, ledger_l=ledger)


def passed(truth: Truth, weather: HourlyWeather, until: datetime) -> Truth:
    """Let time pass, with the weather that really was.

    Parameters
    ----------
    truth : before.
    weather : without gaps, past ``until``.
    until : the moment wanted (UTC).
    """
    if truth.standing.belief.at >= until:
        return truth
    standing = fold(truth.standing, (), weather, until, 1)
    if standing is None:
        raise ValueError("a real garden cannot vanish")
    return replace(truth, standing=standing)


def poured_away(truth: Truth, row: int) -> Truth:
    """Empty the saucer or outer pot of one pot."""
    standing = truth.standing
    return replace(truth, standing=replace(standing, belief=emptied(standing.belief, row)))


def watered(truth: Truth, row: int, volume_l: float) -> Truth:
    """Pour litres on one pot."""
    standing = truth.standing
    belief = give(standing.belief, standing.traits, row, np.array([volume_l]))
    return replace(truth, standing=replace(standing, belief=belief))
