"""How much a canopy asks for, per unit of the ground it shades (FAO-56 chapter 9).

Read for a lone plant in a pot. Demand of one plant, in litres:

    ETo × (Kcb for full cover, by height) × (density, by leaf area) × (effective shaded area)

A season's coefficient from Table 17 is not a factor here: it describes a field's ground, seedlings
and bare soil together, and size would be counted twice (Allen & Pereira 2009, Irrig. Sci. 28:17).
The shaded area is in ``shading``.
"""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of
from irrigate.science.crop_coefficients import climate_adjusted, climate_term

LONE_PLANT_LIMIT = 2.5
"""Upper limit of Kc for small stands in a dry surrounding (FAO-56 p. 202-203)."""


def full_cover_coefficient(
    height_m: Values, wind_2m_m_s: Values, humidity_min_pct: Values
) -> FloatArray:
    """Basal coefficient of vegetation that covers its ground fully, by its height.

    Parameters
    ----------
    height_m : float or array
        Plant height h [m].
    wind_2m_m_s, humidity_min_pct : float or array
        Daily mean wind at 2 m [m/s] and minimum relative humidity [%], within the limits of
        ``climate_term``.

    Returns
    -------
    array
        Kcb full [-].

    Notes
    -----
    Kcb,h = min(1.0 + 0.1 h, 1.20) (Eq 101) plus the climate term (Eq 99). For large stands, or
    small ones among other growth; a lone plant in a dry place may pass it, see
    ``lone_plant_coefficient``.

    Examples
    --------
    >>> round(float(full_cover_coefficient(2.0, 1.5, 55.0)), 2)
    1.15

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 99 and 101; Example 41.
    """
    by_height = np.minimum(1.0 + 0.1 * height_m, 1.20)
    full = by_height + climate_term(wind_2m_m_s, humidity_min_pct, height_m)
    return in_precision_of(full, height_m, wind_2m_m_s, humidity_min_pct)


def stomatal_factor(
    slope_kpa_c: Values, psychrometric_kpa_c: Values, wind_2m_m_s: Values, leaf_resistance: Values
) -> FloatArray:
    """Reduction for plants whose stomata are tighter than a crop's.

    Parameters
    ----------
    slope_kpa_c : float or array
        Slope of the vapour pressure curve Δ [kPa/°C].
    psychrometric_kpa_c : float or array
        Psychrometric constant γ [kPa/°C].
    wind_2m_m_s : float or array
        Wind at 2 m [m/s].
    leaf_resistance : float or array
        Mean leaf resistance rl [s/m]; 100 for most crops, 420 for olive.

    Returns
    -------
    array
        Fr [-]; 1 at 100 s/m.

    Notes
    -----
    Fr = [Δ + γ (1 + 0.34 u2)] / [Δ + γ (1 + 0.34 u2 rl/100)]. Eq 102.

    Examples
    --------
    >>> round(float(stomatal_factor(0.189, 0.0676, 2.0, 420.0)), 2)
    0.67

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 102; Example 43.
    """
    air = 0.34 * wind_2m_m_s
    reference = slope_kpa_c + psychrometric_kpa_c * (1.0 + air)
    plant = slope_kpa_c + psychrometric_kpa_c * (1.0 + air * (leaf_resistance / 100.0))
    return np.divide(reference, plant)


def crop_full_cover_coefficient(
    height_m: Values,
    mid_season_coefficient: Values,
    wind_2m_m_s: Values,
    humidity_min_pct: Values,
    stomatal: Values = 1.0,
) -> FloatArray:
    """Full-cover coefficient of a known crop: by its height, but no more than its own mid-season.

    Parameters
    ----------
    height_m : float or array
        Plant height h [m].
    mid_season_coefficient : float or array
        The crop's Kcb mid of Table 17 [-]; infinite where that row describes an orchard's ground,
        bare strips included, and so does not bound a leaf.
    wind_2m_m_s, humidity_min_pct : float or array
        As in ``full_cover_coefficient``.
    stomatal : float or array
        Fr of ``stomatal_factor`` [-].

    Returns
    -------
    array
        Kcb full [-].

    Notes
    -----
    Fr min(Eq 99, Eq 70). The bound by the crop's own row is our reading: full cover of lettuce is
    not thirstier than a full field of it.

    Examples
    --------
    >>> round(float(crop_full_cover_coefficient(0.7, 1.0, 2.0, 45.0)), 2)
    1.0

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 70, 99, 101 and 102.
    """
    by_height = full_cover_coefficient(height_m, wind_2m_m_s, humidity_min_pct)
    own = climate_adjusted(mid_season_coefficient, wind_2m_m_s, humidity_min_pct, height_m)
    full = stomatal * np.minimum(by_height, own)
    return in_precision_of(
        full, height_m, mid_season_coefficient, wind_2m_m_s, humidity_min_pct, stomatal
    )


def canopy_density(leaf_area_index: Values) -> FloatArray:
    """Share of full-cover use that a canopy of this leaf area reaches on the ground it covers.

    Parameters
    ----------
    leaf_area_index : float or array
        Leaf area per ground area *under the canopy* [m²/m²].

    Returns
    -------
    array
        1 - exp(-0.7 LAI) [-], 0 to 1.

    Notes
    -----
    The factor of Eq 97 by itself.

    Examples
    --------
    >>> round(float(canopy_density(3.0)), 3)
    0.878

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 97.
    """
    return np.negative(np.expm1(-0.7 * leaf_area_index))


def basal_from_leaf_area(
    minimum: Values, full_cover: Values, leaf_area_index: Values
) -> FloatArray:
    """Basal coefficient of a sparse stand by its leaf area.

    Parameters
    ----------
    minimum : float or array
        Kc min of bare, dry soil [-], 0.15 to 0.20.
    full_cover : float or array
        Kcb full [-].
    leaf_area_index : float or array
        Leaf area per ground area of the stand [m²/m²].

    Returns
    -------
    array
        Kcb [-].

    Notes
    -----
    Eq 97.

    Examples
    --------
    >>> round(float(basal_from_leaf_area(0.15, 1.15, 1.0)), 3)
    0.653

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 97.
    """
    return np.add(minimum, (full_cover - minimum) * canopy_density(leaf_area_index))


def basal_from_cover(
    minimum: Values, full_cover: Values, cover: Values, effective_cover: Values, height_m: Values
) -> FloatArray:
    """Basal coefficient of a sparse stand by the ground that it covers.

    Parameters
    ----------
    minimum : float or array
        Kc min [-], 0.15 to 0.20.
    full_cover : float or array
        Kcb full [-].
    cover : float or array
        Ground covered as seen from above, fc [-].
    effective_cover : float or array
        Ground shaded at noon, fc eff of Box 18 [-].
    height_m : float or array
        Plant height h [m].

    Returns
    -------
    array
        Kcb [-].

    Notes
    -----
    Kc min + (Kcb full - Kc min) min(1, 2 fc, fc eff^(1/(1+h))). Eq 98.

    Examples
    --------
    >>> round(float(basal_from_cover(0.15, 1.15, 0.3, 0.41, 2.0)), 2)
    0.75

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 98; Example 41.
    """
    reach = np.minimum(2.0 * cover, effective_cover ** (1.0 / (1.0 + height_m)))
    basal = minimum + (full_cover - minimum) * np.minimum(reach, 1.0)
    return in_precision_of(basal, minimum, full_cover, cover, effective_cover, height_m)


def sparse_reduction(actual: Values, dense: Values) -> FloatArray:
    """Reduction of the tabulated coefficient for a stand that is thinner than usual.

    Parameters
    ----------
    actual, dense : float or array
        Ground cover (Eq 95) or leaf area index (Eq 96) of this stand and of a usual one, both in
        the same measure.

    Returns
    -------
    array
        Acm [-], to be subtracted from Kc or Kcb mid (Eq 94); never below 0.

    Notes
    -----
    1 - (actual/dense)^0.5. Eq 95 and 96.

    Examples
    --------
    >>> round(float(sparse_reduction(0.50, 0.85)), 2)
    0.23

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 94-96; Example 40.
    """
    reduction = np.maximum(1.0 - (actual / dense) ** 0.5, 0.0)
    return in_precision_of(reduction, actual, dense)


def lone_plant_coefficient(
    canopy_height_m: Values, canopy_width_m: Values, stomatal: Values = 1.0
) -> FloatArray:
    """Upper bound of use per unit of canopy for a narrow stand in a dry, hot surrounding.

    Parameters
    ----------
    canopy_height_m, canopy_width_m : float or array
        Height of the vegetation and width of the stand across the wind [m].
    stomatal : float or array
        Fr of ``stomatal_factor`` [-].

    Returns
    -------
    array
        Kc [-], at most 2.5.

    Notes
    -----
    min(1.2 + Fr h/width, 2.5). Eq 105. The limit belongs to dry advection; in humid places 1.2 to
    1.6 is nearer (from experience, not verified).

    Examples
    --------
    >>> round(float(lone_plant_coefficient(0.6, 0.6)), 2)
    2.2

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 105, p. 202-203.
    """
    bound = np.minimum(1.2 + stomatal * canopy_height_m / canopy_width_m, LONE_PLANT_LIMIT)
    return in_precision_of(bound, canopy_height_m, canopy_width_m, stomatal)
