"""Ways of watering that need no forecast, to hold the service's advice against."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from irrigate.garden.rounds import rounds_between
from irrigate.garden.weather import HourlyWeather
from irrigate.planning.truth import Truth, passed, watered

# "Half a can for every pot, every morning": common practice, no source.
DAILY_CANS = 0.5


def fixed_daily(truth: Truth, weather: HourlyWeather, until: datetime) -> Truth:
    """Give every pot half a can at the first round of each day, and no more.

    Parameters
    ----------
    truth : the real garden at the start.
    weather : that really was, past ``until``.
    until : the end (UTC).
    """
    garden = truth.standing.garden
    dose_l = DAILY_CANS * garden.manner.can_l
    mornings = replace(garden, rounds=(min(garden.rounds, key=lambda one: one.at),))
    for moment in rounds_between(mornings, truth.standing.belief.at, until):
        truth = passed(truth, weather, moment)
        for row in range(len(garden.pots)):
            truth = watered(truth, row, dose_l)
    return passed(truth, weather, until)
