"""Days of a garden: what was believed each morning, what was found, what was said of it.

Every morning each pot is filled till it runs, twice. Of some pots the litres are told, or the
weight before; of the others only that it was done.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from irrigate.garden.balance import missing_l
from irrigate.garden.believed import Standing
from irrigate.garden.events import Body, Fact, GardenVersion, TillRan, Weighed
from irrigate.garden.fold import fold
from irrigate.garden.pots import Garden
from irrigate.garden.watering import RAN_L, RAN_SHARE
from irrigate.garden.weather import Floats, HourlyWeather
from tests.campaigns.twin_garden import DAY
from tests.campaigns.twin_truths import RealGarden

MEMBERS = 200
POUND_KG = 0.45359237

Asks = Callable[[int, Standing], dict[int, str]]
"""Which pots are told of on a day, and how: "litres" or "weight"."""


@dataclass(frozen=True, slots=True)
class Slips:
    """How people err: the share of answers that are of another pot, and of pounds for kilograms."""

    other_pot: float = 0.0
    pounds: float = 0.0


NO_SLIPS = Slips()


@dataclass(frozen=True, slots=True, eq=False)
class Morning:
    """One morning: what the members expected each pot to lack, and what it took.

    Parameters
    ----------
    day : 1 is the first after the start.
    expected_l : room of every member, without the noise of an answer [pot, member].
    took_l : what each pot took [pot]. told_l : as a person would tell it [pot].
    told : whether each was told [pot].
    """

    day: int
    expected_l: Floats
    took_l: Floats
    told_l: Floats
    told: Floats


def lived(
    garden: Garden, real: RealGarden, weather: HourlyWeather, start: datetime, days: int,
    asks: Asks, seed: int, slips: Slips = NO_SLIPS,
    known: Callable[[Standing], Standing] | None = None,
) -> list[Morning]:  # fmt: skip
    """Live some days and return their mornings.

    Parameters
    ----------
    garden, weather : as the tool knows them.
    real : as it is; every pot full at the start.
    asks : what is told on which day.
    seed : of the people's noise and slips.
    slips : how they err.
    known : changes the first belief, for a tool that was told the truth.
    """
    rng = np.random.default_rng(seed)
    first = [_fact(GardenVersion(garden, "d"), start, "g")]
    first += _all_filled(garden, start, "start")
    believed = fold(None, first, weather, start, MEMBERS)
    assert believed is not None
    if known is not None:
        believed = known(believed)
    mornings = []
    for day in range(1, days + 1):
        at = start + day * DAY
        real.passed(at)
        believed = fold(believed, [], weather, at - timedelta(minutes=5), MEMBERS)
        assert believed is not None
        expected = np.asarray(missing_l(believed.belief.water_l, believed.traits))
        wanted = asks(day, believed)
        mass = real.mass_kg()
        took = real.refilled()
        told = _as_told(took, rng)
        facts = _said(garden, at, wanted, told, mass, rng, slips)
        believed = fold(believed, facts, weather, at, MEMBERS)
        assert believed is not None
        flags = np.array([row in wanted for row in range(len(garden.pots))])
        mornings.append(Morning(day, expected, took, told, flags))
    return mornings


def noise_l(volume_l: Floats) -> Floats:
    """Return the spread of litres as they are told [L]."""
    return np.hypot(RAN_L, RAN_SHARE * volume_l)


def _as_told(took_l: Floats, rng: np.random.Generator) -> Floats:
    return np.maximum(took_l + noise_l(took_l) * rng.standard_normal(took_l.size), 0.05)


def _said(
    garden: Garden, at: datetime, wanted: dict[int, str], told: Floats, mass: Floats,
    rng: np.random.Generator, slips: Slips,
) -> list[Fact]:  # fmt: skip
    before = at - timedelta(minutes=4)
    facts = []
    for row, how in wanted.items():
        of = row
        if rng.random() < slips.other_pot:
            of = int(rng.integers(len(garden.pots)))
        pot_id = garden.pots[of].id
        if how == "weight":
            shown = mass[row] + np.hypot(0.15, 0.02 * mass[row]) * rng.standard_normal()
            shown = shown / POUND_KG if rng.random() < slips.pounds else shown
            facts.append(_fact(Weighed(pot_id, float(shown)), before, f"w {row}"))
        else:
            facts.append(_fact(TillRan(pot_id, float(told[row]), True), before, f"l {row}"))
    return facts + _all_filled(garden, at - timedelta(minutes=1), "all")


def _all_filled(garden: Garden, at: datetime, name: str) -> list[Fact]:
    return [_fact(TillRan(pot.id, None, True), at, f"{name} {pot.id}") for pot in garden.pots]


def _fact(body: Body, at: datetime, name: str) -> Fact:
    return Fact(f"{name} {at.isoformat()}", at, at, body)
