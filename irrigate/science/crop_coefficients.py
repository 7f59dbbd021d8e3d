"""Crop coefficients of single and dual kind, and how climate and season move them (chapters 5-7).

For a field that is watched from above. A lone plant in a pot is described in ``canopy``, which
borrows the climate term from here.
"""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of


def crop_et_mm(crop_coefficient: Values, reference_et_mm: Values) -> FloatArray:
    """Crop evapotranspiration by the single crop coefficient.

    Parameters
    ----------
    crop_coefficient : float or array
        Kc [-].
    reference_et_mm : float or array
        Reference evapotranspiration ETo [mm per step].

    Returns
    -------
    array
        ETc [mm per step].

    Notes
    -----
    Eq 58.

    Examples
    --------
    >>> float(crop_et_mm(1.2, 5.0))
    6.0

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 58.
    """
    return np.multiply(crop_coefficient, reference_et_mm)


def dual_crop_et_mm(
    basal_coefficient: Values, evaporation_coefficient: Values, reference_et_mm: Values
) -> FloatArray:
    """Crop evapotranspiration as transpiration plus evaporation from the soil.

    Parameters
    ----------
    basal_coefficient : float or array
        Kcb [-].
    evaporation_coefficient : float or array
        Ke [-].
    reference_et_mm : float or array
        ETo [mm per step].

    Returns
    -------
    array
        ETc [mm per step].

    Notes
    -----
    Eq 69.

    Examples
    --------
    >>> round(float(dual_crop_et_mm(0.30, 0.91, 4.5)), 3)
    5.445

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 69.
    """
    return np.multiply(basal_coefficient + evaporation_coefficient, reference_et_mm)


def climate_term(wind_2m_m_s: Values, humidity_min_pct: Values, height_m: Values) -> FloatArray:
    """Climate's part in a coefficient: dry wind adds to that of a tall crop, damp calm takes away.

    Parameters
    ----------
    wind_2m_m_s : float or array
        Daily mean wind at 2 m, u2 [m/s]; taken at the nearest limit outside 1 to 6.
    humidity_min_pct : float or array
        Daily minimum relative humidity, RHmin [%]; taken at the nearest limit outside 20 to 80.
    height_m : float or array
        Plant height h [m]; taken at the nearest limit outside 0.1 to 10.

    Returns
    -------
    array
        [0.04 (u2 - 2) - 0.004 (RHmin - 45)] (h/3)^0.3 [-].

    Notes
    -----
    The bracket that Eq 62, 65, 70, 72 and 99 share. The source gives the limits as a range of
    validity and asks for care beyond it; here they are held, because a walled yard has winds
    below 1 m/s and a desert afternoon humidity below 20 %.

    Examples
    --------
    >>> round(float(climate_term(2.2, 30.0, 0.4)), 3)
    0.037

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 62, p. 121-123.
    """
    wind = np.clip(wind_2m_m_s, 1.0, 6.0)
    humidity = np.clip(humidity_min_pct, 20.0, 80.0)
    height = np.clip(height_m, 0.1, 10.0)
    term = (0.04 * (wind - 2.0) - 0.004 * (humidity - 45.0)) * (height / 3.0) ** 0.3
    return in_precision_of(term, wind_2m_m_s, humidity_min_pct, height_m)


def climate_adjusted(
    coefficient: Values, wind_2m_m_s: Values, humidity_min_pct: Values, height_m: Values
) -> FloatArray:
    """Mid-season or end-season coefficient, single or basal, for the climate at hand.

    Parameters
    ----------
    coefficient : float or array
        Kc or Kcb from Table 12 or 17, for RHmin 45 % and 2 m/s [-].
    wind_2m_m_s, humidity_min_pct, height_m : float or array
        As in ``climate_term``.

    Returns
    -------
    array
        The coefficient for this climate [-]; a value below 0.45 is returned as it is.

    Notes
    -----
    Eq 62 and 65 for Kc, Eq 70 for Kcb. The source adjusts only coefficients of 0.45 and more,
    since a lower one describes a crop that has died off.

    Examples
    --------
    >>> round(float(climate_adjusted(1.10, 2.2, 30.0, 0.4)), 2)
    1.14

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 62, 65 and 70; Example 29.
    """
    term = climate_term(wind_2m_m_s, humidity_min_pct, height_m)
    return np.add(coefficient, term * np.greater_equal(coefficient, 0.45))


def stage_coefficient(
    days_since_planting: Values,
    stage_days: tuple[float, float, float, float],
    initial: float,
    mid: float,
    end: float,
) -> FloatArray:
    """Coefficient on a given day of the season: flat, rising, flat, falling.

    Parameters
    ----------
    days_since_planting : float or array
        Day number i within the season [day].
    stage_days : tuple of four floats
        Lengths of the initial, development, mid-season and late stages [day], each positive.
    initial, mid, end : float
        Coefficient of the initial and mid-season stages and at the end of the late one [-].

    Returns
    -------
    array
        Kc or Kcb [-]; before the season the initial value, after it the end value.

    Notes
    -----
    Eq 66 within the second and fourth stages. A curve for fields: for a plant whose canopy is
    measured or modelled, multiplying canopy area by it would count the plant's size twice.

    Examples
    --------
    >>> round(float(stage_coefficient(40.0, (25, 25, 30, 20), 0.15, 1.19, 0.35)), 2)
    0.77

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 66, p. 132; Example 28.
    """
    corners = np.cumsum(np.asarray(stage_days, dtype=float))
    curve = np.interp(days_since_planting, corners, (initial, mid, mid, end))
    return in_precision_of(curve, days_since_planting)
