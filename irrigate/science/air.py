"""Air: pressure, vapour and wind (FAO-56 chapter 3, Eq 7-19, 47 and 54).

One function for each numbered equation. Arrays of any shape broadcast together; NaN in, NaN
out. Source throughout: Allen, Pereira, Raes and Smith, 1998, FAO Irrigation and Drainage
Paper 56 ("FAO-56"); ASCE-EWRI, 2005, The ASCE Standardized Reference Evapotranspiration
Equation ("ASCE 2005"), where named.
"""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import Values

# ASCE 2005 Eq 5 and 36 round 4098 × 0.6108 = 2503.06 to 2503.
SLOPE_NUMERATOR_ASCE = 2503.0 / 0.6108


def pressure_kpa(elevation_m: Values) -> Values:
    """Return the mean atmospheric pressure at an elevation [kPa].

    elevation_m : elevation above sea level [m], any shape. Valid range: -450 to 6000 m.

    FAO-56 Eq 7; ASCE 2005 Eq 3 and 34 are the same.

    >>> round(float(pressure_kpa(1800.0)), 1)
    81.8
    """
    return 101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0) ** 5.26


def psychrometric_constant_kpa_c(pressure_kpa: Values) -> Values:
    """Return the psychrometric constant [kPa °C⁻¹].

    pressure_kpa : atmospheric pressure [kPa], any shape.

    FAO-56 Eq 8, with the latent heat fixed at 2.45 MJ kg⁻¹ as there.

    >>> round(psychrometric_constant_kpa_c(81.8), 3)
    0.054
    """
    return 0.665e-3 * pressure_kpa


def saturation_vapour_pressure_kpa(temperature_c: Values) -> Values:
    """Return the vapour pressure of saturated air, e°(T) [kPa].

    temperature_c : air temperature [°C], any shape. Valid range: -40 to 60 °C, over water also
    below freezing.

    FAO-56 Eq 11.

    >>> round(float(saturation_vapour_pressure_kpa(24.5)), 3)
    3.075
    """
    return 0.6108 * np.exp(17.27 * temperature_c / (temperature_c + 237.3))


def mean_saturation_vapour_pressure_kpa(t_max_c: Values, t_min_c: Values) -> Values:
    """Return a day's mean saturation vapour pressure, es [kPa].

    t_max_c, t_min_c : the day's highest and lowest air temperature [°C], any shape.

    FAO-56 Eq 12: the mean of the two pressures; the pressure at the mean temperature would be
    too low, since the curve bends upward.

    >>> round(float(mean_saturation_vapour_pressure_kpa(24.5, 15.0)), 2)
    2.39
    """
    return 0.5 * (saturation_vapour_pressure_kpa(t_max_c) + saturation_vapour_pressure_kpa(t_min_c))


def slope_kpa_c(temperature_c: Values) -> Values:
    """Return the slope of the saturation vapour pressure curve, Δ [kPa °C⁻¹].

    temperature_c : air temperature [°C], any shape.

    FAO-56 Eq 13.

    >>> round(float(slope_kpa_c(28.0)), 3)
    0.22
    """
    return slope_at_saturation_kpa_c(temperature_c, saturation_vapour_pressure_kpa(temperature_c))


def slope_at_saturation_kpa_c(
    temperature_c: Values, saturation_kpa: Values, numerator: float = 4098.0
) -> Values:
    """Return the slope Δ where the saturation vapour pressure is at hand already [kPa °C⁻¹].

    temperature_c : air temperature [°C]; saturation_kpa : e°(T), Eq 11 [kPa]; any shape.
    numerator : 4098 in FAO-56 Eq 13; `SLOPE_NUMERATOR_ASCE` in ASCE 2005 Eq 5.

    FAO-56 Eq 13.

    >>> round(slope_at_saturation_kpa_c(28.0, 3.780), 3)
    0.22
    """
    return numerator * saturation_kpa / (temperature_c + 237.3) ** 2


def slope_asce_kpa_c(temperature_c: Values) -> Values:
    """Return the slope of the saturation vapour pressure curve as ASCE rounds it, Δ [kPa °C⁻¹].

    temperature_c : air temperature [°C], any shape.

    ASCE 2005 Eq 5 and 36: 2503 where FAO-56 Eq 13 has 4098 × 0.6108 = 2503.06, so 2.3e-5 lower.

    >>> round(float(slope_asce_kpa_c(28.0)), 3)
    0.22
    """
    return slope_at_saturation_kpa_c(
        temperature_c, saturation_vapour_pressure_kpa(temperature_c), SLOPE_NUMERATOR_ASCE
    )


def vapour_pressure_from_dew_point_kpa(t_dew_c: Values) -> Values:
    """Return the actual vapour pressure, ea, from the dew point [kPa].

    t_dew_c : dew point temperature [°C], any shape.

    FAO-56 Eq 14: the surest of the forms, but for a psychrometer.

    >>> round(float(vapour_pressure_from_dew_point_kpa(14.8)), 2)
    1.68
    """
    return saturation_vapour_pressure_kpa(t_dew_c)


def vapour_pressure_from_psychrometer_kpa(
    t_wet_c: Values, t_dry_c: Values, psychrometer_constant_kpa_c: Values
) -> Values:
    """Return the actual vapour pressure, ea, from a wet and a dry bulb [kPa].

    t_wet_c, t_dry_c : wet and dry bulb temperature [°C], any shape.
    psychrometer_constant_kpa_c : the instrument's own constant, Eq 16 [kPa °C⁻¹].

    FAO-56 Eq 15.

    Example 4 (psychrometer at 1200 m, 87.9 kPa):

    >>> constant = psychrometer_constant_kpa_c(0.000662, 87.9)
    >>> round(float(vapour_pressure_from_psychrometer_kpa(19.5, 25.6, constant)), 2)
    1.91
    """
    return saturation_vapour_pressure_kpa(t_wet_c) - psychrometer_constant_kpa_c * (
        t_dry_c - t_wet_c
    )


def psychrometer_constant_kpa_c(coefficient_per_c: Values, pressure_kpa: Values) -> Values:
    """Return the constant of a wet bulb instrument [kPa °C⁻¹].

    coefficient_per_c : 0.000662 for an aspirated instrument at about 5 m s⁻¹, 0.000800 for one
    in natural draught (about 1 m s⁻¹), 0.001200 for one indoors [°C⁻¹].
    pressure_kpa : atmospheric pressure [kPa].

    FAO-56 Eq 16.

    >>> round(psychrometer_constant_kpa_c(0.000662, 87.9), 4)
    0.0582
    """
    return coefficient_per_c * pressure_kpa


def vapour_pressure_from_rh_extremes_kpa(
    t_max_c: Values, t_min_c: Values, rh_max_pct: Values, rh_min_pct: Values
) -> Values:
    """Return a day's actual vapour pressure, ea, from its extremes of humidity [kPa].

    t_max_c, t_min_c : highest and lowest air temperature [°C], any shape.
    rh_max_pct, rh_min_pct : highest and lowest relative humidity [%]; the highest is taken to
    fall at the lowest temperature.

    FAO-56 Eq 17.

    >>> round(float(vapour_pressure_from_rh_extremes_kpa(25.0, 18.0, 82.0, 54.0)), 2)
    1.7
    """
    return 0.005 * (
        saturation_vapour_pressure_kpa(t_min_c) * rh_max_pct
        + saturation_vapour_pressure_kpa(t_max_c) * rh_min_pct
    )


def vapour_pressure_from_rh_max_kpa(t_min_c: Values, rh_max_pct: Values) -> Values:
    """Return a day's actual vapour pressure, ea, from its highest humidity [kPa].

    t_min_c : lowest air temperature [°C]; rh_max_pct : highest relative humidity [%]; any shape.

    FAO-56 Eq 18: for when the lowest humidity is missing or doubted.

    >>> round(float(vapour_pressure_from_rh_max_kpa(18.0, 82.0)), 2)
    1.69
    """
    return 0.01 * rh_max_pct * saturation_vapour_pressure_kpa(t_min_c)


def vapour_pressure_from_rh_mean_kpa(
    t_max_c: Values, t_min_c: Values, rh_mean_pct: Values
) -> Values:
    """Return a day's actual vapour pressure, ea, from its mean humidity [kPa].

    t_max_c, t_min_c : highest and lowest air temperature [°C]; rh_mean_pct : mean relative
    humidity [%]; any shape.

    FAO-56 Eq 19: the least sure of the forms by humidity, as said there.

    >>> round(float(vapour_pressure_from_rh_mean_kpa(25.0, 18.0, 68.0)), 2)
    1.78
    """
    return 0.01 * rh_mean_pct * mean_saturation_vapour_pressure_kpa(t_max_c, t_min_c)


def vapour_pressure_from_hourly_rh_kpa(temperature_c: Values, rh_pct: Values) -> Values:
    """Return an hour's actual vapour pressure, ea [kPa].

    temperature_c : the hour's mean air temperature [°C]; rh_pct : its mean relative humidity
    [%]; any shape.

    FAO-56 Eq 54.

    >>> round(float(vapour_pressure_from_hourly_rh_kpa(38.0, 52.0)), 3)
    3.445
    """
    return 0.01 * rh_pct * saturation_vapour_pressure_kpa(temperature_c)


def wind_at_2m_m_s(wind_m_s: Values, height_m: Values) -> Values:
    """Return the wind speed at 2 m above short grass [m s⁻¹].

    wind_m_s : wind speed measured at ``height_m`` [m s⁻¹], any shape.
    height_m : height of the measurement above the ground [m]. Valid range: above 0.5 m.

    FAO-56 Eq 47; ASCE 2005 Eq 33 and 67 are the same. Open ground is meant: a yard between
    walls is calmer than this says.

    >>> round(float(wind_at_2m_m_s(3.2, 10.0)), 1)
    2.4
    """
    return wind_m_s * 4.87 / np.log(67.8 * height_m - 5.42)


def wind_with_lower_limit_m_s(wind_2m_m_s: Values) -> Values:
    """Return the wind speed at 2 m, held at 0.5 m s⁻¹ or more [m s⁻¹].

    wind_2m_m_s : wind speed at 2 m [m s⁻¹], any shape.

    FAO-56 p. 63, for use in the daily Eq 6: light winds are unsteady, and buoyancy stirs the
    air that the formula takes to stand still. ASCE 2005 and the hourly Eq 53 have no such limit.

    >>> float(wind_with_lower_limit_m_s(0.2)), float(wind_with_lower_limit_m_s(3.0))
    (0.5, 3.0)
    """
    return np.maximum(wind_2m_m_s, 0.5)
