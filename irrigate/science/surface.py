"""Evaporation from the bare top of the medium: free at first, then ever slower (chapter 7).

The daily forms stand as the source prints them. The hourly service uses ``stress.draw_down`` with
the store TEW - De and the threshold TEW - REW, which integrates Eq 74 exactly.
"""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of
from irrigate.science.crop_coefficients import climate_term

DAILY_WETTING = 1.1
"""First number of Eq 72 where the surface is wetted every day or two, as pots are (p. 144)."""

RARE_WETTING = 1.2
"""First number of Eq 72 where the surface is wetted every three days or less often."""

_TINY = 1e-30


def maximum_coefficient(
    basal: Values,
    wind_2m_m_s: Values,
    humidity_min_pct: Values,
    height_m: Values,
    wet_surface: float = RARE_WETTING,
) -> FloatArray:
    """Most that a wet, cropped surface can evaporate and transpire together.

    Parameters
    ----------
    basal : float or array
        Kcb [-].
    wind_2m_m_s, humidity_min_pct, height_m : float or array
        As in ``climate_term``; the height is the plant's, 0.1 m or more.
    wet_surface : float
        ``RARE_WETTING`` or ``DAILY_WETTING`` [-].

    Returns
    -------
    array
        Kc max [-].

    Notes
    -----
    Eq 72.

    Examples
    --------
    >>> round(float(maximum_coefficient(0.30, 1.6, 35.0, 0.30)), 2)
    1.21

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 72, p. 143-144; Example 35.
    """
    wet = wet_surface + climate_term(wind_2m_m_s, humidity_min_pct, height_m)
    larger = np.maximum(wet, basal + 0.05)
    return in_precision_of(larger, basal, wind_2m_m_s, humidity_min_pct, height_m)


def total_evaporable_water_mm(
    field_capacity: Values, wilting_point: Values, layer_depth_m: Values
) -> FloatArray:
    """Water that can evaporate from the top layer before it is dry.

    Parameters
    ----------
    field_capacity, wilting_point : float or array
        Water content [volume per volume]; for a pot, of its top layer after draining, and the
        lower limit.
    layer_depth_m : float or array
        Depth of the drying layer Ze [m], 0.10 to 0.15.

    Returns
    -------
    array
        TEW [mm].

    Notes
    -----
    1000 (θFC - 0.5 θWP) Ze. Eq 73.

    Examples
    --------
    >>> round(float(total_evaporable_water_mm(0.23, 0.10, 0.10)), 1)
    18.0

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 73, p. 144.
    """
    return np.multiply(1000.0 * (field_capacity - 0.5 * wilting_point), layer_depth_m)


def reduction_coefficient(total_mm: Values, readily_mm: Values, depletion_mm: Values) -> FloatArray:
    """Share of the wet rate at which a surface still evaporates.

    Parameters
    ----------
    total_mm : float or array
        Total evaporable water TEW [mm].
    readily_mm : float or array
        Readily evaporable water REW [mm]; where it reaches TEW, drying ends abruptly.
    depletion_mm : float or array
        Depletion of the surface layer De at the start of the step [mm].

    Returns
    -------
    array
        Kr [-], 0 to 1.

    Notes
    -----
    (TEW - De)/(TEW - REW), 1 while De does not exceed REW. Eq 74.

    Examples
    --------
    >>> round(float(reduction_coefficient(20.0, 9.0, 13.98)), 2)
    0.55

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 74, p. 145; Example 31.
    """
    slow = np.maximum(total_mm - readily_mm, _TINY)
    share = np.clip((total_mm - depletion_mm) / slow, 0.0, 1.0)
    return in_precision_of(share, total_mm, readily_mm, depletion_mm)


def evaporation_coefficient(
    reduction: Values, maximum: Values, basal: Values, exposed_wetted: Values
) -> FloatArray:
    """Coefficient of evaporation from the exposed, wetted part of the surface.

    Parameters
    ----------
    reduction : float or array
        Kr [-].
    maximum, basal : float or array
        Kc max and Kcb [-].
    exposed_wetted : float or array
        Share of the surface that is both exposed and wetted, few [-].

    Returns
    -------
    array
        Ke [-].

    Notes
    -----
    min[Kr (Kc max - Kcb), few Kc max]. Eq 71.

    Examples
    --------
    >>> round(float(evaporation_coefficient(1.0, 1.30, 0.90, 0.3)), 2)
    0.39

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 71, p. 142; Examples 32-34.
    """
    smaller = np.minimum(reduction * (maximum - basal), exposed_wetted * maximum)
    return in_precision_of(smaller, reduction, maximum, basal, exposed_wetted)


def covered_fraction(
    basal: Values, minimum: Values, maximum: Values, height_m: Values
) -> FloatArray:
    """Share of a field's ground under vegetation, by its basal coefficient.

    Parameters
    ----------
    basal, minimum, maximum : float or array
        Kcb, Kc min (0.15 to 0.20) and Kc max [-].
    height_m : float or array
        Plant height h [m].

    Returns
    -------
    array
        fc [-], 0 to 0.99.

    Notes
    -----
    [(Kcb - Kc min)/(Kc max - Kc min)]^(1 + 0.5 h). Eq 76. A field's relation: where the canopy is
    measured, its width says it better.

    Examples
    --------
    >>> round(float(covered_fraction(0.9, 0.15, 1.30, 1.0)), 2)
    0.53

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 76, p. 149.
    """
    base = np.maximum(basal - minimum, 0.01) / (maximum - minimum)
    cover = np.clip(base ** (1.0 + 0.5 * height_m), 0.0, 0.99)
    return in_precision_of(cover, basal, minimum, maximum, height_m)


def exposed_wetted_fraction(cover: Values, wetted: Values) -> FloatArray:
    """Share of the surface that is exposed and wetted, water coming from above or by furrows.

    Parameters
    ----------
    cover : float or array
        Ground covered, fc [-].
    wetted : float or array
        Share of the surface that the last watering wetted, fw [-]; 1 for rain and for a can.

    Returns
    -------
    array
        few [-].

    Notes
    -----
    min(1 - fc, fw). Eq 75.

    Examples
    --------
    >>> round(float(exposed_wetted_fraction(0.53, 0.3)), 2)
    0.3

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 75, p. 147; Examples 32 and 33.
    """
    share = np.minimum(1.0 - cover, wetted)
    return in_precision_of(share, cover, wetted)


def exposed_wetted_fraction_under_drip(cover: Values, wetted: Values) -> FloatArray:
    """Share of the surface that is exposed and wetted, the emitters being under the canopy.

    Parameters
    ----------
    cover, wetted : float or array
        As in ``exposed_wetted_fraction`` [-].

    Returns
    -------
    array
        few [-].

    Notes
    -----
    min[1 - fc, (1 - ⅔ fc) fw]. Eq 75 with the note on drip.

    Examples
    --------
    >>> round(float(exposed_wetted_fraction_under_drip(0.53, 0.3)), 2)
    0.19

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, p. 147-149; Example 34.
    """
    share = np.minimum(1.0 - cover, (1.0 - 2.0 / 3.0 * cover) * wetted)
    return in_precision_of(share, cover, wetted)


def wet_the_surface(depletion_mm: Values, water_mm: Values) -> tuple[FloatArray, FloatArray]:
    """Fill the surface layer with water that arrives at once.

    Parameters
    ----------
    depletion_mm : float or array
        Depletion De before the water [mm].
    water_mm : float or array
        Rain less runoff, plus irrigation over the wetted share, P - RO + I/fw [mm].

    Returns
    -------
    tuple of arrays
        Depletion after it [mm], and what passes on below, DPe [mm].

    Notes
    -----
    Eq 77 and 79 for water that comes early in the step.

    Examples
    --------
    >>> left, passed = wet_the_surface(18.0, 50.0)
    >>> float(left), float(passed)
    (0.0, 32.0)

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 77 and 79, p. 152-156; Example 35.
    """
    left = np.maximum(depletion_mm - water_mm, 0.0)
    passed = np.maximum(water_mm - depletion_mm, 0.0)
    return (
        in_precision_of(left, depletion_mm, water_mm),
        in_precision_of(passed, depletion_mm, water_mm),
    )


def dry_the_surface(depletion_mm: Values, evaporation_mm: Values, total_mm: Values) -> FloatArray:
    """Depletion of the surface layer after a day of evaporation.

    Parameters
    ----------
    depletion_mm : float or array
        Depletion De after any water of the morning [mm].
    evaporation_mm : float or array
        Evaporation spread over the exposed wetted part, E/few [mm].
    total_mm : float or array
        TEW [mm].

    Returns
    -------
    array
        De at the end of the day [mm], between 0 and TEW.

    Notes
    -----
    Eq 77 and 78; transpiration from the layer is left out, as the source does for all but
    shallow-rooted crops.

    Examples
    --------
    >>> round(float(dry_the_surface(9.45, 4.53, 20.0)), 2)
    13.98

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 77 and 78, p. 152; Example 31.
    """
    dried = np.clip(depletion_mm + evaporation_mm, 0.0, total_mm)
    return in_precision_of(dried, depletion_mm, evaporation_mm, total_mm)


def organic_mulch_factor(covered: Values) -> FloatArray:
    """Share of evaporation that an organic mulch lets through.

    Parameters
    ----------
    covered : float or array
        Share of the surface under bark, straw or leaves [-], 0 to 1.

    Returns
    -------
    array
        Factor on evaporation [-].

    Notes
    -----
    About 5 % less for each 10 % of the surface covered. Unnumbered.

    Examples
    --------
    >>> float(organic_mulch_factor(1.0))
    0.5

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, chapter 10, p. 198.
    """
    return np.subtract(1.0, 0.5 * covered)


def plastic_mulch_factor(covered: Values, reduction: Values = 0.65) -> FloatArray:
    """Share of evaporation that a plastic mulch lets through.

    Parameters
    ----------
    covered : float or array
        Share of the surface under the sheet [-], 0 to 1.
    reduction : float or array
        Reduction at full cover [-]; the source gives 0.5 to 0.8, of which 0.65 is the middle.

    Returns
    -------
    array
        Factor on evaporation [-].

    Notes
    -----
    Linear in the share covered: our own reading, the source gives whole beds. It also reports
    10 to 30 % more transpiration over plastic, which is not applied here.

    Examples
    --------
    >>> float(plastic_mulch_factor(1.0))
    0.35

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, chapter 10 and Table 25, p. 196-197.
    """
    return np.subtract(1.0, reduction * covered)
