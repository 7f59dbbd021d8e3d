"""The coming hours once more, with the rain that may fall: for what is too wet, or may wait.

It is run only for whoever asks, and only where rain is likely at all.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from irrigate.garden.believed import Standing
from irrigate.garden.exposure import PlaceWeather, place_rain
from irrigate.garden.forecast_errors import Doubt
from irrigate.garden.hours_felt import too_wet
from irrigate.garden.outlook import CLOUD_LEAD_H, Ahead, Outlook, run
from irrigate.garden.rain_to_come import rain_members
from irrigate.garden.water import Store
from irrigate.garden.weather import Floats, HourlyWeather

# Hours less likely than this to be wet, all of them, are taken for dry ones.
LEAST_CHANCE = 0.10


@dataclass(frozen=True, slots=True, eq=False)
class InRain:
    """A run of the coming hours with the rain of each member.

    Parameters
    ----------
    outlook : the run.
    too_wet_h : for how long roots have too little air in it [pot, member] [h].
    rain_mm : rain on open ground in it [member] [mm].
    """

    outlook: Outlook
    too_wet_h: Floats
    rain_mm: Floats


def rain_likely(weather: HourlyWeather, start: datetime, until: datetime) -> bool:
    """Return whether any hour between two moments has rain to reckon with."""
    hours = weather.between(int(start.timestamp()), int(until.timestamp()) + 3599)
    return bool((hours.rain_chance >= LEAST_CHANCE).any())


def in_rain(
    standing: Standing,
    weather: HourlyWeather,
    ahead: Ahead,
    until: datetime,
    doubt: Doubt | None = None,
) -> InRain:
    """Run the coming hours with rain, without watering.

    Parameters
    ----------
    standing : the belief now.
    weather : the table that ``ahead`` was made from.
    ahead : the coming hours.
    until : where to stop, within them.
    doubt : how wrong the forecast may be.
    """
    belief, garden = standing.belief, standing.garden
    now_s = int(ahead.now.timestamp())
    first = int(np.searchsorted(weather.end_s, ahead.end_s[0]))
    lead = max(0, first - CLOUD_LEAD_H)
    last = first + min(ahead.end_s.size, int(np.searchsorted(ahead.end_s, until.timestamp())) + 1)
    near = weather.select(slice(lead, last))
    rain = rain_members(near, now_s, belief.members, doubt)
    coming = slice(first - lead, None)
    fallen, caught = place_rain(garden, rain)
    et0 = ahead.places.et0_mm[:, :, : last - first]
    wet = replace(ahead, places=PlaceWeather(et0, fallen[:, :, coming], caught[:, :, coming]))
    hours = np.zeros(belief.water_l.shape)

    def watch(store: Store, length_h: float) -> None:
        hours[...] += too_wet(store, ahead.traits) * length_h

    outlook = run(wet, belief.store, belief.at, until, watch)
    return InRain(outlook, hours, rain[:, coming].sum(axis=1, dtype=np.float64))
