"""Sun: where it stands and what reaches the top of the air (FAO-56 Eq 21-34).

One function for each numbered equation. Arrays of any shape broadcast together; angles in
radians unless the name says degrees; longitude east positive, time in UTC. Sources: Allen,
Pereira, Raes and Smith, 1998, FAO Irrigation and Drainage Paper 56 ("FAO-56"); ASCE-EWRI,
2005, The ASCE Standardized Reference Evapotranspiration Equation ("ASCE 2005").
"""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import Values

# FAO-56 Eq 21: 0.0820 MJ m⁻² min⁻¹, here for an hour. It is 1366.7 W m⁻²; measurements since
# (Kopp and Lean, 2011, Geophysical Research Letters 38:L01706: 1360.8) are 0.4 % lower, but the
# coefficients of Eq 35 and 37 were fitted to this one.
SOLAR_CONSTANT_MJ_M2_H = 4.92


def inverse_relative_distance(day_of_year: Values) -> Values:
    """Return the inverse relative distance of earth and sun, dr [-].

    day_of_year : 1 on 1 January to 365 or 366, any shape.

    FAO-56 Eq 23.

    >>> round(float(inverse_relative_distance(246.0)), 3)
    0.985
    """
    return 1.0 + 0.033 * np.cos(2.0 * np.pi / 365.0 * day_of_year)


def declination_rad(day_of_year: Values) -> Values:
    """Return the sun's declination, δ [rad].

    day_of_year : 1 on 1 January to 365 or 366, any shape.

    FAO-56 Eq 24: within about half a degree of the almanac.

    >>> round(float(declination_rad(246.0)), 3)
    0.12
    """
    return 0.409 * np.sin(2.0 * np.pi / 365.0 * day_of_year - 1.39)


def sunset_hour_angle_rad(latitude_rad: Values, declination_rad: Values) -> Values:
    """Return the hour angle at which the sun's middle touches the horizon, ωs [rad].

    latitude_rad : latitude, north positive [rad]; declination_rad : Eq 24 [rad]; any shape.

    FAO-56 Eq 25. Above the polar circles the cosine leaves -1 to 1; it is held there, so a
    polar night gives 0 and a polar day π.

    >>> round(float(sunset_hour_angle_rad(-0.35, 0.120)), 3)
    1.527
    """
    cosine = -np.tan(latitude_rad) * np.tan(declination_rad)
    angle: Values = np.arccos(np.minimum(np.maximum(cosine, -1.0), 1.0))
    return angle


def daily_extraterrestrial_radiation_mj_m2(
    latitude_rad: Values, declination_rad: Values, inverse_relative_distance: Values
) -> Values:
    """Return a day's radiation at the top of the air, Ra [MJ m⁻² d⁻¹].

    latitude_rad : latitude [rad]; declination_rad : Eq 24 [rad];
    inverse_relative_distance : Eq 23 [-]; any shape.

    FAO-56 Eq 21.

    >>> J = 246.0
    >>> Ra = daily_extraterrestrial_radiation_mj_m2(
    ...     np.radians(-20.0), declination_rad(J), inverse_relative_distance(J))
    >>> round(float(Ra), 1)
    32.2
    """
    ws = sunset_hour_angle_rad(latitude_rad, declination_rad)
    sines = np.sin(latitude_rad) * np.sin(declination_rad)
    cosines = np.cos(latitude_rad) * np.cos(declination_rad)
    scale = 24.0 / np.pi * SOLAR_CONSTANT_MJ_M2_H
    Ra: Values = scale * inverse_relative_distance * (ws * sines + cosines * np.sin(ws))
    return Ra


def seasonal_correction_h(day_of_year: Values) -> Values:
    """Return the seasonal correction of solar time, Sc [h].

    day_of_year : 1 on 1 January to 365 or 366, any shape.

    FAO-56 Eq 32 and 33.

    >>> round(float(seasonal_correction_h(274.0)), 4)
    0.1889
    """
    b = 2.0 * np.pi * (day_of_year - 81.0) / 364.0
    return 0.1645 * np.sin(2.0 * b) - 0.1255 * np.cos(b) - 0.025 * np.sin(b)


def solar_hour_angle_rad(
    utc_hour: Values, longitude_deg: Values, seasonal_correction_h: Values
) -> Values:
    """Return the sun's hour angle, ω: 0 at solar noon, before it negative [rad].

    utc_hour : the period's middle as hours since midnight UTC [h], any shape.
    longitude_deg : longitude, east positive [degrees]; seasonal_correction_h : Eq 32 [h].

    FAO-56 Eq 31, in UTC instead of a zone's clock, so that no zone and no summer time can be
    mistaken; brought to -π up to π. FAO-56 writes 0.06667 for 1/15.

    Example 19, 14-15 h in a zone one hour west of Greenwich:

    >>> round(float(solar_hour_angle_rad(15.5, -16.25, 0.1889)), 3)
    0.682
    """
    w = np.pi / 12.0 * (utc_hour + longitude_deg / 15.0 + seasonal_correction_h - 12.0)
    return w - 2.0 * np.pi * np.floor((w + np.pi) / (2.0 * np.pi))


def extraterrestrial_radiation_mj_m2(
    hour_angle_rad: Values,
    period_h: float,
    latitude_rad: Values,
    declination_rad: Values,
    inverse_relative_distance: Values,
) -> Values:
    """Return the radiation at the top of the air over an hour or less, Ra [MJ m⁻² period⁻¹].

    hour_angle_rad : Eq 31 at the period's middle [rad], any shape.
    period_h : the period's length [h], at most 1.
    latitude_rad : latitude [rad]; declination_rad : Eq 24 [rad];
    inverse_relative_distance : Eq 23 [-]; any shape.

    FAO-56 Eq 28, with ω1 and ω2 by Eq 29 and 30.

    Departs from FAO-56, which gives nothing if the middle of the hour is dark and counts the
    dark part as negative if it is not: only the part of the period between sunrise and sunset
    is integrated, as in ASCE 2005 Eq 56, and that also about midnight within a polar summer.

    >>> J = 274.0
    >>> Ra = extraterrestrial_radiation_mj_m2(
    ...     0.682, 1.0, np.radians(16.22), declination_rad(J), inverse_relative_distance(J))
    >>> round(float(Ra), 2)
    3.54
    """
    ws = sunset_hour_angle_rad(latitude_rad, declination_rad)
    sines = np.sin(latitude_rad) * np.sin(declination_rad)
    cosines = np.cos(latitude_rad) * np.cos(declination_rad)
    half = np.pi / 24.0 * period_h
    lit = _lit_integral(hour_angle_rad - half, hour_angle_rad + half, ws, sines, cosines)
    if np.any(ws > np.pi - 2.0 * half):
        # So near a polar day the period about midnight also holds the other end of the night.
        turn = np.where(hour_angle_rad > 0.0, -2.0 * np.pi, 2.0 * np.pi)
        other = hour_angle_rad + turn
        lit = lit + _lit_integral(other - half, other + half, ws, sines, cosines)
    scale = 12.0 / np.pi * SOLAR_CONSTANT_MJ_M2_H
    # A sliver at the horizon may come out as minus nothing.
    return np.maximum(scale * inverse_relative_distance * lit, 0.0)


def _lit_integral(w1: Values, w2: Values, ws: Values, sines: Values, cosines: Values) -> Values:
    """Return the bracket of Eq 28 over the part of ω1 to ω2 that lies between -ωs and ωs."""
    w1 = np.minimum(np.maximum(w1, -ws), ws)
    w2 = np.minimum(np.maximum(w2, -ws), ws)
    return (w2 - w1) * sines + cosines * (np.sin(w2) - np.sin(w1))


def sine_of_elevation(
    hour_angle_rad: Values, latitude_rad: Values, declination_rad: Values
) -> Values:
    """Return the sine of the sun's angle above the horizon, sin β [-].

    hour_angle_rad : Eq 31 [rad]; latitude_rad : latitude [rad]; declination_rad : Eq 24 [rad];
    any shape.

    ASCE 2005 Eq 62.

    >>> round(float(sine_of_elevation(0.0, np.radians(40.0), 0.36)), 2)
    0.94
    """
    sines = np.sin(latitude_rad) * np.sin(declination_rad)
    cosines = np.cos(latitude_rad) * np.cos(declination_rad)
    sin_beta: Values = sines + cosines * np.cos(hour_angle_rad)
    return sin_beta


def daylight_hours(sunset_hour_angle_rad: Values) -> Values:
    """Return the time from sunrise to sunset, N [h].

    sunset_hour_angle_rad : Eq 25 [rad], any shape.

    FAO-56 Eq 34.

    >>> round(daylight_hours(1.527), 1)
    11.7
    """
    return 24.0 / np.pi * sunset_hour_angle_rad
