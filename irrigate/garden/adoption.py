"""A garden's rows in a belief: the first ones, and those after the garden was changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from irrigate.garden.belief import FACTORS, FELT, LEDGER, STORED, WALKED, Belief, corrected
from irrigate.garden.believed import Standing
from irrigate.garden.learning import SPREADS, all_known, groups_of, moved, sites_of
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.priors import prior_rows
from irrigate.garden.shared import remembering
from irrigate.garden.traits import Vitals, pot_traits
from irrigate.garden.water import PotTraits
from irrigate.garden.weather import Floats

# The surface of a pot nobody has told us of is taken as half dried.
FIRST_SURFACE_SHARE = 0.5


def adopted(
    current: Standing | None, garden: Garden, known: Vitals, at: datetime, members: int
) -> Belief:
    """Return a belief whose rows are the pots of ``garden``, in its order.

    Parameters
    ----------
    current : what was believed before, and of which garden; None at the very first.
    garden : the garden from now on.
    known : `vitals` of its pots.
    at : the moment (UTC).
    members : size of the ensemble, for a first garden; later the belief keeps its own.

    Notes
    -----
    A pot that stays keeps its water, as far as it can hold it now. Thirst and dry point go with
    the plant, capacity and empty weight with the vessel (most of that weight is the vessel's and
    its mix's): a replanted pot starts its thirst afresh and keeps its capacity, a repotted plant
    the other way round (and its water is unknown anew).
    What begins afresh begins with what the garden and the like pots have taught.
    """
    belief = None if current is None else current.belief
    members = members if belief is None else belief.members
    places = _Places.of(belief)
    rows = [_row(belief, places, pot, members) for pot in garden.pots]
    first = {
        name: np.stack([row[name] for row in rows])
        for name in ("log_use", "log_capacity", "dry_point", "empty_kg")
    }
    fresh = _assembled(garden, at, rows, first, known)
    if current is None:
        return fresh
    carried = _taught(
        current, places, _carried(current.belief, places, fresh, garden), garden, known
    )
    return _within_bounds(carried, pot_traits(garden, known, carried))


@dataclass(frozen=True, slots=True)
class _Places:
    """In which row of the old belief each identity stands."""

    pots: Mapping[str, int]
    plants: Mapping[str, int]
    vessels: Mapping[str, int]

    @staticmethod
    def of(belief: Belief | None) -> _Places:
        """Look up the identities of a belief; nothing stands anywhere if there is none."""
        names = (belief.pot_ids, belief.plant_ids, belief.vessel_ids) if belief else ((), (), ())
        # The first where one stands twice.
        return _Places(*({one: row for row, one in reversed([*enumerate(ids)])} for ids in names))


def _row(belief: Belief | None, places: _Places, pot: Pot, members: int) -> dict[str, Floats]:
    """Draw the priors of a pot, and put what is already known of its plant and vessel over them."""
    row = dict(prior_rows(pot, members))
    if belief is not None:
        if (plant := places.plants.get(pot.plant_id)) is not None:
            row["log_use"], row["dry_point"] = belief.log_use[plant], belief.dry_point[plant]
        if (vessel := places.vessels.get(pot.vessel_id)) is not None:
            row["log_capacity"] = belief.log_capacity[vessel]
            row["empty_kg"] = belief.empty_kg[vessel]
    return row


def _assembled(
    garden: Garden, at: datetime, rows: list[dict[str, Floats]],
    first: dict[str, Floats], known: Vitals,
) -> Belief:  # fmt: skip
    shape = first["log_use"].shape
    belief = Belief(
        at=at,
        pot_ids=tuple(pot.id for pot in garden.pots),
        plant_ids=tuple(pot.plant_id for pot in garden.pots),
        vessel_ids=tuple(pot.vessel_id for pot in garden.pots),
        water_l=np.zeros(shape),
        surface_mm=FIRST_SURFACE_SHARE * known.evaporable_mm * np.ones(shape),
        below_l=np.zeros(shape),
        stood_h=np.zeros(shape),
        strain=np.zeros(shape),
        past_l=np.zeros(shape),
        walked=np.zeros(shape),
        canopy_m=np.array(
            [(pot.canopy_width_m, pot.canopy_height_m) for pot in garden.pots]
        ).reshape(-1, 2),
        opening_balance_l=np.zeros(shape),
        ledger_l=np.zeros((len(LEDGER), *shape)),
        settled_l=np.zeros((len(LEDGER), shape[0])),
        felt_h=np.zeros((len(FELT), shape[0])),
        seen_precision=np.zeros((len(FACTORS), shape[0])),
        seen_pull=np.zeros((len(FACTORS), shape[0])),
        remembered=(),
        round_says=np.zeros((len(WALKED), shape[0])),
        **first,
    )
    traits = pot_traits(garden, known, belief)
    share = np.stack([row["first_share"] for row in rows])
    belief.water_l[:] = traits.limit_l + share * traits.available_l
    belief.opening_balance_l[:] = belief.water_l
    return belief


def _carried(belief: Belief, places: _Places, fresh: Belief, garden: Garden) -> Belief:
    """Put the water of pots that stay into the fresh belief; the ledger goes with them."""
    for row, pot in enumerate(garden.pots):
        old = places.pots.get(pot.id)
        if old is None or belief.vessel_ids[old] != pot.vessel_id:
            continue
        for name in (*STORED, "opening_balance_l", "past_l", "walked"):
            getattr(fresh, name)[row] = getattr(belief, name)[old]
        fresh.ledger_l[:, row] = belief.ledger_l[:, old]
        fresh.settled_l[:, row] = belief.settled_l[:, old]
        fresh.felt_h[:, row] = belief.felt_h[:, old]
    return fresh


def _taught(
    current: Standing, places: _Places, fresh: Belief, garden: Garden, known: Vitals
) -> Belief:
    """Carry what was seen of plants and vessels, and move every factor to what all of it says."""
    old, pots = current.belief, current.garden.pots
    identities = (
        (places.plants, old.plant_ids, fresh.plant_ids),
        (places.vessels, old.vessel_ids, fresh.vessel_ids),
    )
    was = all_known(pots, sites_of(old), old.remembered)
    now = all_known(garden.pots, sites_of(fresh))  # nothing seen yet: the prior of each
    kept = old.remembered
    for index, (where, before, after) in enumerate(identities):
        staying = set(after)
        for row, identity in enumerate(after):
            if (place := where.get(identity)) is not None:
                fresh.seen_precision[index, row] = old.seen_precision[index, place]
                fresh.seen_pull[index, row] = old.seen_pull[index, place]
                now[index].mean[row] = was[index].mean[place]
                now[index].variance[row] = was[index].variance[place]
        for gone, identity in enumerate(before):
            if identity not in staying and old.seen_precision[index, gone] > 0.0:
                kept = remembering(
                    kept, FACTORS[index], groups_of(pots)[index][gone], SPREADS[index],
                    float(old.seen_precision[index, gone]), float(old.seen_pull[index, gone]),
                )  # fmt: skip
    fresh = replace(fresh, remembered=kept)
    wanted = all_known(garden.pots, sites_of(fresh), kept)
    return moved(Standing(garden, known, fresh), now, wanted, water=False)


def _within_bounds(belief: Belief, traits: PotTraits) -> Belief:
    """Return the belief with no more water than an edited pot holds, and no drier a top."""
    surface = np.minimum(belief.surface_mm, traits.evaporable_mm)
    water = np.minimum(belief.water_l, np.asarray(traits.capacity_l, dtype=np.float64))
    below = np.minimum(belief.below_l, np.asarray(traits.basin_l, dtype=np.float64))
    belief = replace(belief, surface_mm=np.asarray(surface, dtype=np.float64))
    return corrected(belief, water, below)
