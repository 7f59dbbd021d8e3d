"""Learning from what was seen: the pot it was seen of, then every pot that is like it.

Three movements. *Seen*: the members of one pot are drawn anew by how well they fit, spread a
little so that none is there twice, and what that says of its factors is kept as Gaussian sites.
*Shared*: once per moment all sites together give every pot a new mean and spread, and its members
are moved to them, their water with them as far as it went along with the factor. *Drift*: at
midnight what was seen grows a day older, and the plants may have grown heavier.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.belief import FACTORS, WALKED, Belief, corrected, resampled
from irrigate.garden.believed import Standing
from irrigate.garden.draws import normals, uniforms
from irrigate.garden.pots import Pot
from irrigate.garden.priors import CAPACITY, DRY_POINT_BOUNDS, USE, capacity_group
from irrigate.garden.shared import Normals, Remembered, Sites, Spreads, known_of
from irrigate.garden.weather import Floats

SPREADS: tuple[Spreads, ...] = (USE, CAPACITY)

# Members drawn twice are parted by this share of the spread, and all drawn in towards the mean by
# as much as keeps the spread (Liu & West 2001, in Sequential Monte Carlo Methods in Practice).
KERNEL = 0.2
# A weight says nothing where it hardly differs between members.
FLAT = 1e-3
# What one pot says of a round is never quite certain: somebody may have watered it alone.
LEAST_ROUND = 0.05
# What a plant itself weighs changes, and no scale tells that from water: one standard deviation
# of a day's change [kg per m² of leaves seen from above]. From memory: some 3 g of dry matter come
# of a megajoule of the light that leaves take up, and a tenth of fresh leaves and fruit is dry.
GROWS_KG_M2 = 0.2


def seen(belief: Belief, row: int, weights: Floats, fact_id: str) -> Belief:
    """Return the belief with one pot's members drawn anew by their weights.

    Parameters
    ----------
    belief : before.
    row : which pot.
    weights : how well each member fits what was seen [member].
    fact_id : of what was seen; keys the draws.

    Notes
    -----
    Systematic resampling along the sorted use factor with one keyed uniform, so that equal
    weights change nothing; then the kernel of Liu and West. What the weights say of the factors
    goes into the pot's sites by the change of their weighted mean and variance.
    """
    total = float(weights.sum())
    if not total > 0.0 or float(np.ptp(weights)) <= FLAT * float(weights.max()):
        return belief
    weights = weights / total
    belief = _told_of_round(_sited(belief, row, weights), row, weights)
    pick = sorted_systematic(belief.log_use[row], weights, float(uniforms((fact_id,), 1)[0]))
    return _spread(resampled(belief, row, pick), row, weights, fact_id)


def sorted_systematic(along: Floats, weights: Floats, offset: float) -> NDArray[np.intp]:
    """Return the members to keep, each as often as its weight says, to within one.

    Parameters
    ----------
    along : what they are sorted by, so that few are lost from any part of it [member].
    weights : summing to 1 [member].
    offset : where the comb starts, in (0, 1).
    """
    order = np.argsort(along, kind="stable")
    comb = (np.arange(weights.size) + offset) / weights.size
    edges = np.cumsum(weights[order])
    place = np.minimum(np.searchsorted(edges, comb), weights.size - 1)
    pick: NDArray[np.intp] = order[place]
    return pick


def _sited(belief: Belief, row: int, weights: Floats) -> Belief:
    """Enter into a pot's sites what the weights say of its factors."""
    precision, pull = belief.seen_precision.copy(), belief.seen_pull.copy()
    enough = 1.0 / float(np.sum(weights**2))
    for index, name in enumerate(FACTORS):
        values = getattr(belief, name)[row]
        mean, variance = float(values.mean()), float(values.var())
        fits = float(weights @ values)
        narrow = float(weights @ (values - fits) ** 2)
        # Few members left say less than they seem to: their own spread is not to be trusted.
        narrow = max(narrow, variance / max(enough, 2.0))
        if not 0.0 < narrow < variance:
            continue  # the weights are about something else, or two answers are possible
        precision[index, row] += 1.0 / narrow - 1.0 / variance
        pull[index, row] += fits / narrow - mean / variance
    return replace(belief, seen_precision=precision, seen_pull=pull)


def _spread(belief: Belief, row: int, weights: Floats, fact_id: str) -> Belief:
    """Part members that were drawn more than once, by as little as their weights were uneven."""
    enough = 1.0 / (float(np.sum(weights**2)) * weights.size)
    size = KERNEL * float(np.sqrt(max(1.0 - enough, 0.0)))
    keep = float(np.sqrt(1.0 - size**2))
    changed, water = {}, belief.water_l.copy()
    for name in (*FACTORS, "dry_point", "empty_kg"):
        array = getattr(belief, name).copy()
        values = array[row]
        noise = normals(("kernel", name, fact_id), values.size)
        noise -= noise.mean()
        array[row] = values.mean() + keep * (values - values.mean()) + size * values.std() * noise
        if name in FACTORS:
            slope = _slope(water[row : row + 1], values[np.newaxis])[0]
            water[row] += slope * (array[row] - values)
        changed[name] = array
    low, high = DRY_POINT_BOUNDS
    changed["dry_point"][row] = np.clip(changed["dry_point"][row], low, high)
    changed["empty_kg"][row] = np.maximum(changed["empty_kg"][row], 0.0)
    return corrected(replace(belief, **changed), np.maximum(water, 0.0))


def _told_of_round(belief: Belief, row: int, weights: Floats) -> Belief:
    """Note what the weights say of the last round that nobody spoke of."""
    walked = belief.walked[row]
    if not walked.any():
        return belief
    says = belief.round_says.copy()
    for number in range(len(WALKED)):
        chosen = walked == number + 1
        if chosen.any():
            fits = float(weights[chosen].mean()) * weights.size
            says[number, row] += np.log(max(fits, LEAST_ROUND))
    return replace(belief, round_says=says)


# --- sharing -------------------------------------------------------------------------------
def sites_of(belief: Belief) -> tuple[Sites, ...]:
    """Return what was seen of the pots, one set of sites per factor."""
    return tuple(
        Sites(belief.seen_precision[index], belief.seen_pull[index])
        for index in range(len(FACTORS))
    )


def groups_of(pots: Sequence[Pot]) -> tuple[list[str], ...]:
    """Return the names of the pots' groups, one list per factor."""
    return [pot.group for pot in pots], [capacity_group(pot) for pot in pots]


def all_known(
    pots: Sequence[Pot], sites: Sequence[Sites], kept: Sequence[Remembered] = ()
) -> tuple[Normals, ...]:
    """Return what all sites say of every pot, per factor.

    Parameters
    ----------
    pots : in the order of the sites.
    sites : what was seen, per factor.
    kept : what is remembered of pots that are gone.
    """
    return tuple(
        known_of(spreads, groups, of_factor, [one for one in kept if one.factor == name])
        for name, spreads, groups, of_factor in zip(
            FACTORS, SPREADS, groups_of(pots), sites, strict=True
        )
    )


def shared(current: Standing, before: Sequence[Sites]) -> Belief:
    """Return the belief with what was seen since ``before`` taught to all other pots.

    Parameters
    ----------
    current : after the members of the pots that were seen were drawn anew.
    before : the sites when this was last done.
    """
    belief = _round_shared(current.belief)
    after = sites_of(belief)
    if all(old.same_as(new) for old, new in zip(before, after, strict=True)):
        return belief
    pots, kept = current.garden.pots, belief.remembered
    now = []
    for was, old, new in zip(all_known(pots, before, kept), before, after, strict=True):
        # What a pot's own members have taken in already: its new sites on the old of the rest.
        now.append(was.seen(new.precision - old.precision, new.pull - old.pull))
    return moved(replace(current, belief=belief), now, all_known(pots, after, kept))


def _round_shared(belief: Belief) -> Belief:
    """Return the belief with what single pots said of the last round told to the others."""
    if not belief.round_says.any():
        return belief
    heard = belief.round_says.sum(axis=1, keepdims=True) - belief.round_says
    belief = replace(belief, round_says=np.zeros_like(belief.round_says))
    for row in np.flatnonzero(belief.walked.any(axis=1)):
        # Relative to what was heard the most of: it may all be unlikely, where pots disagree.
        says = np.concatenate([[0.0], np.exp(heard[:, row] - heard[:, row].max())])
        weights = says[belief.walked[row].astype(np.intp)]
        if float(np.ptp(weights)) <= FLAT:
            continue
        offset = float(uniforms(("round", belief.pot_ids[row], belief.at.isoformat()), 1)[0])
        pick = sorted_systematic(belief.log_use[row], weights / weights.sum(), offset)
        belief = resampled(belief, int(row), pick)
    return belief


def moved(
    current: Standing, now: Sequence[Normals], wanted: Sequence[Normals], *, water: bool = True
) -> Belief:
    """Return the belief with its factors moved from one mean and spread to another.

    Parameters
    ----------
    current : before.
    now, wanted : mean and variance per factor [pot].
    water : whether the water goes along.

    Notes
    -----
    Each member moves in a straight line, and its water by the pot's own regression of water on
    the factor: a pot that turns out to be thirstier has used more since it was last full.
    """
    belief = current.belief
    stored = belief.water_l
    changed = {}
    for name, have, want in zip(FACTORS, now, wanted, strict=True):
        values = getattr(belief, name)
        ratio = np.sqrt(want.variance / have.variance)[:, np.newaxis]
        # Written so that nothing moves, to the bit, where mean and spread are as they were.
        shift = (want.mean - have.mean)[:, np.newaxis]
        goes = shift + (ratio - 1.0) * (values - have.mean[:, np.newaxis])
        if water:
            stored = stored + _slope(belief.water_l, values) * goes
        changed[name] = values + goes
    after = replace(belief, **changed)
    return within(replace(current, belief=after), stored)


def within(current: Standing, water_l: Floats) -> Belief:
    """Return the belief with its water set, as far as each pot can hold it and air can dry it."""
    traits = current.traits
    most = np.asarray(traits.capacity_l, dtype=np.float64)
    least = np.minimum(np.asarray(traits.air_dry_l, dtype=np.float64), current.belief.water_l)
    return corrected(current.belief, np.clip(water_l, least, np.maximum(most, least)))


def _slope(water: Floats, values: Floats) -> Floats:
    """Return the regression of water on a factor within each pot [pot, 1]."""
    away = values - values.mean(axis=1, keepdims=True)
    spread = np.maximum((away**2).sum(axis=1, keepdims=True), 1e-12)
    slope: Floats = (away * water).sum(axis=1, keepdims=True) / spread
    return slope


def _grown_heavier(belief: Belief) -> Belief:
    """Return the belief with the plants' own mass a day less certain, by a draw of its own."""
    day = belief.at.toordinal()
    noise = [normals(("grows", one), belief.members, counter=day) for one in belief.plant_ids]
    size_kg = GROWS_KG_M2 * 0.25 * np.pi * belief.canopy_m[:, :1] ** 2
    walked = belief.empty_kg + size_kg * np.reshape(noise, belief.empty_kg.shape)
    return replace(belief, empty_kg=np.maximum(walked, 0.0))


def drifted(current: Standing) -> Belief:
    """Return the belief a day older: what was seen says a little less of today."""
    belief, pots = _grown_heavier(current.belief), current.garden.pots
    current = replace(current, belief=belief)
    before = sites_of(belief)
    if not any(sites.precision.any() for sites in before):
        return belief
    after = [
        sites.faded(spreads.drift_per_day**2)
        for sites, spreads in zip(before, SPREADS, strict=True)
    ]
    aged = replace(
        belief,
        seen_precision=np.stack([sites.precision for sites in after]),
        seen_pull=np.stack([sites.pull for sites in after]),
    )
    kept = belief.remembered
    now, wanted = all_known(pots, before, kept), all_known(pots, after, kept)
    return moved(replace(current, belief=aged), now, wanted, water=False)
