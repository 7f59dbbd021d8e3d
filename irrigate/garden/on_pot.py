"""What a fact about a single pot does to the belief about it."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import numpy as np

from irrigate.garden.belief import FACTORS, Belief
from irrigate.garden.believed import Standing
from irrigate.garden.draws import normals
from irrigate.garden.events import (
    CanopyMeasured,
    Fact,
    Given,
    Planted,
    Resized,
    Tended,
    TillRan,
    Weighed,
)
from irrigate.garden.learning import all_known, moved, seen, sites_of, within
from irrigate.garden.observations import SCALE_KG, SCALE_SHARE, Observation, likelihood
from irrigate.garden.priors import USE, prior_rows
from irrigate.garden.shared import remembering
from irrigate.garden.watering import amounts_l, emptied, give, into_reservoir, ran, topped_up

# Local time before which a hanging plant is short of water rather than hot.
EARLY_HOUR = 10


def on_pot(current: Standing, fact: Fact, row: int, *, unwell: bool) -> Belief:
    """Return the belief after a fact about one pot.

    Parameters
    ----------
    current : belief and garden at the moment of the fact.
    fact : what happened; kinds that change no belief change nothing.
    row : which pot.
    unwell : whether it is marked so: a sick plant's thirst and leaves say nothing of its water
        that would hold for it when well, so nothing is learnt from what is observed of it.
    """
    garden, belief, body = current.garden, current.belief, fact.body
    if isinstance(body, CanopyMeasured):
        canopy = belief.canopy_m.copy()
        canopy[row] = (body.width_m, body.height_m)
        return replace(belief, canopy_m=canopy)
    if isinstance(body, Resized):
        canopy = belief.canopy_m.copy()
        canopy[row] *= body.factor
        return replace(belief, canopy_m=canopy)
    if isinstance(body, Planted):
        return _replanted(current, fact, row)
    traits = current.traits
    if isinstance(body, Given):
        pour = into_reservoir if body.how == "reservoir" else give
        return pour(belief, traits, row, amounts_l(body, fact.id, belief.members))
    if isinstance(body, Tended) and body.what == "saucer emptied":
        return emptied(belief, row)
    if isinstance(body, Tended) and body.what == "reservoir filled":
        return topped_up(belief, traits, row, body.volume_l)
    if isinstance(body, TillRan):
        return ran(current, row, body, fact.id, learns=not unwell)
    if isinstance(body, Weighed) and body.anew:
        return _zero_set(belief, row, body, fact.id)
    if isinstance(body, Observation) and not unwell:
        local = fact.valid_at.astimezone(ZoneInfo(garden.site.time_zone))
        filled_l = garden.pots[row].vessel.filled_volume_l
        weights = likelihood(body, belief, traits, row, filled_l, early=local.hour < EARLY_HOUR)
        after = seen(belief, row, np.asarray(weights), fact.id)
        return within(replace(current, belief=after), after.water_l)
    return belief


def _zero_set(belief: Belief, row: int, body: Weighed, fact_id: str) -> Belief:
    """Set what one pot weighs without its water, where nothing was known of the scale's zero.

    With all zeros alike beforehand, each member's is the weight less its water, give or take what
    a scale tells; the weight says nothing else.
    """
    empty = belief.empty_kg.copy()
    spread = np.hypot(SCALE_KG, SCALE_SHARE * body.mass_kg)
    noise = spread * normals(("zero", fact_id), belief.members)
    water = belief.water_l[row] + belief.below_l[row]
    empty[row] = np.maximum(body.mass_kg - water + noise, 0.0)
    return replace(belief, empty_kg=empty)


def _replanted(current: Standing, fact: Fact, row: int) -> Belief:
    """Draw the thirst of a new plant, as its group knows it; the water stays as it was."""
    pot, belief = current.garden.pots[row], current.belief
    fresh = prior_rows(replace(pot, plant_id=f"{pot.plant_id}|{fact.id}"), belief.members)
    changed = {}
    for name in ("log_use", "dry_point"):
        array = getattr(belief, name).copy()
        array[row] = fresh[name]
        changed[name] = array
    use = FACTORS.index("log_use")
    precision, pull = belief.seen_precision.copy(), belief.seen_pull.copy()
    kept, pots = belief.remembered, current.garden.pots
    if precision[use, row] > 0.0:
        seen_of_it = float(precision[use, row]), float(pull[use, row])
        kept = remembering(kept, "log_use", pot.group, USE, *seen_of_it)
    precision[use, row], pull[use, row] = 0.0, 0.0
    before = all_known(pots, sites_of(belief), belief.remembered)
    belief = replace(belief, seen_precision=precision, seen_pull=pull, remembered=kept, **changed)
    wanted = all_known(pots, sites_of(belief), kept)
    before[use].mean[row], before[use].variance[row] = USE.mean, USE.prior_variance
    return moved(replace(current, belief=belief), before, wanted, water=False)
