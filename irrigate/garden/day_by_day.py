"""The week ahead of one pot, from evening to evening."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from irrigate.garden.balance import share_available
from irrigate.garden.outlook import Ahead, Outlook
from irrigate.garden.pots import Garden
from irrigate.garden.rounds import at_local, local_day
from irrigate.garden.weather import HOUR_S, Floats

# A day's last round stands for its evening; where all are earlier than this, this time does.
EARLIEST_EVENING, USUAL_EVENING = time(16), time(20)
QUANTILES = (0.1, 0.5, 0.9)


@dataclass(frozen=True, slots=True)
class DayAhead:
    """From one evening (or now) to the next.

    Parameters
    ----------
    begins, ends : the time it spans (UTC).
    et0_mm : reference evapotranspiration at the pot's place, middle of the members [mm].
    asked_l : what the plant would drink if water were free, middle of the members [L].
    share_left : 10, 50 and 90 % quantiles of available water at its end [0–1].
    chance_thirsty : of having passed the dry point by its end [0–1].
    """

    begins: datetime
    ends: datetime
    et0_mm: float
    asked_l: float
    share_left: tuple[float, float, float]
    chance_thirsty: float


def evenings(garden: Garden, now: datetime, days: int) -> list[datetime]:
    """Return the next evenings after now (UTC), at one time of day by the garden's clock."""
    last = max(one.at for one in garden.rounds)
    moment = last if last >= EARLIEST_EVENING else USUAL_EVENING
    zone = ZoneInfo(garden.site.time_zone)
    today = local_day(now, zone)
    coming = (at_local(today + timedelta(days=ahead), moment, zone) for ahead in range(days + 1))
    return [evening for evening in coming if evening > now][:days]


def day_by_day(
    ahead: Ahead, outlook: Outlook, row: int, ends: Sequence[datetime]
) -> tuple[DayAhead, ...]:
    """Return one pot's days, as far as the run goes.

    Parameters
    ----------
    ahead, outlook : the coming hours, and the run of them without watering, from one moment.
    row : which pot.
    ends : where each day ends (UTC), rising.
    """
    place = int(ahead.demand.place_row[row])
    et0 = ahead.places.et0_mm[place].astype(np.float64)  # [member, hour]
    asked = et0 * ahead.demand.leaf_m2[row] * ahead.traits.use_factor[row][:, np.newaxis]
    last_s = float(ahead.end_s[-1])
    begins, days = ahead.now, []
    for end in ends:
        if end.timestamp() > last_s:
            break
        part = _parts(ahead, begins, end)
        share = share_available(outlook.water_at(end), outlook.traits)[row]
        low, middle, high = np.quantile(share, QUANTILES)
        days.append(
            DayAhead(
                begins=begins,
                ends=end,
                et0_mm=float(np.median(et0 @ part)),
                asked_l=float(np.median(asked @ part)),
                share_left=(float(low), float(middle), float(high)),
                chance_thirsty=float(outlook.chance_before(end)[row]),
            )
        )
        begins = end
    return tuple(days)


def _parts(ahead: Ahead, begins: datetime, ends: datetime) -> Floats:
    """Return what part of each hour lies between two moments [hour]."""
    upper = np.minimum(ahead.end_s, ends.timestamp())
    lower = np.maximum(ahead.end_s - HOUR_S, begins.timestamp())
    part: Floats = np.maximum(upper - lower, 0.0) / HOUR_S
    return part
