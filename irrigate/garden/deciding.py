"""At a round: which pots to water, which to feel first, which to leave, and how much to give.

In that order: a pot whose chance of getting thirsty before the next round is above its risk is
watered, however full it is, as long as water helps; "probably above 70 % full" only ever decides
among the others; and a touch is asked for only where its answer could change the verdict.

Water helps if it lowers that chance, or if a good part of what the pot holds is missing. A pot
just filled that will not last in any case is not topped up by a splash at every round: it is
named as one that will not last. A reservoir belongs to what a pot holds, and what stands in a
saucer is on its way into the mix. A pot whose roots lack air is not felt but left.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.actions import Line, Verdict
from irrigate.garden.balance import Store, share_available
from irrigate.garden.believed import Standing
from irrigate.garden.doses import LIKELY_DRY, Dose, dose_of, lacking
from irrigate.garden.effort import SPARED, hours_thirsty, spared_h
from irrigate.garden.hours_felt import too_wet
from irrigate.garden.outlook import Ahead, Outlook, full_store, run
from irrigate.garden.pots import Garden
from irrigate.garden.touch import finger_likelihood
from irrigate.garden.weather import Floats

# A pot that is probably fuller than this, and below its risk, is left alone.
FULL_ENOUGH = 0.7
# More likely than not its roots lack air: below its risk it is left, whatever a finger would find.
TOO_WET = 0.5
# A touch is worth it only if "dry" is not a mere possibility, and thirst no remote one.
TOUCH_LEAST_DRY = 0.05
TOUCH_LEAST_RISK = 0.25  # as a share of the accepted risk
# Watering must lower the chance of thirst by this much, or replace this share of what is held.
LEAST_RELIEF = 0.10
LEAST_SHARE = 0.15

QUANTILES = (0.1, 0.5, 0.9)


@dataclass(frozen=True, slots=True, eq=False)
class Prospect:
    """The coming time between two rounds, run as it is and as if full at the first.

    Parameters
    ----------
    at, until : this round and the next (UTC).
    as_is, even_full : the two runs; ``as_is`` from now on, ``even_full`` from ``at`` on.
    central : reference numbers of the run without errors, by name, each [pot]; they are stored
        with the decision, so that its working can be checked to the last bit.
    """

    at: datetime
    until: datetime
    as_is: Outlook
    even_full: Outlook
    central: Mapping[str, NDArray[np.floating[Any]]]


def prospect(
    standing: Standing, ahead: Ahead, as_is: Outlook, at: datetime, until: datetime,
    central: Mapping[str, NDArray[np.floating[Any]]],
) -> Prospect:  # fmt: skip
    """Prepare a decision for the round ``at``, with the next one ``until``."""
    full = run(ahead, full_store(ahead, standing.belief.store), at, until)
    return Prospect(at, until, as_is, full, central)


def verdicts(standing: Standing, view: Prospect) -> tuple[Line, ...]:
    """Return a line for every pot, in walking order.

    Parameters
    ----------
    standing : belief and garden now.
    view : the time to decide for.
    """
    traits, store = view.as_is.traits, store_at(standing, view.as_is, view.at)
    water = np.asarray(store.water_l, dtype=np.float64)
    there = _There(
        water,
        np.asarray(store.below_l, dtype=np.float64),
        np.asarray(share_available(water, traits), dtype=np.float64),
        np.mean(too_wet(store, traits), axis=1),
    )
    thirsty = view.as_is.thirsty_s < (view.until - view.as_is.start).total_seconds()
    even_full = view.even_full.chance_before(view.until)
    short_h = hours_thirsty(view.as_is, view.until), hours_thirsty(view.even_full, view.until)
    rows = sorted(range(len(standing.garden.pots)), key=lambda row: standing.garden.pots[row].walk)
    return tuple(
        _line(
            standing.garden, row, view, there, thirsty[row], float(even_full[row]),
            (float(short_h[0][row]), float(short_h[1][row])),
        )
        for row in rows
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class _There:
    """What every pot holds at the round, its share, and the chance that its roots lack air."""

    water_l: Floats
    below_l: Floats
    share: Floats
    wet: NDArray[np.float64]


def store_at(standing: Standing, as_is: Outlook, at: datetime) -> Store:
    """Return the store as a run from now expects it at a moment."""
    now = standing.belief.store
    below = as_is.below_at(at)
    later_h = (at - as_is.start).total_seconds() / 3600.0
    stood = np.where(below > 0.0, now.stood_h + later_h, 0.0)
    return now.put(water_l=as_is.water_at(at), below_l=below, stood_h=stood)


def _line(
    garden: Garden, row: int, view: Prospect, there: _There, thirsty: NDArray[np.bool_],
    even_full: float, short_h: tuple[float, float],
) -> Line:  # fmt: skip
    pot, traits = garden.pots[row], view.as_is.traits
    share = there.share[row]
    available = float(np.median(traits.available_l[row]))
    lacks = lacking(pot, row, there.water_l, there.below_l, traits)
    to_bring = None
    if pot.basin is not None:
        holds = available + float(traits.fills_l[row, 0])
        to_bring = float(np.median(lacks.to_bring_l)) / holds
    verdict, touch = judge(
        share, thirsty, even_full, pot.risk, lacks=to_bring, wet=float(there.wet[row])
    )
    reasons = {"chance_dry_to_touch": touch, "available_when_full_l": available}
    dry = float(np.mean(there.water_l[row] < traits.repels_l[row]))
    dose = Dose(0.0)
    if verdict != "leave":
        reasons[SPARED] = spared_h(pot, *short_h, view.at)
        dose = dose_of(
            pot, lacks, share, thirsty, available, garden.manner, too_dry=dry > LIKELY_DRY
        )
    if dry > 0.0:
        reasons["chance_too_dry_to_take_it"] = dry
    if there.wet[row] > 0.0:
        reasons["chance_too_wet"] = float(there.wet[row])
    if to_bring is not None:
        reasons["share_to_bring"] = to_bring
    if dose.past_l > 0.0:
        reasons["runs_through_l"] = dose.past_l
    reasons |= {name: float(values[row]) for name, values in view.central.items()}
    low, middle, high = np.quantile(share, QUANTILES)
    return Line(
        pot_id=pot.id,
        verdict=verdict,
        dose_l=dose.volume_l,
        passes=dose.passes,
        chance_thirsty=float(thirsty.mean()),
        chance_even_full=even_full,
        risk=pot.risk,
        thirsty_at=(
            view.as_is.thirsty_quantile(row, QUANTILES[0]),
            view.as_is.thirsty_quantile(row, QUANTILES[1]),
            view.as_is.thirsty_quantile(row, QUANTILES[2]),
        ),
        share_left=(float(low), float(middle), float(high)),
        reasons=reasons,
        below_l=dose.below_l,
    )


def judge(
    share: NDArray[np.floating], thirsty: NDArray[np.bool_], even_full: float, risk: float,
    *, lacks: float | None = None, wet: float = 0.0,
) -> tuple[Verdict, float]:  # fmt: skip
    """Return the verdict on one pot, and the chance that it feels dry.

    Parameters
    ----------
    share : available water at the round, as a share of what the pot holds [member].
    thirsty : whether the member gets thirsty before the next round [member].
    even_full : the chance of that if the pot were full at the round.
    risk : the chance of that which is accepted.
    lacks : share of all it can hold that would have to be brought; None where the mix is all.
    wet : chance that its roots lack air.
    """
    dry = np.asarray(finger_likelihood("dry", share.astype(np.float64)))
    touch = float(dry.mean())
    chance = float(thirsty.mean())
    missing = 1.0 - float(np.median(share)) if lacks is None else lacks
    helps = chance - even_full >= LEAST_RELIEF or missing >= LEAST_SHARE
    if chance > risk and helps:
        return "water", touch
    if wet > TOO_WET or float((share > FULL_ENOUGH).mean()) > 0.5:
        return "leave", touch
    if_dry = float((dry * thirsty).sum() / max(dry.sum(), 1e-12))
    if touch >= TOUCH_LEAST_DRY and chance >= TOUCH_LEAST_RISK * risk and if_dry > risk:
        return "feel", touch
    return "leave", touch
