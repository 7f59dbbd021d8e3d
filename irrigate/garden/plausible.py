"""What of the weather can be believed: the rest becomes NaN, and is said.

Nothing is replaced here; that is the work of `irrigate.garden.filling`.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.pots import Site
from irrigate.garden.solar_day import extraterrestrial_mj_m2, solar_day, spoken_hours
from irrigate.garden.weather import Filled, Floats, HourlyWeather
from irrigate.science.air import saturation_vapour_pressure_kpa
from irrigate.science.radiation import clear_sky_radiation_mj_m2

# From memory: the records are 56.7 °C, a dew point of 35 °C (5.6 kPa), and 305 mm in an hour;
# a little beyond them is left for a bad thermometer, none for a wrong unit.
TEMPERATURE_C = (-60.0, 60.0)
VAPOUR_PRESSURE_KPA = (0.0, 6.0)
WIND_M_S = (0.0, 60.0)
RAIN_MM = (0.0, 310.0)

# A hygrometer in fog, or one rounded to a whole percent, reads a little above saturation.
OVER_SATURATION = 1.1

# Ra in an hour above which the sun stands well clear of hills and haze [MJ m⁻² h⁻¹].
HIGH_SUN_MJ_M2 = 1.0
# The darkest hour of high sun in the typical year of Greensboro (NREL TMY3, station 723170) has
# 0.12 of the clear sky's radiation, its darkest day 0.16: far below that, it is the instrument.
DARK_HOUR = 0.02
DARK_DAY = 0.05
DARK_DAY_HOURS = 5  # of fewer hours nothing is said: a storm can darken them
# Around sunrise a source's grid cell and ours see the sun at slightly different minutes; in the
# year named above no hour is more than 0.02 above Ra [MJ m⁻² h⁻¹].
ABOVE_SKY_MJ_M2 = 0.1
# A pyranometer's zero drifts below nothing in a clear night [MJ m⁻² h⁻¹].
NIGHT_OFFSET_MJ_M2 = -0.1


def quantised(hours: HourlyWeather) -> HourlyWeather:
    """Return the hours in the steps in which they are kept, so that what is kept is what is used.

    Parameters
    ----------
    hours : any hours; NaN stays NaN.

    Steps: 0.01 °C, 0.001 kPa, 0.001 MJ m⁻², 0.01 m s⁻¹, 0.1 mm, 0.01 of chance.
    """
    return replace(
        hours,
        temperature_c=_rounded(hours.temperature_c, 2),
        vapour_pressure_kpa=_rounded(hours.vapour_pressure_kpa, 3),
        solar_mj_m2=_rounded(hours.solar_mj_m2, 3),
        wind_2m_m_s=_rounded(hours.wind_2m_m_s, 2),
        rain_mm=_rounded(hours.rain_mm, 1),
        rain_chance=_rounded(hours.rain_chance, 2),
    )


def _rounded(values: Floats, decimals: int) -> Floats:
    # Adding nothing turns minus nothing into nothing.
    return np.round(values, decimals) + 0.0


def believed(hours: HourlyWeather, site: Site) -> tuple[HourlyWeather, tuple[str, ...]]:
    """Return the hours with every value that cannot be right made NaN, and what was found.

    Parameters
    ----------
    hours : raw hours; NaN is passed over.
    site : where the garden lies.

    Returns the hours, and a remark in plain words for each kind of fault. Limits are those of
    this module, most of them from memory; radiation is held against the top of the air (FAO-56
    Eq 28) and the clear sky (Eq 37): an hour above the first, and a dark hour or day under a high
    sun, are taken for the instrument's.
    """
    doubted: list[tuple[str, NDArray[np.bool_], str]] = []

    temperature_c, strange = _within(hours.temperature_c, TEMPERATURE_C)
    doubted.append(("temperature", strange, "outside -60 to 60 °C"))

    pressure_kpa, strange = _within(hours.vapour_pressure_kpa, VAPOUR_PRESSURE_KPA)
    saturated_kpa = np.asarray(saturation_vapour_pressure_kpa(temperature_c))
    strange |= pressure_kpa > OVER_SATURATION * saturated_kpa
    strange |= pressure_kpa == 0.0  # no air outdoors is without any vapour
    pressure_kpa = _without(pressure_kpa, strange)
    doubted.append(("humidity", strange, "more or less than air can hold"))

    solar_mj_m2, above, dark = _solar(hours, site)
    doubted.append(("radiation", above, "below zero, or above what the sun sends"))
    doubted.append(("radiation", dark, "dark under a high sun"))

    wind_m_s, strange = _within(hours.wind_2m_m_s, WIND_M_S)
    doubted.append(("wind", strange, "outside 0 to 60 m/s"))
    rain_mm, strange = _within(hours.rain_mm, RAIN_MM)
    doubted.append(("rain", strange, "outside 0 to 310 mm in an hour"))

    remarks = tuple(
        f"{name} not believable {spoken_hours(hours.end_s[mask], site.longitude_deg)}"
        f" ({why}), taken as missing"
        for name, mask, why in doubted
        if mask.any()
    )
    kept = replace(
        hours,
        temperature_c=temperature_c,
        vapour_pressure_kpa=pressure_kpa,
        solar_mj_m2=solar_mj_m2,
        wind_2m_m_s=wind_m_s,
        rain_mm=rain_mm,
    )
    return kept, remarks


def _within(values: Floats, limits: tuple[float, float]) -> tuple[Floats, NDArray[np.bool_]]:
    strange = (values < limits[0]) | (values > limits[1])
    return _without(values, strange), strange


def _without(values: Floats, strange: NDArray[np.bool_]) -> Floats:
    return np.where(strange, np.nan, values)


def _solar(hours: HourlyWeather, site: Site) -> tuple[Floats, NDArray[np.bool_], NDArray[np.bool_]]:
    """Return the radiation that can be believed, which is impossible, and which falsely dark."""
    sky = extraterrestrial_mj_m2(hours.end_s, site)
    clear = np.asarray(clear_sky_radiation_mj_m2(sky, site.elevation_m))
    given = hours.solar_mj_m2
    impossible = (given < NIGHT_OFFSET_MJ_M2) | (given > sky + ABOVE_SKY_MJ_M2)
    given = np.maximum(_without(given, impossible), 0.0)

    # An estimate is not an instrument: what a procedure put in is not judged by it.
    measured = ~np.isnan(given) & ((hours.filled & Filled.SOLAR) == 0)
    high = (sky > HIGH_SUN_MJ_M2) & measured
    dark = high & (given < DARK_HOUR * clear)
    _days, day = np.unique(solar_day(hours.end_s, site.longitude_deg), return_inverse=True)
    of_day = np.bincount(day, np.where(high, given, 0.0))
    of_clear_day = np.bincount(day, np.where(high, clear, 0.0))
    long_enough = np.bincount(day, high) >= DARK_DAY_HOURS
    dark |= high & (long_enough & (of_day < DARK_DAY * of_clear_day))[day]
    return _without(given, dark), impossible, dark
