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

from irrigate.garden.balance import PotTraits, share_available, step
from irrigate.garden.demand import PotDemand, pot_demand
from irrigate.garden.exposure import PlaceWeather, place_weather
from irrigate.garden.fold import Standing
from irrigate.garden.leaves import Climate
from irrigate.garden.weather import HOUR_S, HourlyWeather

Array = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class CentralHour:
    """One (part of an) hour of the central run, by pot; water and surface are at its end."""

    begins_s: float
    ends_s: float
    et0_mm: Array
    asked_l: Array
    stress: Array
    transpired_l: Array
    evaporated_l: Array
    water_l: Array
    surface_mm: Array


@dataclass(frozen=True, slots=True, eq=False)
class CentralRun:
    """The hours of the central run and what it stands on.

    Parameters
    ----------
    traits : the middle of each pot's factors [pot, 1].
    start_l, start_surface_mm : water, and what is missing from the surface, at the start [pot].
    hours : one after the other.
    demand, places, climate : of the whole table, for showing the numbers put in.
    first : index of the first hour in the table.
    """

    traits: PotTraits
    start_l: Array
    start_surface_mm: Array
    hours: tuple[CentralHour, ...]
    demand: PotDemand
    places: PlaceWeather
    climate: Climate
    first: int

    def summary(self) -> Mapping[str, Array]:
        """Return the numbers that are stored with a decision, each [pot]."""
        return {
            "central_water_l": self.start_l,
            "central_full_l": self.traits.capacity_l[:, 0],
            "central_et0_mm": sum_of([hour.et0_mm for hour in self.hours], self.start_l),
            "central_transpired_l": sum_of(
                [hour.transpired_l for hour in self.hours], self.start_l
            ),
            "central_evaporated_l": sum_of(
                [hour.evaporated_l for hour in self.hours], self.start_l
            ),
            "central_water_at_next_round_l": (
                self.hours[-1].water_l if self.hours else self.start_l
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
    start_l, start_surface_mm = store.water_l[:, 0], store.surface_mm[:, 0]
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
        share = share_available(store.water_l, traits)
        after, flows = step(store, traits, asked)
        hours.append(
            CentralHour(
                begins_s=begun,
                ends_s=end,
                et0_mm=places.et0_mm[demand.place_row, 0, index] * length_h,
                asked_l=(asked.transpiration_l * traits.use_factor)[:, 0],
                stress=np.minimum(share / traits.dry_point, 1.0)[:, 0],
                transpired_l=flows.transpired_l[:, 0],
                evaporated_l=flows.evaporated_l[:, 0],
                water_l=after.water_l[:, 0],
                surface_mm=after.surface_mm[:, 0],
            )
        )
        store, begun = after, end
    climate = Climate.of(weather)
    return CentralRun(
        traits, start_l, start_surface_mm, tuple(hours), demand, places, climate, first
    )


def _middle(values: Array) -> Array:
    return np.asarray(np.median(values, axis=1, keepdims=True))
