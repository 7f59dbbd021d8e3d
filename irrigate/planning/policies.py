"""Ways of watering that need no forecast, to hold the service's advice against."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from irrigate.garden.pots import Garden
from irrigate.garden.rounds import rounds_between
from irrigate.garden.weather import HourlyWeather
from irrigate.planning.truth import Truth, passed, watered

# "A tenth of the pot's volume every morning": common practice, no source.
DAILY_SHARE = 0.10


def daily_doses_l(garden: Garden) -> dict[str, float]:
    """Return the same dose for every morning, by pot id [L]: a tenth of the pot's volume."""
    return {pot.id: DAILY_SHARE * pot.vessel.volume_l for pot in garden.pots}


def fixed_daily(truth: Truth, weather: HourlyWeather, until: datetime) -> Truth:
    """Water every pot at the first round of each day, the same each time, and no more.

    Parameters
    ----------
    truth : the real garden at the start.
    weather : that really was, past ``until``.
    until : the end (UTC).
    """
    garden = truth.standing.garden
    doses = daily_doses_l(garden)
    mornings = replace(garden, rounds=(min(garden.rounds, key=lambda one: one.at),))
    for moment in rounds_between(mornings, truth.standing.belief.at, until):
        truth = passed(truth, weather, moment)
        for row, pot in enumerate(garden.pots):
            truth = watered(truth, row, doses[pot.id])
    return passed(truth, weather, until)
