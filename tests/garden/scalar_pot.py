"""One pot, hour by hour, in plain Python: the equations written a second time, from the papers.

Nothing here is taken from the package but the description of the pot; what the air asks is in
`tests.garden.scalar_air`. What is lost and taken up within an hour is integrated by small steps.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from irrigate.garden.pots import Garden, Pot
from irrigate.garden.weather import HourlyWeather
from tests.garden.scalar_air import Asked, asked, utc_day

SUBSTEPS = 400


@dataclass
class Water:
    """What a pot holds and what stands below [L], what its surface lacks [mm], leaves' strain."""

    stored_l: float
    surface_mm: float
    below_l: float = 0.0
    strain: float = 0.0


@dataclass(frozen=True)
class Kind:
    """The numbers of one pot that a belief or a laboratory gives."""

    capacity_l: float
    dry_point: float
    use_factor: float
    evaporable_mm: float
    readily_mm: float


def integral(start: float, rate: Callable[[float], float], span: float = 1.0) -> float:
    """Return where a quantity gets to at such a rate of change (Runge-Kutta, small steps)."""
    level, piece = start, span / SUBSTEPS
    for _ in range(SUBSTEPS):
        k1 = rate(level)
        k2 = rate(level + 0.5 * piece * k1)
        k3 = rate(level + 0.5 * piece * k2)
        k4 = rate(level + piece * k3)
        level += piece * (k1 + 2 * k2 + 2 * k3 + k4) / 6
    return level


def falling(stored: float, threshold: float, wanted: float) -> float:
    """Take from a store that gives freely to a threshold and then in proportion (Eq 74, 84)."""

    def rate(level: float) -> float:
        share = min(1.0, max(level, 0.0) / threshold) if threshold > 0 else 1.0
        return -wanted * share

    return stored - max(integral(stored, rate), 0.0)


def out_of_reach_l(pot: Pot, kind: Kind, day: date) -> float:
    """Water below the plant's limit, and that where roots have not come within four weeks."""
    limit = pot.medium.lower_limit * pot.vessel.filled_volume_l
    since = [one for one in (pot.planted, pot.repotted) if one is not None]
    if not since:
        return limit
    ball = 0.35 if pot.root_ball is None else pot.root_ball
    rooted = ball + (1 - ball) * min(max((day - max(since)).days / 28, 0.0), 1.0)
    return limit + (1 - rooted) * (kind.capacity_l - limit)


def rained(water: Water, kind: Kind, garden: Garden, pot: Pot, weather: HourlyWeather, hour: int,
           air: Asked) -> Water:  # fmt: skip
    """Return the pot after the rain of an hour: what leaves keep, what runs past, what stands."""
    place = garden.place(pot.place)
    share = 0.0 if place.glass is not None else place.rain
    before = sum(float(rain) for rain in weather.rain_mm[max(hour - 5, 0) : hour]) * share
    rain = float(weather.rain_mm[hour]) * share
    kept = min(rain, max(1.3 - before, 0.0))
    opening, top = pot.vessel.opening_area_m2, pot.vessel.surface_area_m2
    catch = pot.crop.rain_catch if pot.rain_catch is None else pot.rain_catch
    volume = max(rain * catch * opening - kept * air.under_leaves * opening, 0.0)
    if volume == 0.0:
        return water
    filled = pot.vessel.filled_volume_l
    dry, repels = 0.5 * pot.medium.lower_limit * filled, pot.medium.rewet_below * filled

    def taken(level: float) -> float:
        if level >= repels:
            return 1.0
        return 1 - 0.5 * min((repels - level) / (repels - dry), 1.0)

    wetted = integral(water.stored_l, taken, volume)
    stored = min(wetted, max(kind.capacity_l, water.stored_l))
    basin = pot.basin.volume_l if pot.basin else 0.0
    below = min(water.below_l + volume - (stored - water.stored_l), max(basin, water.below_l))
    return Water(stored, max(water.surface_mm - volume / top, 0.0), below, water.strain)


def an_hour(
    water: Water, kind: Kind, garden: Garden, pot: Pot, begun: date, weather: HourlyWeather,
    hour: int,
) -> Water:  # fmt: skip
    """Return the pot after an hour.

    Rain; then the mix takes back what stands below; the surface dries; the plant drinks; the wall
    breathes; and leaves that hang are strained.
    """
    air = asked(garden, pot, begun, weather, hour)
    water = rained(water, kind, garden, pot, weather, hour, air)
    stored, below = water.stored_l, water.below_l
    limit = out_of_reach_l(pot, kind, utc_day(int(weather.end_s[hour])))
    if pot.basin is not None:
        pace = {"saucer": 0.5, "outer pot": 0.5, "reservoir": 0.7}[pot.basin.kind]
        lacking = max(kind.capacity_l - stored, 0.0)
        back = min(below, integral(0.0, lambda done: pace * (lacking - done)))
        stored, below = stored + back, below - back
        below -= min(below, 1.05 * air.et0_mm * pot.basin.open_m2)
    # Eq 71: energy binds at Kc max of the exposed part.
    drying_mm = (kind.evaporable_mm - kind.readily_mm) * air.slack
    dried = falling(kind.evaporable_mm - water.surface_mm, drying_mm,
                    air.surface_mm * (1 - pot.mulch))  # fmt: skip
    air_dry = 0.5 * pot.medium.lower_limit * pot.vessel.filled_volume_l
    top = pot.vessel.surface_area_m2
    stored -= min(dried * air.few * top, max(stored - air_dry, 0.0))
    available = kind.capacity_l - limit
    thirst = air.leaves_l * kind.use_factor * (1 - 0.4 * water.strain)
    stored -= falling(max(stored - limit, 0.0), kind.dry_point * available, thirst)
    sealed = pot.setting == "sunk" or (pot.basin is not None and pot.basin.kind == "outer pot")
    breathes = 0.0 if sealed else {"clay": 0.3, "fabric": 0.55, "wood": 0.1}.get(pot.wall, 0.0)
    stored -= falling(max(stored - air_dry, 0.0), 0.5 * (kind.capacity_l - air_dry),
                      air.et0_mm * breathes * pot.vessel.side_area_m2)  # fmt: skip
    hung = min(max(1 - (stored - limit) / (0.1 * available), 0.0), 1.0)
    strain = max(water.strain * math.exp(-1 / 24), hung)
    return Water(stored, water.surface_mm + dried, below, strain)
