"""How far a plant that stands by itself reaches: the ground whose energy it draws on (chapter 9).

A field is watched from above; a pot's plant catches light and dry air from the side as well. The
source's Eq 98 says how much more use per covered ground a sparse stand has; the same equation,
with the ground that each pot stands on, tells it for one plant.
"""

from __future__ import annotations

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of

SPARSE_REACH = 2.0
"""Most that a sparse stand uses per unit of covered ground, against full cover: Eq 98's 2 fc."""

DRY_LIMIT, GREEN_LIMIT = 2.5, 1.4
"""Most use per unit of shaded ground and of ETo: alone in dry, hot surroundings; and amid large
or mixed vegetation (p. 202-203). Both times Fr where stomata are tight."""


def reached_ground_m2(
    canopy_m2: Values, shaded_m2: Values, ground_m2: Values, height_m: Values,
    reach: float = SPARSE_REACH,
) -> FloatArray:  # fmt: skip
    """Ground at full cover that would use as much as this plant.

    Parameters
    ----------
    canopy_m2 : float or array
        Canopy as seen from above [m²].
    shaded_m2 : float or array
        Ground that it shades at noon, its crown's height counted (Box 18) [m²].
    ground_m2 : float or array
        Ground that the plant has for itself: the square of the distance to its neighbours [m²].
    height_m : float or array
        Plant height h [m].
    reach : float
        Most that is used per unit of canopy [-].

    Returns
    -------
    array
        A [m²]: use is Kcb full × A × ETo.

    Notes
    -----
    G min(1, 2 fc, fc eff^(1/(1+h))) with fc = canopy/G, fc eff = shaded/G: Eq 98 over the plant's
    own ground G, its Kc min left out (a pot stands on ground that is not watered).

    Examples
    --------
    Example 42: half a square metre of canopy on each square metre, 0.75 m tall.

    >>> round(float(reached_ground_m2(0.5, 0.66, 1.0, 0.75)), 2)
    0.79

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 98 and Box 18, p. 187-190 (pages from memory).
    """
    effective = np.minimum(shaded_m2 / ground_m2, 1.0) ** (1.0 / (1.0 + height_m))
    reached = np.minimum(ground_m2 * effective, reach * canopy_m2)
    area = np.minimum(reached, ground_m2)
    return in_precision_of(area, canopy_m2, shaded_m2, ground_m2, height_m)
