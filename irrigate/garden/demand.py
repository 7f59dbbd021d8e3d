"""What the air asks of every pot: litres by its leaves, millimetres by its surface.

The plant's size turns the reference ET of its place into litres here; its own thirst, which is
learnt, comes later (`irrigate.garden.traits`).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.exposure import PlaceWeather
from irrigate.garden.leaves import LEAST_HEIGHT_M, Climate, Leaves, leaves_of
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.traits import exposed_share
from irrigate.garden.water import Demand
from irrigate.garden.weather import Floats, HourlyWeather
from irrigate.science.lone_plant import SPARSE_REACH
from irrigate.science.surface import DAILY_WETTING, maximum_coefficient

Array = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class PotDemand:
    """Litres and millimetres asked per millimetre of reference ET, by pot and hour.

    Parameters
    ----------
    place_row : row of each pot's place in `PlaceWeather` [pot].
    leaf_m2 : full-cover Kcb × density × effective shaded area [pot, hour]: litres per mm.
    evaporation : Ke / few at full wetness, Eq 71 over the exposed part [pot, hour].
    slack : share of TEW − REW below which drying, not energy, limits [pot, hour].
    """

    place_row: NDArray[np.intp]
    leaf_m2: Array
    evaporation: Array
    slack: Array

    def hours(self, wanted: slice) -> PotDemand:
        """Return a stretch of the hours, in float32 for running ahead."""
        return PotDemand(
            self.place_row,
            self.leaf_m2[:, wanted].astype(np.float32),
            self.evaporation[:, wanted].astype(np.float32),
            self.slack[:, wanted].astype(np.float32),
        )

    def at(self, weather: PlaceWeather, hour: int, length_h: float) -> Demand:
        """Return the demand of (a part of) one hour, [pot, member].

        Parameters
        ----------
        weather : of the places.
        hour : which hour of the tables.
        length_h : part of the hour that the step lasts [h].
        """
        kind = weather.et0_mm.dtype
        rows, length = self.place_row, kind.type(length_h)
        et0 = weather.et0_mm[rows, :, hour] * length
        rain = weather.rain_mm[rows, :, hour] * length
        wet = bool(rain.any())
        return Demand(
            transpiration_l=et0 * self.leaf_m2[:, hour, np.newaxis],
            evaporation_mm=et0 * self.evaporation[:, hour, np.newaxis],
            surface_slack=self.slack[:, hour, np.newaxis],
            et0_mm=et0,
            rain_mm=rain if wet else 0.0,
            caught_mm=weather.caught_mm[rows, :, hour] * length if wet else 0.0,
            length_h=length_h,
        )


def pot_demand(garden: Garden, weather: HourlyWeather, canopy_m: Floats, at: datetime) -> PotDemand:
    """Return what each pot asks per millimetre of reference ET.

    Parameters
    ----------
    garden : the pots and their places.
    weather : on open ground, hour by hour without gaps.
    canopy_m : width and height of each plant [pot, 2], on the day of ``at``.
    at : a moment of the day that the sizes are of (UTC); they grow from there on.

    Notes
    -----
    Transpiration: `irrigate.garden.leaves`. Evaporation: Eq 71 over the pot's own surface, Kc max
    with the 1.1 of surfaces wetted daily (Eq 72), and the energy that a plant on its own draws
    from around (Eq 98) shared with its surface.
    """
    names = [place.name for place in garden.places]
    rows = np.array([names.index(pot.place) for pot in garden.pots], dtype=np.intp)
    few = exposed_share(garden, canopy_m, at)
    open_ground = Climate.of(weather)
    leaf = np.empty((len(garden.pots), len(weather)))
    evaporation, slack = np.empty_like(leaf), np.empty_like(leaf)
    climates = {place.name: open_ground.at(place) for place in garden.places}
    for index, pot in enumerate(garden.pots):
        here = climates[pot.place]
        leaves = leaves_of(pot, garden, here, canopy_m[index], at)
        leaf[index] = leaves.use_m2
        surface = surface_rate(pot, here, leaves, float(few[index, 0]))
        evaporation[index], slack[index] = surface.rate, surface.slack
    return PotDemand(rows, leaf, evaporation, slack)


@dataclass(frozen=True, slots=True, eq=False)
class SurfaceRate:
    """What a wet surface loses per millimetre of reference ET, and what makes it so, each [hour].

    Parameters
    ----------
    over_m2 : ground that Kcb is reckoned over: the canopy, or the pot's top if that is larger.
    basal, most : Kcb over it; Kc max, Eq 72 with 1.1.
    by_energy : Ke/few that energy allows, that of a plant on its own (Eq 98) included.
    rate : Ke/few of a wet surface, Eq 71.
    slack : share of TEW − REW below which the surface's drying limits it.
    """

    over_m2: Floats
    basal: Floats
    most: Array
    by_energy: Array
    rate: Array
    slack: Array


def surface_rate(pot: Pot, climate: Climate, leaves: Leaves, few: float) -> SurfaceRate:
    """Return Ke/few of a wet surface, and the slack of Eq 71's energy bound.

    Parameters
    ----------
    pot, climate, leaves : of the place and hours.
    few : share of the surface that is exposed [-].
    """
    over = np.maximum(leaves.canopy_m2, pot.vessel.surface_area_m2)
    basal = leaves.use_m2 / over
    most = np.asarray(
        maximum_coefficient(
            np.minimum(basal, 1.2),
            climate.wind_2m_m_s,
            climate.humidity_min_pct,
            np.maximum(leaves.height_m, LEAST_HEIGHT_M),
            DAILY_WETTING,
        )
    )
    by_energy = np.maximum(SPARSE_REACH * most - basal, 0.05) / few
    rate = np.minimum(by_energy, most)
    slack = np.minimum(1.0, most / np.maximum(by_energy, 1e-9))
    return SurfaceRate(over, basal, most, by_energy, rate, slack)
