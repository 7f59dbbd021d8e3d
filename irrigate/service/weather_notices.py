"""What people are told of the weather's sources: that one fails, or measures something odd.

Never in quiet hours: nobody mends a station at night.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from irrigate import units
from irrigate.garden.at_odds import Odd, at_odds
from irrigate.garden.events import Forecast, WeatherHours
from irrigate.garden.pots import Garden, Site
from irrigate.garden.rounds import is_quiet, local_day
from irrigate.garden.solar_day import extraterrestrial_mj_m2
from irrigate.garden.weather import Filled, HourlyWeather, merged
from irrigate.ports import Fetched, Journal, Trouble
from irrigate.service.gardening import notice
from irrigate.service.thinking import Decision
from irrigate.service.wording import STALE_H, moment

# By then every hour of the day was met once.
LOOKED_BACK = timedelta(hours=24)
DAY = timedelta(days=1)
LONGEST_WHY = 160
MILE_AN_HOUR_M_S = 0.44704  # exact

ADVICE = {
    "temperature": "A thermometer belongs into the shade, with air around it.",
    "humidity": "Such sensors age; hold it against another one.",
    "sun": "Does something shade the sensor, or is it not level or not clean?",
    "wind": "Is its unit right in the garden file?",
}


def trouble_notices(troubles: Sequence[Trouble], garden: Garden, now: datetime) -> list[Decision]:
    """Return what is to be said of sources that have failed for six hours: once, then every day.

    Parameters
    ----------
    troubles : the sources that fail.
    garden : whose zone the day is of.
    now : the present (UTC).
    """
    if is_quiet(garden, now):
        return []
    zone = ZoneInfo(garden.site.time_zone)
    return [
        notice(
            f"notice weather {one.source} {local_day(now, zone):%Y-%m-%d}",
            _failing(one, garden, now),
            garden,
            now,
        )
        for one in troubles
        if now - one.since >= timedelta(hours=STALE_H)
    ]


def _failing(one: Trouble, garden: Garden, now: datetime) -> str:
    since = moment(garden, one.since, now)
    why = one.why if len(one.why) <= LONGEST_WHY else one.why[:LONGEST_WHY] + "…"
    return (
        f"No weather from {one.source} since {since}\n"
        f"{why}\n"
        "I go on with what else I have: other sources, then what was forecast before, and after "
        "two days without any word recent days stand in. The longer it lasts, the less sure I am."
    )


def fetch_notices(
    fetched: Fetched, garden: Garden, journal: Journal, now: datetime
) -> list[Decision]:
    """Return what is to be said of what was fetched: an estimated sun, and sensors at odds.

    Each is told once; of one sensor again in another year.

    Parameters
    ----------
    fetched : what came.
    garden : its place and units.
    journal : with the facts of this fetch.
    now : the present (UTC).
    """
    if is_quiet(garden, now):
        return []
    said = []
    if _sun_estimated(fetched.hours, garden.site, now):
        text = (
            f"Sun estimated\n{fetched.source} tells no radiation, so I estimate the sun from its "
            "clouds and am less sure of every pot. A source that tells it (open-meteo) can be "
            "named behind it in the garden file."
        )
        said.append(notice(f"notice sun estimated {fetched.source}", text, garden, now))
    if fetched.measured_by:
        said += [
            notice(
                f"notice station {fetched.measured_by} {odd.what} {now:%Y}",
                _odd(odd, fetched.measured_by, us_units=garden.manner.us_units),
                garden,
                now,
            )
            for odd in _odds(fetched.measured_by, journal, now)
        ]
    return said


def _sun_estimated(hours: HourlyWeather, site: Site, now: datetime) -> bool:
    """Return whether most hours of sun to come have a radiation that was put in."""
    coming = hours.select(hours.end_s > now.timestamp())
    if not len(coming):
        return False
    sunny = extraterrestrial_mj_m2(coming.end_s, site) > 0.0
    put_in = np.isnan(coming.solar_mj_m2) | ((coming.filled & Filled.SOLAR) > 0)
    return bool(sunny.any() and put_in[sunny].mean() > 0.5)


def _odds(measured_by: str, journal: Journal, now: datetime) -> tuple[Odd, ...]:
    """Hold what was measured in the last day against the forecast that stood before it."""
    stood = journal.newest(Forecast, valid_until=now - LOOKED_BACK)
    if stood is None or not isinstance(stood.body, Forecast):
        return ()
    measured = [
        fact.body.hours
        for fact in journal.facts((WeatherHours,), valid_after=now - LOOKED_BACK - DAY)
        if isinstance(fact.body, WeatherHours) and fact.body.source == measured_by
    ]
    recent_s = int((now - LOOKED_BACK).timestamp())
    return at_odds(merged(measured).between(recent_s, int(now.timestamp())), stood.body.hours)


def _odd(odd: Odd, station: str, *, us_units: bool) -> str:
    measured, foretold = (
        _said(odd.what, value, us_units=us_units) for value in (odd.measured, odd.foretold)
    )
    mean = "in all" if odd.what == "sun" else "on average"
    return (
        f"Is the {odd.what} of {station} right?\n"
        f"Over {odd.hours} hours it had {measured} {mean}, where {foretold} "
        f"was forecast. {ADVICE[odd.what]} I use its readings all the same; to do without this "
        "one, take it out of the readings in the garden file."
    )


def _said(what: str, value: float, *, us_units: bool) -> str:
    if what == "temperature":
        return units.say_temperature(value, us_units=us_units)
    if what == "humidity":
        return f"{value:.0f} %"
    if what == "sun":
        return f"{value:.1f} MJ/m²"
    return f"{value / MILE_AN_HOUR_M_S:.0f} mph" if us_units else f"{value:.1f} m/s"
