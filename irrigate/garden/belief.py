"""What is believed of every pot: an ensemble of members, and a ledger of the water.

Arrays are [pot, member] in C order. Member k is one whole possible garden: it has one thirst
shared by the garden, one by each group of like pots, and one weather for all of them.

State is float64 while it is stepped. At each midnight UTC it is rounded to float32 (and the
rounding entered in the ledger), always and whether or not a checkpoint is written, so that a
fold from a checkpoint gives the same bits as a fold from the first fact.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.shared import Remembered
from irrigate.garden.water import Flows, Store
from irrigate.garden.weather import Floats

LEDGER = ("rained_l", "given_l", "transpired_l", "evaporated_l", "drained_l", "corrected_l")
FELT = ("thirsty_h", "wilting_h", "wet_h")
FACTORS = ("log_use", "log_capacity")
WALKED = ("done", "partly", "not done")


@dataclass(frozen=True, slots=True, eq=False)
class Belief:
    """The state of every pot at one moment.

    Parameters
    ----------
    at : the moment (UTC).
    pot_ids : one id per row.
    plant_ids, vessel_ids : whose thirst and whose capacity each row has learnt.
    water_l, surface_mm, below_l, stood_h, strain : as in `irrigate.garden.water.Store`
        [pot, member].
    log_use : log of the plant's thirst relative to the equations [pot, member].
    log_capacity : log of what the pot holds relative to the laboratory's value [pot, member].
    dry_point : share of available water below which use falls [pot, member].
    empty_kg : mass of pot, dry mix and plant [pot, member].
    past_l : what ran through at the last watering [pot, member].
    walked : what became of the last round that nobody spoke of, by `WALKED` [pot, member];
        0 where it did not concern the pot.
    canopy_m : width and height of the plant [pot, 2].
    opening_balance_l : water at the start of the ledger, in the mix and below [pot, member].
    ledger_l : what moved since, by `LEDGER` [6, pot, member].
    settled_l : what moved before the ledger began, mean of the members [6, pot].
    felt_h : hours thirsty, wilting, and too wet since the pot was first seen, by `FELT`, mean of
        the members [3, pot].
    seen_precision, seen_pull : Gaussian sites of what was seen, by `FACTORS` [2, pot]; see
        `irrigate.garden.shared.Sites`.
    remembered : what pots that are gone had taught of their groups.
    round_says : what was seen since the last moment says of that round [3, pot], as logarithms of
        likelihood by `WALKED`; zero once it was shared.
    """

    at: datetime
    pot_ids: tuple[str, ...]
    plant_ids: tuple[str, ...]
    vessel_ids: tuple[str, ...]
    water_l: Floats
    surface_mm: Floats
    below_l: Floats
    stood_h: Floats
    strain: Floats
    log_use: Floats
    log_capacity: Floats
    dry_point: Floats
    empty_kg: Floats
    past_l: Floats
    walked: Floats
    canopy_m: Floats
    opening_balance_l: Floats
    ledger_l: Floats
    settled_l: Floats
    felt_h: Floats
    seen_precision: Floats
    seen_pull: Floats
    remembered: tuple[Remembered, ...]
    round_says: Floats

    @property
    def store(self) -> Store:
        """The water alone, as the balance takes it."""
        return Store(*(getattr(self, name) for name in STORED))

    @property
    def members(self) -> int:
        """How many members the ensemble has."""
        return int(self.water_l.shape[1])

    def row(self, pot_id: str) -> int:
        """Return the row of a pot; a `ValueError` if it is not there."""
        return self.pot_ids.index(pot_id)


STORED = tuple(field.name for field in fields(Store))
"""Names of the arrays that the balance steps."""

NOT_BY_MEMBER = {
    "at", "pot_ids", "plant_ids", "vessel_ids", "canopy_m", "ledger_l", "settled_l", "felt_h",
    "seen_precision", "seen_pull", "remembered", "round_says",
}  # fmt: skip
MEMBER_ARRAYS = tuple(field.name for field in fields(Belief) if field.name not in NOT_BY_MEMBER)
"""Names of the arrays of shape [pot, member]."""


def imbalance_l(belief: Belief) -> Floats:
    """Return water in − out − change since the ledger began [pot, member]; zero but for rounding.

    ``corrected_l`` counts what observations put in or took out of the belief.
    """
    rained, given, transpired, evaporated, drained, corrected = belief.ledger_l
    change = belief.water_l + belief.below_l - belief.opening_balance_l
    balance: Floats = rained + given + corrected - transpired - evaporated - drained - change
    return balance


def entered(
    belief: Belief, store: Store, *, given_l: Floats | float = 0.0, flows: Flows | None = None,
    drained_l: Floats | float = 0.0,
) -> Belief:  # fmt: skip
    """Return the belief with a new store and its movements entered in the ledger.

    Parameters
    ----------
    belief : before.
    store : the water afterwards.
    given_l : water poured on by a person or a line [L].
    flows : what a step of the balance moved.
    drained_l : what drained of the water given [L].
    """
    ledger = belief.ledger_l.copy()
    ledger[1] += given_l
    ledger[4] += drained_l
    if flows is not None:
        ledger[0] += flows.rained_l
        ledger[2] += flows.transpired_l
        ledger[3] += flows.evaporated_l
        ledger[4] += flows.drained_l
    water, surface, below, stood, strain = (
        np.asarray(getattr(store, name), dtype=np.float64) for name in STORED
    )
    return replace(
        belief, water_l=water, surface_mm=surface, below_l=below, stood_h=stood, strain=strain,
        ledger_l=ledger,
    )  # fmt: skip


def corrected(belief: Belief, water_l: Floats, below_l: Floats | None = None) -> Belief:
    """Return the belief with its water set by what was seen, the difference in the ledger.

    ``below_l`` is the water below the mix; None where that stays as it was.
    """
    below = belief.below_l if below_l is None else below_l
    ledger = belief.ledger_l.copy()
    ledger[5] += (water_l - belief.water_l) + (below - belief.below_l)
    return replace(belief, water_l=water_l, below_l=below, ledger_l=ledger)


def rounded(belief: Belief) -> Belief:
    """Return the belief as a checkpoint will hold it: every array through float32.

    The ledger starts anew, so that its own rounding cannot grow with the age of the garden;
    what it held goes to ``settled_l``, the rounding of the water (some 1e-8 of it) with it.
    """
    through = {
        name: getattr(belief, name).astype(np.float32).astype(np.float64)
        for name in (*MEMBER_ARRAYS, "canopy_m")
    }
    through["opening_balance_l"] = through["water_l"] + through["below_l"]
    settled = moved_l(belief)
    rounding = through["opening_balance_l"] - (belief.water_l + belief.below_l)
    settled[LEDGER.index("corrected_l")] += rounding.mean(axis=1)
    return replace(belief, **through, ledger_l=np.zeros_like(belief.ledger_l), settled_l=settled)


def moved_l(belief: Belief) -> Floats:
    """Return what moved since the pot was first seen, mean of the members, by `LEDGER` [6, pot]."""
    moved: Floats = belief.settled_l + belief.ledger_l.mean(axis=2)
    return moved


def resampled(belief: Belief, row: int, pick: NDArray[np.intp]) -> Belief:
    """Return the belief with the members of one pot replaced by the members ``pick`` of it."""
    changed = {}
    for name in MEMBER_ARRAYS:
        array = getattr(belief, name).copy()
        array[row] = array[row, pick]
        changed[name] = array
    ledger = belief.ledger_l.copy()
    ledger[:, row] = ledger[:, row][:, pick]
    return replace(belief, **changed, ledger_l=ledger)
