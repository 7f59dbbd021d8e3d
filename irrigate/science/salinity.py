"""Salt in the water: how much more to give so that it is washed through (FAO-29)."""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of

LEACHING_CEILING = 0.15
"""Share of the water that may run through: the target of container nurseries (EDIS EP529)."""


def leaching_requirement(
    water_salt_ds_m: Values, bears_ds_m: Values, ceiling: float = LEACHING_CEILING
) -> FloatArray:
    """Share of the water given that has to run through to keep salt where the plant bears it.

    Parameters
    ----------
    water_salt_ds_m : float or array
        ECw of the water [dS/m].
    bears_ds_m : float or array
        ECe that the crop bears without loss (FAO-56 Table 23) [dS/m].
    ceiling : float
        Never more than this share [-].

    Returns
    -------
    array
        LR [-]; what is given is ET/(1 - LR).

    Notes
    -----
    ECw / (5 ECe - ECw). Below 0.7 dS/m water is not salty (same source, Table 1) and none is
    asked for.

    Examples
    --------
    >>> round(float(leaching_requirement(1.0, 1.7)), 3)
    0.133
    >>> float(leaching_requirement(0.4, 1.7))
    0.0

    References
    ----------
    Ayers & Westcot 1985, FAO Irrigation & Drainage Paper 29 Rev. 1, Eq 9 (number from memory).
    """
    water = np.asarray(water_salt_ds_m, dtype=np.float64)
    spare = 5.0 * np.asarray(bears_ds_m, dtype=np.float64) - water
    share = np.where(spare > 0.0, water / np.maximum(spare, 1e-9), ceiling)
    share = np.where(water < NOT_SALTY_DS_M, 0.0, np.minimum(share, ceiling))
    return in_precision_of(share, water_salt_ds_m, bears_ds_m)


NOT_SALTY_DS_M = 0.7
"""No restriction on use below this (FAO-29 Table 1, as quoted in PMC9128324 Table 6)."""
