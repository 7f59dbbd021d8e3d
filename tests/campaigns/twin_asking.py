"""Who is asked what: nobody, some at random, ten in all, one a day, five of every pot."""

from __future__ import annotations

import numpy as np

from irrigate.garden.balance import missing_l
from irrigate.garden.believed import Standing
from irrigate.garden.learning import all_known, sites_of
from irrigate.garden.shared import Sites
from irrigate.garden.weather import Floats
from tests.campaigns.twin_life import Asks, noise_l


def nobody(_day: int, _believed: Standing) -> dict[int, str]:
    """Ask nobody."""
    return {}


def some(share: float, seed: int) -> Asks:
    """Ask of a share of the pots, drawn anew each day; one in ten answers is a weight."""

    def asks(day: int, believed: Standing) -> dict[int, str]:
        rng = np.random.default_rng(1000 * seed + day)
        count = len(believed.garden.pots)
        rows = np.flatnonzero(rng.random(count) < share)
        return {int(row): "weight" if rng.random() < 0.1 else "litres" for row in rows}

    return asks


def ten_in_all(day: int, believed: Standing) -> dict[int, str]:
    """Ask of ten pots in all, five on each of the first two mornings, the least known first."""
    return dict.fromkeys(_least_known(believed, 5), "litres") if day <= 2 else {}


def one_a_day() -> Asks:
    """Ask of one pot a day: that whose answer would narrow the garden most."""

    def asks(day: int, believed: Standing) -> dict[int, str]:
        return dict.fromkeys(_least_known(believed, 1), "litres") if day <= 14 else {}

    return asks


def five_for_every_pot(day: int, believed: Standing) -> dict[int, str]:
    """Ask of every pot on each of the first five mornings."""
    return dict.fromkeys(range(len(believed.garden.pots)), "litres") if day <= 5 else {}


def _least_known(believed: Standing, count: int) -> list[int]:
    """Return pots whose litres would lower the summed variance of use most, one after the other."""
    pots, belief = believed.garden.pots, believed.belief
    use, capacity = sites_of(belief)
    precision = use.precision.copy()
    gain = _would_tell(believed)
    chosen: list[int] = []
    for _ in range(count):
        left = np.full(len(pots), np.inf)
        for row in set(range(len(pots))) - set(chosen):
            more = precision.copy()
            more[row] += gain[row]
            known = all_known(pots, [Sites(more, use.pull), capacity], belief.remembered)
            left[row] = float(known[0].variance.sum())
        chosen.append(int(np.argmin(left)))
        precision[chosen[-1]] += gain[chosen[-1]]
    return chosen


def _would_tell(believed: Standing) -> Floats:
    """Return the precision that each pot's litres would add to its log use, all taken as normal."""
    belief = believed.belief
    room = np.asarray(missing_l(belief.water_l, believed.traits))
    use = belief.log_use
    away = use - use.mean(axis=1, keepdims=True)
    other = room - room.mean(axis=1, keepdims=True)
    together = (away * other).mean(axis=1)
    wide = other.var(axis=1) + noise_l(np.median(room, axis=1)) ** 2
    prior = use.var(axis=1)
    return 1.0 / np.maximum(prior - together**2 / wide, 1e-4) - 1.0 / prior
