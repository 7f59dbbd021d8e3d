"""How a plant's canopy grows through its season, and how its leaves tire and fall.

Stages (Table 11) tell when a canopy grows and when the season ends, no more: use follows from the
size, and multiplying by a stage's coefficient as well would count the size twice.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from irrigate.science.arrays import FloatArray, Values, in_precision_of

FIRST_COVER = 0.02
"""Share of its full canopy area that a plant has when it is set out: from memory."""

INITIAL_COVER = 0.10
"""Ground cover at which the initial stage ends by its definition (FAO-56 p. 95)."""

MONTH_DAYS = 365.25 / 12.0


def cover_in_season(days_since_planting: Values, stages_d: Sequence[float]) -> FloatArray:
    """Share of its full canopy area that a plant has on a day of its season.

    Parameters
    ----------
    days_since_planting : float or array
        [day]; before planting as on its day.
    stages_d : four lengths
        Initial, development, mid-season and late stage [day].

    Returns
    -------
    array
        [-], from 0.02 to 1.

    Notes
    -----
    Straight lines through 0.02 at planting, 0.10 at the end of the initial stage and 1 at the end
    of development, where effective full cover is reached: the definitions of the stages.

    Examples
    --------
    >>> float(cover_in_season(25.0, (25, 25, 30, 20)))
    0.1

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, p. 95-97 (pages from memory) and Table 11.
    """
    initial, development = float(stages_d[0]), float(stages_d[1])
    days = (0.0, initial, initial + development)
    cover = np.interp(days_since_planting, days, (FIRST_COVER, INITIAL_COVER, 1.0))
    return in_precision_of(cover, days_since_planting)


def late_share(
    days_since_planting: Values, stages_d: Sequence[float], mid: float, end: float
) -> FloatArray:
    """Use of tiring leaves in the late stage, against their best.

    Parameters
    ----------
    days_since_planting : float or array
        [day].
    stages_d : four lengths
        As in ``cover_in_season``.
    mid, end : float
        Kcb of mid-season and at the end [-].

    Returns
    -------
    array
        [-]: 1 up to the end of mid-season, then falling in a straight line to end/mid.

    Notes
    -----
    Eq 66 in the late stage, over Kcb mid.

    Examples
    --------
    >>> round(float(late_share(90.0, (25, 25, 30, 20), 1.0, 0.5)), 2)
    0.75

    References
    ----------
    Allen, Pereira, Raes, Smith 1998, FAO-56, Eq 66.
    """
    begins = float(sum(stages_d[:3]))
    share = np.interp(
        days_since_planting, (begins, begins + float(stages_d[3])), (1.0, min(end / mid, 1.0))
    )
    return in_precision_of(share, days_since_planting)


def leaves_by_calendar(
    day_of_year: Values, leaves_by_month: Sequence[float], south: bool
) -> FloatArray:
    """Share of its leaves that a perennial bears on a day of the year.

    Parameters
    ----------
    day_of_year : float or array
        1 to 366.
    leaves_by_month : twelve shares
        In the middle of each month, from January, for the north of the equator.
    south : bool
        Whether the place lies south of it: half a year later.

    Returns
    -------
    array
        [-], straight between the middles of the months and around the new year.

    Examples
    --------
    >>> bare_in_winter = (0, 0, 0, 0.5, 1, 1, 1, 1, 1, 0.5, 0, 0)
    >>> float(leaves_by_calendar(197.0, bare_in_winter, False))
    1.0
    >>> float(leaves_by_calendar(197.0, bare_in_winter, True))
    0.0
    """
    shift = 6 if south else 0
    turned = np.roll(np.asarray(leaves_by_month, dtype=np.float64), shift)
    middles = (np.arange(12) + 0.5) * MONTH_DAYS
    share = np.interp(day_of_year, middles, turned, period=365.25)
    return in_precision_of(share, day_of_year)


def rooted_share(days_since_repotting: Values, first: Values, days: float) -> FloatArray:
    """Share of a mix that roots reach, some time after a plant was set into it.

    Parameters
    ----------
    days_since_repotting : float or array
        [day]; below 0 as on the day itself.
    first : float or array
        Share that its old root ball held [-].
    days : float
        Until the roots are everywhere [day].

    Returns
    -------
    array
        [-], rising in a straight line from ``first`` to 1.

    Examples
    --------
    >>> float(rooted_share(14.0, 0.4, 28.0))
    0.7
    """
    part = np.clip(np.asarray(days_since_repotting) / days, 0.0, 1.0)
    share = first + (1.0 - np.asarray(first)) * part
    return in_precision_of(share, days_since_repotting, first)
