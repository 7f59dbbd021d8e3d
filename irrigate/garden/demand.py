"""What the air asks of every pot: litres by its leaves, millimetres by its surface.

The plant's size turns the reference ET of its place into litres here; its own thirst, which is
learnt, comes later (`irrigate.garden.traits`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.balance import Demand
from irrigate.garden.exposure import PlaceWeather
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.traits import exposed_share
from irrigate.garden.weather import Floats, HourlyWeather
from irrigate.science import air
from irrigate.science.canopy import (
    canopy_density,
    crop_full_cover_coefficient,
    stomatal_factor,
)
from irrigate.science.shading import noon_sun_elevation_rad, shaded_area_of_round_m2
from irrigate.science.surface import DAILY_WETTING, maximum_coefficient

# FAO-56's climate terms are stated for plants of 0.1 m and more (text of Eq 62).
LEAST_HEIGHT_M = 0.1
# γ of Eq 8 at sea level; it enters only the ratio Fr of Eq 102.
PSYCHROMETRIC_KPA_C = 0.067

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
        et0 = weather.et0_mm[self.place_row, :, hour] * kind.type(length_h)
        rain = weather.rain_mm[self.place_row, :, hour] * kind.type(length_h)
        return Demand(
            transpiration_l=et0 * self.leaf_m2[:, hour, np.newaxis],
            evaporation_mm=et0 * self.evaporation[:, hour, np.newaxis],
            surface_slack=self.slack[:, hour, np.newaxis],
            rain_mm=rain if rain.any() else 0.0,
        )


def pot_demand(garden: Garden, weather: HourlyWeather, canopy_m: Floats) -> PotDemand:
    """Return what each pot asks per millimetre of reference ET.

    Parameters
    ----------
    garden : the pots and their places.
    weather : on open ground, hour by hour without gaps.
    canopy_m : width and height of each plant [pot, 2].

    Notes
    -----
    Transpiration: Kcb for full cover by height (FAO-56 Eq 99–101), bounded by the crop's own
    mid-season value and tight stomata (Eq 102), × density (Eq 97) × the shadow of the crown at
    noon (Box 18). Evaporation: Eq 71 over the pot's own surface, Kc max with the 1.1 of
    surfaces wetted daily (Eq 72).
    """
    names = [place.name for place in garden.places]
    rows = np.array([names.index(pot.place) for pot in garden.pots], dtype=np.intp)
    few = exposed_share(garden.pots, canopy_m)
    climate = Climate.of(weather)
    leaf = np.empty((len(garden.pots), len(weather)))
    evaporation, slack = np.empty_like(leaf), np.empty_like(leaf)
    for index, pot in enumerate(garden.pots):
        here = replace(climate, wind_2m_m_s=climate.wind_2m_m_s * garden.place(pot.place).wind)
        width, height = canopy_m[index]
        leaf[index] = leaf_area_m2(pot, here, width, height, garden.site.latitude_deg)
        evaporation[index], slack[index] = _surface(
            pot, here, width, height, leaf[index], float(few[index, 0])
        )
    return PotDemand(rows, leaf, evaporation, slack)


@dataclass(frozen=True, slots=True, eq=False)
class Climate:
    """What the climate terms want, each over the 24 h that end with the hour [hour].

    A trailing day, not a calendar one: what an hour gets must not depend on hours that come
    after it, or on where a table begins, if a fold is to give the same bits from any start.
    """

    day_of_year: Floats
    wind_2m_m_s: Floats
    humidity_min_pct: Floats
    temperature_c: Floats

    @staticmethod
    def of(weather: HourlyWeather) -> Climate:
        """Gather the trailing days of a table without gaps."""
        humidity = 100.0 * np.minimum(
            weather.vapour_pressure_kpa
            / np.asarray(air.saturation_vapour_pressure_kpa(weather.temperature_c)),
            1.0,
        )
        stamps = ((weather.end_s - 1) // 86400).astype("datetime64[D]")
        of_year = (stamps - stamps.astype("datetime64[Y]").astype("datetime64[D]")).astype(int) + 1
        return Climate(
            day_of_year=of_year.astype(np.float64),
            wind_2m_m_s=_trailing(weather.wind_2m_m_s).mean(axis=1),
            humidity_min_pct=_trailing(humidity).min(axis=1),
            temperature_c=_trailing(weather.temperature_c).mean(axis=1),
        )


def _trailing(values: Floats) -> Floats:
    """Return the day that ends with each hour [hour, 24]; before the first, the first again."""
    padded = np.concatenate([np.repeat(values[:1], 23), values])
    return np.ascontiguousarray(np.lib.stride_tricks.sliding_window_view(padded, 24))


def leaf_area_m2(
    pot: Pot, climate: Climate, width_m: float, height_m: float, latitude_deg: float
) -> Floats:
    """Return litres of transpiration per millimetre of reference ET [hour].

    Parameters
    ----------
    pot : whose crop and leaf area.
    climate : with the wind at the place itself.
    width_m, height_m : size of the plant [m].
    latitude_deg : of the garden.
    """
    stomatal = stomatal_factor(
        air.slope_kpa_c(climate.temperature_c),
        PSYCHROMETRIC_KPA_C,
        climate.wind_2m_m_s,
        pot.crop.leaf_resistance_s_m,
    )
    full = crop_full_cover_coefficient(
        max(height_m, LEAST_HEIGHT_M),
        pot.crop.kcb_mid,
        climate.wind_2m_m_s,
        climate.humidity_min_pct,
        stomatal,
    )
    density = canopy_density(pot.crop.leaf_area_index)
    noon = noon_sun_elevation_rad(latitude_deg, climate.day_of_year)
    return np.asarray(full * density * shaded_area_of_round_m2(width_m, height_m, noon))


def _surface(
    pot: Pot, climate: Climate, width_m: float, height_m: float, leaf_m2: Floats, few: float
) -> tuple[Floats, Floats]:
    """Return Ke/few of a wet surface, and the slack of Eq 71's energy bound [hour]."""
    # Kcb over the pot's own surface: all of it under the canopy, or the part that is.
    basal = np.minimum(leaf_m2 / max(0.25 * np.pi * width_m**2, pot.vessel.surface_area_m2), 1.2)
    most = np.asarray(
        maximum_coefficient(
            basal,
            climate.wind_2m_m_s,
            climate.humidity_min_pct,
            max(height_m, LEAST_HEIGHT_M),
            DAILY_WETTING,
        )
    )
    by_energy = np.maximum(most - basal, 0.0) / few
    rate = np.minimum(by_energy, most)
    return rate, np.minimum(1.0, most / np.maximum(by_energy, 1e-9))
