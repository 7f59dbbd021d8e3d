"""What a fact about a single pot does to the belief about it."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import numpy as np

from irrigate.garden.belief import Belief
from irrigate.garden.believed import Standing
from irrigate.garden.events import (
    CanopyMeasured,
    Fact,
    Finger,
    Given,
    Planted,
    Probe,
    Resized,
    Tended,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.garden.observations import likelihood, observed
from irrigate.garden.priors import prior_rows
from irrigate.garden.watering import amounts_l, emptied, give, ran, topped_up

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
        return give(belief, traits, row, amounts_l(body, fact.id, belief.members))
    if isinstance(body, Tended) and body.what == "saucer emptied":
        return emptied(belief, row)
    if isinstance(body, Tended) and body.what == "reservoir filled":
        return topped_up(belief, traits, row)
    if isinstance(body, TillRan):
        return ran(belief, traits, row, body, fact.id)
    if isinstance(body, Finger | Weighed | Wilting | Probe) and not unwell:
        local = fact.valid_at.astimezone(ZoneInfo(garden.site.time_zone))
        filled_l = garden.pots[row].vessel.filled_volume_l
        weights = likelihood(body, belief, traits, row, filled_l, early=local.hour < EARLY_HOUR)
        return observed(belief, row, np.asarray(weights), fact.id)
    return belief


def _replanted(current: Standing, fact: Fact, row: int) -> Belief:
    """Draw the thirst of a new plant; the water stays as it was."""
    pot = current.garden.pots[row]
    fresh = prior_rows(replace(pot, plant_id=f"{pot.plant_id}|{fact.id}"), current.belief.members)
    changed = {}
    for name in ("log_use", "dry_point"):
        array = getattr(current.belief, name).copy()
        array[row] = fresh[name]
        changed[name] = array
    return replace(current.belief, **changed)
