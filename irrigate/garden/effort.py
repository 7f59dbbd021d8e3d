"""When time is short: which pots come first, and where one may stop.

The order is by what a plant would suffer: hours of thirst until the next round that watering it
now would spare, weighed by what thirst costs such a plant. Walking order is kept where there is
time for all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.actions import Line
from irrigate.garden.outlook import Outlook
from irrigate.garden.pots import Garden, Pot

# What an hour of thirst costs, against that of a plant in leaf: flowers and fruit drop; what likes
# to dry in between hardly minds; roots of a new plant are few. Common practice, no source.
FRUITING, DRY_BETWEEN, YOUNG = 1.5, 0.5, 1.5
YOUNG_D = 28
SPARED = "thirst_spared_h"
"""Name, among a line's reasons, of the weighed hours that watering spares."""


@dataclass(frozen=True, slots=True)
class Order:
    """The pots to water: those that fit into the effort, and those that may have to wait."""

    first: tuple[Line, ...]
    if_time: tuple[Line, ...] = ()


def hours_thirsty(run: Outlook, until: datetime) -> NDArray[np.float64]:
    """Return the expected hours of thirst up to a moment, once thirsty always so [pot]."""
    limit_s = (until - run.start).total_seconds()
    short_s = np.maximum(limit_s - run.thirsty_s, 0.0)
    hours: NDArray[np.float64] = np.where(np.isfinite(short_s), short_s, 0.0).mean(axis=1) / 3600.0
    return hours


def spared_h(pot: Pot, as_is_h: float, even_full_h: float, at: datetime) -> float:
    """Return the hours of thirst that watering now spares, weighed by what they cost.

    Parameters
    ----------
    pot : which.
    as_is_h, even_full_h : `hours_thirsty` without watering, and if it were full.
    at : the round (UTC).
    """
    cost = FRUITING if pot.crop.fruiting else 1.0
    if pot.crop.likes == "dry-between":
        cost *= DRY_BETWEEN
    if pot.planted is not None and (at.date() - pot.planted).days < YOUNG_D:
        cost *= YOUNG
    return cost * max(as_is_h - even_full_h, 0.0)


def in_order(garden: Garden, lines: Sequence[Line]) -> Order:
    """Return the pots to water in the order to walk them.

    Parameters
    ----------
    garden : whose effort at one round may be limited.
    lines : those to water, in walking order.

    Notes
    -----
    With time for all, walking order. Else the most endangered first, as many as fit; the others
    behind them in walking order. At least one pot comes first, however large its dose.
    """
    most_l = garden.manner.at_most_l
    if most_l is None or sum(line.dose_l for line in lines) <= most_l:
        return Order(tuple(lines))
    ranked = sorted(lines, key=lambda line: -line.reasons.get(SPARED, line.chance_thirsty))
    chosen: list[Line] = []
    left = most_l
    for line in ranked:
        if line.dose_l <= left or not chosen:
            chosen.append(line)
            left -= line.dose_l
    ids = {line.pot_id for line in chosen}
    return Order(tuple(chosen), tuple(line for line in lines if line.pot_id not in ids))
