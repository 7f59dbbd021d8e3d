"""Whether a station of one's own measures something else than its surroundings have.

A forecast is for some square kilometres and a station for a yard, so they differ; but a thermometer
in the sun, a pyranometer under a tree or a hygrometer that has aged differ for days on end. Such
readings are used all the same; the gardener is told once, and knows what stands where.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.weather import Filled, Floats, HourlyWeather
from irrigate.science.air import saturation_vapour_pressure_kpa

# Common practice, no source: far beyond what forecasts of the first day are off by in the mean of
# a day, and what a yard differs by from its surroundings.
ENOUGH_H = 18
WARMER_C = 4.0
DAMPER_PCT = 25.0
BRIGHTER, DULLER = 1.6, 0.4
WINDIER = 2.5
# Below these a ratio tells nothing.
LEAST_SUN_MJ_M2 = 3.0
LEAST_WIND_M_S = 0.5


@dataclass(frozen=True, slots=True)
class Odd:
    """One thing that is measured otherwise than foretold.

    Parameters
    ----------
    what : "temperature", "humidity", "sun" or "wind".
    measured, foretold : means over the hours in common, of the sun their sum
        [°C, %, MJ m⁻², m s⁻¹].
    hours : how many hours were compared.
    """

    what: str
    measured: float
    foretold: float
    hours: int


def at_odds(measured: HourlyWeather, foretold: HourlyWeather) -> tuple[Odd, ...]:
    """Return what a day of measured hours has otherwise than the forecast of the same hours.

    Parameters
    ----------
    measured : hours as they were told, those values marked in ``filled`` left out.
    foretold : hours that were forecast for the place, whichever the same.

    Less than 18 h in common say nothing. Wind is only found too strong: most yards are calmer
    than open ground, and a sensor behind a wall is right about the pots beside it.
    """
    _, ours, theirs = np.intersect1d(measured.end_s, foretold.end_s, return_indices=True)
    here, there = measured.select(ours), foretold.select(theirs)
    found = []

    def means(one: Floats, other: Floats, bit: int) -> tuple[float, float, int]:
        counts = _counting(here, there, bit) & ~np.isnan(one) & ~np.isnan(other)
        if counts.sum() < ENOUGH_H:
            return 0.0, 0.0, 0
        return float(one[counts].mean()), float(other[counts].mean()), int(counts.sum())

    ours_c, theirs_c, hours = means(here.temperature_c, there.temperature_c, Filled.TEMPERATURE)
    if abs(ours_c - theirs_c) > WARMER_C:
        found.append(Odd("temperature", ours_c, theirs_c, hours))
    damp, damper, hours = means(
        _humidity_pct(here), _humidity_pct(there), Filled.HUMIDITY | Filled.TEMPERATURE
    )
    if abs(damp - damper) > DAMPER_PCT:
        found.append(Odd("humidity", damp, damper, hours))
    sun, foretold_sun, hours = means(here.solar_mj_m2, there.solar_mj_m2, Filled.SOLAR)
    if hours * max(sun, foretold_sun) > LEAST_SUN_MJ_M2 and not (
        DULLER * foretold_sun <= sun <= BRIGHTER * foretold_sun
    ):
        found.append(Odd("sun", hours * sun, hours * foretold_sun, hours))
    wind, foretold_wind, hours = means(here.wind_2m_m_s, there.wind_2m_m_s, Filled.WIND)
    if wind > WINDIER * max(foretold_wind, LEAST_WIND_M_S):
        found.append(Odd("wind", wind, foretold_wind, hours))
    return tuple(found)


def _counting(here: HourlyWeather, there: HourlyWeather, bits: int) -> NDArray[np.bool_]:
    told: NDArray[np.bool_] = ((here.filled | there.filled) & bits) == 0
    return told


def _humidity_pct(hours: HourlyWeather) -> Floats:
    saturated = np.asarray(saturation_vapour_pressure_kpa(hours.temperature_c))
    humidity: Floats = 100.0 * hours.vapour_pressure_kpa / saturated
    return humidity
