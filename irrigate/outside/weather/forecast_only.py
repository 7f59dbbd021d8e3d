"""Sources that tell a forecast only: no radiation, and no account of hours gone by.

What they have in common: their sun is estimated from the clouds, marked and said, and an answer is
held against the place and the time that it should be about.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from irrigate.errors import WeatherError
from irrigate.garden.plausible import quantised
from irrigate.garden.pots import Site
from irrigate.garden.solar_day import extraterrestrial_mj_m2
from irrigate.garden.weather import HOUR_S, Filled, Floats, HourlyWeather
from irrigate.ports import Fetched
from irrigate.science.missing_data import solar_from_cloud_cover_mj_m2

ESTIMATED = "sun estimated from the clouds (FAO-56 Eq 35), since {who} tells no radiation"

# A clock may be a little off, and a forecast is renewed every few hours.
EARLIEST = timedelta(hours=1)
STALE = timedelta(hours=24)


@dataclass(frozen=True, slots=True)
class Told:
    """Whose forecast it is, by the source's name and as people say it, and when it was made."""

    source: str
    who: str
    attribution: str
    made_at: datetime


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


def fetched(
    told: Told, hours: HourlyWeather, cloud_cover: Floats, site: Site, now: datetime,
    remarks: Sequence[str],
) -> Fetched:  # fmt: skip
    """Return what is fetched by an answer, or raise `WeatherError` if it is about another time.

    Parameters
    ----------
    told : whose forecast it is, and when it was made.
    hours, cloud_cover, site : as in `with_sun`.
    now : the present moment.
    remarks : what there was to say so far.
    """
    reach = check_reach(hours, now, told.who)
    guessed = () if np.isnan(cloud_cover).all() else (ESTIMATED.format(who=told.who),)
    return Fetched(
        source=told.source,
        model_run=f"{told.made_at:%Y-%m-%dT%H:%M:%SZ}",
        attribution=told.attribution,
        fetched_at=now,
        hours=quantised(with_sun(hours, cloud_cover, site)),
        remarks=(*remarks, *reach, *guessed),
    )


def check_age(made_at: datetime | None, now: datetime, who: str) -> tuple[datetime, list[str]]:
    """Refuse a forecast of no date or of the future; return its date, and a word if it is old."""
    if made_at is None:
        raise WeatherError(f"{who}'s answer does not say when it was made")
    if made_at > now + EARLIEST:
        ahead = (made_at - now).total_seconds() / 3600.0
        raise WeatherError(
            f"{who}'s forecast was made {ahead:.0f} h from now: this computer's clock or theirs"
            " is wrong"
        )
    if made_at < now - STALE:
        return made_at, [
            f"{who}'s forecast is {(now - made_at).total_seconds() / 3600.0:.0f} h old"
        ]
    return made_at, []


def check_reach(hours: HourlyWeather, now: datetime, who: str) -> tuple[str, ...]:
    """Refuse an answer about another time, and say if the forecast is short."""
    now_s = now.timestamp()
    told = hours.end_s[~np.isnan(hours.temperature_c)]
    if not told.size or told[-1] <= now_s or told[0] > now_s + 2 * HOUR_S:
        raise WeatherError(f"{who}'s answer is not about the present hours")
    reach_h = (int(told[-1]) - now_s) / HOUR_S
    return (f"{who}'s forecast reaches only {reach_h:.0f} h ahead",) if reach_h < 72.0 else ()
