"""What a watering does to a belief: poured cans, "till it ran", and rounds nobody spoke of."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import numpy as np

from irrigate.garden.balance import PotTraits, drain, missing_l, pour, share_available
from irrigate.garden.belief import Belief, corrected, entered
from irrigate.garden.believed import Standing
from irrigate.garden.draws import normals, uniforms
from irrigate.garden.events import Fact, Given, RoundTold, TillRan
from irrigate.garden.learning import seen
from irrigate.garden.rows import merged, only
from irrigate.garden.touch import finger_likelihood, normal_cdf
from irrigate.garden.weather import Floats

# [M] P(full | ran out below): about 0.9 from moist, 0.4 from dry, where water runs down the wall of
# a shrunken mix; nearly sure when it was left to soak and ran again.
FULL_FROM_DRY, FULL_FROM_MOIST, FULL_TWICE = 0.4, 0.9, 0.97
# [M] The share of available water from which on it counts as moist; linear from dry to there.
MOIST_SHARE = 0.4
# [M] How well litres till it ran are told, as one standard deviation: the splash before the tap is
# shut [L], and a can filled by eye [share].
RAN_L, RAN_SHARE = 0.1, 0.12
# [M] The share of answers that are of another pot, or in another unit.
RAN_STRAY = 0.03

# Slow water is poured in portions of this long.
PORTION_H = 0.25

# Of the rounds that nobody spoke of and that were not wholly walked, half were walked in part.
PARTLY_SHARE = 0.5


def give(belief: Belief, traits: PotTraits, row: int, volume_l: Floats) -> Belief:
    """Pour each member's litres on one pot [member]; what exceeds its capacity drains."""
    volumes = np.zeros_like(belief.water_l)
    volumes[row] = volume_l
    store, drained = pour(belief.store, traits, volumes)
    past = belief.past_l.copy()
    past[row] = volumes[row] - (store.water_l - belief.water_l)[row]
    belief = replace(belief, past_l=past)
    return entered(belief, store, given_l=volumes, drained_l=np.asarray(drained, dtype=np.float64))


def portions(fact: Fact) -> Iterator[Fact]:
    """Part water that took hours into what each quarter of an hour brought, in order of time."""
    body = fact.body
    if not isinstance(body, Given) or body.over_h <= PORTION_H:
        yield fact
        return
    count = math.ceil(body.over_h / PORTION_H)
    part = replace(body, volume_l=body.volume_l / count, over_h=0.0)
    for number in range(count):
        # In the middle of its time; of one id, so that all portions err alike.
        later = timedelta(hours=body.over_h * (number + 0.5) / count)
        yield replace(fact, valid_at=fact.valid_at + later, body=part)


def amounts_l(body: Given, fact_id: str, members: int) -> Floats:
    """Return how much each member got: the said litres with their relative spread [member]."""
    factor = 1.0 + body.spread * normals(("given", fact_id), members)
    return body.volume_l * np.clip(factor, 0.0, 2.0)


def ran(current: Standing, row: int, body: TillRan, fact_id: str, *, learns: bool) -> Belief:
    """Water one pot until it runs out below.

    Parameters
    ----------
    current : belief and garden at that moment.
    row : which pot.
    body, fact_id : what was said, and the key of its draws.
    learns : False for a sick plant, whose water is set and nothing learnt from it.

    Notes
    -----
    A member either fills to container capacity or, where the water found a way past the mix,
    to somewhere between what it held and that. Litres, where they were said, tell which members
    had room for them: the most that a can tells. What was poured beyond the filling has drained;
    if the filling needs more than was poured, the belief had missed water and is corrected (the
    ledger keeps both). Below a reservoir nothing runs out before that is full: then it is, and the
    litres tell what both lacked.
    """
    if body.volume_l is not None and learns:
        weights, _ = _fits(current, row, body.volume_l, body.twice)
        current = replace(current, belief=seen(current.belief, row, weights, fact_id))
    belief, traits = current.belief, current.traits
    members = belief.members
    before, room, below = belief.water_l[row], _room(current, row), room_below(current, row)
    chance = _chance_full(current, row, twice=body.twice)
    if body.volume_l is None:
        after = (
            before
            + np.where(
                uniforms(("ran", fact_id), members) < chance,
                1.0,
                uniforms(("past", fact_id), members),
            )
            * room
        )
        poured = after - before + below
    else:
        _, chance = _fits(current, row, body.volume_l, body.twice)
        full = uniforms(("ran", fact_id), members) < chance
        after = before + np.where(full, room, np.clip(body.volume_l - below, 0.0, room))
        poured = np.full_like(before, body.volume_l)
    taken = np.minimum(poured, after - before)
    belief = _filled(belief, traits, row, taken, poured - taken)
    water, stands = belief.water_l.copy(), belief.below_l.copy()
    water[row] = after
    stands[row] = np.maximum(stands[row], traits.fills_l[row])
    return corrected(belief, water, stands)


def room_below(current: Standing, row: int) -> Floats:
    """Return what the reservoir of a pot lacks in each member [L]; 0 where there is none."""
    lacks = current.traits.fills_l[row] - current.belief.below_l[row]
    return np.asarray(np.maximum(lacks, 0.0), dtype=np.float64)


def _room(current: Standing, row: int) -> Floats:
    """Return what each member of a pot lacks to container capacity [L]."""
    return np.asarray(missing_l(current.belief.water_l, current.traits)[row], dtype=np.float64)


def _chance_full(current: Standing, row: int, *, twice: bool) -> Floats:
    """Return the chance that a pot which ran is full, by how wet it was before [member]."""
    share = share_available(current.belief.water_l, current.traits)[row]
    return chance_full(np.asarray(share, dtype=np.float64), twice=twice)


def chance_full(share: Floats, *, twice: bool) -> Floats:
    """Return the chance that a pot which ran is full, by its share of available water before."""
    part = np.clip(share / MOIST_SHARE, 0.0, 1.0)
    chance = FULL_FROM_DRY + (FULL_FROM_MOIST - FULL_FROM_DRY) * part
    return np.asarray(np.maximum(chance, FULL_TWICE) if twice else chance, dtype=np.float64)


def _fits(current: Standing, row: int, volume_l: float, twice: bool) -> tuple[Floats, Floats]:
    """Return how well the litres fit each member, and the chance then that it is full [member]."""
    prior = _chance_full(current, row, twice=twice)
    holds_l = float(np.mean(current.traits.capacity_l[row] + current.traits.fills_l[row]))
    below = room_below(current, row)
    return litres_fit(volume_l, _room(current, row), prior, holds_l, below)


def litres_fit(
    volume_l: Floats | float,
    room_l: Floats,
    prior: Floats,
    holds_l: float,
    below_l: Floats | float = 0.0,
) -> tuple[Floats, Floats]:
    """Return how well litres till it ran fit, and the chance then that the pot is full.

    Parameters
    ----------
    volume_l : what was said, broadcastable to the members [L].
    room_l : what each member lacked to container capacity [L].
    prior : the chance of `chance_full` [member].
    holds_l : what the pot holds in the mean [L].
    below_l : what its reservoir lacked, which was filled too in any case [member].

    Notes
    -----
    Full: as many litres as it lacked, give or take what a can tells of them. Not full: any fewer,
    all alike. And a few answers fit nothing at all. The width goes by what a member lacked, not by
    what was said: a wild answer must not widen its own welcome.
    """
    spread = np.hypot(RAN_L, RAN_SHARE * (room_l + below_l))
    volume_l = volume_l - below_l
    filled = np.exp(-0.5 * ((volume_l - room_l) / spread) ** 2) / (
        spread * math.sqrt(2.0 * math.pi)
    )
    ran_past = normal_cdf((room_l - volume_l) / spread) / np.maximum(room_l, spread)
    by_full, by_past = prior * filled, (1.0 - prior) * ran_past
    stray = RAN_STRAY / holds_l
    return by_full + by_past + stray, by_full / np.maximum(by_full + by_past, 1e-300)


def _filled(belief: Belief, traits: PotTraits, row: int, taken_l: Floats, past_l: Floats) -> Belief:
    """Enter water that was taken up and water that ran through, on one pot."""
    water, surface = belief.water_l.copy(), belief.surface_mm.copy()
    water[row] += taken_l
    wetted_mm = (taken_l + past_l) / traits.surface_m2[row, 0]
    surface[row] = np.maximum(surface[row] - wetted_mm, 0.0)
    given, past = np.zeros_like(water), np.zeros_like(water)
    given[row], past[row] = taken_l + past_l, past_l
    through = belief.past_l.copy()
    through[row] = past_l
    belief = replace(belief, past_l=through)
    store, drained = drain(belief.store.put(water_l=water, surface_mm=surface), traits, past)
    return entered(belief, store, given_l=given, drained_l=np.asarray(drained, dtype=np.float64))


def emptied(belief: Belief, row: int) -> Belief:
    """Pour away what stands below one pot."""
    gone, below = np.zeros_like(belief.below_l), belief.below_l.copy()
    gone[row], below[row] = below[row], 0.0
    stood = belief.stood_h.copy()
    stood[row] = 0.0
    return entered(belief, belief.store.put(below_l=below, stood_h=stood), drained_l=gone)


def topped_up(belief: Belief, traits: PotTraits, row: int, volume_l: float | None = None) -> Belief:
    """Fill the reservoir of one pot to its brim.

    If litres were said, it lacked as many before: the belief is corrected to that first (the
    ledger keeps both), and what did not go in has run over.
    """
    full_l = float(traits.fills_l[row, 0])
    if volume_l is not None:
        below = belief.below_l.copy()
        below[row] = max(full_l - volume_l, 0.0)
        belief = corrected(belief, belief.water_l, below)
        return into_reservoir(belief, traits, row, np.full(belief.members, volume_l))
    return into_reservoir(belief, traits, row, np.maximum(full_l - belief.below_l[row], 0.0))


def into_reservoir(belief: Belief, traits: PotTraits, row: int, volume_l: Floats) -> Belief:
    """Pour each member's litres into what stands below one pot [member]; the rest runs over."""
    given = np.zeros_like(belief.below_l)
    given[row] = volume_l
    store, lost = drain(belief.store, traits, given)
    return entered(belief, store, given_l=given, drained_l=np.asarray(lost, dtype=np.float64))


def unspoken(current: Standing, told: RoundTold, spoken: frozenset[str], keeps: float) -> Belief:
    """Apply a round of which nobody said whether it was walked.

    Parameters
    ----------
    current : belief and garden at the moment of the round.
    told : what its message asked for.
    spoken : ids of pots that somebody did say something of.
    keeps : the gardener's habit: share of such rounds that are walked.

    Notes
    -----
    One unknown per round, shared by all its pots: in a member the round was done, done in part,
    or not at all. Pots to be felt get water only where a finger would find them dry.
    """
    members = current.belief.members
    walked = uniforms(("walked", told.round_key), members)
    partly = (walked >= keeps) & (walked < keeps + PARTLY_SHARE * (1.0 - keeps))
    outcome = np.where(walked < keeps, 1.0, np.where(partly, 2.0, 3.0))
    concerned = np.zeros_like(current.belief.walked)
    singles = {}
    for row, pot_id in enumerate(current.belief.pot_ids):
        volume = told.water_l.get(pot_id, told.feel_l.get(pot_id))
        if volume is None or pot_id in spoken:
            continue
        if keeps < 1.0:
            concerned[row] = outcome
        reached = uniforms(("reached", told.round_key, pot_id), members) < 0.5
        done = (walked < keeps) | (partly & reached)
        one = only(current, row)
        singles[row] = replace(one, belief=_unspoken_of(one, told, volume, done))
    return replace(merged(current, singles), walked=concerned)


def _unspoken_of(one: Standing, told: RoundTold, volume_l: float, done: np.ndarray) -> Belief:
    """Apply the round to one pot by itself, in the members where it was done."""
    belief, traits = one.belief, one.traits
    pot_id = belief.pot_ids[0]
    if pot_id in told.feel_l:
        share = share_available(belief.water_l, traits)[0]
        felt = uniforms(("felt", told.round_key, pot_id), belief.members)
        done = done & (felt < finger_likelihood("dry", share))
    if told.till_ran:
        amounts = _room(one, 0) + room_below(one, 0)
    else:
        body = Given(pot_id, volume_l, round_key=told.round_key)
        amounts = amounts_l(body, f"{told.round_key}|{pot_id}", belief.members)
    return give(belief, traits, 0, np.where(done, amounts, 0.0))
