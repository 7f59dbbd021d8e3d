"""From weather on open ground to the weather of each place.

Shade, a window of sun, shelter and a roof change radiation, wind and rain *before* the
Penman-Monteith formula. The reference is FAO-56 Eq 53, hour by hour.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.pots import Garden, Place
from irrigate.garden.weather import Floats, HourlyWeather
from irrigate.science import air
from irrigate.science.hourly_site import hourly_et0_mm, relative_shortwave, sun_hours
from irrigate.science.missing_data import NIGHT_RATIO_ARID

# Out of the direct sun a place still gets the sky's light. From memory.
DIFFUSE_SHARE = 0.25

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
    """

    et0_mm: Array
    rain_mm: Array

    def hours(self, wanted: slice) -> PlaceWeather:
        """Return a stretch of the hours."""
        return PlaceWeather(self.et0_mm[:, :, wanted], self.rain_mm[:, :, wanted])

    def without_rain(self) -> PlaceWeather:
        """Return the same with no rain at all."""
        return PlaceWeather(self.et0_mm, np.zeros_like(self.rain_mm))


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
    et0, rain = [], []
    for place in garden.places:
        sunlit = sun_share(place, weather.end_s, garden.site.time_zone)
        wet = hourly_et0_mm(
            here,
            temperature_c=table.temperature_c,
            vapour_pressure_kpa=table.vapour_pressure_kpa,
            solar_mj_m2=table.solar_mj_m2 * sunlit.astype(table.solar_mj_m2.dtype),
            wind_2m_m_s=table.wind_2m_m_s * table.wind_2m_m_s.dtype.type(place.wind),
            pressure_kpa=pressure,
            relative_shortwave=ratio,
            method="fao56",
        )
        et0.append(np.maximum(wet, 0.0))
        rain.append(table.rain_mm * place.rain)
    return PlaceWeather(np.stack(et0), np.stack(rain))


def sun_share(place: Place, end_s: NDArray[np.int64], time_zone: str) -> Floats:
    """Return the share of the open ground's radiation that reaches a place, per hour [0–1].

    Outside its window of sun the diffuse part alone is left; shade takes its share of either.
    """
    share = np.ones(end_s.size)
    if place.sun_from is not None and place.sun_until is not None:
        zone = ZoneInfo(time_zone)
        start, stop = _hours(place.sun_from), _hours(place.sun_until)
        for index, end in enumerate(end_s):
            local = datetime.fromtimestamp(int(end) - 3600, UTC).astimezone(zone)
            begins = local.hour + local.minute / 60.0
            lit = max(0.0, min(stop, begins + 1.0) - max(start, begins))
            share[index] = DIFFUSE_SHARE + (1.0 - DIFFUSE_SHARE) * lit
    return share * (1.0 - place.shade)


def _hours(moment: time) -> float:
    return moment.hour + moment.minute / 60.0
