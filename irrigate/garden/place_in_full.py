"""One hour at a place laid open: the sun, lamps and wind that reach it, and its reference ET."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from irrigate.garden.pots import Place, Site
from irrigate.garden.surroundings import (
    DIFFUSE_SHARE,
    WALL_SUN,
    direct_share,
    lamp_share,
    lamps_mj_m2,
    sky_share,
    solar_mj_m2,
    sun_share,
    wind_m_s,
)
from irrigate.garden.weather import HourlyWeather
from irrigate.science import air
from irrigate.science.hour_in_full import HourInFull, hour_in_full
from irrigate.science.hourly_site import relative_shortwave, sun_hours
from irrigate.science.missing_data import NIGHT_RATIO_ARID


@dataclass(frozen=True, slots=True)
class PlaceInFull:
    """What of the open ground's sun and wind reaches the pots in one hour.

    Parameters
    ----------
    diffuse, direct_share : the sky's share of the sun; the part of the hour that direct sun
        reaches the place [–].
    thrown_back : what a sunny wall adds to the direct share [–].
    unshaded, through : what shade and glass each let by [–].
    sunlit : their product: the share of the open ground's sun [–].
    solar_open_mj_m2, lamps_mj_m2, solar_mj_m2 : sun on open ground; from lamps; at the pots.
    lamps_h : for how long they burn in the hour [h].
    wind_open_m_s, wind_m_s : on open ground, and at the pots.
    sky : the hour's reference ET by Eq 53, over a whole hour.
    """

    diffuse: float
    direct_share: float
    thrown_back: float
    unshaded: float
    through: float
    sunlit: float
    solar_open_mj_m2: float
    lamps_mj_m2: float
    lamps_h: float
    solar_mj_m2: float
    wind_open_m_s: float
    wind_m_s: float
    sky: HourInFull


def place_in_full(site: Site, place: Place, weather: HourlyWeather, index: int) -> PlaceInFull:
    """Work one hour's reference ET at a place again, with all that goes into it.

    Parameters
    ----------
    site, place : where.
    weather : on open ground, without gaps.
    index : which hour of it.
    """
    one = slice(index, index + 1)
    end_s, zone = weather.end_s[one], site.time_zone
    solar, wind = weather.solar_mj_m2[one], weather.wind_2m_m_s[one]
    here = sun_hours(site, weather.end_s)
    ratio = relative_shortwave(here, weather.solar_mj_m2, NIGHT_RATIO_ARID, "fao56")
    lamps_h = float(lamp_share(place, end_s, zone)[0])
    solar_here = float(solar_mj_m2(place, solar, end_s, zone)[0])
    wind_here = float(wind_m_s(place, wind)[0])
    return PlaceInFull(
        diffuse=DIFFUSE_SHARE,
        direct_share=float(direct_share(place, end_s, zone)[0]),
        thrown_back=WALL_SUN if place.sunny_wall else 0.0,
        unshaded=1.0 - place.shade,
        through=1.0 if place.glass is None else place.glass,
        sunlit=float(sun_share(place, end_s, zone)[0]),
        solar_open_mj_m2=float(solar[0]),
        lamps_mj_m2=float(lamps_mj_m2(place, end_s, zone)[0]),
        lamps_h=lamps_h,
        solar_mj_m2=solar_here,
        wind_open_m_s=float(wind[0]),
        wind_m_s=wind_here,
        sky=hour_in_full(
            site,
            int(weather.end_s[index]),
            temperature_c=float(weather.temperature_c[index]),
            vapour_pressure_kpa=float(weather.vapour_pressure_kpa[index]),
            solar_mj_m2=solar_here,
            wind_2m_m_s=wind_here,
            pressure_kpa=float(np.asarray(air.pressure_kpa(site.elevation_m))),
            relative_shortwave=float(ratio[index]),
            sky_share=sky_share(place),
            lamps=lamps_h > 0.0,
        ),
    )
