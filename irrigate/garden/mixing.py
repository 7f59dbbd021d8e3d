"""Mixes of a gardener's own: several media by volume, or one that was measured in a pot."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from irrigate.errors import InputError
from irrigate.garden.media import USUAL_HEIGHT_M, Medium
from irrigate.science import retention
from irrigate.science.arrays import FloatArray
from irrigate.units import in_percent

LEAST_AIR = 0.02
"""Share of the volume that air keeps in any drained mix: below it no curve is worth fitting."""
LEAST_AVAILABLE = 0.02
"""Share of the volume that must lie between the two measured water contents."""

_SUCTIONS_CM = np.linspace(0.0, 100.0, 51)  # what pots know: their height, and a dry afternoon
_MOST_STEPS = 200
_SMALLEST_STEP = 1e-13
_GENTLEST, _STEEPEST = 0.01, 10.0  # of n - 1
_FINEST, _COARSEST = 1e-6, 1e12  # of alpha [1/cm]


def mixed_by_volume(name: str, parts: Sequence[tuple[Medium, float]]) -> Medium:
    """Return the mix of several media, each taken by its volume.

    Parameters
    ----------
    name : what the mix is called.
    parts : media, and how much of each [any one measure of volume], above 0.

    Returns
    -------
    The mix. Its porosity, lower limit, freely evaporating water and density are the parts' means
    by volume; so is its water content at suctions of 0 to 100 cm, to which alpha and n of one
    van Genuchten curve are fitted by least squares. It counts as mineral where more than half is.

    Notes
    -----
    An approximation, by judgement, no source: every part is taken to keep the pores it has alone.
    Fine parts fill the gaps of coarse ones, so that a mix of unlike parts really takes up less
    room than its parts did, and has fewer large pores and less air than is said here. One curve
    cannot have two steps either: of any two media of the catalogue, mixed 3:1 to 1:3, it misses
    the parts' mean by at most 0.06 at any one suction, and by at most 0.025 over a drained pot of
    10 to 40 cm.

    Examples
    --------
    >>> fine = Medium("fine", 0.16, 0.90, 0.15, 1.6, 0.23, 10.0, 0.11)
    >>> coarse = Medium("coarse", 0.10, 0.70, 1.50, 1.4, 0.13, 5.0, 0.10)
    >>> mix = mixed_by_volume("mine", [(fine, 3.0), (coarse, 1.0)])
    >>> round(mix.theta_s, 3), round(mix.lower_limit, 3)
    (0.85, 0.205)
    """
    if not parts:
        raise InputError(f"mix {name!r}: needs at least one part")
    if not all(math.isfinite(volume) and volume > 0.0 for _, volume in parts):
        raise InputError(f"mix {name!r}: every part must be more than 0")
    whole = math.fsum(volume for _, volume in parts)
    shares = [volume / whole for _, volume in parts]
    media = [medium for medium, _ in parts]

    def mean(values: Sequence[float]) -> float:
        return sum(share * value for share, value in zip(shares, values, strict=True))

    theta_r = mean([medium.theta_r for medium in media])
    theta_s = mean([medium.theta_s for medium in media])
    wanted = np.zeros_like(_SUCTIONS_CM)
    for medium, share in zip(media, shares, strict=True):
        wanted += share * retention.water_content(
            _SUCTIONS_CM, medium.theta_r, medium.theta_s, medium.alpha_per_cm, medium.n
        )
    start = np.array(
        [
            mean([math.log(medium.alpha_per_cm) for medium in media]),
            mean([math.log(medium.n - 1.0) for medium in media]),
        ]
    )
    alpha_per_cm, n = _fitted(wanted, theta_r, theta_s, start)
    return Medium(
        name=name,
        theta_r=theta_r,
        theta_s=theta_s,
        alpha_per_cm=alpha_per_cm,
        n=n,
        lower_limit=mean([medium.lower_limit for medium in media]),
        rew_mm=mean([medium.rew_mm for medium in media]),
        bulk_density_kg_l=mean([medium.bulk_density_kg_l for medium in media]),
        rewet_below=mean([medium.rewet_below for medium in media]),
        mineral=mean([float(medium.mineral) for medium in media]) > 0.5,
        source="; ".join(dict.fromkeys(medium.source for medium in media if medium.source)),
    )


def as_measured(
    base: Medium,
    *,
    held: float | None = None,
    wilted: float | None = None,
    height_m: float = USUAL_HEIGHT_M,
) -> Medium:
    """Return a mix like another, but holding what was measured.

    Parameters
    ----------
    base : the mix it resembles; porosity and the curve's steepness stay its own.
    held : mean water content when soaked and drained [share of the volume]; None: as the base.
    wilted : water content at which plants wilt [share of the volume]; None: as the base.
    height_m : depth of the mix in the straight pot in which ``held`` was measured [m].

    Returns
    -------
    The mix. The residual water content moves with the lower limit, in proportion; then suction is
    scaled (alpha) until a drained pot of that height holds ``held``.

    Notes
    -----
    By judgement, no source: media that resemble each other but for the size of their particles
    have curves of one form along a scale of suction (the similar media of Miller & Miller 1956,
    J. Appl. Phys. 27:324, from memory).

    Examples
    --------
    >>> base = Medium("bark", 0.13, 0.79, 0.343, 1.5, 0.16, 7.0, 0.25)
    >>> mine = as_measured(base, held=0.45, wilted=0.18, height_m=0.25)
    >>> round(mine.held_in_straight_pot(0.25), 6), mine.lower_limit, mine.theta_s
    (0.45, 0.18, 0.79)
    """
    if not (math.isfinite(height_m) and height_m > 0.0):
        raise InputError(f"mix {base.name!r}: the pot it was measured in needs a height above 0")
    held = base.held_in_straight_pot(height_m) if held is None else held
    wilted = base.lower_limit if wilted is None else wilted
    if not 0.0 <= wilted <= held - LEAST_AVAILABLE:
        raise InputError(
            f"mix {base.name!r}: holds {in_percent(held)} after draining and wilts at "
            f"{in_percent(wilted)}: nothing is left for plants between the two"
        )
    if held > base.theta_s - LEAST_AIR:
        raise InputError(
            f"mix {base.name!r}: cannot hold {in_percent(held)} after draining: it has pores for "
            f"{in_percent(base.theta_s)}, and some of that is air; choose a mix with more pores"
        )
    residual = base.theta_r / base.lower_limit if base.lower_limit > 0.0 else 0.0
    moved = replace(base, theta_r=wilted * residual, lower_limit=wilted)
    return replace(moved, alpha_per_cm=_alpha_that_holds(moved, held, height_m))


def _alpha_that_holds(medium: Medium, held: float, height_m: float) -> float:
    """Halve the span of log alpha until the drained pot holds what it should."""

    def holds(log_alpha: float) -> float:
        return replace(medium, alpha_per_cm=math.exp(log_alpha)).held_in_straight_pot(height_m)

    low, high = math.log(_FINEST), math.log(_COARSEST)
    if holds(high) > held:  # so gentle a curve empties in no pot
        raise InputError(
            f"mix {medium.name!r}: its curve with n {medium.n:g} cannot drain to {in_percent(held)}"
        )
    for _ in range(80):
        middle = (low + high) / 2.0
        low, high = (middle, high) if holds(middle) > held else (low, middle)
    return math.exp((low + high) / 2.0)


def _fitted(
    wanted: FloatArray, theta_r: float, theta_s: float, start: FloatArray
) -> tuple[float, float]:
    """Fit alpha and n by damped Gauss-Newton steps in log alpha and log (n - 1).

    Logarithms keep both in their range. A step that makes the misfit larger is taken back and
    tried again shorter (Levenberg-Marquardt), so the result depends on the numbers alone.
    """

    def misfit(at: FloatArray) -> FloatArray:
        alpha_per_cm, n = math.exp(at[0]), 1.0 + math.exp(at[1])
        return retention.water_content(_SUCTIONS_CM, theta_r, theta_s, alpha_per_cm, n) - wanted

    lowest = np.array([math.log(_FINEST), math.log(_GENTLEST)])
    highest = np.array([math.log(_COARSEST), math.log(_STEEPEST)])
    here, damping = np.clip(start, lowest, highest), 1e-3
    wrong = misfit(here)
    for _ in range(_MOST_STEPS):
        slopes = np.stack(
            [(misfit(here + nudge) - misfit(here - nudge)) / 2e-5 for nudge in 1e-5 * np.eye(2)],
            axis=-1,
        )
        normal, downhill = slopes.T @ slopes, -slopes.T @ wrong
        damped = normal + damping * np.diag(np.diag(normal) + 1e-12)
        there = np.clip(here + np.linalg.solve(damped, downhill), lowest, highest)
        if np.abs(there - here).max() < _SMALLEST_STEP:
            break
        then = misfit(there)
        if then @ then < wrong @ wrong:
            here, wrong, damping = there, then, damping / 5.0
        else:
            damping *= 5.0
    return math.exp(here[0]), 1.0 + math.exp(here[1])
