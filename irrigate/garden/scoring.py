"""How well an answer was foretold: errors in litres and in hours of sun, and what they add up to.

What was foretold of an amount is kept as quantiles, of a word as chances; both are what a *right*
answer about the *right* pot would say, its own noise included, so that about 80 % of right answers
fall between the 10 % and the 90 % quantile. Strays are left out: that is how they are noticed.

Nothing here knows a pot: `irrigate.garden.foretelling` makes what is foretold from a belief.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import ArrayLike

from irrigate.garden.events import Foretold
from irrigate.garden.touch import normal_cdf
from irrigate.garden.weather import Floats

LEVELS = (
    0.005, 0.01, 0.025, 0.05, 0.10, 0.15, 0.20, 0.30, 0.40, 0.50,
    0.60, 0.70, 0.80, 0.85, 0.90, 0.95, 0.975, 0.99, 0.995,
)  # fmt: skip
"""The levels of the quantiles that are kept of an amount."""

FEELS = ("dry", "moist", "wet")
"""The words of a finger, from dry to wet: the order of their chances."""

# Inside: no more than this share of what was foretold lies beyond the answer, on either side.
BEYOND = 0.10
# An answer this unlikely, or one more extreme on either side, is asked about.
STRAY = 0.01

# Points at which the distribution is worked out between its ends, each this many sd further out.
POINTS, REACH_SD = 129, 3.5


def quantiles_of(values: Floats, sd: Floats, weights: Floats | None = None) -> tuple[float, ...]:
    """Return the quantiles at `LEVELS` of a mixture of normal distributions.

    Parameters
    ----------
    values, sd : of each part; sd > 0 [part].
    weights : of each part, in any scale; alike if None [part].

    Notes
    -----
    The distribution function is worked out at 129 points and read backwards between them; of a
    single normal the quantiles are within 0.02 sd.
    """
    share = np.full(values.size, 1.0) if weights is None else weights
    low, high = np.min(values - REACH_SD * sd), np.max(values + REACH_SD * sd)
    at = np.linspace(low, high, POINTS)
    below = normal_cdf((at[:, np.newaxis] - values) / sd) @ (share / share.sum())
    return tuple(float(one) for one in np.interp(LEVELS, below, at))


def chance_below(quantiles: Sequence[float], amount: float) -> float:
    """Return the chance foretold of an amount or less [0–1]: the PIT of the answer.

    Linear between the quantiles; 0 below the lowest and 1 above the highest.
    """
    q = np.asarray(quantiles, dtype=np.float64)
    if amount < q[0]:
        return 0.0
    if amount > q[-1]:
        return 1.0
    # Where quantiles coincide (a pot that cannot hold more), the middle of the step.
    levels = np.asarray(LEVELS)
    at = levels[q == amount]
    return float(at.mean()) if at.size else float(np.interp(amount, q, levels))


def crps(quantiles: Sequence[float], amount: float) -> float:
    """Return the continuous ranked probability score, in the unit of the quantiles (0 is best).

    Parameters
    ----------
    quantiles : at `LEVELS`.
    amount : what was found.

    Notes
    -----
    ∫ (F(x) − 1{x ≥ amount})² dx (Gneiting & Raftery 2007, JASA 102, Eq 20), exactly for the F that
    is linear between the quantiles and jumps by 0.005 at either end. It is the score of that F,
    not the ensemble form, so no correction for the number of members ("fair") applies; F is that
    of the members' mixture, each with the noise of the answer.
    """
    q = np.asarray(quantiles, dtype=np.float64)
    place = int(np.searchsorted(q, amount))
    edges = np.insert(q, place, amount)
    level = np.insert(np.asarray(LEVELS), place, np.interp(amount, q, LEVELS))
    width = np.diff(edges)
    past = np.arange(width.size) >= place
    begun, ended = (np.where(past, 1.0 - one, one) for one in (level[:-1], level[1:]))
    square = (begun**2 + begun * ended + ended**2) / 3.0
    # Beyond the quantiles F is 0 or 1.
    square[0] = 1.0 if place == 0 else square[0]
    square[-1] = 1.0 if place == q.size else square[-1]
    return float(np.sum(width * square))


def hour_of_sun_l(et0_mm: ArrayLike, use_l: ArrayLike) -> float | None:
    """Return what a pot uses in an hour that counts [L h⁻¹]; None where nothing evaporated.

    Parameters
    ----------
    et0_mm : reference ET of the hours of a day [hour].
    use_l : what the pot was expected to use in each [hour].

    Notes
    -----
    The mean use of the hours, each weighted by its reference ET: Σ ET0 U / Σ ET0. So a night does
    not count, and a cloudy morning counts little. Litres divided by it are hours of such a day:
    how much too early or too late an error of so many litres would have been.
    """
    weight, use = np.asarray(et0_mm, dtype=np.float64), np.asarray(use_l, dtype=np.float64)
    total = float(weight.sum())
    rate = float(weight @ use) / total if total > 0.0 else 0.0
    return rate if rate > 0.0 else None


@dataclass(frozen=True, slots=True)
class Score:
    """How well one answer was foretold.

    Parameters
    ----------
    foretold : what was foretold of it.
    at : when the answer was so (UTC).
    said : what it said: litres, kilograms, water content, or a word.
    error_l : water that was found more than the median foretold [L]; None for words. Of litres
        till it ran: fewer than foretold is more water in the pot.
    error_h : the same in hours of sun (`hour_of_sun_l`); None for words and where nothing is used.
    crps_l : continuous ranked probability score [L]; None for words.
    log_score : −log of the chance foretold of the word; None for amounts.
    pit : chance foretold of less water than was found (of words: the middle of its step).
    lean : 0 as foretold (no more than 10 % lay beyond it), 1 wetter, −1 drier.
    stray : so unlikely (1 % on both sides together) that it is to be asked about.
    """

    foretold: Foretold
    at: datetime
    said: float | str
    error_l: float | None
    error_h: float | None
    crps_l: float | None
    log_score: float | None
    pit: float
    lean: int
    stray: bool

    @property
    def inside(self) -> bool:
        """Whether it lay within the middle 80 % of what was foretold."""
        return self.lean == 0


def scored(foretold: Foretold, said: float | str, at: datetime) -> Score:
    """Score an answer against what was foretold of it.

    Parameters
    ----------
    foretold : from the belief before the answer.
    said : the answer: an amount in the unit of the quantiles, or one of `FEELS`, or "wilting".
    at : when it was so (UTC).
    """
    if isinstance(said, str):
        return _word_scored(foretold, said, at)
    q, sign = foretold.quantiles, foretold.sign
    below = chance_below(q, said)
    pit = below if sign > 0 else 1.0 - below
    error_l = sign * (said - middle(foretold)) * foretold.unit_l
    hour_l = foretold.hour_l
    return Score(
        foretold=foretold, at=at, said=said, error_l=error_l,
        error_h=None if hour_l is None else error_l / hour_l,
        crps_l=crps(q, said) * foretold.unit_l, log_score=None,
        pit=pit, lean=_lean(pit, 1.0 - pit), stray=said < q[0] or said > q[-1],
    )  # fmt: skip


def _word_scored(foretold: Foretold, said: str, at: datetime) -> Score:
    chances = foretold.chances
    place = FEELS.index(said) if len(chances) == len(FEELS) else 0
    chance = chances[place]
    # A plant that hangs its leaves: not hanging them would have been the wetter word.
    up_to = sum(chances[: place + 1])
    at_least = sum(chances[place:]) if len(chances) == len(FEELS) else 1.0
    return Score(
        foretold=foretold, at=at, said=said, error_l=None, error_h=None, crps_l=None,
        log_score=-math.log(max(chance, 1e-12)), pit=up_to - 0.5 * chance,
        lean=_lean(up_to, at_least), stray=2.0 * min(up_to, at_least) < STRAY,
    )  # fmt: skip


def _lean(up_to: float, at_least: float) -> int:
    """Return on which side an answer lies, by the chances of what is not beyond it."""
    if up_to < BEYOND:
        return -1
    return 1 if at_least < BEYOND else 0


def middle(foretold: Foretold) -> float:
    """Return the median foretold of an amount, in its own unit."""
    return foretold.quantiles[LEVELS.index(0.50)]


def band(foretold: Foretold) -> tuple[float, float]:
    """Return the 10 % and 90 % quantiles foretold of an amount, in its own unit."""
    return foretold.quantiles[LEVELS.index(0.10)], foretold.quantiles[LEVELS.index(0.90)]


@dataclass(frozen=True, slots=True)
class Tally:
    """What the scores of a pot, a group or a garden come to.

    Parameters
    ----------
    checks, as_foretold, wetter, drier : how many answers there were, and how they fell.
    amounts, inside : how many of them were amounts, and how many of these within the middle 80 %.
    error_l, error_h : median size of the errors [L, hours of sun]; None without amounts.
    bias_l : median error with its sign, wetter positive [L].
    crps_l : mean score of the amounts [L].
    words, log_score : how many were words, and the mean of their −log chance.
    strays : how many were asked about.
    """

    checks: int
    as_foretold: int
    wetter: int
    drier: int
    amounts: int
    inside: int
    error_l: float | None
    error_h: float | None
    bias_l: float | None
    crps_l: float | None
    words: int
    log_score: float | None
    strays: int


def tallied(scores: Iterable[Score]) -> Tally:
    """Return what scores come to."""
    scores = list(scores)
    amounts = [one for one in scores if one.crps_l is not None]
    errors = [one.error_l for one in scores if one.error_l is not None]
    hours = [abs(one.error_h) for one in scores if one.error_h is not None]
    ranked = [one.crps_l for one in scores if one.crps_l is not None]
    logs = [one.log_score for one in scores if one.log_score is not None]
    leans = [one.lean for one in scores]
    return Tally(
        checks=len(scores), as_foretold=leans.count(0), wetter=leans.count(1),
        drier=leans.count(-1), amounts=len(amounts),
        inside=sum(one.inside for one in amounts),
        error_l=_median([abs(one) for one in errors]), error_h=_median(hours),
        bias_l=_median(errors), crps_l=float(np.mean(ranked)) if ranked else None,
        words=len(logs), log_score=float(np.mean(logs)) if logs else None,
        strays=sum(one.stray for one in scores),
    )  # fmt: skip


def _median(values: Sequence[float]) -> float | None:
    return float(np.median(values)) if values else None
