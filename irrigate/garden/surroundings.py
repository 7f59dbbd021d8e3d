"""What stands around a place: sun taken or thrown back, calm, glass, lamps.

Each function turns one quantity of open ground into that at the pots; all keep the type of the
array that they get. Paving is not among them: over asphalt leaves get 2 to 4 °C hotter and close
their pores a little, and a day's use stays the same or falls (Kjelgren & Cole 2000, abstract).
"""

from __future__ import annotations

from datetime import UTC, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.pots import Place
from irrigate.garden.weather import Floats

Array = NDArray[np.floating[Any]]

# Out of the direct sun a place still gets the sky's light. From memory.
DIFFUSE_SHARE = 0.25
# The lowest wind that FAO-56 (p. 63) lets its equations see: even closed rooms stir.
STILL_M_S = 0.5
# A light wall takes up half of the sky of what stands at its foot, and gives back some 0.3 of the
# sun on it, about 0.6 of that on level ground: 0.5 × 0.3 × 0.6. Reflectance from memory.
WALL_SUN, WALL_SKY = 0.09, 0.5
J_PER_WH = 3600.0


def sun_share(place: Place, end_s: NDArray[np.int64], time_zone: str) -> Floats:
    """Return the share of the open ground's sun that reaches a place, per hour [-].

    Outside its window of sun the diffuse part alone is left; shade and glass take their share of
    either; a sunny wall adds to the direct part.
    """
    lit = direct_share(place, end_s, time_zone)
    direct = (1.0 - DIFFUSE_SHARE + (WALL_SUN if place.sunny_wall else 0.0)) * lit
    through = 1.0 if place.glass is None else place.glass
    share: Floats = (DIFFUSE_SHARE + direct) * ((1.0 - place.shade) * through)
    return share


def direct_share(place: Place, end_s: NDArray[np.int64], time_zone: str) -> Floats:
    """Return the part of each hour within the place's window of direct sun [hour]."""
    return _lit(place.sun_from, place.sun_until, end_s, time_zone)


def lamp_share(place: Place, end_s: NDArray[np.int64], time_zone: str) -> Floats:
    """Return the part of each hour that lamps burn [hour]; none where there are none."""
    if place.lamps_w_m2 <= 0.0:
        return np.zeros(end_s.size)
    return _lit(place.lamps_from, place.lamps_until, end_s, time_zone)


def solar_mj_m2(place: Place, open_mj_m2: Array, end_s: NDArray[np.int64], time_zone: str) -> Array:
    """Return the radiation at the pots [..., hour]: the sun that gets there, and any lamps."""
    kind = open_mj_m2.dtype
    here: Array = open_mj_m2 * sun_share(place, end_s, time_zone).astype(kind)
    if place.lamps_w_m2 > 0.0:
        here = here + lamps_mj_m2(place, end_s, time_zone).astype(kind)
    return here


def lamps_mj_m2(place: Place, end_s: NDArray[np.int64], time_zone: str) -> Floats:
    """Return what lamps give at the pots in each hour [MJ m⁻²]."""
    given: Floats = place.lamps_w_m2 * J_PER_WH / 1e6 * lamp_share(place, end_s, time_zone)
    return given


def wind_m_s(place: Place, open_m_s: Array) -> Array:
    """Return the wind at the pots, 2 m above ground [m s⁻¹]; still air under glass."""
    kind = open_m_s.dtype.type
    if place.glass is not None:
        return np.full_like(open_m_s, STILL_M_S)
    return open_m_s * kind(place.wind)


def sky_share(place: Place) -> float:
    """Return the part of the net loss of heat to the sky that is left at a place [-]."""
    if place.glass is not None:
        return 0.0
    return WALL_SKY if place.sunny_wall else 1.0


def rain_share(place: Place) -> float:
    """Return the share of the rain that reaches the pots [-]."""
    return 0.0 if place.glass is not None else place.rain


def _lit(
    begins: time | None, ends: time | None, end_s: NDArray[np.int64], time_zone: str
) -> Floats:
    """Return the part of each hour within a local time of day; all of it where none is said."""
    share = np.ones(end_s.size)
    if begins is None or ends is None:
        return share
    zone = ZoneInfo(time_zone)
    start, stop = _hours(begins), _hours(ends)
    # An hour may run over midnight where the zone is half an hour off: hence the day after too.
    today = [(start, stop)] if start <= stop else [(start, 24.0), (0.0, stop)]
    spans = [*today, *((a + 24.0, b + 24.0) for a, b in today)]
    for index, end in enumerate(end_s):
        local = datetime.fromtimestamp(int(end) - 3600, UTC).astimezone(zone)
        begun = local.hour + local.minute / 60.0
        share[index] = sum(max(0.0, min(b, begun + 1.0) - max(a, begun)) for a, b in spans)
    return share


def _hours(moment: time) -> float:
    return moment.hour + moment.minute / 60.0
