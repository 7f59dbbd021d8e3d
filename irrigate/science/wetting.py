"""Water on its way into a mix: what leaves catch, what runs past a dry mix, what a base sucks up.

Exact integrals over the amount or the time, so that water given in two halves without a pause
does what it does given at once.
"""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of

LEAST_TAKEN = 0.5
"""Share of the water put on an air-dry mix that it takes up: 50 to 70 % from memory; that bark
below about 0.34 v/v repels water is in an abstract (HortScience 13:432), but of air-dried bark."""

_TINY = 1e-30


def taken_up_l(
    water_l: Values, volume_l: Values, repels_below_l: Values, air_dry_l: Values
) -> FloatArray:
    """Part of the water put on a mix that stays in it, the rest running past or down the wall.

    Parameters
    ----------
    water_l : float or array
        Water in the mix before [L].
    volume_l : float or array
        Water put on [L], not negative.
    repels_below_l : float or array
        Water in the mix below which part runs past [L]; 0 for a mix that always takes all.
    air_dry_l : float or array
        Water in the mix when it is as dry as air makes it [L].

    Returns
    -------
    array
        Taken up [L], between half of the water and all of it; what exceeds container capacity is
        not looked at here.

    Notes
    -----
    The share taken up rises in a straight line with the water in the mix, from ½ when air-dry to 1
    at the limit, so dW/dV = 1 - ½ (limit - W)/(limit - dry). With y that share,
    y = y₀ exp(½ V/(limit - dry)) until it reaches 1, and all is taken from there on. Drier than air
    makes it (a mix that was moved to another vessel may be) it takes half until it is as dry.

    Examples
    --------
    >>> float(taken_up_l(2.0, 1.0, 0.0, 0.5))
    1.0
    >>> whole = taken_up_l(1.0, 1.0, 3.0, 1.0)
    >>> half = taken_up_l(1.0, 0.5, 3.0, 1.0)
    >>> round(float(whole - half - taken_up_l(1.0 + half, 0.5, 3.0, 1.0)), 12)
    0.0
    """
    span = np.maximum(np.subtract(repels_below_l, air_dry_l), _TINY)
    lost = 1.0 - LEAST_TAKEN
    driest = np.minimum(air_dry_l, repels_below_l)
    first = np.minimum(volume_l, np.maximum(driest - np.asarray(water_l), 0.0) / LEAST_TAKEN)
    rest = volume_l - first
    short = np.clip((repels_below_l - np.maximum(water_l, driest)) / span, 0.0, 1.0)
    share = 1.0 - lost * short
    until_all = -np.log(share) * span / lost
    slowly = np.minimum(rest, until_all)
    partly = share * np.expm1(lost * slowly / span) * span / lost
    taken = LEAST_TAKEN * first + partly + (rest - slowly)
    return in_precision_of(np.minimum(taken, volume_l), water_l, volume_l)


def poured_for_l(
    taken_l: Values, water_l: Values, repels_below_l: Values, air_dry_l: Values
) -> FloatArray:
    """Water to put on a mix so that it takes up a given part: `taken_up_l` turned around.

    Parameters
    ----------
    taken_l : float or array
        Water that is to stay in the mix [L], not negative.
    water_l, repels_below_l, air_dry_l : float or array
        As in `taken_up_l` [L].

    Returns
    -------
    array
        To be poured [L], between the water wanted and twice as much.

    Notes
    -----
    Up to the limit V = 2 (limit - dry) ln(1 + ½ W/(y₀ (limit - dry))), litre for litre beyond it,
    and twice the litres until it is as dry as air makes it.

    Examples
    --------
    >>> float(poured_for_l(1.0, 2.0, 0.0, 0.5))
    1.0
    >>> poured = poured_for_l(1.5, 1.0, 3.0, 1.0)
    >>> round(float(taken_up_l(1.0, poured, 3.0, 1.0)), 12)
    1.5
    """
    span = np.maximum(np.subtract(repels_below_l, air_dry_l), _TINY)
    lost = 1.0 - LEAST_TAKEN
    driest = np.minimum(air_dry_l, repels_below_l)
    first = np.minimum(taken_l, np.maximum(driest - np.asarray(water_l), 0.0))
    rest = taken_l - first
    share = 1.0 - lost * np.clip((repels_below_l - np.maximum(water_l, driest)) / span, 0.0, 1.0)
    # What it takes up until its share has risen to all: the integral of the share up to there.
    slowly = np.minimum(rest, (1.0 - share) * span / lost)
    poured = np.log1p(slowly * lost / (share * span)) * span / lost
    return in_precision_of(first / LEAST_TAKEN + poured + (rest - slowly), taken_l, water_l)


def sucked_up_l(
    standing_l: Values, missing_l: Values, rate_per_h: Values, length_h: Values
) -> FloatArray:
    """Water that a mix takes back from below in a time, by its capillaries or a wick.

    Parameters
    ----------
    standing_l : float or array
        Water below it [L].
    missing_l : float or array
        Water that the mix lacks to container capacity [L].
    rate_per_h : float or array
        Share of what is missing that is made up in an hour, as a rate [1/h].
    length_h : float or array
        [h].

    Returns
    -------
    array
        [L]: missing (1 - exp(-rate × time)), at most what stands there.

    Examples
    --------
    >>> round(float(sucked_up_l(5.0, 1.0, 0.5, 1.0)), 3)
    0.393
    """
    wanted = -np.expm1(-np.multiply(rate_per_h, length_h)) * missing_l
    return in_precision_of(np.minimum(standing_l, wanted), standing_l, missing_l)


def caught_by_leaves_mm(rain_mm: FloatArray, holds_mm: float, hours: int) -> FloatArray:
    """Rain of each hour that stays on leaves and dries there.

    Parameters
    ----------
    rain_mm : array [..., hour]
        Rain of each hour [mm].
    holds_mm : float
        What a full canopy holds [mm].
    hours : int
        Hours after which leaves count as dry again.

    Returns
    -------
    array [..., hour]
        [mm]: the rain, as far as the rain of the hours before has not filled the leaves.

    Examples
    --------
    >>> caught_by_leaves_mm(np.array([0.6, 0.6, 2.0, 0.0]), 1.0, 6).tolist()
    [0.6, 0.4, 0.0, 0.0]
    """
    # Shift by shift, not by a running total: an hour's bits must not depend on the table's start.
    before = np.zeros(rain_mm.shape, dtype=np.float64)
    for ago in range(1, min(hours, rain_mm.shape[-1])):
        before[..., ago:] += rain_mm[..., :-ago]
    room = np.maximum(holds_mm - before, 0.0)
    return in_precision_of(np.minimum(rain_mm, room), rain_mm)
