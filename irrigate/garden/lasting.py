"""How long a full pot lasts in the weather to come, and how many rounds that leaves in doubt."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from irrigate.garden.balance import Store, step
from irrigate.garden.outlook import Ahead, full_store
from irrigate.garden.weather import HOUR_S, Floats

WEEK_H = 168.0
# A pot that would not last an hour lasts one: its time is only known to the hour.
SHORTEST_H = 1.0


def lasts_h(ahead: Ahead, store: Store, start: datetime) -> Floats:
    """Return how long each member of each pot lasts, full at ``start``, until its dry point.

    Parameters
    ----------
    ahead : the coming hours.
    store : what else each pot holds besides water.
    start : the moment (UTC), within its hours.

    Returns
    -------
    Hours [pot, member], to the hour; where one lasts longer than the hours told, that much.

    Notes
    -----
    The same steps as `irrigate.garden.outlook.run` takes, but without keeping the way there.
    """
    start_s = start.timestamp()
    first = int(np.searchsorted(ahead.end_s, start_s, side="right"))
    store = full_store(ahead, store).each(lambda array: array.astype(np.float32))
    dry_l = ahead.traits.limit_l + ahead.traits.dry_point * ahead.traits.available_l
    longest_h = max((float(ahead.end_s[-1]) - start_s) / HOUR_S, SHORTEST_H)
    lasts = np.full(store.water_l.shape, longest_h)
    waiting, begun = np.ones(store.water_l.shape, dtype=bool), start_s
    for index in range(first, len(ahead.end_s)):
        end = float(ahead.end_s[index])
        demand = ahead.demand.at(ahead.places, index, (end - begun) / HOUR_S)
        store, _ = step(store, ahead.traits, demand)
        thirsty = waiting & (store.water_l < dry_l)
        lasts[thirsty] = max((end - start_s) / HOUR_S, SHORTEST_H)
        waiting &= ~thirsty
        if not waiting.any():
            break
        begun = end
    return lasts


def in_doubt_a_week(lasts: Floats, start: datetime, rounds: Sequence[datetime]) -> Floats:
    """Return how many rounds of a week would be judged wrongly, by what is likelier [pot].

    Parameters
    ----------
    lasts : of `lasts_h` [pot, member].
    start : when the pots were full (UTC).
    rounds : the rounds that follow (UTC).

    Notes
    -----
    At a round by which a pot is thirsty with a chance of p, the likelier of the two is wrong with
    min(p, 1 − p). Summed over the rounds it is what one watering leaves in doubt, and there are as
    many waterings in a week as the pot's time goes into it. No more than half of the rounds can be.
    """
    doubt: Floats = np.zeros(lasts.shape[0])
    for moment in rounds:
        chance = (lasts < (moment - start).total_seconds() / HOUR_S).mean(axis=1)
        doubt = doubt + np.minimum(chance, 1.0 - chance)
    waterings: Floats = np.maximum(WEEK_H / np.median(lasts, axis=1), 1.0)
    return np.minimum(doubt * waterings, 0.5 * len(rounds))


def spread_of_log(lasts: Floats) -> Floats:
    """Return the sd of the logarithm of the time that each pot lasts [pot]; never 0."""
    spread: Floats = np.maximum(np.log(lasts).std(axis=1), 0.05)
    return spread
