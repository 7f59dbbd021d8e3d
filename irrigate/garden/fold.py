"""Belief as a fold over facts: the same code live, in replay and after a restart.

`fold` takes a belief at one moment, the facts and the weather since, and gives the belief at a
later moment. It never edits a belief in place, and it gives the same bits from any checkpoint.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np

from irrigate.garden.adoption import adopted
from irrigate.garden.balance import PotTraits, step
from irrigate.garden.belief import Belief, entered, rounded
from irrigate.garden.believed import Standing as Standing
from irrigate.garden.demand import PotDemand, pot_demand
from irrigate.garden.events import (
    CanopyMeasured,
    Drained,
    Fact,
    Finger,
    GardenVersion,
    Given,
    Marked,
    Planted,
    Probe,
    ProbeRaw,
    Resized,
    RoundAnswered,
    RoundTold,
    Tended,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.garden.exposure import PlaceWeather, place_weather
from irrigate.garden.hours_felt import felt
from irrigate.garden.learning import drifted, shared, sites_of
from irrigate.garden.marks import Marks, marks
from irrigate.garden.on_pot import on_pot
from irrigate.garden.pots import Garden
from irrigate.garden.season import grown
from irrigate.garden.shared import Sites
from irrigate.garden.traits import vitals
from irrigate.garden.watering import portions, unspoken
from irrigate.garden.weather import HOUR_S, HourlyWeather

# Weather before the start that an hour's demand still depends on: the clouds of up to a day
# before, and the trailing day of the climate terms.
LEAD = timedelta(hours=54)

WATERED = (Given, TillRan)
FOLDED = (
    GardenVersion, Planted, CanopyMeasured, Resized, Marked, Tended, *WATERED,
    RoundTold, Finger, Weighed, Wilting, Probe, ProbeRaw, Drained,
)  # fmt: skip
"""Kinds of fact that change a belief. (Reports of rain change the weather it is stepped with.)"""


@dataclass(frozen=True, slots=True)
class _Said:
    """What was said of a round: as a whole, and of which single pots."""

    whole: RoundAnswered | None = None
    pot_ids: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, eq=False)
class _Gear:
    """What a stretch of stepping needs, until an event changes a garden or a factor."""

    traits: PotTraits
    demand: PotDemand
    places: PlaceWeather
    first_end_s: int


def fold(
    start: Standing | None,
    facts: Sequence[Fact],
    weather: HourlyWeather,
    until: datetime,
    members: int,
) -> Standing | None:
    """Bring a belief up to a later moment.

    Parameters
    ----------
    start : where to start; None before the first garden version.
    facts : facts that stand, in order; those after ``start.belief.at`` and not after ``until``
        are applied. Answers to rounds are looked for among all of them.
    weather : hour by hour without gaps or NaN, from `LEAD` before the start to ``until`` (an
        hour begun counts whole).
    until : the moment wanted (UTC).
    members : size of the ensemble, for a first garden.

    Returns
    -------
    The belief at ``until``; None while there is no garden or no weather. Without a start, a
    garden older than the weather is believed in from the first hour of the weather on.

    Raises
    ------
    ValueError : the weather does not reach far enough.
    """
    answers, unwell = _answers(facts), marks(facts, "unwell")
    after = start.belief.at if start else None
    begins = _beginning(weather)
    if start is None and (begins is None or begins > until):
        return None
    weather = _within_reach(weather, after, until)
    current = start
    gear: _Gear | None = None
    sites = sites_of(start.belief) if start else ()
    parted = (part for fact in facts if isinstance(fact.body, FOLDED) for part in portions(fact))
    for fact in sorted(parted, key=lambda part: part.order):
        if fact.valid_at > until:
            continue
        if after is not None and fact.valid_at <= after:
            continue
        if current is not None and current.belief.at < fact.valid_at:
            current, gear = _taught(current, gear, weather, sites)
            current, gear = _advanced(current, gear, weather, fact.valid_at)
            sites = sites_of(current.belief)
        changed = _applied(current, fact, answers, unwell, members, begins)
        if gear is not None and changed is not None:
            gear = _refitted(gear, current, changed, weather)
        current = changed
        if isinstance(fact.body, GardenVersion) and current is not None:
            sites = sites_of(current.belief)
    if current is None:
        return None
    current, gear = _taught(current, gear, weather, sites)
    current, _ = _advanced(current, gear, weather, until)
    return replace(current, belief=rounded(current.belief)) if _midnight(until) else current


def _taught(
    current: Standing, gear: _Gear | None, weather: HourlyWeather, before: Sequence[Sites]
) -> tuple[Standing, _Gear | None]:
    """Teach all pots what was seen of single ones at this moment, before time goes on."""
    if not before:
        return current, gear
    belief = shared(current, before)
    if belief is current.belief:
        return current, gear
    changed = replace(current, belief=belief)
    return changed, None if gear is None else _refitted(gear, current, changed, weather)


def _within_reach(weather: HourlyWeather, after: datetime | None, until: datetime) -> HourlyWeather:
    """Return the hours that the stretch depends on; the rest would be worked out for nothing."""
    stop_s = int(until.timestamp()) + HOUR_S
    if after is None:
        return weather.select(weather.end_s <= stop_s)
    return weather.between(int((after - LEAD).timestamp()), stop_s)


def _beginning(weather: HourlyWeather) -> datetime | None:
    """Return the moment from which on there is weather."""
    return datetime.fromtimestamp(int(weather.end_s[0]) - HOUR_S, UTC) if len(weather) else None


def _answers(facts: Sequence[Fact]) -> dict[str, _Said]:
    """Return, by round, what was said of it."""
    spoken: dict[str, _Said] = {}
    for fact in facts:
        if isinstance(fact.body, RoundAnswered):
            key = fact.body.round_key
            spoken[key] = replace(spoken.get(key, _Said()), whole=fact.body)
        elif isinstance(fact.body, WATERED) and fact.body.round_key is not None:
            key = fact.body.round_key
            known = spoken.get(key, _Said())
            spoken[key] = replace(known, pot_ids=known.pot_ids | {fact.body.pot_id})
    return spoken


def _midnight(at: datetime) -> bool:
    return at.astimezone(UTC).timetuple()[3:6] == (0, 0, 0) and at.microsecond == 0


def _advanced(
    current: Standing, gear: _Gear | None, weather: HourlyWeather, until: datetime
) -> tuple[Standing, _Gear | None]:
    """Step hour by hour to a moment; every midnight passed on the way is rounded."""
    belief = current.belief
    if belief.at >= until:
        return current, gear
    gear = gear or _geared(current, weather)
    while belief.at < until:
        if _midnight(belief.at):
            current = replace(current, belief=rounded(belief))
            gear = _rounded_gear(gear, belief, current, weather)
            belief = current.belief
        end = min(until, _next_hour(belief.at))
        hour = (int(_next_hour(belief.at).timestamp()) - gear.first_end_s) // HOUR_S
        if not 0 <= hour < gear.places.et0_mm.shape[2]:
            raise ValueError(f"no weather for the hour after {belief.at:%Y-%m-%d %H:%M} UTC")
        length_h = (end - belief.at) / timedelta(hours=1)
        store, flows = step(belief.store, gear.traits, gear.demand.at(gear.places, hour, length_h))
        belief = _reached(current, entered(belief, store, flows=flows), gear, end, length_h)
    return replace(current, belief=belief), gear


def _reached(
    current: Standing, belief: Belief, gear: _Gear, end: datetime, length_h: float
) -> Belief:
    """Return the belief at the end of a step: its hours counted, and a day older at midnight.

    A day is added by arriving at midnight, not by starting from it: it must happen once.
    """
    hours = belief.felt_h + felt(belief.store, gear.traits) * length_h
    if not _midnight(end):
        return replace(belief, at=end, felt_h=hours)
    canopy = grown(current.garden.pots, belief.canopy_m, belief.at)
    belief = replace(belief, at=end, canopy_m=canopy, felt_h=hours)
    return drifted(replace(current, belief=belief))


def _next_hour(at: datetime) -> datetime:
    return at.replace(minute=0, second=0, microsecond=0) + timedelta(hours=1)


def _geared(current: Standing, weather: HourlyWeather) -> _Gear:
    garden, belief = current.garden, current.belief
    if not len(weather):
        raise ValueError("no weather at all")
    return _Gear(
        traits=current.traits,
        demand=pot_demand(garden, weather, belief.canopy_m, belief.at),
        places=place_weather(garden, weather),
        first_end_s=int(weather.end_s[0]),
    )


def _rounded_gear(gear: _Gear, before: Belief, after: Standing, weather: HourlyWeather) -> _Gear:
    """Return the gear of the rounded factors: what a fold that starts here would step with."""
    if not np.array_equal(before.canopy_m, after.belief.canopy_m):
        return _geared(after, weather)
    return replace(gear, traits=after.traits)


def _refitted(
    gear: _Gear, before: Standing | None, after: Standing, weather: HourlyWeather
) -> _Gear | None:
    """Return the gear after an event: kept where nothing but water changed."""
    if before is None or after.garden is not before.garden:
        return None
    old, new = before.belief, after.belief
    if new.canopy_m is not old.canopy_m:
        return _geared(after, weather)
    if new.log_use is not old.log_use:
        return replace(gear, traits=after.traits)
    return gear


def _applied(
    current: Standing | None, fact: Fact, answers: dict[str, _Said], unwell: Marks, members: int,
    begins: datetime | None,
) -> Standing | None:  # fmt: skip
    """Apply one fact at its moment; a garden before the weather ``begins``, at its beginning."""
    if isinstance(fact.body, GardenVersion):
        garden = fact.body.garden
        before = current.belief if current else None
        known = vitals(garden.pots)
        earliest = begins if before is None else before.at
        began = max(fact.valid_at, earliest or fact.valid_at)
        belief = adopted(current, garden, known, began, members)
        if current is not None:
            belief = _sizes_kept(belief, current, garden)
        return Standing(garden, known, belief)
    if current is None:
        return None
    if isinstance(fact.body, RoundTold):
        return _round_passed(current, fact.body, answers)
    pot_id = getattr(fact.body, "pot_id", None)
    if pot_id not in current.belief.pot_ids:
        return current
    row = current.belief.row(pot_id)
    sick = unwell.on(pot_id, fact.valid_at)
    return replace(current, belief=on_pot(current, fact, row, unwell=sick))


def _sizes_kept(belief: Belief, current: Standing, garden: Garden) -> Belief:
    """Keep measured sizes of plants whose description did not change."""
    canopy = belief.canopy_m.copy()
    described = {
        (pot.plant_id, pot.canopy_width_m, pot.canopy_height_m) for pot in current.garden.pots
    }
    for row, pot in enumerate(garden.pots):
        if (pot.plant_id, pot.canopy_width_m, pot.canopy_height_m) in described:
            canopy[row] = current.belief.canopy_m[current.belief.plant_ids.index(pot.plant_id)]
    return replace(belief, canopy_m=canopy)


def _round_passed(current: Standing, told: RoundTold, answers: dict[str, _Said]) -> Standing:
    """Apply a round: what nobody spoke of by habit, what was to be felt by what a finger finds."""
    said = answers.get(told.round_key, _Said())
    keeps = current.garden.manner.keeps_rounds
    if said.whole is not None:
        # The waterings themselves stand in facts of their own; those who walked felt the others.
        felt = {
            pot_id: dose for pot_id, dose in told.feel_l.items() if pot_id in said.whole.pot_ids
        }
        told, keeps = replace(told, water_l={}, feel_l=felt), 1.0
    belief = unspoken(current.belief, current.traits, told, said.pot_ids, keeps)
    return replace(current, belief=belief)
