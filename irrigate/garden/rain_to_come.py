"""Rain to come, as each member has it: by its chance and by its amount.

An hour is wet in as many members as the forecast gives it chance, and its amount is a gamma's
around what is forecast: the two parts by which rain is commonly put into a distribution
(Sloughter et al. 2007, Mon. Weather Rev. 135:3209, abstract). Both go by latent normals that are
smooth in time (an AR(1) from hour to hour), so that wet hours come in spells and a heavy spell is
heavy throughout; keyed by hour and member only, member k has one rain for all pots. Where the
source has an ensemble, its rain is taken as it is.

Thirst is never judged by this rain; being too wet, and whatever waits for rain, is.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.draws import normal_quantile
from irrigate.garden.forecast_errors import Doubt, smooth
from irrigate.garden.member_hours import rain_of
from irrigate.garden.weather import Floats, HourlyWeather

Singles = NDArray[np.float32]

# From memory: of two hours in a row both are mostly wet or both dry, and much the same.
SPELL_MEMORY = 0.9
# An hour that is wet against a forecast of none, or of a trace, gets so much [mm]. From memory.
LIGHT_MM = 0.3

# A gamma of shape 2: eight in ten hours have 0.27 to 1.9 times what is forecast. From memory.
SHAPE = 2

# Where a source has amounts only: chance of an hour to come without rain in the forecast, of one
# with the least, and how much more a shower of some millimetres has. From memory.
DRY_CHANCE, WET_CHANCE, MORE_CHANCE = 0.03, 0.60, 0.30


def chance_by_amount(rain_mm: Floats) -> Floats:
    """Return the chance of rain in an hour to come by the amount that is forecast [0–1].

    Parameters
    ----------
    rain_mm : forecast [mm], any shape; NaN gives NaN.
    """
    wet = WET_CHANCE + MORE_CHANCE * (1.0 - np.exp(-rain_mm))
    return np.where(rain_mm > 0.0, wet, np.where(np.isnan(rain_mm), np.nan, DRY_CHANCE))


def rain_members(
    weather: HourlyWeather, now_s: int, members: int, doubt: Doubt | None = None
) -> Singles:
    """Return the rain of hours past and to come as each member has it [member, hour] [mm].

    Parameters
    ----------
    weather : hour by hour without gaps; hours that end by ``now_s`` are the same for all.
    now_s : the present [UTC epoch s].
    members : how many.
    doubt : may hold the source's ensemble.
    """
    to_come = weather.end_s > now_s
    rain = np.where(to_come, 0.0, weather.rain_mm).astype(np.float32)
    table = np.repeat(rain[np.newaxis], members, axis=0)
    theirs = rain_of(doubt.theirs if doubt else None, weather.end_s, members)
    if theirs is not None:
        told = to_come & theirs[1]
        table[:, told] = theirs[0][:, told]
        to_come = to_come & ~told
    if not (to_come & (weather.rain_chance > 0.0)).any():
        return table
    wet = smooth(weather.end_s, members, "rain", SPELL_MEMORY) > _threshold(weather.rain_chance)
    much = gamma_of_normal(smooth(weather.end_s, members, "rain amount", SPELL_MEMORY))
    amount = np.maximum(weather.rain_mm, LIGHT_MM).astype(np.float32)
    drawn = np.where(wet, amount * much, np.float32(0.0))
    table[:, to_come] = drawn[:, to_come]
    return table


def _threshold(chance: Floats) -> Singles:
    """Return what a standard normal must be above to be wet [hour]."""
    inside = np.clip(chance, 1e-9, 1.0 - 1e-9)
    above = -normal_quantile(inside)
    above = np.where(chance <= 0.0, np.inf, np.where(chance >= 1.0, -np.inf, above))
    return above.astype(np.float32)


# The gamma of shape 2 and mean 1 at the quantiles of a standard normal: its distribution function
# is 1 - (1 + 2x) exp(-2x), turned about on a fine grid once.
_X = np.concatenate([[0.0], np.geomspace(1e-5, 20.0, 4000)])
_TAIL = (1.0 + SHAPE * _X) * np.exp(-SHAPE * _X)


def gamma_of_normal(z: Singles) -> Singles:
    """Return quantiles of the gamma of mean 1 at the chances of standard normals."""
    below = normal_quantile(np.clip(1.0 - _TAIL, 1e-12, 1.0 - 1e-12))
    of_z: Singles = np.interp(z, below, _X).astype(np.float32)
    return of_z
