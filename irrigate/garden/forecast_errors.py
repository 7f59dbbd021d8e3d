"""Weather to come, as each member has it: the forecast with errors of the usual size.

Errors are smooth in time (an AR(1) from hour to hour), keyed by hour and member only, so that
member k has one weather for all pots and a window that moves on meets the same draws again.
Their size is a prior until the record of past forecasts tells a better one
(`irrigate.garden.forecast_record`). Where the source has an ensemble, its members differ as those
do, and the errors are only what is missing to that size (`irrigate.garden.member_hours`).

Thirst is judged with rain that nobody has confirmed at zero; `irrigate.garden.rain_to_come` has
the rain.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.draws import weather_normals
from irrigate.garden.exposure import WeatherMembers
from irrigate.garden.member_hours import MemberHours, Shift, shift_of
from irrigate.garden.weather import HOUR_S, Filled, HourlyWeather

Singles = NDArray[np.float32]

LEAD_DAYS = 7
"""Whole days of lead that errors are told apart by; further ones are as those of the last."""


@dataclass(frozen=True, slots=True)
class Spread:
    """Size of the errors of one variable: at the first hour, and what each day of lead adds.

    Parameters
    ----------
    first, per_day : the prior, root mean square; a lasting bias is part of it.
    memory : correlation from one hour to the next.
    scale : by whole day of lead, what the record makes of it; 1 throughout for the prior.
    """

    first: float
    per_day: float
    memory: float
    scale: tuple[float, ...] = (1.0,) * LEAD_DAYS

    def prior(self, lead_d: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the prior's size by lead time [d]."""
        return self.first + self.per_day * lead_d

    def at(self, lead_d: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the size by lead time [d]; none for hours gone by."""
        days = np.arange(len(self.scale)) + 0.5
        learnt = np.interp(lead_d, days, self.scale)
        return np.where(lead_d > 0.0, self.prior(lead_d) * learnt, 0.0)


# How forecasts fare, from memory; logarithms but for temperature.
PRIORS = {
    "temperature_c": Spread(0.8, 0.20, 0.95),
    "vapour_pressure_kpa": Spread(0.06, 0.010, 0.97),
    "solar_mj_m2": Spread(0.08, 0.020, 0.90),
    "wind_2m_m_s": Spread(0.20, 0.030, 0.90),
}
# An hour whose radiation was itself estimated is known no better than this.
FILLED_SOLAR = 0.25
# What no ensemble of a coarse grid knows of one garden, as a share of the first hour's error.
# From memory: raw members at one place spread too little.
LOCAL_SHARE = 0.5

# Where recent days stand in for a forecast, they miss as a forecast does so many days ahead. From
# memory: about there a forecast is no better than what is usual at the time of year [d].
STOOD_IN_D = 10.0

# The errors' memory reaches further back than this by nothing that counts (0.97^72 is 0.11).
RUN_IN_H = 72

# What each variable's draws are keyed by; part of what a draw *is*.
_KEYS = {
    "temperature_c": "temperature",
    "vapour_pressure_kpa": "vapour",
    "solar_mj_m2": "solar",
    "wind_2m_m_s": "wind",
}


@dataclass(frozen=True, slots=True, eq=False)
class Doubt:
    """What is known of how wrong the forecast may be.

    Parameters
    ----------
    spreads : by variable of `HourlyWeather`.
    theirs : the newest ensemble of the source; None where it has none, or only an old one.
    made_s : when the newest forecast was told [UTC epoch s]; None for just now. Errors are learnt
        by the time since, so an old forecast's are wide from the first hour on.
    """

    spreads: dict[str, Spread] = field(default_factory=lambda: dict(PRIORS))
    theirs: MemberHours | None = None
    made_s: int | None = None


def weather_members(
    weather: HourlyWeather, now_s: int, members: int, doubt: Doubt | None = None
) -> WeatherMembers:
    """Return a table of hours past and to come as each member has it.

    Parameters
    ----------
    weather : hour by hour without gaps; hours that end by ``now_s`` are the same for all.
    now_s : the present [UTC epoch s].
    members : how many.
    doubt : how wrong it may be; the priors if None.

    Returns
    -------
    Arrays [member, hour], float32, rain zero throughout the hours to come.
    """
    doubt = doubt or Doubt()
    lead_d = leads_d(weather, now_s, doubt)
    estimated = (weather.filled & Filled.SOLAR) > 0

    def moved(name: str) -> Singles:
        """Return by how much each member is off, in the variable or its logarithm."""
        spread = doubt.spreads[name]
        size = spread.at(lead_d)
        if name == "solar_mj_m2":
            size = np.where(estimated & (lead_d > 0), FILLED_SOLAR, size)
        error = smooth(weather.end_s, members, _KEYS[name], spread.memory)
        shift = shift_of(doubt.theirs, name, weather.end_s, members)
        if shift is None:
            off: Singles = error * size.astype(np.float32)
            return off
        return _beside(shift, error, size, spread, lead_d)

    def value(name: str) -> Singles:
        told: Singles = getattr(weather, name).astype(np.float32)
        return told

    temperature = value("temperature_c") + moved("temperature_c")
    to_come = (lead_d > 0.0).astype(np.float32)
    return WeatherMembers(
        temperature_c=temperature,
        vapour_pressure_kpa=value("vapour_pressure_kpa") * np.exp(moved("vapour_pressure_kpa")),
        solar_mj_m2=value("solar_mj_m2") * np.exp(moved("solar_mj_m2")),
        wind_2m_m_s=value("wind_2m_m_s") * np.exp(moved("wind_2m_m_s")),
        rain_mm=np.broadcast_to(value("rain_mm") * (1.0 - to_come), temperature.shape),
    )


def leads_d(weather: HourlyWeather, now_s: int, doubt: Doubt) -> NDArray[np.float64]:
    """Return how long ahead each hour was told [d]; not above zero for hours gone by."""
    lead_d = (weather.end_s - now_s) / 86400.0
    age_d = 0.0 if doubt.made_s is None else max(0, now_s - doubt.made_s) / 86400.0
    stood_in = weather.filled == sum(Filled)
    told_d = np.where(stood_in, np.maximum(lead_d, STOOD_IN_D), lead_d + age_d)
    return np.where(lead_d > 0.0, told_d, lead_d)


def _beside(
    shift: Shift, error: Singles, size: NDArray[np.float64], spread: Spread,
    lead_d: NDArray[np.float64],
) -> Singles:  # fmt: skip
    """Return the ensemble's own differences, and errors for what of the size they leave."""
    to_come = lead_d > 0.0
    least = np.where(to_come, LOCAL_SHARE * spread.first, 0.0)
    left = np.sqrt(np.maximum(size**2 - shift.sd**2, least**2))
    rest = np.where(shift.covered, left, size)
    off: Singles = shift.by * to_come.astype(np.float32) + error * rest.astype(np.float32)
    return off


def smooth(end_s: NDArray[np.int64], members: int, variable: str, memory: float) -> Singles:
    """Return an AR(1) of unit spread [member, hour], the same for an hour in any window."""
    before = end_s[0] - HOUR_S * np.arange(RUN_IN_H, 0, -1)
    draws = weather_normals(np.concatenate([before, end_s]), members, variable)
    steps = np.ascontiguousarray(draws.T.astype(np.float32))  # [hour, member]
    fresh = np.float32(np.sqrt(1.0 - memory**2))
    level = steps[0]
    for hour in range(1, steps.shape[0]):
        level = np.float32(memory) * level + fresh * steps[hour]
        steps[hour] = level
    return np.ascontiguousarray(steps[RUN_IN_H:].T)
