"""What stands in for weather that was not measured (FAO-56 chapter 3, and p. 75).

Each stand-in is a function of its own with a name; none is chosen here. Arrays of any shape
broadcast together; NaN in, NaN out. Source: Allen, Pereira, Raes and Smith, 1998, FAO
Irrigation and Drainage Paper 56 ("FAO-56"); ASCE-EWRI, 2005, The ASCE Standardized Reference
Evapotranspiration Equation ("ASCE 2005").
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from irrigate.science.air import saturation_vapour_pressure_kpa
from irrigate.science.arrays import FloatArray, Values
from irrigate.science.radiation import solar_from_sunshine_mj_m2

KRS_INTERIOR = 0.16  # FAO-56 Eq 50: where land mass dominates [°C⁻⁰·⁵]
KRS_COAST = 0.19  # FAO-56 Eq 50: on or beside a coast of a large land mass

WIND_2M_M_S = 2.0  # FAO-56 p. 63: the mean of over 2000 weather stations

# FAO-56 p. 75: Rs/Rso of a night of which nothing is known.
NIGHT_RATIO_HUMID = 0.5  # printed: 0.4 to 0.6 in humid and subhumid climates
NIGHT_RATIO_ARID = 0.75  # printed: 0.7 to 0.8 in arid and semiarid climates

CARRY_AT_MOST_H = 24.0


def vapour_pressure_from_t_min_kpa(t_min_c: Values) -> Values:
    """Return a day's actual vapour pressure, ea, if dew falls at dawn [kPa].

    t_min_c : lowest air temperature [°C], any shape. Valid range: where the reference cover is
    well watered; in dry places the dew point lies some 2 to 3 °C below, so that this says damp.

    FAO-56 Eq 48.

    >>> round(float(vapour_pressure_from_t_min_kpa(14.8)), 2)
    1.68
    """
    return saturation_vapour_pressure_kpa(t_min_c)


def solar_from_temperature_range_mj_m2(
    t_max_c: Values, t_min_c: Values, extraterrestrial_mj_m2: Values, krs: Values
) -> Values:
    """Return a day's solar radiation from the range of temperature, Rs [MJ m⁻² d⁻¹].

    t_max_c, t_min_c : highest and lowest air temperature [°C], the highest not below the lowest;
    extraterrestrial_mj_m2 : Ra, Eq 21 [MJ m⁻² d⁻¹]; krs : `KRS_INTERIOR` or `KRS_COAST`.

    FAO-56 Eq 50.

    >>> round(float(solar_from_temperature_range_mj_m2(26.6, 14.8, 40.6, 0.16)), 1)
    22.3
    """
    return krs * np.sqrt(t_max_c - t_min_c) * extraterrestrial_mj_m2


def solar_from_cloud_cover_mj_m2(cloud_cover: Values, extraterrestrial_mj_m2: Values) -> Values:
    """Return the solar radiation from how much of the sky clouds cover, Rs [MJ m⁻²].

    cloud_cover : share of the sky that is covered [0–1]; extraterrestrial_mj_m2 : Ra over the
    same period [MJ m⁻²]; any shape. Valid range: as a stand-in only. A sky covered by thin, high
    cloud lets most of the sun through, so that single hours may be far too dark.

    FAO-56 Eq 35 with n/N = 1 − cloud cover. Departs from FAO-56, which has n/N measured, and for
    whole days: how far the sky is covered stands for how far the sun is hidden.

    >>> round(float(solar_from_cloud_cover_mj_m2(1 - 0.65, 25.1)), 1)
    14.4
    """
    return solar_from_sunshine_mj_m2(1.0 - cloud_cover, 1.0, extraterrestrial_mj_m2)


def sky_told_fao56(hour_angle_rad: Values, sunset_hour_angle_rad: Values) -> NDArray[np.bool_]:
    """Return which periods tell the clouds of the night that follows, by FAO-56.

    hour_angle_rad : ω at the period's middle, Eq 31; sunset_hour_angle_rad : ωs, Eq 25 [rad].

    FAO-56 p. 75: ωs - 0.79 <= ω <= ωs - 0.52, two to three hours before sunset.
    """
    before_sunset = np.subtract(sunset_hour_angle_rad, hour_angle_rad)
    return np.asarray((before_sunset <= 0.79) & (before_sunset >= 0.52))


def sky_told_asce(sine_of_elevation: Values) -> NDArray[np.bool_]:
    """Return which periods tell their own clouds and those of the dark that follows, by ASCE.

    sine_of_elevation : sin β at the period's middle, ASCE 2005 Eq 62 [-].

    ASCE 2005 with Eq 45: the sun at 0.3 rad above the horizon or more.
    """
    return np.greater_equal(sine_of_elevation, np.sin(0.3))


def carried_forward(
    ratio: FloatArray,
    told: NDArray[np.bool_],
    period_end_s: NDArray[np.int64],
    assumed: Values,
) -> FloatArray:
    """Return, for every period, the newest ratio that was told up to then.

    ratio : Rs/Rso [-], shape [..., hour]; told : which periods tell, same shape or [hour]; a
    NaN ratio tells nothing. period_end_s : UTC epoch seconds, rising, shape [hour].
    assumed : the ratio where none was told in the past 24 h, scalar or [..., 1].

    The procedure of FAO-56 p. 75 and ASCE 2005 with Eq 45, with an age limit of our own:
    yesterday's clouds are a poor guess of tonight's, and those of last week none.

    >>> hours = np.arange(4) * 3600
    >>> carried_forward(np.array([0.9, 0.6, 0.2, 0.1]), np.array([0, 1, 0, 0], bool), hours, 0.5)
    array([0.5, 0.6, 0.6, 0.6])
    """
    told = told & ~np.isnan(ratio)
    position = np.arange(ratio.shape[-1])
    newest = np.maximum.accumulate(np.where(told, position, -1), axis=-1)
    source = np.maximum(newest, 0)
    carried = np.take_along_axis(ratio, source, axis=-1)
    age_s = period_end_s - period_end_s[source]
    known = (newest >= 0) & (age_s <= CARRY_AT_MOST_H * 3600.0)
    return np.where(known, carried, np.asarray(assumed, dtype=ratio.dtype))
