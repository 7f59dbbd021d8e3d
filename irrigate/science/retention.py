"""How a medium holds water: the retention curve, and what a pot of it keeps after draining.

Suction is counted in centimetres of water, because in a pot that has just drained the suction at
a point equals its height above the base. A kilopascal is taken as 10 cm, the rounding that those
who measure growing media use (exactly 10.2); it makes 1, 5 and 10 kPa 10, 50 and 100 cm.
"""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of

CM_PER_KPA = 10.0


def water_content(
    suction_cm: Values, theta_r: Values, theta_s: Values, alpha_per_cm: Values, n: Values
) -> FloatArray:
    """Water content of a medium at a suction.

    Parameters
    ----------
    suction_cm : float or array
        Suction h [cm of water], not negative.
    theta_r, theta_s : float or array
        Residual and saturated water content [volume per volume].
    alpha_per_cm : float or array
        Scale of the curve, about the inverse of the suction at which air enters [1/cm].
    n : float or array
        Steepness of the curve [-], above 1.

    Returns
    -------
    array
        Water content θ [volume per volume], between θr and θs.

    Notes
    -----
    θ = θr + (θs - θr) / [1 + (α h)^n]^m with m = 1 - 1/n. One curve for wetting and drying:
    the hysteresis of peat and bark (10 to 20 % of the water held) is left out.

    Examples
    --------
    >>> round(float(water_content(50.0, 0.1, 0.8, 0.1, 1.5)), 4)
    0.4042

    References
    ----------
    van Genuchten 1980, Soil Sci. Soc. Am. J. 44:892, Eq 3 with Mualem's m (equation number from
    memory).
    """
    m = 1.0 - 1.0 / n
    share = (1.0 + (alpha_per_cm * suction_cm) ** n) ** -m
    return np.add(theta_r, (theta_s - theta_r) * share)


def suction_cm(
    theta: Values, theta_r: Values, theta_s: Values, alpha_per_cm: Values, n: Values
) -> FloatArray:
    """Suction at which a medium has a given water content: the curve read the other way.

    Parameters
    ----------
    theta : float or array
        Water content [volume per volume]; θs and above gives 0, θr and below gives infinity.
    theta_r, theta_s, alpha_per_cm, n : float or array
        As in ``water_content``.

    Returns
    -------
    array
        Suction h [cm of water].

    Notes
    -----
    h = [Se^(-1/m) - 1]^(1/n) / α, with Se = (θ - θr)/(θs - θr). Near saturation the curve is
    flat and the suction loses digits accordingly.

    Examples
    --------
    >>> round(float(suction_cm(0.4042, 0.1, 0.8, 0.1, 1.5)), 1)
    50.0

    References
    ----------
    van Genuchten 1980, Soil Sci. Soc. Am. J. 44:892.
    """
    m = 1.0 - 1.0 / n
    saturation = np.clip((theta - theta_r) / (theta_s - theta_r), 0.0, 1.0)
    with np.errstate(divide="ignore", over="ignore"):  # dry as dust: infinity is the answer
        excess = np.power(saturation, -1.0 / m) - 1.0
    suction = excess ** (1.0 / n) / alpha_per_cm
    return in_precision_of(suction, theta, theta_r, theta_s, alpha_per_cm, n)


def container_capacity(
    heights_cm: FloatArray,
    weights: FloatArray,
    theta_r: Values,
    theta_s: Values,
    alpha_per_cm: Values,
    n: Values,
) -> FloatArray:
    """Mean water content of a pot that was soaked and has drained.

    Every level keeps the water that the curve gives at a suction equal to its height above the
    base, so a shallow pot of the same volume holds more water and less air.

    Parameters
    ----------
    heights_cm : array [..., node]
        Heights of the quadrature's nodes above the pot's base [cm].
    weights : array [..., node]
        Share of the medium's volume that each node stands for [-], summing to 1.
    theta_r, theta_s, alpha_per_cm, n : float or array [...]
        As in ``water_content``; they broadcast against the axes before the last.

    Returns
    -------
    array [...]
        Container capacity [volume per volume].

    Notes
    -----
    CC = (1/V) ∫ θ(z) A(z) dz. With the sixteen Gauss-Legendre nodes that vessels give, and pots of
    up to 60 cm, the error is below 0.0002 for n up to 2 and α up to 3 per cm, and below 0.001 for
    n up to 3; it is largest where a steep curve empties close to the base.

    Examples
    --------
    >>> middle, whole = np.array([10.0]), np.array([1.0])
    >>> round(float(container_capacity(middle, whole, 0.1, 0.8, 0.1, 1.5)), 3)
    0.656

    References
    ----------
    Definition: Owen & Altland 2008, HortScience 43:505 (abstract); the integral is that of Milks,
    Fonteno & Larson 1989, J. Am. Soc. Hort. Sci. 114:53 (abstract), weighted here by the area at
    each height.
    """
    curve = [
        np.expand_dims(part, -1) if np.ndim(part) else part
        for part in (theta_r, theta_s, alpha_per_cm, n)
    ]
    mean: FloatArray = np.sum(water_content(heights_cm, *curve) * weights, axis=-1)
    return mean


def air_space(theta_s: Values, held: Values) -> FloatArray:
    """Air-filled share of a medium's volume.

    Parameters
    ----------
    theta_s : float or array
        Total porosity, taken as the saturated water content [volume per volume].
    held : float or array
        Mean water content; at container capacity the result is the trade's "air space".

    Returns
    -------
    array
        Air space [volume per volume].

    Notes
    -----
    AS = TP - θ. Total porosity does not depend on the pot.

    Examples
    --------
    >>> round(float(air_space(0.79, 0.48)), 2)
    0.31

    References
    ----------
    Owen & Altland 2008, HortScience 43:505 (abstract).
    """
    return np.subtract(theta_s, held)


def easily_available_water(
    theta_r: Values, theta_s: Values, alpha_per_cm: Values, n: Values
) -> FloatArray:
    """Water that a medium gives up between 1 and 5 kPa.

    Parameters
    ----------
    theta_r, theta_s, alpha_per_cm, n : float or array
        As in ``water_content``.

    Returns
    -------
    array
        Easily available water [volume per volume].

    Notes
    -----
    EAW = θ(10 cm) - θ(50 cm).

    Examples
    --------
    >>> round(float(easily_available_water(0.1, 0.8, 0.1, 1.5)), 3)
    0.251

    References
    ----------
    De Boodt & Verdonck 1972, Acta Hort. 26:37 (definition from memory).
    """
    return np.subtract(
        water_content(1.0 * CM_PER_KPA, theta_r, theta_s, alpha_per_cm, n),
        water_content(5.0 * CM_PER_KPA, theta_r, theta_s, alpha_per_cm, n),
    )


def buffering_water(
    theta_r: Values, theta_s: Values, alpha_per_cm: Values, n: Values
) -> FloatArray:
    """Water that a medium gives up between 5 and 10 kPa: the reserve of a hot afternoon.

    Parameters
    ----------
    theta_r, theta_s, alpha_per_cm, n : float or array
        As in ``water_content``.

    Returns
    -------
    array
        Water buffering capacity [volume per volume].

    Notes
    -----
    WBC = θ(50 cm) - θ(100 cm).

    Examples
    --------
    >>> round(float(buffering_water(0.1, 0.8, 0.1, 1.5)), 3)
    0.085

    References
    ----------
    De Boodt & Verdonck 1972, Acta Hort. 26:37 (definition from memory).
    """
    return np.subtract(
        water_content(5.0 * CM_PER_KPA, theta_r, theta_s, alpha_per_cm, n),
        water_content(10.0 * CM_PER_KPA, theta_r, theta_s, alpha_per_cm, n),
    )
