"""From weather on open ground to the weather of each place.

What stands around a place (`irrigate.garden.surroundings`) changes sun, wind, warmth and rain
*before* the Penman-Monteith formula. The reference is FAO-56 Eq 53, hour by hour.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.pots import Garden
from irrigate.garden.surroundings import (
    lamp_share,
    rain_share,
    sky_share,
    solar_mj_m2,
    wind_m_s,
)
from irrigate.garden.weather import HourlyWeather
from irrigate.science import air
from irrigate.science.hourly_site import hourly_et0_mm, relative_shortwave, sun_hours
from irrigate.science.missing_data import NIGHT_RATIO_ARID
from irrigate.science.wetting import caught_by_leaves_mm

# A shower wets leaves before it drips from them: 1.3 mm on the canopy's ground for two low shrubs
# and a tussock grass (Dunkerley & Booth 1999, Water Resour. Res. 35:1581, abstract). Some hours
# until they are dry again, from memory.
LEAVES_HOLD_MM, LEAVES_DRY_H = 1.3, 6

Array = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class WeatherMembers:
    """The same hours as each member has them, all [member, hour]; units as in `HourlyWeather`."""

    temperature_c: Array
    vapour_pressure_kpa: Array
    solar_mj_m2: Array
    wind_2m_m_s: Array
    rain_mm: Array

    @staticmethod
    def of(weather: HourlyWeather) -> WeatherMembers:
        """Return one member that is the weather itself."""
        return WeatherMembers(
            weather.temperature_c[np.newaxis],
            weather.vapour_pressure_kpa[np.newaxis],
            weather.solar_mj_m2[np.newaxis],
            weather.wind_2m_m_s[np.newaxis],
            weather.rain_mm[np.newaxis],
        )


@dataclass(frozen=True, slots=True, eq=False)
class PlaceWeather:
    """What reaches each place, [place, member, hour]; one member where the weather is known.

    Parameters
    ----------
    et0_mm : reference evapotranspiration [mm per hour], never negative.
    rain_mm : rain that reaches the pots [mm per hour].
    caught_mm : the part of it that the leaves of a full canopy keep [mm per hour].
    """

    et0_mm: Array
    rain_mm: Array
    caught_mm: Array

    def hours(self, wanted: slice) -> PlaceWeather:
        """Return a stretch of the hours."""
        return PlaceWeather(
            self.et0_mm[:, :, wanted], self.rain_mm[:, :, wanted], self.caught_mm[:, :, wanted]
        )

    def without_rain(self) -> PlaceWeather:
        """Return the same with no rain at all."""
        none = np.zeros_like(self.rain_mm)
        return PlaceWeather(self.et0_mm, none, none)


def place_weather(
    garden: Garden, weather: HourlyWeather, members: WeatherMembers | None = None
) -> PlaceWeather:
    """Return reference ET and rain at each place.

    Parameters
    ----------
    garden : its site and places.
    weather : on open ground, without NaN.
    members : the same hours for each member; None where the weather is known.
    """
    here = sun_hours(garden.site, weather.end_s)
    table = members or WeatherMembers.of(weather)
    ratio = relative_shortwave(here, table.solar_mj_m2, NIGHT_RATIO_ARID, "fao56")
    pressure = float(np.asarray(air.pressure_kpa(garden.site.elevation_m)))
    zone = garden.site.time_zone
    et0 = []
    for place in garden.places:
        lit = here.sun_up | (lamp_share(place, weather.end_s, zone) > 0.0)
        wet = hourly_et0_mm(
            replace(here, sun_up=lit),
            temperature_c=table.temperature_c,
            vapour_pressure_kpa=table.vapour_pressure_kpa,
            solar_mj_m2=solar_mj_m2(place, table.solar_mj_m2, weather.end_s, zone),
            wind_2m_m_s=wind_m_s(place, table.wind_2m_m_s),
            pressure_kpa=pressure,
            relative_shortwave=ratio,
            method="fao56",
            sky_share=sky_share(place),
        )
        et0.append(np.maximum(wet, 0.0))
    return PlaceWeather(np.stack(et0), *place_rain(garden, table.rain_mm))


def place_rain(garden: Garden, rain_mm: Array) -> tuple[Array, Array]:
    """Return the rain that reaches each place, and what leaves keep of it [place, member, hour].

    Parameters
    ----------
    garden : its places.
    rain_mm : on open ground [member, hour], from some hours before those that are used: leaves
        that are still wet keep nothing.
    """
    kind = rain_mm.dtype.type
    fallen = np.stack([rain_mm * kind(rain_share(place)) for place in garden.places])
    if not fallen.any():
        return fallen, np.broadcast_to(kind(0.0), fallen.shape)
    return fallen, caught_by_leaves_mm(fallen, LEAVES_HOLD_MM, LEAVES_DRY_H)
