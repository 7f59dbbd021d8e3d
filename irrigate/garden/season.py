"""What the calendar does to a pot: its canopy grows, its leaves tire or fall, its roots spread.

Days are whole days of UTC: within one nothing changes, so that a fold cut in two at any moment
gives the same bits.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.pots import Pot
from irrigate.garden.weather import Floats
from irrigate.science.growth import (
    cover_in_season,
    late_share,
    leaves_by_calendar,
    rooted_share,
)

DAY_S = 86400
# Weeks until roots are everywhere in a new mix, and what an old root ball or a plug is of it
# where nothing was said: the usual step from one trade size to the next. From memory.
ROOTING_DAYS = 28.0
ROOT_BALL = 0.35

Days = NDArray[np.floating[Any]]


def days_since(then: date, end_s: NDArray[np.int64]) -> Days:
    """Return whole days from a date to the day of each hour that ends at ``end_s`` [hour]."""
    midnight = date.toordinal(then) - date(1970, 1, 1).toordinal()
    return ((end_s - 1) // DAY_S - midnight).astype(np.float64)


def size_ratio(pot: Pot, at: datetime, end_s: NDArray[np.int64]) -> Floats:
    """Return the plant's width in each hour against that on the day of ``at`` [hour].

    Parameters
    ----------
    pot : its crop's stages and planting date; without either it keeps its size.
    at : when its size was as believed (UTC).
    end_s : ends of the hours (UTC epoch seconds).

    Notes
    -----
    The root of the growth in area, which is what stages tell of; never below 1, because what has
    grown is not taken back by a calendar.
    """
    if pot.planted is None or not pot.crop.stages_d:
        return np.ones(end_s.size)
    now = np.array([int(at.timestamp()) + 1])
    cover = cover_in_season(days_since(pot.planted, end_s), pot.crop.stages_d)
    then = cover_in_season(days_since(pot.planted, now), pot.crop.stages_d)
    return np.maximum(np.sqrt(cover / then), 1.0)


def sizes_m(pot: Pot, canopy_m: Floats, ratio: Floats) -> Floats:
    """Return width and height in each hour [2, hour]: grown, but not past the crop's full size.

    Parameters
    ----------
    pot : whose crop tells the full size.
    canopy_m : width and height now [2].
    ratio : of `size_ratio` [hour].
    """
    full = np.array([pot.crop.width_m, pot.crop.height_m])
    most = np.maximum(full, canopy_m)[:, np.newaxis]
    return np.asarray(np.minimum(canopy_m[:, np.newaxis] * ratio, most))


def grown(pots: Sequence[Pot], canopy_m: Floats, day: datetime) -> Floats:
    """Return the sizes at the midnight that ends a day [pot, 2]; the same array if none grew.

    Parameters
    ----------
    pots : the pots.
    canopy_m : width and height of each plant on that day [pot, 2].
    day : any moment of the day (UTC).
    """
    next_s = np.array([(int(day.timestamp()) // DAY_S + 1) * DAY_S + 1])
    after = np.stack(
        [
            sizes_m(pot, size, size_ratio(pot, day, next_s))[:, 0]
            for pot, size in zip(pots, canopy_m, strict=True)
        ]
    ) if len(pots) else canopy_m  # fmt: skip
    return canopy_m if np.array_equal(after, canopy_m) else after


def leaf_share(pot: Pot, end_s: NDArray[np.int64], day_of_year: Floats, south: bool) -> Floats:
    """Return what the plant's leaves use in each hour against their best [hour].

    Parameters
    ----------
    pot : its crop and planting date.
    end_s : ends of the hours (UTC epoch seconds).
    day_of_year : of the hours [hour].
    south : whether the garden lies south of the equator.
    """
    crop = pot.crop
    if crop.leaves_by_month:
        return np.asarray(leaves_by_calendar(day_of_year, crop.leaves_by_month, south), np.float64)
    if pot.planted is None or not crop.stages_d:
        return np.ones(end_s.size)
    days = days_since(pot.planted, end_s)
    return np.asarray(late_share(days, crop.stages_d, crop.kcb_mid, crop.kcb_end), np.float64)


def leaves_borne(pot: Pot, at: datetime, south: bool) -> float:
    """Return the share of its leaves that a plant bears on the day of a moment [0–1].

    Leaves that only tire in a late stage are still there: 1 for all that do not follow the months.

    Parameters
    ----------
    pot : its crop.
    at : the moment (UTC).
    south : whether the garden lies south of the equator.
    """
    by_month = pot.crop.leaves_by_month
    if not by_month:
        return 1.0
    return float(leaves_by_calendar(at.astimezone(UTC).timetuple().tm_yday, by_month, south))


def rooted(pots: Sequence[Pot], at: datetime) -> Floats:
    """Return the share of each mix that roots reach on the day of a moment [pot, 1].

    Parameters
    ----------
    pots : their dates of planting and repotting; where neither is known roots are everywhere.
    at : the moment (UTC).
    """
    now = np.array([int(at.timestamp()) + 1])
    shares = []
    for pot in pots:
        since = rooting_since(pot)
        if since is None:
            shares.append(1.0)
            continue
        days = days_since(since, now)
        shares.append(float(rooted_share(days, first_rooted(pot), ROOTING_DAYS)[0]))
    return np.array(shares).reshape(-1, 1)


def rooting_since(pot: Pot) -> date | None:
    """Return when roots began to spread in this mix, if that is known."""
    return max(filter(None, (pot.planted, pot.repotted)), default=None)


def first_rooted(pot: Pot) -> float:
    """Return the share of the mix that roots held on that day [0–1]."""
    return ROOT_BALL if pot.root_ball is None else pot.root_ball
