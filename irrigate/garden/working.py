"""The central run: one named run without errors, in the numbers of the equations.

Members answer "how likely"; this answers "by what arithmetic". It takes the middle of every
factor and the forecast as it stands, and its results are stored with each decision, so that the
same working made again later must give the same bits.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.balance import STRAIN_COSTS, step
from irrigate.garden.believed import Standing
from irrigate.garden.demand import PotDemand, pot_demand
from irrigate.garden.exposure import PlaceWeather, place_weather
from irrigate.garden.leaves import Climate
from irrigate.garden.water import Flows, PotTraits, Store
from irrigate.garden.weather import HOUR_S, HourlyWeather

Array = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class CentralHour:
    """One (part of an) hour of the central run, by pot [pot].

    Parameters
    ----------
    begins_s, ends_s : UTC epoch seconds.
    et0_mm : reference ET at the place in the time [mm].
    asked_l : what the plant would drink if water were free, its strain counted [L].
    reach_l : water within its reach when it drinks: what came back from below is in, what the
        surface lost is out [L].
    flows : what moved, each [pot, 1].
    before, after : the store at its start and its end, each [pot, 1].
    """

    begins_s: float
    ends_s: float
    et0_mm: Array
    asked_l: Array
    reach_l: Array
    flows: Flows
    before: Store
    after: Store


@dataclass(frozen=True, slots=True, eq=False)
class CentralRun:
    """The hours of the central run and what it stands on.

    Parameters
    ----------
    traits : the middle of each pot's factors [pot, 1].
    start : the store at the start, each [pot, 1].
    hours : one after the other.
    demand, places, climate : of the whole table, for showing the numbers put in.
    first : index of the first hour in the table.
    """

    traits: PotTraits
    start: Store
    hours: tuple[CentralHour, ...]
    demand: PotDemand
    places: PlaceWeather
    climate: Climate
    first: int

    def summary(self) -> Mapping[str, Array]:
        """Return the numbers that are stored with a decision, each [pot]."""
        start_l = self.start.water_l[:, 0]
        flows = [hour.flows for hour in self.hours]
        return {
            "central_water_l": start_l,
            "central_full_l": self.traits.capacity_l[:, 0],
            "central_et0_mm": sum_of([hour.et0_mm for hour in self.hours], start_l),
            "central_transpired_l": sum_of([flow.transpired_l[:, 0] for flow in flows], start_l),
            "central_evaporated_l": sum_of([flow.evaporated_l[:, 0] for flow in flows], start_l),
            "central_water_at_next_round_l": (
                self.hours[-1].after.water_l[:, 0] if self.hours else start_l
            ),
        }


def sum_of(columns: list[Array], like: Array) -> Array:
    """Return the sum of arrays in order; zeros like ``like`` for none."""
    total = np.zeros_like(like)
    for column in columns:
        total = total + column
    return total


def central_run(standing: Standing, weather: HourlyWeather, until: datetime) -> CentralRun:
    """Run from now to ``until`` with the middle of every factor and no rain to come.

    Parameters
    ----------
    standing : belief and garden now.
    weather : without gaps, from some 54 h before now to ``until``.
    until : usually the next round (UTC).
    """
    garden, belief = standing.garden, standing.belief
    traits = standing.traits.middle()
    store = belief.store.each(_middle)
    start = store
    weather = weather.select(weather.end_s < until.timestamp() + HOUR_S)
    demand = pot_demand(garden, weather, belief.canopy_m, belief.at)
    places = place_weather(garden, weather)
    begun, stop = belief.at.timestamp(), until.timestamp()
    first = int(np.searchsorted(weather.end_s, begun, side="right"))
    hours = []
    for index in range(first, len(weather)):
        if begun >= stop:
            break
        end = min(float(weather.end_s[index]), stop)
        length_h = (end - begun) / HOUR_S
        asked = demand.at(places.without_rain(), index, length_h)
        after, flows = step(store, traits, asked)
        reach = store.water_l + flows.back_l - flows.dried_l - traits.limit_l
        thirst = traits.use_factor * (1.0 - STRAIN_COSTS * store.strain)
        hours.append(
            CentralHour(
                begins_s=begun,
                ends_s=end,
                et0_mm=places.et0_mm[demand.place_row, 0, index] * length_h,
                asked_l=(asked.transpiration_l * thirst)[:, 0],
                reach_l=np.maximum(reach, 0.0)[:, 0],
                flows=flows,
                before=store,
                after=after,
            )
        )
        store, begun = after, end
    climate = Climate.of(weather)
    return CentralRun(traits, start, tuple(hours), demand, places, climate, first)


def _middle(values: Array) -> Array:
    return np.asarray(np.median(values, axis=1, keepdims=True))
