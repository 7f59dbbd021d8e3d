"""Sources that tell a forecast only: no radiation, and no account of hours gone by.

What they have in common: their sun is estimated from the clouds, marked and said, and an answer is
held against the place and the time that it should be about.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from irrigate.errors import WeatherError
from irrigate.garden.pots import Site
from irrigate.garden.solar_day import extraterrestrial_mj_m2
from irrigate.garden.weather import HOUR_S, Filled, Floats, HourlyWeather
from irrigate.outside.weather.json_parts import number
from irrigate.science.missing_data import solar_from_cloud_cover_mj_m2

ESTIMATED = "sun estimated from the clouds (FAO-56 Eq 35), since {who} tells no radiation"

# A clock may be a little off, and a forecast is renewed every few hours.
EARLIEST = timedelta(hours=1)
STALE = timedelta(hours=24)


def with_sun(hours: HourlyWeather, cloud_cover: Floats, site: Site) -> HourlyWeather:
    """Return the hours with the radiation that their clouds let through, marked as put in.

    Parameters
    ----------
    hours : raw hours without radiation.
    cloud_cover : share of the sky covered in each hour [0–1], NaN where it is not told; there
        radiation stays NaN, and `irrigate.garden.filling` estimates it from the day's range of
        temperature.
    site : where the garden lies.
    """
    sky = extraterrestrial_mj_m2(hours.end_s, site)
    solar = np.asarray(solar_from_cloud_cover_mj_m2(cloud_cover, sky))
    marks = np.where(np.isnan(solar), 0, Filled.SOLAR).astype(np.uint8)
    return replace(hours, solar_mj_m2=solar, filled=hours.filled | marks)


def check_place(longitude: object, latitude: object, site: Site, who: str) -> None:
    """Refuse an answer about somewhere else; a grid cell's middle may lie some way off."""
    told = [number(longitude), number(latitude)]
    for name, at, asked in zip(
        ("longitude", "latitude"), told, (site.longitude_deg, site.latitude_deg), strict=True
    ):
        if at is None:
            raise WeatherError(f"{who}'s answer does not say its {name}")
        away = abs(at - asked) % 360.0
        if min(away, 360.0 - away) > 1.0:
            raise WeatherError(f"{who} answers about {name} {at:g}, not {asked:g}")


def check_age(made_at: datetime | None, now: datetime, who: str) -> tuple[str, ...]:
    """Refuse a forecast out of the future, and say if one is old; () if there is nothing to say."""
    if made_at is None:
        raise WeatherError(f"{who}'s answer does not say when it was made")
    if made_at > now + EARLIEST:
        ahead = (made_at - now).total_seconds() / 3600.0
        raise WeatherError(
            f"{who}'s forecast was made {ahead:.0f} h from now: this computer's clock or theirs"
            " is wrong"
        )
    if made_at < now - STALE:
        return (f"{who}'s forecast is {(now - made_at).total_seconds() / 3600.0:.0f} h old",)
    return ()


def check_reach(hours: HourlyWeather, now: datetime, who: str) -> tuple[str, ...]:
    """Refuse an answer about another time, and say if the forecast is short."""
    now_s = now.timestamp()
    told = hours.end_s[~np.isnan(hours.temperature_c)]
    if not told.size or told[-1] <= now_s or told[0] > now_s + 2 * HOUR_S:
        raise WeatherError(f"{who}'s answer is not about the present hours")
    reach_h = (int(told[-1]) - now_s) / HOUR_S
    return (f"{who}'s forecast reaches only {reach_h:.0f} h ahead",) if reach_h < 72.0 else ()
