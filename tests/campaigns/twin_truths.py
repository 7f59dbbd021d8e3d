"""Real gardens to learn from: one made of the model's own equations, one made of others.

The second one differs in structure: steps of five minutes, the ASCE hourly reference with another
wind, an S-shaped decline of use in place of a broken line, canopies that grow by a percent a day
that nobody is told of, a surface that dries by the root of time, and dry mixes through which
water finds a channel. Its factors are drawn with the spreads of the prior (or others), so that
only the structure is wrong.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Protocol

import numpy as np

from irrigate.garden.believed import Standing
from irrigate.garden.fold import fold
from irrigate.garden.leaves import Climate, leaves_of
from irrigate.garden.pots import Garden
from irrigate.garden.priors import CAPACITY, USE, capacity_group
from irrigate.garden.shared import Spreads
from irrigate.garden.surroundings import solar_mj_m2, wind_m_s
from irrigate.garden.weather import Floats, HourlyWeather
from irrigate.planning.truth import true_garden
from irrigate.science import air
from irrigate.science.hourly_site import site_et0_mm

FIVE_MINUTES = timedelta(minutes=5)
FIVE_MIN_H = 1.0 / 12.0
# From drier than this, every other watering runs out with a fifth of the pot still dry.
CHANNELS_BELOW, CHANNELLED = 0.3, 0.8


class RealGarden(Protocol):
    """What can be asked of a real garden."""

    def passed(self, until: datetime) -> None:
        """Let time pass."""

    def refilled(self) -> Floats:
        """Fill every pot till it runs, twice; return what each took [pot, L]."""

    def mass_kg(self) -> Floats:
        """Weigh every pot [pot, kg]."""

    def use_factor(self) -> Floats:
        """Return each plant's thirst against the equations [pot]."""


class Matched:
    """The model's own equations, with factors that the belief does not know."""

    def __init__(self, garden: Garden, weather: HourlyWeather, at: datetime, key: str,
                 use: Spreads = USE) -> None:  # fmt: skip
        standing = true_garden(garden, at, key).standing
        rng = np.random.default_rng(abs(hash_of(key)))
        log_use, log_capacity = drawn_factors(garden, rng, use)
        belief = replace(
            standing.belief, log_use=log_use[:, None], log_capacity=log_capacity[:, None]
        )
        self._weather = weather
        self.standing = replace(standing, belief=belief)
        self.refilled()

    def passed(self, until: datetime) -> None:
        """Let time pass."""
        later = fold(self.standing, (), self._weather, until, 1)
        assert later is not None
        self.standing = later

    def refilled(self) -> Floats:
        """Fill every pot till it runs, twice; return what each took [pot, L]."""
        belief = self.standing.belief
        full = np.broadcast_to(self.standing.traits.capacity_l, belief.water_l.shape)
        took = np.maximum(full - belief.water_l, 0.0)[:, 0]
        wet = replace(belief, water_l=full.copy(), surface_mm=np.zeros_like(belief.surface_mm))
        self.standing = replace(self.standing, belief=wet)
        return np.asarray(took)

    def mass_kg(self) -> Floats:
        """Weigh every pot [pot, kg]."""
        belief = self.standing.belief
        return np.asarray((belief.empty_kg + belief.water_l)[:, 0])

    def use_factor(self) -> Floats:
        """Return each plant's thirst against the equations [pot]."""
        return np.asarray(np.exp(self.standing.belief.log_use[:, 0]))


def hash_of(key: str) -> int:
    """Return a number for a key, the same on every machine."""
    return int.from_bytes(key.encode()[-6:].rjust(6, b"\0"), "little")


def drawn_factors(garden: Garden, rng: np.random.Generator, use: Spreads) -> tuple[Floats, Floats]:
    """Draw log use and log capacity of every pot: garden + group + pot."""
    columns = []
    for spreads, names in (
        (use, [pot.group for pot in garden.pots]),
        (CAPACITY, [capacity_group(pot) for pot in garden.pots]),
    ):
        level = {name: spreads.group * rng.standard_normal() for name in sorted(set(names))}
        whole = spreads.mean + spreads.garden * rng.standard_normal()
        own = spreads.pot * rng.standard_normal(len(names))
        columns.append(whole + np.array([level[name] for name in names]) + own)
    return columns[0], columns[1]


@dataclass
class Mismatched:
    """Other equations; see the top of the file."""

    garden: Garden
    weather: HourlyWeather
    at: datetime
    key: str
    use: Spreads = USE

    def __post_init__(self) -> None:
        """Draw what each pot is, and work out what each hour asks of it."""
        begins = Matched(self.garden, self.weather, self.at, self.key, self.use).standing
        belief, traits = begins.belief, begins.traits
        self._begin = self.at
        self._factor = np.exp(belief.log_use[:, 0])
        self._full = traits.capacity_l[:, 0].copy()
        self._limit = np.broadcast_to(traits.limit_l, belief.water_l.shape)[:, 0].copy()
        self._top = np.broadcast_to(traits.surface_m2, belief.water_l.shape)[:, 0].copy()
        self._dry = belief.dry_point[:, 0].copy()
        self._empty = belief.empty_kg[:, 0].copy()
        self._rng = np.random.default_rng(hash_of(self.key) + 1)
        self._water = self._full.copy()
        self._wet_since_h = np.zeros(len(self.garden.pots))
        self._asked = _asked_mm(self.garden, self.weather)
        self._leaf = _leaf_m2(begins, self.weather)

    def passed(self, until: datetime) -> None:
        """Let time pass, five minutes by five minutes."""
        while self.at < until:
            hour = int(np.searchsorted(self.weather.end_s, self.at.timestamp(), side="right"))
            grown = 1.01 ** ((self.at - self._begin).total_seconds() / 86400.0)
            et0 = self._asked[:, hour] * FIVE_MIN_H
            share = np.clip((self._water - self._limit) / (self._full - self._limit), 0.0, 1.0)
            stress = 1.0 / (1.0 + ((1.0 - share) / (1.0 - 0.5 * self._dry)) ** 6)
            drunk = et0 * self._leaf[:, hour] * grown * self._factor * stress * (share > 0.0)
            self._wet_since_h += FIVE_MIN_H
            slow = np.minimum(1.0, (12.0 / self._wet_since_h) ** 0.5)
            dried = 0.5 * et0 * self._top * slow
            self._water = np.maximum(self._water - drunk - dried, 0.5 * self._limit)
            self.at += FIVE_MINUTES

    def refilled(self) -> Floats:
        """Fill every pot; through a dry mix part of it finds a channel on the first pass."""
        share = (self._water - self._limit) / (self._full - self._limit)
        channel = (share < CHANNELS_BELOW) & (self._rng.random(share.size) < 0.5)
        took = (self._full - self._water) * np.where(channel, CHANNELLED, 1.0)
        self._water = self._water + took
        self._wet_since_h[:] = 0.0
        return took

    def mass_kg(self) -> Floats:
        """Weigh every pot [pot, kg]."""
        return np.asarray(self._empty + self._water)

    def use_factor(self) -> Floats:
        """Return each plant's thirst against the equations [pot]."""
        return self._factor


def _asked_mm(garden: Garden, weather: HourlyWeather) -> Floats:
    """Return reference ET at each pot's place by ASCE 2005, the wind wrong by half [pot, hour]."""
    pressure = float(np.asarray(air.pressure_kpa(garden.site.elevation_m)))
    by_place = {
        place.name: np.maximum(
            site_et0_mm(
                garden.site,
                weather.end_s,
                temperature_c=weather.temperature_c,
                vapour_pressure_kpa=weather.vapour_pressure_kpa,
                solar_mj_m2=solar_mj_m2(
                    place, weather.solar_mj_m2, weather.end_s, garden.site.time_zone
                ),
                wind_2m_m_s=1.5 * wind_m_s(place, weather.wind_2m_m_s),
                pressure_kpa=pressure,
                assumed_ratio=0.7,
                method="asce-short",
            ),
            0.0,
        )
        for place in garden.places
    }
    return np.stack([by_place[pot.place] for pot in garden.pots])


def _leaf_m2(begins: Standing, weather: HourlyWeather) -> Floats:
    """Return the plants' litres per millimetre as the model has them, unstressed [pot, hour]."""
    garden = begins.garden
    climate = Climate.of(weather)
    return np.stack(
        [
            leaves_of(
                pot, garden, climate.at(garden.place(pot.place)), size, begins.belief.at
            ).use_m2
            for pot, size in zip(garden.pots, begins.belief.canopy_m, strict=True)
        ]
    )
