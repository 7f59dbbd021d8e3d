"""The ground that a plant shades at noon: the area over which it catches sun (FAO-56 Box 18)."""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of
from irrigate.science.sun import declination_rad

_LOWEST_NOON_SUN_RAD = np.pi / 6.0
"""A noon sun below 30° is taken as 30°: our own bound, see ``shaded_area_of_round_m2``."""


def noon_sun_elevation_rad(latitude_deg: Values, day_of_year: Values) -> FloatArray:
    """Angle of the sun above the horizon at solar noon.

    Parameters
    ----------
    latitude_deg : float or array
        Latitude, positive to the north [degree].
    day_of_year : float or array
        Day of the year J, 1 to 366.

    Returns
    -------
    array
        η [rad]; negative in the polar night.

    Notes
    -----
    sin η = sin φ sin δ + cos φ cos δ, with the declination δ of Eq 24.

    Examples
    --------
    >>> round(float(noon_sun_elevation_rad(40.0, 200)), 2)
    1.24

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Box 18 and Eq 24; Example 41.
    """
    latitude = np.deg2rad(latitude_deg)
    declination = declination_rad(day_of_year)
    sine = np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(declination)
    return in_precision_of(np.arcsin(np.clip(sine, -1.0, 1.0)), latitude_deg, day_of_year)


def effective_cover_of_rows(
    cover: Values, height_to_width: Values, noon_sun_rad: Values
) -> FloatArray:
    """Share of the ground shaded at noon by box-shaped plants or rows.

    Parameters
    ----------
    cover : float or array
        Ground covered as seen from above, fc [-].
    height_to_width : float or array
        Height to width ratio HWR seen from east or west [-].
    noon_sun_rad : float or array
        Sun's elevation η at noon [rad], above 0.

    Returns
    -------
    array
        fc eff [-], at most 1.

    Notes
    -----
    fc (1 + HWR / tan η). Box 18, first shape.

    Examples
    --------
    >>> round(float(effective_cover_of_rows(0.3, 1.0, 1.24)), 2)
    0.4

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Box 18. Example 41 rounds on the way (tan η 2.8,
    unrounded 2.87), prints 0.41 and goes on with 0.4.
    """
    shaded = np.minimum(cover * (1.0 + height_to_width / np.tan(noon_sun_rad)), 1.0)
    return in_precision_of(shaded, cover, height_to_width, noon_sun_rad)


def effective_cover_of_round(cover: Values, noon_sun_rad: Values) -> FloatArray:
    """Share of the ground shaded at noon by ball-shaped crowns.

    Parameters
    ----------
    cover : float or array
        Ground covered as seen from above, fc [-].
    noon_sun_rad : float or array
        Sun's elevation η at noon [rad], above 0.

    Returns
    -------
    array
        fc eff [-], at most 1.

    Notes
    -----
    fc / sin η. Box 18, second shape.

    Examples
    --------
    >>> round(float(effective_cover_of_round(0.196, 1.45)), 2)
    0.2

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Box 18; Example 43.
    """
    shaded = np.minimum(cover / np.sin(noon_sun_rad), 1.0)
    return in_precision_of(shaded, cover, noon_sun_rad)


def shaded_area_of_round_m2(
    width_m: Values, crown_height_m: Values, noon_sun_rad: Values
) -> FloatArray:
    """Ground shaded at noon by one round crown that stands alone.

    Parameters
    ----------
    width_m : float or array
        Width of the crown [m].
    crown_height_m : float or array
        Height of the crown itself, bare stem left out [m].
    noon_sun_rad : float or array
        Sun's elevation η at noon [rad]; below 30° it is taken as 30°.

    Returns
    -------
    array
        Effective shaded area [m²]: use per unit of it is Kcb full × density × ETo.

    Notes
    -----
    (π/4) w² [1 + (H/w)² cot² η]^½, the shadow of an upright spheroid. For H = w it is Box 18's
    ball, (π/4) w² / sin η. The source stops at full cover of the ground; a lone plant has no
    neighbours to stop at, so the low sun of winter is bounded instead: a long faint shadow is not
    leaves.

    Examples
    --------
    >>> round(float(shaded_area_of_round_m2(0.25, 0.25, 1.24)), 4)
    0.0519

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Box 18; the spheroid and the bound are our own.
    """
    sun = np.maximum(noon_sun_rad, _LOWEST_NOON_SUN_RAD)
    stretch = (width_m**2 + (crown_height_m / np.tan(sun)) ** 2) ** 0.5
    return in_precision_of(np.pi / 4.0 * width_m * stretch, width_m, crown_height_m, noon_sun_rad)


def shaded_area_of_row_m2(
    length_m: Values, width_m: Values, crown_height_m: Values, noon_sun_rad: Values
) -> FloatArray:
    """Ground shaded at noon by one box-shaped stand, as in a trough.

    Parameters
    ----------
    length_m, width_m : float or array
        Plan of the stand [m]; the length runs east to west.
    crown_height_m : float or array
        Height of the stand [m].
    noon_sun_rad : float or array
        Sun's elevation η at noon [rad]; below 30° it is taken as 30°.

    Returns
    -------
    array
        Effective shaded area [m²].

    Notes
    -----
    L (w + H / tan η): Box 18's first shape with fc eff turned into an area.

    Examples
    --------
    >>> round(float(shaded_area_of_row_m2(1.0, 0.3, 0.3, 1.24)), 3)
    0.403

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Box 18; the bound is our own.
    """
    sun = np.maximum(noon_sun_rad, _LOWEST_NOON_SUN_RAD)
    area = length_m * (width_m + crown_height_m / np.tan(sun))
    return in_precision_of(area, length_m, width_m, crown_height_m, noon_sun_rad)
