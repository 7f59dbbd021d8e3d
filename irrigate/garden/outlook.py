"""The week ahead: the ensemble run on, and when each member's pot gets thirsty."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.balance import PotTraits, Store, missing_l, share_available, step
from irrigate.garden.believed import Standing
from irrigate.garden.demand import PotDemand, pot_demand
from irrigate.garden.exposure import PlaceWeather, place_weather
from irrigate.garden.forecast_errors import Doubt, weather_members
from irrigate.garden.weather import HOUR_S, HourlyWeather

Array = NDArray[np.floating[Any]]

HORIZON_H = 168
# Clouds are carried through the night for up to a day before the first hour.
CLOUD_LEAD_H = 25


@dataclass(frozen=True, slots=True, eq=False)
class Ahead:
    """What the coming hours ask of every pot; made once, run from any store.

    Parameters
    ----------
    now : the moment it starts from (UTC).
    end_s : ends of the hours [hour], UTC epoch seconds; the first may have begun.
    places, demand : of these hours.
    traits : float32 [pot, member].
    """

    now: datetime
    end_s: NDArray[np.int64]
    places: PlaceWeather
    demand: PotDemand
    traits: PotTraits

    def moments_s(self) -> NDArray[np.float64]:
        """Return the moments between steps [hour + 1], seconds after ``now``."""
        return np.concatenate([[0.0], self.end_s - self.now.timestamp()])


def look_ahead(
    standing: Standing,
    weather: HourlyWeather,
    horizon_h: int = HORIZON_H,
    doubt: Doubt | None = None,
) -> Ahead:
    """Prepare the coming hours.

    Parameters
    ----------
    standing : the belief now.
    weather : without gaps or NaN, from some 54 h before now as far as is known.
    horizon_h : how far to look [h]; less where the weather ends earlier.
    doubt : how wrong the forecast may be; the priors if None.

    Raises
    ------
    ValueError : there is no hour of weather after now.
    """
    now, garden, belief = standing.belief.at, standing.garden, standing.belief
    now_s = now.timestamp()
    demand = pot_demand(garden, weather, belief.canopy_m, now)
    first = int(np.searchsorted(weather.end_s, now_s, side="right"))
    last = min(len(weather), first + horizon_h)
    if first >= last:
        raise ValueError(f"no weather after {now:%Y-%m-%d %H:%M} UTC")
    lead = max(0, first - CLOUD_LEAD_H)
    near = weather.select(slice(lead, last))
    places = place_weather(garden, near, weather_members(near, int(now_s), belief.members, doubt))
    return Ahead(
        now=now,
        end_s=weather.end_s[first:last],
        places=places.hours(slice(first - lead, None)),
        demand=demand.hours(slice(first, last)),
        traits=standing.traits.cast(np.float32),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """One run of the coming hours.

    Parameters
    ----------
    start : the moment it starts from (UTC).
    moments_s : seconds after ``start`` at which water is known [moment]; the first is 0.
    water_l : water stored [moment, pot, member].
    thirsty_s : seconds after ``start`` at which the dry point is passed [pot, member];
        infinite where it is not within the run.
    traits : of the pots.
    below_l : water below the mix [moment, pot, member]; None where no pot has anything below.
    """

    start: datetime
    moments_s: NDArray[np.float64]
    water_l: Array
    thirsty_s: NDArray[np.float64]
    traits: PotTraits
    below_l: Array | None = None

    def chance_before(self, moment: datetime) -> NDArray[np.float64]:
        """Return the chance of having been thirsty before a moment [pot]."""
        limit = (moment - self.start).total_seconds()
        chance: NDArray[np.float64] = (self.thirsty_s < limit).mean(axis=1)
        return chance

    def thirsty_quantile(self, row: int, level: float) -> datetime | None:
        """Return the moment by which a share ``level`` of the members is thirsty, if any."""
        ordered = np.sort(self.thirsty_s[row])
        seconds = ordered[min(int(np.ceil(level * ordered.size)), ordered.size) - 1]
        return self.start + timedelta(seconds=float(seconds)) if np.isfinite(seconds) else None

    def water_at(self, moment: datetime) -> Array:
        """Return the water at a moment [pot, member], linear between the hours."""
        return self._between_hours(self.water_l, moment)

    def below_at(self, moment: datetime) -> Array:
        """Return the water below the mix at a moment [pot, member], linear between the hours."""
        if self.below_l is None:
            return np.zeros_like(self.water_l[0])
        return self._between_hours(self.below_l, moment)

    def _between_hours(self, known_l: Array, moment: datetime) -> Array:
        seconds = (moment - self.start).total_seconds()
        after = int(np.clip(np.searchsorted(self.moments_s, seconds), 1, len(self.moments_s) - 1))
        begun, ended = self.moments_s[after - 1], self.moments_s[after]
        part = np.float32(np.clip((seconds - begun) / (ended - begun), 0.0, 1.0))
        water: Array = (1 - part) * known_l[after - 1] + part * known_l[after]
        return water

    def share_quantiles(self, levels: tuple[float, ...]) -> Array:
        """Return quantiles of available water by moment and pot [level, moment, pot]."""
        share = share_available(self.water_l, self.traits)
        quantiles: Array = np.quantile(share, levels, axis=2)
        return quantiles


def run(
    ahead: Ahead,
    store: Store,
    start: datetime,
    until: datetime | None = None,
    watch: Callable[[Store, float], None] | None = None,
) -> Outlook:
    """Run the coming hours from a store, without watering.

    Parameters
    ----------
    ahead : the hours.
    store : the water at ``start`` [pot, member].
    start : at or after ``ahead.now``, within its hours.
    until : where to stop; the end of the hours if None.
    watch : told the store at the end of each step, and the step's length [h].
    """
    start_s = start.timestamp()
    first = int(np.searchsorted(ahead.end_s, start_s, side="right"))
    last = len(ahead.end_s)
    if until is not None:
        last = min(last, int(np.searchsorted(ahead.end_s, until.timestamp())) + 1)
    ends = ahead.end_s[first:last]
    store = store.each(lambda array: array.astype(np.float32))
    water = np.empty((ends.size + 1, *store.water_l.shape), dtype=np.float32)
    water[0] = store.water_l
    below = np.empty_like(water) if ahead.traits.basin_l.any() else None
    if below is not None:
        below[0] = store.below_l
    begun = start_s
    for index, end in enumerate(ends):
        length_h = (float(end) - begun) / HOUR_S
        demand = ahead.demand.at(ahead.places, first + index, length_h)
        store, _ = step(store, ahead.traits, demand)
        water[index + 1] = store.water_l
        if watch is not None:
            watch(store, length_h)
        if below is not None:
            below[index + 1] = store.below_l
        begun = float(end)
    moments = np.concatenate([[0.0], ends - start_s])
    thirsty = _crossings(water, moments, ahead.traits)
    return Outlook(start, moments, water, thirsty, ahead.traits, below)


def full_store(ahead: Ahead, now: Store) -> Store:
    """Return every pot at container capacity, its surface wet and any reservoir below filled.

    Parameters
    ----------
    ahead : the pots.
    now : the store as it is; what else it holds stays.

    Notes
    -----
    Of water that stands in a saucer the mix takes back what it lacks, and that much less is
    given: what is left there is only what it does not.
    """
    traits, shape = ahead.traits, now.water_l.shape
    left = np.maximum(now.below_l - missing_l(now.water_l, traits), 0.0)
    return now.put(
        water_l=np.broadcast_to(traits.capacity_l, shape).copy(),
        surface_mm=np.zeros(shape),
        below_l=np.maximum(left, np.broadcast_to(traits.fills_l, shape)),
    )


def _crossings(
    water: Array, moments_s: NDArray[np.float64], traits: PotTraits
) -> NDArray[np.float64]:
    """Return when the dry point is first passed, linear within the hour [pot, member]."""
    dry_l = traits.limit_l + traits.dry_point * traits.available_l
    below = water < dry_l
    first = below.argmax(axis=0)
    never = ~np.take_along_axis(below, first[np.newaxis], axis=0)[0]
    before = np.maximum(first - 1, 0)
    upper = np.take_along_axis(water, before[np.newaxis], axis=0)[0]
    lower = np.take_along_axis(water, first[np.newaxis], axis=0)[0]
    fall = np.maximum(upper - lower, 1e-9)
    part = np.where(first > 0, np.clip((upper - dry_l) / fall, 0.0, 1.0), 0.0)
    at = moments_s[before] + part * (moments_s[first] - moments_s[before])
    return np.where(never, np.inf, at)
