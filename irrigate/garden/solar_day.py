"""The sun's own day at a place: which day an hour belongs to, and what the sky has to give it.

A day here is counted by the sun, noon being when it stands highest: no time zone and no summer
time can move the coldest hour of a night into the wrong day.
"""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.pots import Site
from irrigate.garden.weather import HOUR_S, Floats
from irrigate.science.hourly_site import sun_hours

DAY_S = 24 * HOUR_S
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def solar_day(end_s: NDArray[np.int64], longitude_deg: float) -> NDArray[np.int64]:
    """Return the day, by the sun, to which the middle of each hour belongs.

    Parameters
    ----------
    end_s : UTC epoch seconds at the end of each hour, shape [hour].
    longitude_deg : longitude, east positive [degrees].

    Returns days since 1970-01-01, shape [hour]; four minutes of time for each degree.
    """
    return (end_s - HOUR_S // 2 + round(longitude_deg * 240.0)) // DAY_S


def extraterrestrial_mj_m2(end_s: NDArray[np.int64], site: Site) -> Floats:
    """Return each hour's radiation at the top of the air, Ra [MJ m⁻² h⁻¹].

    Parameters
    ----------
    end_s : UTC epoch seconds at the end of each hour, shape [hour].
    site : where the garden lies.

    FAO-56 Eq 28, as in `irrigate.science.hourly_site.sun_hours`.
    """
    if not end_s.size:
        return np.empty(0)
    return sun_hours(site, end_s).extraterrestrial_mj_m2


def spoken_hours(end_s: NDArray[np.int64], longitude_deg: float) -> str:
    """Return how many hours these are and on which days, as one says it.

    Parameters
    ----------
    end_s : UTC epoch seconds at the end of each hour, rising, at least one, shape [hour].
    longitude_deg : longitude, east positive [degrees].

    >>> spoken_hours(np.array([1_752_321_600, 1_752_325_200]), 0.0)
    '2 h on 12 Jul'
    """
    days = solar_day(end_s, longitude_deg)
    first, last = _spoken_day(int(days[0])), _spoken_day(int(days[-1]))
    when = f"on {first}" if first == last else f"from {first} to {last}"
    return f"{end_s.size} h {when}"


def _spoken_day(days: int) -> str:
    day = date(1970, 1, 1) + timedelta(days=days)
    return f"{day.day} {MONTHS[day.month - 1]}"
