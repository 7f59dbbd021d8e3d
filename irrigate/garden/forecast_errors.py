"""Weather to come, as each member has it: the forecast with errors of the usual size.

Errors are smooth in time (an AR(1) from hour to hour), keyed by hour and member only, so that
member k has one weather for all pots and a window that moves on meets the same draws again.
Rain is left out altogether: thirst is judged with rain that nobody has confirmed at zero.

The spreads are from memory of how forecasts fare: a starting point, until the record of past
forecasts gives better ones.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.draws import weather_normals
from irrigate.garden.exposure import WeatherMembers
from irrigate.garden.weather import HOUR_S, Filled, HourlyWeather

Singles = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Spread:
    """Size of the errors of one variable: at the first hour, and what each day of lead adds."""

    first: float
    per_day: float
    memory: float  # correlation from one hour to the next

    def at(self, lead_d: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the spread by lead time [d]; none for hours gone by."""
        return np.where(lead_d > 0.0, self.first + self.per_day * lead_d, 0.0)


TEMPERATURE_C = Spread(0.8, 0.20, 0.95)
LOG_VAPOUR_PRESSURE = Spread(0.06, 0.010, 0.97)
LOG_SOLAR = Spread(0.08, 0.020, 0.90)
LOG_WIND = Spread(0.20, 0.030, 0.90)
# An hour whose radiation was itself estimated is known no better than this.
FILLED_SOLAR = 0.25

# The errors' memory reaches further back than this by nothing that counts (0.97^72 is 0.11).
RUN_IN_H = 72


def weather_members(weather: HourlyWeather, now_s: int, members: int) -> WeatherMembers:
    """Return a table of hours past and to come as each member has it.

    Parameters
    ----------
    weather : hour by hour without gaps; hours that end by ``now_s`` are the same for all.
    now_s : the present [UTC epoch s].
    members : how many.

    Returns
    -------
    Arrays [member, hour], float32, rain zero throughout the hours to come.
    """
    lead_d = (weather.end_s - now_s) / 86400.0
    solar_spread = LOG_SOLAR.at(lead_d)
    estimated = (weather.filled & Filled.SOLAR) > 0
    solar_spread = np.where(estimated & (lead_d > 0), FILLED_SOLAR, solar_spread)

    def error(variable: str, spread: Spread) -> Singles:
        return _smooth(weather.end_s, members, variable, spread.memory)

    def factor(variable: str, spread: Spread, size: NDArray[np.float64]) -> Singles:
        z = error(variable, spread) * size.astype(np.float32)
        grown: Singles = np.exp(z)
        return grown

    single = np.float32
    temperature = weather.temperature_c.astype(single) + error(
        "temperature", TEMPERATURE_C
    ) * TEMPERATURE_C.at(lead_d).astype(single)
    to_come = (lead_d > 0.0).astype(single)
    return WeatherMembers(
        temperature_c=temperature,
        vapour_pressure_kpa=weather.vapour_pressure_kpa.astype(single)
        * factor("vapour", LOG_VAPOUR_PRESSURE, LOG_VAPOUR_PRESSURE.at(lead_d)),
        solar_mj_m2=weather.solar_mj_m2.astype(single) * factor("solar", LOG_SOLAR, solar_spread),
        wind_2m_m_s=weather.wind_2m_m_s.astype(single)
        * factor("wind", LOG_WIND, LOG_WIND.at(lead_d)),
        rain_mm=np.broadcast_to(
            weather.rain_mm.astype(single) * (1.0 - to_come), temperature.shape
        ),
    )


def _smooth(end_s: NDArray[np.int64], members: int, variable: str, memory: float) -> Singles:
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
