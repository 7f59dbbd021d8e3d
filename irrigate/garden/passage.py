"""A belief on its way through time: fact by fact and hour by hour, stepping gear kept at hand.

`irrigate.garden.fold` goes through a stretch with it; a replay goes through a season, and looks at
the belief on the way. However a stretch is cut, the bits are the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from irrigate.garden.adoption import adopted
from irrigate.garden.balance import PotTraits, step
from irrigate.garden.belief import Belief, entered, rounded
from irrigate.garden.believed import Standing
from irrigate.garden.demand import PotDemand, pot_demand
from irrigate.garden.events import (
    Fact,
    GardenVersion,
    Given,
    Planted,
    RoundAnswered,
    RoundTold,
    Tended,
    TillRan,
)
from irrigate.garden.exposure import PlaceWeather, place_weather
from irrigate.garden.hours_felt import felt
from irrigate.garden.learning import drifted, shared, sites_of
from irrigate.garden.marks import Marks, marks
from irrigate.garden.on_pot import on_pot
from irrigate.garden.pots import Garden
from irrigate.garden.rows import merged, only
from irrigate.garden.season import grown
from irrigate.garden.traits import vitals
from irrigate.garden.watering import unspoken
from irrigate.garden.weather import HOUR_S, HourlyWeather

# Weather before the start that an hour's demand still depends on: the clouds of up to a day
# before, and the trailing day of the climate terms.
LEAD = timedelta(hours=54)
# For how long ahead the demand is worked out at once: plants grow at midnight, and then it is
# worked out anew.
AHEAD_S = 25 * HOUR_S

WATERED = (Given, TillRan)


@dataclass(frozen=True, slots=True)
class _Said:
    """What was said of a round: as a whole, and of which single pots."""

    whole: RoundAnswered | None = None
    pot_ids: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Told:
    """What facts say of each other, wherever they stand: answers to rounds, and sick plants.

    Parameters
    ----------
    answers : by round, what was said of it.
    unwell : which pots bore this mark, and when.
    """

    answers: Mapping[str, _Said]
    unwell: Marks

    @staticmethod
    def by(facts: Sequence[Fact]) -> Told:
        """Gather it from facts that stand, in order."""
        return Told(_answers(facts), marks(facts, "unwell"))


@dataclass(frozen=True, slots=True, eq=False)
class _Gear:
    """What a stretch of stepping needs, until an event changes a garden or a factor."""

    traits: PotTraits
    demand: PotDemand
    places: PlaceWeather
    first_end_s: int

    def hour(self, at: datetime) -> int | None:
        """Return the row of the hour that goes on at a moment; None if it is not there."""
        row = (int(_next_hour(at).timestamp()) - self.first_end_s) // HOUR_S
        return row if 0 <= row < self.places.et0_mm.shape[2] else None


class Passage:
    """A belief that is taken through facts and hours, in order.

    Parameters
    ----------
    start : where it starts; None before the first garden version.
    told : what all facts together say of rounds and sick plants.
    weather : hour by hour without gaps or NaN, from `LEAD` before the start on.
    members : size of the ensemble, for a first garden.
    """

    def __init__(
        self, start: Standing | None, told: Told, weather: HourlyWeather, members: int
    ) -> None:
        self._standing = start
        self._singles: dict[int, Standing] = {}
        self._rows = _rows_of(start)
        self._told, self._weather, self._members = told, weather, members
        self._gear: _Gear | None = None
        self._sites = sites_of(start.belief) if start else ()

    @property
    def standing(self) -> Standing | None:
        """The belief as far as it has come, what was done to single pots put back into it."""
        if self._singles and self._standing is not None:
            singles, self._singles = self._singles, {}
            self._change(replace(self._standing, belief=merged(self._standing, singles)))
        return self._standing

    def of(self, pot_id: str) -> Standing | None:
        """Return one pot by itself, as far as it has come; None if it is not there."""
        row = self._rows.get(pot_id)
        if row is None or self._standing is None:
            return None
        return self._singles.get(row) or only(self._standing, row)

    def row(self, pot_id: str) -> int:
        """Return the row of a pot that is there."""
        return self._rows[pot_id]

    def branch(self) -> Passage:
        """Return one that goes its own way from here."""
        other = Passage(self.standing, self._told, self._weather, self._members)
        # The gear fits the belief as it is; the sites are those that all pots were last taught.
        other._gear, other._sites = self._gear, self._sites
        return other

    def reach(self, at: datetime) -> None:
        """Step to a moment, once all pots were taught what was seen before it.

        Raises
        ------
        ValueError : the weather does not reach far enough.
        """
        # Not `standing`: at one moment many pots are told of, and joined once.
        if self._standing is None or self._standing.belief.at >= at:
            return
        self.teach()
        self._advance(at)
        if self.standing is not None:
            self._sites = sites_of(self.standing.belief)

    def take(self, fact: Fact) -> None:
        """Reach the moment of a fact and apply it; what it teaches other pots waits for `teach`.

        A round, a garden or a new plant concerns all pots: they are taught first what was seen
        before it at the same moment.
        """
        self.reach(fact.valid_at)
        if self._took_alone(fact):
            return
        self.teach()
        after = _applied(self.standing, fact, self._told, self._members, self._begins())
        self._change(after)
        if after is not None:
            # What went with a plant that is gone is no news, and all were moved to the rest.
            self._sites = sites_of(after.belief)

    def _took_alone(self, fact: Fact) -> bool:
        """Apply a fact to its pot by itself, if it concerns but one; the rows are joined later."""
        pot_id = getattr(fact.body, "pot_id", None)
        row = self._rows.get(pot_id) if isinstance(pot_id, str) else None
        if row is None or self._standing is None or isinstance(fact.body, Planted):
            return False
        one = self._singles.get(row) or only(self._standing, row)
        sick = self.is_unwell(str(pot_id), fact.valid_at)
        self._singles[row] = replace(one, belief=on_pot(one, fact, 0, unwell=sick))
        return True

    def is_unwell(self, pot_id: str, at: datetime) -> bool:
        """Return whether a pot bears this mark at a moment."""
        return self._told.unwell.on(pot_id, at)

    def teach(self) -> None:
        """Teach all pots what was seen of single ones at this moment, before time goes on."""
        current = self.standing
        if current is None or not self._sites:
            return
        belief = shared(current, self._sites)
        if belief is not current.belief:
            self._change(replace(current, belief=belief))
            self._sites = sites_of(belief)

    def finish(self, at: datetime) -> Standing | None:
        """Return the belief at a moment whose facts were all taken; rounded if it is midnight."""
        self.reach(at)
        self.teach()
        current = self.standing
        if current is not None and _midnight(at):
            self._round(current)
        return self.standing

    def _change(self, after: Standing | None) -> None:
        if self._gear is not None and after is not None:
            self._gear = _refitted(self._gear, self._standing, after)
        if after is not None and (
            self._standing is None or after.belief.pot_ids is not self._standing.belief.pot_ids
        ):
            self._rows = _rows_of(after)
        self._standing = after

    def _begins(self) -> datetime | None:
        """Return the moment from which on there is weather."""
        weather = self._weather
        first_s = int(weather.end_s[0]) - HOUR_S if len(weather) else None
        return None if first_s is None else datetime.fromtimestamp(first_s, UTC)

    def _advance(self, until: datetime) -> None:
        """Step hour by hour to a moment; every midnight passed on the way is rounded."""
        while (current := self.standing) is not None and current.belief.at < until:
            if _midnight(current.belief.at):
                current = self._round(current)
            belief = current.belief
            gear, hour = self._fit(current)
            end = min(until, _next_hour(belief.at))
            length_h = (end - belief.at) / timedelta(hours=1)
            asked = gear.demand.at(gear.places, hour, length_h)
            store, flows = step(belief.store, gear.traits, asked)
            belief = _reached(current, entered(belief, store, flows=flows), gear, end, length_h)
            if belief.canopy_m is not current.belief.canopy_m:
                self._gear = None
            self._standing = replace(current, belief=belief)

    def _round(self, current: Standing) -> Standing:
        """Round the belief; what it is stepped by from here is that of a new day."""
        after = replace(current, belief=rounded(current.belief))
        self._gear = None  # roots and leaves are a day older as well
        self._standing = after
        return after

    def _fit(self, current: Standing) -> tuple[_Gear, int]:
        """Return the gear of the hour that goes on, and its row."""
        at = current.belief.at
        hour = self._gear.hour(at) if self._gear else None
        if self._gear is None or hour is None:
            self._gear = _geared(current, self._weather)
            hour = self._gear.hour(at)
        if hour is None:
            raise ValueError(f"no weather for the hour after {at:%Y-%m-%d %H:%M} UTC")
        return self._gear, hour


def _answers(facts: Sequence[Fact]) -> dict[str, _Said]:
    """Return, by round, what was said of it."""
    spoken: dict[str, _Said] = {}
    for fact in facts:
        if isinstance(fact.body, RoundAnswered):
            key = fact.body.round_key
            spoken[key] = replace(spoken.get(key, _Said()), whole=fact.body)
        elif isinstance(fact.body, (*WATERED, Tended)) and fact.body.round_key is not None:
            key = fact.body.round_key
            known = spoken.get(key, _Said())
            spoken[key] = replace(known, pot_ids=known.pot_ids | {fact.body.pot_id})
    return spoken


def _rows_of(current: Standing | None) -> dict[str, int]:
    """Return the row of each pot by its id."""
    return {} if current is None else {name: i for i, name in enumerate(current.belief.pot_ids)}


def _midnight(at: datetime) -> bool:
    return at.astimezone(UTC).timetuple()[3:6] == (0, 0, 0) and at.microsecond == 0


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
    """Work out what the coming day is stepped by, from as much weather as it depends on."""
    garden, belief = current.garden, current.belief
    now_s = int(belief.at.timestamp())
    hours = weather.between(now_s - int(LEAD.total_seconds()), now_s + AHEAD_S)
    if not len(hours):
        raise ValueError(f"no weather around {belief.at:%Y-%m-%d %H:%M} UTC")
    return _Gear(
        traits=current.traits,
        demand=pot_demand(garden, hours, belief.canopy_m, belief.at),
        places=place_weather(garden, hours),
        first_end_s=int(hours.end_s[0]),
    )


def _refitted(gear: _Gear, before: Standing | None, after: Standing) -> _Gear | None:
    """Return the gear after an event: kept where nothing but water changed."""
    if before is None or after.garden is not before.garden:
        return None
    old, new = before.belief, after.belief
    if new.canopy_m is not old.canopy_m:
        return None
    if new.log_use is not old.log_use:
        return replace(gear, traits=after.traits)
    return gear


def _applied(
    current: Standing | None, fact: Fact, told: Told, members: int, begins: datetime | None
) -> Standing | None:
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
        return _round_passed(current, fact.body, told.answers)
    pot_id = getattr(fact.body, "pot_id", None)
    if pot_id not in current.belief.pot_ids:
        return current
    row = current.belief.row(pot_id)
    sick = told.unwell.on(pot_id, fact.valid_at)
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


def _round_passed(current: Standing, told: RoundTold, answers: Mapping[str, _Said]) -> Standing:
    """Apply a round: what nobody spoke of by habit, what was to be felt by what a finger finds."""
    said = answers.get(told.round_key, _Said())
    keeps = current.garden.manner.keeps_rounds
    if said.whole is not None:
        # The waterings themselves stand in facts of their own; those who walked felt the others.
        felt = {
            pot_id: dose for pot_id, dose in told.feel_l.items() if pot_id in said.whole.pot_ids
        }
        told, keeps = replace(told, water_l={}, feel_l=felt), 1.0
    belief = unspoken(current, told, said.pot_ids, keeps)
    return replace(current, belief=belief)
