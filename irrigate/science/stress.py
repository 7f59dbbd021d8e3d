"""Water that roots can reach, and how a plant holds back as it runs short (FAO-56 chapter 8).

Two forms of the same law stand here. ``stress_coefficient`` is Eq 84 as printed, for one day's
depletion. ``draw_down`` integrates that law exactly over a step of any length, so that hours and
days agree; it serves the root zone and the drying surface alike.
"""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of

_TINY = 1e-30
"""Stands in for a threshold of zero; far below any amount of water, far above underflow."""


def total_available_water_mm(
    field_capacity: Values, wilting_point: Values, root_depth_m: Values
) -> FloatArray:
    """Water that the root zone holds between field capacity and wilting point.

    Parameters
    ----------
    field_capacity, wilting_point : float or array
        Water content, volume of water per volume of soil [-].
    root_depth_m : float or array
        Depth of the root zone, Zr [m].

    Returns
    -------
    array
        TAW [mm].

    Notes
    -----
    Valid for a wilting point not above field capacity. Eq 82.

    Examples
    --------
    >>> round(float(total_available_water_mm(0.32, 0.15, 0.4)), 6)
    68.0

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 82, p. 162.
    """
    return np.multiply(1000.0 * (field_capacity - wilting_point), root_depth_m)


def readily_available_water_mm(total_mm: Values, depletion_fraction: Values) -> FloatArray:
    """Water that a plant takes up before it begins to hold back.

    Parameters
    ----------
    total_mm : float or array
        Total available water, TAW [mm].
    depletion_fraction : float or array
        Share of TAW that can go before stress, p [-], 0 to 1.

    Returns
    -------
    array
        RAW [mm].

    Notes
    -----
    Eq 83.

    Examples
    --------
    >>> round(float(readily_available_water_mm(160.0, 0.4)), 6)
    64.0

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 83, p. 162.
    """
    return np.multiply(depletion_fraction, total_mm)


def adjusted_depletion_fraction(table_fraction: Values, crop_et_mm_day: Values) -> FloatArray:
    """Depletion fraction p for the day's demand: a plant that must hurry holds back earlier.

    Parameters
    ----------
    table_fraction : float or array
        p at 5 mm/day, from Table 22 [-].
    crop_et_mm_day : float or array
        Crop evapotranspiration ETc [mm/day].

    Returns
    -------
    array
        p [-], held between 0.1 and 0.8.

    Notes
    -----
    Unnumbered in the source: text of p. 162 and footnote 2 of Table 22.
    Meant for mineral soils. In a soilless mix uptake falls at a share of the water that the
    table does not describe, and at 10 mm/day a p of 0.3 would become 0.1: always in alarm.

    Examples
    --------
    >>> round(float(adjusted_depletion_fraction(0.40, 6.0)), 6)
    0.36

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, p. 162 and Table 22.
    """
    fraction = table_fraction + 0.04 * (5.0 - crop_et_mm_day)
    return in_precision_of(np.clip(fraction, 0.1, 0.8), table_fraction, crop_et_mm_day)


def stress_coefficient(total_mm: Values, readily_mm: Values, depletion_mm: Values) -> FloatArray:
    """Share of its demand that a plant still takes up at a given depletion.

    Parameters
    ----------
    total_mm : float or array
        Total available water, TAW [mm].
    readily_mm : float or array
        Readily available water, RAW [mm]; where it equals TAW, uptake ends abruptly.
    depletion_mm : float or array
        Root-zone depletion, Dr [mm].

    Returns
    -------
    array
        Ks [-], 0 to 1.

    Notes
    -----
    Eq 84, with 1 above the dry point.

    Examples
    --------
    >>> round(float(stress_coefficient(160.0, 64.0, 67.0)), 2)
    0.97

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 84, p. 169.
    """
    slow = np.maximum(total_mm - readily_mm, _TINY)
    share = np.clip((total_mm - depletion_mm) / slow, 0.0, 1.0)
    return in_precision_of(share, total_mm, readily_mm, depletion_mm)


def draw_down(stored: Values, threshold: Values, demand: Values) -> FloatArray:
    """Water taken in one step from a store that gives freely, then ever more slowly.

    Above ``threshold`` the store gives at the full rate of demand; below it the rate falls in
    proportion to what is left, to nothing when it is empty. The integral over the step is exact:
    one step of an hour takes what sixty steps of a minute take.

    Parameters
    ----------
    stored : float or array
        Water in the store at the start of the step [mm], not negative. For roots, the available
        water TAW - Dr; for a drying surface, TEW - De.
    threshold : float or array
        Content below which the rate falls [mm], not negative: for roots the dry point × TAW (with
        FAO's p, TAW - RAW); for a surface TEW - REW. At zero the store gives until it is empty.
    demand : float or array
        What would be taken in the step if the store were full [mm], not negative.

    Returns
    -------
    array
        Water taken [mm]: never more than ``stored``, never more than ``demand``.

    Notes
    -----
    The unit may be any, if it is the same for all three (mm, L). With S the store, T the threshold
    and d the demand, dS/dt = -d min(1, S/T): Eq 84 for roots, Eq 74 for the surface. So
    taken = f + min(S, T) (1 - exp(-(d - f)/T)), where f = min(d, max(S - T, 0)).

    FAO-56 steps by the day with the coefficient of the day's start, which takes too much on the
    day that a threshold is passed and depends on the length of the step; this does neither.

    Examples
    --------
    >>> round(float(draw_down(5.0, 2.0, 1.0)), 6)
    1.0
    >>> round(float(draw_down(2.0, 2.0, 1.0)), 6)  # 2 (1 - exp(-1/2))
    0.786939
    >>> float(draw_down(0.5, 0.0, 1.0))
    0.5

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 74 and Eq 84; the integral is our own.
    """
    freely = np.minimum(demand, np.maximum(stored - threshold, 0.0))
    low = np.minimum(stored, threshold)
    taken = freely - low * np.expm1((freely - demand) / np.maximum(threshold, _TINY))
    # Rounding must not leave less than nothing in the store.
    return in_precision_of(np.minimum(taken, stored), stored, threshold, demand)
