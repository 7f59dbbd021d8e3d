"""Radiation at the ground: from the sun's to what a grass cover keeps (FAO-56 Eq 20, 35-46).

One function for each numbered equation. Arrays of any shape broadcast together; NaN in, NaN
out. Fluxes are sums over the period, "MJ m⁻²" of a day, an hour or less. Sources: Allen,
Pereira, Raes and Smith, 1998, FAO Irrigation and Drainage Paper 56 ("FAO-56"); ASCE-EWRI,
2005, The ASCE Standardized Reference Evapotranspiration Equation ("ASCE 2005").
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from irrigate.science.arrays import Values

ALBEDO = 0.23  # FAO-56 Eq 38: the grass reference; ASCE 2005 takes it for alfalfa too
STEFAN_BOLTZMANN_DAILY = 4.903e-9  # FAO-56 Eq 39 [MJ K⁻⁴ m⁻² d⁻¹]
STEFAN_BOLTZMANN_HOURLY = 2.043e-10  # FAO-56 chapter 4 [MJ K⁻⁴ m⁻² h⁻¹]
STEFAN_BOLTZMANN_DAILY_ASCE = 4.901e-9  # ASCE 2005 Eq 17
STEFAN_BOLTZMANN_HOURLY_ASCE = 2.042e-10  # ASCE 2005 Eq 44


def evaporation_equivalent_mm(energy_mj_m2: Values) -> Values:
    """Return the depth of water that the energy evaporates [mm].

    energy_mj_m2 : energy [MJ m⁻²], any shape.

    FAO-56 Eq 20: 0.408 is 1/2.45, at about 20 °C.

    >>> round(evaporation_equivalent_mm(32.2), 1)
    13.1
    """
    return 0.408 * energy_mj_m2


def solar_from_sunshine_mj_m2(
    sunshine_h: Values, daylight_h: Values, extraterrestrial_mj_m2: Values
) -> Values:
    """Return a day's solar radiation from the hours of sunshine, Rs [MJ m⁻² d⁻¹].

    sunshine_h : measured bright sunshine, n [h]; daylight_h : N, Eq 34 [h];
    extraterrestrial_mj_m2 : Ra, Eq 21 [MJ m⁻² d⁻¹]; any shape.

    FAO-56 Eq 35 with the coefficients it names where none were fitted, 0.25 and 0.50.

    >>> round(solar_from_sunshine_mj_m2(7.1, 10.9, 25.1), 1)
    14.4

    (Example 10 prints 14.5, from 220 h in 31 days unrounded.)
    """
    return (0.25 + 0.50 * sunshine_h / daylight_h) * extraterrestrial_mj_m2


def clear_sky_radiation_mj_m2(extraterrestrial_mj_m2: Values, elevation_m: Values) -> Values:
    """Return the solar radiation under a clear sky, Rso [MJ m⁻²].

    extraterrestrial_mj_m2 : Ra over the same period [MJ m⁻²], any shape.
    elevation_m : elevation [m]. Valid range: below 6000 m, turbidity low.

    FAO-56 Eq 37; ASCE 2005 Eq 19 and 45 are the same.

    >>> round(clear_sky_radiation_mj_m2(41.09, 100.0), 2)
    30.9
    """
    return (0.75 + 2e-5 * elevation_m) * extraterrestrial_mj_m2


def net_shortwave_mj_m2(solar_mj_m2: Values) -> Values:
    """Return the solar radiation that the reference cover keeps, Rns [MJ m⁻²].

    solar_mj_m2 : Rs [MJ m⁻²], any shape.

    FAO-56 Eq 38; ASCE 2005 Eq 16 and 43 are the same.

    >>> round(net_shortwave_mj_m2(22.07), 2)
    16.99
    """
    return (1.0 - ALBEDO) * solar_mj_m2


def cloudiness_factor(relative_shortwave: Values) -> Values:
    """Return how far clouds reduce the net long-wave loss, 0.055 (overcast) to 1 (clear) [-].

    relative_shortwave : Rs/Rso [-], any shape; held between 0.3 and 1.0.

    The last bracket of FAO-56 Eq 39; fcd in ASCE 2005 Eq 18 and 45.

    FAO-56 prints the upper limit only, and names 0.3 as the overcast sky for nights (p. 75);
    without the lower one a dark noon would have clouds warm the grass. ASCE 2005 prints both.

    >>> round(float(cloudiness_factor(0.922)), 3), round(float(cloudiness_factor(0.1)), 3)
    (0.895, 0.055)

    (Example 19 prints 0.894 from the unrounded ratio.)
    """
    return 1.35 * np.minimum(np.maximum(relative_shortwave, 0.3), 1.0) - 0.35


def net_emissivity(vapour_pressure_kpa: Values) -> Values:
    """Return the net emissivity between the cover and a clear sky [-].

    vapour_pressure_kpa : ea [kPa], any shape. Valid range: below 5.9 kPa, where it would reach 0.

    The middle bracket of FAO-56 Eq 39; ASCE 2005 Eq 17 and 44 have the same.

    >>> round(float(net_emissivity(3.402)), 3)
    0.082
    """
    return 0.34 - 0.14 * np.sqrt(vapour_pressure_kpa)


def daily_net_longwave_mj_m2(
    t_max_c: Values,
    t_min_c: Values,
    vapour_pressure_kpa: Values,
    relative_shortwave: Values,
    stefan_boltzmann: float = STEFAN_BOLTZMANN_DAILY,
) -> Values:
    """Return a day's net long-wave loss, Rnl [MJ m⁻² d⁻¹].

    t_max_c, t_min_c : highest and lowest air temperature [°C]; vapour_pressure_kpa : ea [kPa];
    relative_shortwave : Rs/Rso [-]; any shape.
    stefan_boltzmann : the constant as FAO-56 (default) or as ASCE 2005 (Eq 17) rounds it.

    FAO-56 Eq 39. Kelvin is Celsius + 273.16 there, kept here.

    >>> round(float(daily_net_longwave_mj_m2(25.1, 19.1, 2.1, 14.5 / 18.8)), 1)
    3.5
    """
    fourth_powers = 0.5 * ((t_max_c + 273.16) ** 4 + (t_min_c + 273.16) ** 4)
    return (
        stefan_boltzmann
        * fourth_powers
        * net_emissivity(vapour_pressure_kpa)
        * cloudiness_factor(relative_shortwave)
    )


def hourly_net_longwave_mj_m2(
    temperature_c: Values,
    vapour_pressure_kpa: Values,
    relative_shortwave: Values,
    stefan_boltzmann: float = STEFAN_BOLTZMANN_HOURLY,
) -> Values:
    """Return an hour's net long-wave loss, Rnl [MJ m⁻² h⁻¹].

    temperature_c : mean air temperature [°C]; vapour_pressure_kpa : ea [kPa];
    relative_shortwave : Rs/Rso [-], by night that of the evening before; any shape.
    stefan_boltzmann : the constant as FAO-56 (default) or as ASCE 2005 (Eq 44) rounds it.

    FAO-56 Eq 39 as its chapter 4 adapts it to an hour.

    >>> round(float(hourly_net_longwave_mj_m2(28.0, 3.402, 0.8)), 3)
    0.1
    """
    square = (temperature_c + 273.16) ** 2
    return (
        stefan_boltzmann
        * (square * square)
        * net_emissivity(vapour_pressure_kpa)
        * cloudiness_factor(relative_shortwave)
    )


def net_radiation_mj_m2(net_shortwave_mj_m2: Values, net_longwave_mj_m2: Values) -> Values:
    """Return the net radiation, Rn [MJ m⁻²].

    net_shortwave_mj_m2 : Rns, Eq 38; net_longwave_mj_m2 : Rnl, Eq 39 [MJ m⁻²]; any shape.

    FAO-56 Eq 40.

    >>> round(net_radiation_mj_m2(11.1, 3.5), 1)
    7.6
    """
    return net_shortwave_mj_m2 - net_longwave_mj_m2


def monthly_ground_heat_mj_m2(previous_month_c: Values, next_month_c: Values) -> Values:
    """Return a month's ground heat flux from its neighbours, G [MJ m⁻² d⁻¹].

    previous_month_c, next_month_c : mean air temperature of the month before and after [°C].

    FAO-56 Eq 43. For a day or ten, Eq 42 takes G as 0.

    >>> round(monthly_ground_heat_mj_m2(14.1, 18.8), 2)
    0.33
    """
    return 0.07 * (next_month_c - previous_month_c)


def monthly_ground_heat_to_now_mj_m2(previous_month_c: Values, month_c: Values) -> Values:
    """Return a month's ground heat flux when the next month is not known, G [MJ m⁻² d⁻¹].

    previous_month_c, month_c : mean air temperature of the month before and of this one [°C].

    FAO-56 Eq 44.

    >>> round(monthly_ground_heat_to_now_mj_m2(29.2, 30.2), 2)
    0.14
    """
    return 0.14 * (month_c - previous_month_c)


def hourly_ground_heat_mj_m2(
    net_radiation_mj_m2: Values,
    by_day: bool | NDArray[np.bool_],
    share_by_day: float,
    share_by_night: float,
) -> Values:
    """Return an hour's ground heat flux as a share of net radiation, G [MJ m⁻² h⁻¹].

    net_radiation_mj_m2 : Rn [MJ m⁻²], any shape; by_day : true where it is day.
    share_by_day, share_by_night : 0.1 and 0.5 under short grass (FAO-56 Eq 45 and 46; ASCE 2005
    Eq 65a, b), 0.04 and 0.2 under a tall cover (ASCE 2005 Eq 66a, b).

    What is day differs: to FAO-56 while the sun is up, to ASCE 2005 while Rn is not negative.

    >>> round(float(hourly_ground_heat_mj_m2(1.749, True, 0.1, 0.5)), 3)
    0.175
    >>> round(float(hourly_ground_heat_mj_m2(-0.1, False, 0.1, 0.5)), 3)
    -0.05
    """
    return np.where(
        by_day, share_by_day * net_radiation_mj_m2, share_by_night * net_radiation_mj_m2
    )
