"""The question of the day: of which pot, and of what, an answer would teach the garden most.

For every pot and every kind of answer its chance and what it would teach are worked out from the
members, by the same likelihoods that will weigh the answer when it comes. What it would teach of
one pot's factors reaches the others through the tree (`irrigate.garden.teaching`).

What counts is what it would do for decisions. Were each round judged by what is likelier, so and
so many in a week would be judged wrongly (`irrigate.garden.lasting`): none for a pot that surely
lasts, or surely does not. That number falls in proportion to the spread of the logarithm of the
time that a full pot lasts, in which thirst and capacity stand side by side: a variance lowered by
Δ of s² lowers it by Δ / (2 s²), to first order. So a pot's weight is its rounds in doubt over 2 s²,
and a question is worth the rounds that it settles. Where it is the dry point or the weather that is
not known, s is the larger for it, and little is hoped from knowing a factor.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import get_args

import numpy as np

from irrigate.garden.actions import Line, Sought
from irrigate.garden.balance import missing_l, share_available
from irrigate.garden.belief import FACTORS
from irrigate.garden.believed import Standing
from irrigate.garden.events import Feel
from irrigate.garden.lasting import in_doubt_a_week, lasts_h, spread_of_log
from irrigate.garden.learning import SPREADS, groups_of, sites_of
from irrigate.garden.observations import scale_sd_kg, weight_fit
from irrigate.garden.outlook import Ahead, Outlook
from irrigate.garden.teaching import Reach, reach_of
from irrigate.garden.touch import finger_likelihood
from irrigate.garden.watering import RAN_L, RAN_SHARE, chance_full, litres_fit, room_below
from irrigate.garden.weather import Floats

# A question costs a minute, as much as a pot that is to be felt for nothing; what is learnt of a
# thirst is good for about a month (it drifts by a tenth in it). So it must settle one round within
# a month, a quarter of one in a week. By judgement, no source.
WORTH = 0.25
# A pot that was asked about lately is asked about again only if it gains so many times as much as
# any other. By judgement, no source.
BY_FAR = 3.0
# Answers in numbers are told apart in so many steps, out to so many spreads beyond the members.
STEPS, BEYOND_SD = 25, 3.0
EXPECTED = (0.1, 0.5, 0.9)
FEELS: tuple[Feel, ...] = get_args(Feel)


@dataclass(frozen=True, slots=True, eq=False)
class Inquiry:
    """Something that could be asked, and how well each answer would fit each member.

    Parameters
    ----------
    row, sought : of which pot, and what.
    answers : in numbers [L or kg]; for words their places in `FEELS`.
    fits : the likelihoods that will weigh the answer [answer, member].
    chances : of each answer, if it is about the right pot [answer].
    """

    row: int
    sought: Sought
    answers: Floats
    fits: Floats
    chances: Floats


@dataclass(frozen=True, slots=True)
class Question:
    """The best question: of which row, what, the rounds of a week it settles, and its reasons."""

    row: int
    sought: Sought
    settles: float
    reasons: dict[str, float]


def question(
    current: Standing, ahead: Ahead, as_is: Outlook, lines: Sequence[Line], at: datetime,
    rounds: Sequence[datetime], *, lately: Collection[str] = (), weighed: Collection[str] = (),
    unwell: Collection[str] = (),
) -> Question | None:  # fmt: skip
    """Return the question to put at a round, or None if none is worth it.

    Parameters
    ----------
    current : the belief now.
    ahead, as_is : the coming hours, and the week without watering.
    lines : the verdicts at the round, without the pots that are paused.
    at : the round (UTC).
    rounds : the rounds of the coming week (UTC).
    lately : ids of pots that were asked about in the last days.
    weighed : ids of pots that the gardener has put on a scale before.
    unwell : ids of pots that nothing is learnt from.
    """
    spoken_of = {line.pot_id: line for line in lines}
    lasts = lasts_h(ahead, current.belief.store, at)
    doubt = in_doubt_a_week(lasts, at, rounds)
    for row, pot in enumerate(current.garden.pots):
        if pot.id not in spoken_of:
            doubt[row] = 0.0
    reaches = reaches_of(current, doubt / (2.0 * spread_of_log(lasts) ** 2))
    open_to = {pot_id: line for pot_id, line in spoken_of.items() if pot_id not in unwell}
    # Only what is kept of each: the likelihoods of all at once would be megabytes.
    found = [
        Question(one.row, one.sought, settles(one, current, reaches), _expected(one))
        for one in _inquiries(current, as_is, open_to, at, weighed)
    ]
    pots = current.garden.pots
    asked_lately = frozenset(row for row, pot in enumerate(pots) if pot.id in lately)
    best = _best(found, asked_lately)
    if best is None or best.settles < WORTH:
        return None
    others = [one.settles for one in found if one.row != best.row and one.row not in asked_lately]
    reasons = {
        "settles_rounds_a_week": best.settles,
        "needed_rounds_a_week": WORTH,
        "next_best_pot_settles": max(others, default=0.0),
        "in_doubt_rounds_a_week_of_pot": float(doubt[best.row]),
        "in_doubt_rounds_a_week_of_all": float(doubt.sum()),
    }
    return replace(best, reasons=reasons | best.reasons)


def _best(found: Sequence[Question], lately: frozenset[int]) -> Question | None:
    """Return the question that settles most; of a pot asked lately only if it does so by far."""

    def most(of_lately: bool) -> Question | None:
        some = [one for one in found if (one.row in lately) == of_lately]
        return max(some, key=lambda one: one.settles, default=None)

    best, once_more = most(of_lately=False), most(of_lately=True)
    if once_more is None or (best is not None and once_more.settles < BY_FAR * best.settles):
        return best
    return once_more


def _expected(chosen: Inquiry) -> dict[str, float]:
    """Return what is expected of the answer: chances of words, quantiles of numbers."""
    chances = chosen.chances
    if chosen.sought == "feel":
        return {
            f"chance_{feel}": float(chance) for feel, chance in zip(FEELS, chances, strict=True)
        }
    unit = "l" if chosen.sought == "litres" else "kg"
    places = np.searchsorted(np.cumsum(chances), EXPECTED)
    return {
        f"expected_{round(100 * level)}_{unit}": float(chosen.answers[min(place, STEPS - 1)])
        for level, place in zip(EXPECTED, places, strict=True)
    }


# --- what an answer would do -----------------------------------------------------------------
def reaches_of(current: Standing, weights: Floats) -> tuple[Reach, ...]:
    """Return how far an answer reaches, per factor.

    Parameters
    ----------
    current : the belief now.
    weights : how much the variance of each pot's log factor matters [pot].
    """
    belief = current.belief
    return tuple(
        reach_of(
            spreads, groups, of_factor, weights,
            [one for one in belief.remembered if one.factor == name],
        )
        for name, spreads, groups, of_factor in zip(
            FACTORS, SPREADS, groups_of(current.garden.pots), sites_of(belief), strict=True
        )
    )  # fmt: skip


def settles(asked: Inquiry, current: Standing, reaches: Sequence[Reach]) -> float:
    """Return what an answer is expected to do: Σ weight × variance taken away, over all pots.

    Each answer would become a site on each factor of its pot, of the precision by which it narrows
    the members there (`irrigate.garden.learning` does the same when it comes).
    """
    gain = 0.0
    for name, reach in zip(FACTORS, reaches, strict=True):
        precision = precision_of(asked.fits, getattr(current.belief, name)[asked.row])
        gain += float(asked.chances @ reach.narrows(asked.row, precision))
    return gain


def precision_of(fits: Floats, values: Floats) -> Floats:
    """Return the precision of the site that each answer would become [answer].

    Parameters
    ----------
    fits : how well each answer fits each member [answer, member].
    values : the members' log factor [member].
    """
    weights = fits / fits.sum(axis=1, keepdims=True)
    away = values - values.mean()
    variance = max(float((away**2).mean()), 1e-12)
    narrow = weights @ away**2 - (weights @ away) ** 2
    enough = 1.0 / (weights**2).sum(axis=1)
    narrow = np.maximum(narrow, variance / np.maximum(enough, 2.0))
    precision: Floats = np.maximum(1.0 / narrow - 1.0 / variance, 0.0)
    return precision


# --- what could be asked ---------------------------------------------------------------------
def _inquiries(
    current: Standing, as_is: Outlook, open_to: dict[str, Line], at: datetime,
    weighed: Collection[str],
) -> Iterator[Inquiry]:  # fmt: skip
    """Yield all that could be asked at a round, in the order of the pots.

    Litres only of a pot that is to be watered anyway: none is watered for an answer's sake.
    """
    water = as_is.water_at(at)
    share = np.asarray(share_available(water, as_is.traits), dtype=np.float64)
    room = np.asarray(missing_l(water, as_is.traits), dtype=np.float64)
    below, empty = current.belief.below_l, current.belief.empty_kg
    for row, pot in enumerate(current.garden.pots):
        line = open_to.get(pot.id)
        if line is None:
            continue
        yield feeling(row, share[row])
        if line.verdict == "water":
            holds = float(np.mean(as_is.traits.capacity_l[row] + as_is.traits.fills_l[row]))
            yield pouring(row, share[row], room[row], holds, room_below(current, row))
        if pot.id in weighed:
            yield weighing(row, empty[row] + water[row] + below[row])


def feeling(row: int, share: Floats) -> Inquiry:
    """Ask how a pot feels, its available water being ``share`` [member]."""
    fits = np.stack([finger_likelihood(feel, share) for feel in FEELS])
    return Inquiry(row, "feel", np.arange(float(len(FEELS))), fits, _chances(fits))


def pouring(
    row: int, share: Floats, room_l: Floats, holds_l: float, below_l: Floats | float = 0.0
) -> Inquiry:
    """Ask how many litres a pot takes till it runs.

    Parameters
    ----------
    row : which pot.
    share, room_l : its available water, and what it lacks to be full [member].
    holds_l : what it holds in the mean [L].
    below_l : what its reservoir lacks [member].
    """
    most = float(np.max(room_l + below_l))
    volumes = np.linspace(0.02, most + BEYOND_SD * float(np.hypot(RAN_L, RAN_SHARE * most)), STEPS)
    prior = chance_full(share, twice=False)
    fits, _ = litres_fit(volumes[:, np.newaxis], room_l, prior, holds_l, below_l)
    return Inquiry(row, "litres", volumes, fits, _chances(fits))


def weighing(row: int, whole_kg: Floats) -> Inquiry:
    """Ask what a pot weighs, ``whole_kg`` being what it should [member]."""
    reach = BEYOND_SD * float(scale_sd_kg(whole_kg.max()))
    masses = np.linspace(max(float(whole_kg.min()) - reach, 0.0), whole_kg.max() + reach, STEPS)
    fits = np.stack([weight_fit(float(mass), whole_kg) for mass in masses])
    return Inquiry(row, "weigh", masses, fits, _chances(fits - fits.min()))


def _chances(fits: Floats) -> Floats:
    """Return the chance of each answer, each member sure to give one of them [answer]."""
    chances: Floats = (fits / fits.sum(axis=0)).mean(axis=1)
    return chances
