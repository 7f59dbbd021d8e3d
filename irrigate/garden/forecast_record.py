"""How far off past forecasts were, day by day, and the size of errors that this makes likely.

Each day gone by is scored once, against the forecasts that stood at its beginning and at the six
midnights (UTC) before. A day's score is a few sums; the forecasts need not be read again.

What is told of an hour gone by may itself be a model's account. The errors are those of the
forecast against the hours that beliefs rest on, which is what a belief about tomorrow is off by;
what that account misses of the garden itself is learnt as the pots' thirst.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.events import Fact, Fared, ForecastScored
from irrigate.garden.forecast_errors import LEAD_DAYS, PRIORS, Spread
from irrigate.garden.weather import HOUR_S, Filled, Floats, HourlyWeather

DAY_S = 24 * HOUR_S

REMEMBERED = timedelta(days=60)
"""Scores older than this say little of the season's weather."""

# How many independent errors the prior is worth: about a week of days. From memory.
PRIOR_WORTH = 8.0
# How many scored days the prior of the hour-to-hour memory is worth.
MEMORY_WORTH_D = 20.0
MOST_MEMORY = 0.98

# Below these a ratio tells nothing: air without vapour, twilight, calm air.
_FLOORS = {"vapour_pressure_kpa": 0.05, "solar_mj_m2": 0.1, "wind_2m_m_s": 0.3}
# A factor of seven is a fault of the instrument, and no error of a forecast.
_FURTHEST = {"temperature_c": 15.0}
_FURTHEST_LOG = 2.0
_BITS = {
    "temperature_c": Filled.TEMPERATURE,
    "vapour_pressure_kpa": Filled.HUMIDITY,
    "solar_mj_m2": Filled.SOLAR,
    "wind_2m_m_s": Filled.WIND,
}


def fared(
    told: HourlyWeather, forecasts: Sequence[tuple[int, HourlyWeather]]
) -> dict[str, tuple[Fared, ...]]:
    """Return how forecasts of one day's hours fared, by variable and whole days of lead.

    Parameters
    ----------
    told : the day's hours as they came about, without NaN.
    forecasts : when each was made [UTC epoch s], and its hours, without NaN.

    Returns
    -------
    For each of `PRIORS` one `Fared` for each of `LEAD_DAYS`. Errors are told less forecast, of
    the logarithms but for temperature, which counts where both are well above nothing; a wind is
    taken as at least 0.3 m/s. Hours that a procedure put in, in either table, do not count.
    """
    sums = {name: [Fared()] * LEAD_DAYS for name in PRIORS}
    for made_s, hours in forecasts:
        _, ours, theirs = np.intersect1d(told.end_s, hours.end_s, return_indices=True)
        came, was = told.select(ours), hours.select(theirs)
        lead = (came.end_s - made_s - 1) // DAY_S
        for name in PRIORS:
            error, counts = _errors(name, came, was)
            for day in range(LEAD_DAYS):
                of_day = counts & (lead == day)
                sums[name][day] = _added(sums[name][day], error, of_day, came.end_s)
    return {name: tuple(map(_rounded, of_days)) for name, of_days in sums.items()}


def _errors(name: str, came: HourlyWeather, was: HourlyWeather) -> tuple[Floats, NDArray[np.bool_]]:
    """Return the errors of one variable, and which of them count."""
    bit = _BITS[name]
    counts = ((came.filled & bit) == 0) & ((was.filled & bit) == 0)
    one, other = getattr(came, name), getattr(was, name)
    if name not in _FLOORS:
        error = one - other
        return error, counts & (np.abs(error) <= _FURTHEST[name])
    floor = _FLOORS[name]
    if name != "wind_2m_m_s":
        counts = counts & (np.minimum(one, other) > floor)
    error = np.log(np.maximum(one, floor) / np.maximum(other, floor))
    return error, counts & (np.abs(error) <= _FURTHEST_LOG)


def _added(
    before: Fared, error: Floats, counts: NDArray[np.bool_], end_s: NDArray[np.int64]
) -> Fared:
    pairs = counts[1:] & counts[:-1] & (np.diff(end_s) == HOUR_S)
    return Fared(
        hours=before.hours + int(counts.sum()),
        squares=before.squares + float((error[counts] ** 2).sum()),
        pairs=before.pairs + int(pairs.sum()),
        products=before.products + float((error[1:] * error[:-1])[pairs].sum()),
    )


def _rounded(one: Fared) -> Fared:
    """Return the sums to five figures: finer than they are known, and short to keep."""
    return replace(one, squares=_five(one.squares), products=_five(one.products))


def _five(value: float) -> float:
    return float(f"{value:.5g}")


# --- what it makes likely ------------------------------------------------------------------
def learnt_spreads(scores: Sequence[ForecastScored]) -> dict[str, Spread]:
    """Return the size of errors by variable, from what past forecasts were off by.

    Parameters
    ----------
    scores : of the days remembered, of one source.

    Notes
    -----
    By variable and day of lead, the variance is what a scaled inverse chi-squared prior becomes by
    the squares seen (Gelman et al. 2013, Bayesian Data Analysis, 3rd ed., section 2.6, from
    memory)::

        var = (8 var0 + sum n s2) / (8 + sum n)

    with s2 a day's mean square and n the number of independent errors among its hours, which are
    fewer than the hours since each is much like the one before: hours (1 - m2) / (1 + m2), where
    m2 is the squared memory (Bayley & Hammersley 1946, from memory). A lasting bias is not taken
    off: it is part of the size.

    The hour-to-hour memory is drawn to what is seen with the prior worth 20 days.
    """
    return {name: _learnt(prior, [one.errors.get(name, ()) for one in scores])
            for name, prior in PRIORS.items()}  # fmt: skip


def independent(hours: float, memory: float) -> float:
    """Return how many independent errors so many hours of an AR(1) are worth for its variance."""
    return hours * (1.0 - memory**2) / (1.0 + memory**2)


def _learnt(prior: Spread, days: Sequence[tuple[Fared, ...]]) -> Spread:
    scale = []
    for lead in range(LEAD_DAYS):
        seen = [of_day[lead] for of_day in days if len(of_day) > lead and of_day[lead].hours > 0]
        worth = sum(independent(one.hours, prior.memory) for one in seen)
        squares = sum(
            independent(one.hours, prior.memory) * one.squares / one.hours for one in seen
        )
        before = float(prior.prior(np.asarray(lead + 0.5))) ** 2
        variance = (PRIOR_WORTH * before + squares) / (PRIOR_WORTH + worth)
        scale.append(math.sqrt(variance / before))
    return replace(prior, scale=tuple(scale), memory=_memory(prior, days))


def _memory(prior: Spread, days: Sequence[tuple[Fared, ...]]) -> float:
    """Return the correlation from hour to hour, of all leads together."""
    seen = [one for of_day in days for one in of_day if one.pairs > 0]
    squares = sum(one.squares / one.hours * one.pairs for one in seen)
    if squares <= 0.0:
        return prior.memory
    told = sum(one.products for one in seen) / squares
    count = sum(1 for of_day in days if any(one.pairs > 0 for one in of_day))
    memory = (MEMORY_WORTH_D * prior.memory + count * told) / (MEMORY_WORTH_D + count)
    return min(max(memory, 0.0), MOST_MEMORY)


def scores_of(facts: Sequence[Fact], source: str | None) -> list[ForecastScored]:
    """Return the scores of one source among facts."""
    return [
        fact.body
        for fact in facts
        if isinstance(fact.body, ForecastScored) and fact.body.source == source
    ]


def nothing_scored(errors: Mapping[str, tuple[Fared, ...]]) -> bool:
    """Return whether no hour of a day had a forecast to be held against."""
    return not any(one.hours for of_days in errors.values() for one in of_days)
