"""Daily water balance of a root zone, as FAO-56 prints it (chapter 8, Eq 85-88).

Stands here to check the printed schedules and to say what the hourly service departs from: it
steps by the hour with ``stress.draw_down``, counts litres in a pot, and drains at container
capacity.
"""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of


def initial_depletion_mm(
    field_capacity: Values, water_content: Values, root_depth_m: Values
) -> FloatArray:
    """Depletion of a root zone whose mean water content was measured.

    Parameters
    ----------
    field_capacity, water_content : float or array
        Water content, volume of water per volume of soil [-].
    root_depth_m : float or array
        Depth of the root zone, Zr [m].

    Returns
    -------
    array
        Dr [mm], not below 0.

    Notes
    -----
    Eq 87, held at 0 for a soil wetter than field capacity.

    Examples
    --------
    >>> round(float(initial_depletion_mm(0.32, 0.25, 0.8)), 1)
    56.0

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 87, p. 170.
    """
    depletion = np.maximum(1000.0 * (field_capacity - water_content) * root_depth_m, 0.0)
    return in_precision_of(depletion, field_capacity, water_content, root_depth_m)


def deep_percolation_mm(
    depletion_mm: Values, water_mm: Values, crop_et_mm: Values = 0.0
) -> FloatArray:
    """Water that passes below the roots in a day.

    Parameters
    ----------
    depletion_mm : float or array
        Depletion at the end of the day before, Dr [mm].
    water_mm : float or array
        Rain less runoff plus irrigation, P - RO + I [mm].
    crop_et_mm : float or array
        The day's ETc [mm] if it went before the water, otherwise 0.

    Returns
    -------
    array
        DP [mm], not below 0.

    Notes
    -----
    Eq 88.

    Examples
    --------
    >>> float(deep_percolation_mm(23.0, 40.0))
    17.0

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 88, p. 171. As printed it always takes the day's
    ETc off; Example 38, whose water comes early in the day, does not (17 = 40 - 23).
    """
    passed = np.maximum(water_mm - crop_et_mm - depletion_mm, 0.0)
    return in_precision_of(passed, depletion_mm, water_mm, crop_et_mm)


def day_with_early_water(
    depletion_mm: Values, water_mm: Values, crop_et_mm: Values, total_mm: Values
) -> tuple[FloatArray, FloatArray]:
    """Advance a root zone by a day on which the water came before the use.

    Parameters
    ----------
    depletion_mm : float or array
        Depletion at the end of the day before [mm].
    water_mm, crop_et_mm : float or array
        P - RO + I and ETc of the day [mm].
    total_mm : float or array
        TAW [mm].

    Returns
    -------
    tuple of arrays
        Depletion at the end of the day [mm], 0 to TAW, and deep percolation [mm].

    Notes
    -----
    Eq 85, 86 and 88, capillary rise left out.

    Examples
    --------
    >>> left, passed = day_with_early_water(23.0, 40.0, 5.5, 39.0)
    >>> float(left), float(passed)
    (5.5, 17.0)

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 85-88, p. 170-171; Example 38.
    """
    passed = deep_percolation_mm(depletion_mm, water_mm)
    after = np.clip(depletion_mm - water_mm + passed + crop_et_mm, 0.0, total_mm)
    return in_precision_of(after, depletion_mm, water_mm, crop_et_mm, total_mm), passed


def day_with_late_water(
    depletion_mm: Values, water_mm: Values, crop_et_mm: Values, total_mm: Values
) -> tuple[FloatArray, FloatArray]:
    """Advance a root zone by a day on which the water came after the use.

    Parameters
    ----------
    depletion_mm, water_mm, crop_et_mm, total_mm : float or array
        As in ``day_with_early_water`` [mm].

    Returns
    -------
    tuple of arrays
        Depletion at the end of the day [mm], 0 to TAW, and deep percolation [mm].

    Notes
    -----
    Eq 85, 86 and 88 as printed, capillary rise left out.

    Examples
    --------
    >>> left, passed = day_with_late_water(23.0, 40.0, 5.5, 39.0)
    >>> float(left), float(passed)
    (0.0, 11.5)

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 85-88, p. 170-171.
    """
    passed = deep_percolation_mm(depletion_mm, water_mm, crop_et_mm)
    after = np.clip(depletion_mm - water_mm + passed + crop_et_mm, 0.0, total_mm)
    return in_precision_of(after, depletion_mm, water_mm, crop_et_mm, total_mm), passed
