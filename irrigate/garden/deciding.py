"""At a round: which pots to water, which to feel first, which to leave, and how much to give.

In that order: a pot whose chance of getting thirsty before the next round is above its risk is
watered, however full it is, as long as water helps; "probably above 70 % full" only ever decides
among the others; and a touch is asked for only where its answer could change the verdict.

Water helps if it lowers that chance, or if a good part of what the pot holds is missing. A pot
just filled that will not last in any case is not topped up by a splash at every round: it is
named as one that will not last.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.actions import Line, Verdict
from irrigate.garden.balance import missing_l, share_available
from irrigate.garden.doses import dose_l, passes
from irrigate.garden.fold import Standing
from irrigate.garden.outlook import Ahead, Outlook, full_store, run
from irrigate.garden.pots import Pot
from irrigate.garden.touch import finger_likelihood

# A pot that is probably fuller than this, and below its risk, is left alone.
FULL_ENOUGH = 0.7
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
    water = view.as_is.water_at(view.at)
    share = share_available(water, view.as_is.traits)
    missing = missing_l(water, view.as_is.traits)
    thirsty = view.as_is.thirsty_s < (view.until - view.as_is.start).total_seconds()
    even_full = view.even_full.chance_before(view.until)
    rows = sorted(range(len(standing.garden.pots)), key=lambda row: standing.garden.pots[row].walk)
    return tuple(
        _line(standing.garden.pots[row], row, view, share, missing, thirsty, even_full)
        for row in rows
    )


def _line(
    pot: Pot, row: int, view: Prospect,
    share: NDArray[np.floating], missing: NDArray[np.floating], thirsty: NDArray[np.bool_],
    even_full: NDArray[np.float64],
) -> Line:  # fmt: skip
    chance = float(thirsty[row].mean())
    verdict, touch = judge(share[row], thirsty[row], float(even_full[row]), pot.risk)
    available = float(np.median(view.as_is.traits.available_l[row]))
    dose = 0.0
    if verdict != "leave":
        dose = dose_l(missing[row].astype(np.float64), share[row].astype(np.float64), thirsty[row])
    reasons = {"chance_dry_to_touch": touch, "available_when_full_l": available}
    reasons |= {name: float(values[row]) for name, values in view.central.items()}
    low, middle, high = np.quantile(share[row], QUANTILES)
    return Line(
        pot_id=pot.id,
        verdict=verdict,
        dose_l=round(dose, 3),
        passes=passes(dose, available),
        chance_thirsty=chance,
        chance_even_full=float(even_full[row]),
        risk=pot.risk,
        thirsty_at=(
            view.as_is.thirsty_quantile(row, QUANTILES[0]),
            view.as_is.thirsty_quantile(row, QUANTILES[1]),
            view.as_is.thirsty_quantile(row, QUANTILES[2]),
        ),
        share_left=(float(low), float(middle), float(high)),
        reasons=reasons,
    )


def judge(
    share: NDArray[np.floating], thirsty: NDArray[np.bool_], even_full: float, risk: float
) -> tuple[Verdict, float]:
    """Return the verdict on one pot, and the chance that it feels dry.

    Parameters
    ----------
    share : available water at the round, as a share of what the pot holds [member].
    thirsty : whether the member gets thirsty before the next round [member].
    even_full : the chance of that if the pot were full at the round.
    risk : the chance of that which is accepted.
    """
    dry = np.asarray(finger_likelihood("dry", share.astype(np.float64)))
    touch = float(dry.mean())
    chance = float(thirsty.mean())
    helps = chance - even_full >= LEAST_RELIEF or 1.0 - float(np.median(share)) >= LEAST_SHARE
    if chance > risk and helps:
        return "water", touch
    if float((share > FULL_ENOUGH).mean()) > 0.5:
        return "leave", touch
    if_dry = float((dry * thirsty).sum() / max(dry.sum(), 1e-12))
    if touch >= TOUCH_LEAST_DRY and chance >= TOUCH_LEAST_RISK * risk and if_dry > risk:
        return "feel", touch
    return "leave", touch
