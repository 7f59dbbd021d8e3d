"""What became of every pot, hour by hour, by all that the journal holds in the end.

A report of rain changes the day before it; so the hours of a day are kept back until no report can
change them any more, and are lived through once more where one does. What each hour moved adds up
to the change from the first to the last. On the way every report is met by the belief as it was
when it came: with the rain that had been reported by then, and with all that had been seen.

An observation moves no water: it keeps the members that fit. The mean of a pot's members jumps all
the same, and the ledgers of the kept ones are not those of the lot. So the movements are counted
up to each observation, and the jump goes to ``corrected_l``.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby
from typing import get_args

import numpy as np

from irrigate.garden.balance import missing_l, share_available
from irrigate.garden.belief import LEDGER, moved_l
from irrigate.garden.believed import Standing
from irrigate.garden.events import (
    Fact,
    Foretold,
    Planted,
    RainAtPots,
    RoundAnswered,
    TillRan,
    WeatherHours,
    standing,
)
from irrigate.garden.exposure import place_weather
from irrigate.garden.fold import FOLDED, fold
from irrigate.garden.foretelling import foreseeable, foretold, hours_of_sun
from irrigate.garden.known_weather import known_weather, with_rain_seen
from irrigate.garden.observations import Observation
from irrigate.garden.passage import Passage, Told
from irrigate.garden.pots import Garden
from irrigate.garden.watering import portions
from irrigate.garden.weather import Floats, HourlyWeather
from irrigate.ports import Journal

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
# A report of rain changes the hours of a day, and where it begins within one, that hour whole.
KEPT_BACK = 26
# An hour of sun is a measure for errors; it is worked out anew after so long.
SUN_LASTS = timedelta(hours=6)
TELLING = (*FOLDED, RoundAnswered, RainAtPots, WeatherHours)
TOLD = (*FOLDED, RainAtPots)
OBSERVED = (*get_args(Observation), TillRan)
CORRECTED = LEDGER.index("corrected_l")
INTO = np.array(
    [1.0 if name in {"rained_l", "given_l", "corrected_l"} else -1.0 for name in LEDGER]
)


Meeting = Callable[[Fact, Foretold], None]
"""Takes a report, and what the belief before it said of it."""


@dataclass(frozen=True, slots=True, eq=False)
class Lived:
    """One hour that was lived through.

    Parameters
    ----------
    at : its end (UTC).
    standing : garden and belief at its end.
    moved_l : what moved in it, mean of the members, by `LEDGER` [6, pot].
    et0_mm : reference evapotranspiration at each pot's place [pot].
    filled : which of its weather was put in by a procedure, bits of `Filled`.
    """

    at: datetime
    standing: Standing
    moved_l: Floats
    et0_mm: Floats
    filled: int

    @property
    def mean_l(self) -> Floats:
        """Water stored in the mix and below it, mean of the members [pot]."""
        return _mean_l(self.standing)

    @property
    def missing_l(self) -> Floats:
        """Litres below container capacity, median of the members [pot]."""
        belief = self.standing.belief
        missing = missing_l(belief.water_l, self.standing.traits)
        return np.asarray(np.median(missing, axis=1), dtype=np.float64)

    @property
    def chance_thirsty(self) -> Floats:
        """Share of the members below their dry point [pot]."""
        belief = self.standing.belief
        thirsty = share_available(belief.water_l, self.standing.traits) < belief.dry_point
        chance: Floats = thirsty.mean(axis=1)
        return chance


def lived_hours(
    journal: Journal,
    start: datetime,
    end: datetime,
    members: int,
    *,
    held_out: Sequence[Fact] = (),
    meet: Meeting | None = None,
) -> Iterator[Lived]:
    """Yield the moment ``start``, at which nothing moved yet, and every hour up to ``end``.

    Parameters
    ----------
    journal : with a garden not later than ``start``, and the weather up to ``end``.
    start, end : whole hours (UTC).
    members : size of the ensemble.
    held_out : reports that are not in the journal, and that nothing is learnt from.
    meet : told of each report once, in order of time, those held out among them.
    """
    return _Life(journal, start, end, members, held_out, meet).hours()


class _Life:
    """A season on its way: the belief, the hours that a report of rain may still change."""

    def __init__(
        self, journal: Journal, start: datetime, end: datetime, members: int,
        held_out: Sequence[Fact], meet: Meeting | None,
    ) -> None:  # fmt: skip
        facts = standing(journal.facts(TELLING))
        self._start, self._end, self._members, self._meet = start, end, members, meet
        self._plain = known_weather(
            [fact for fact in facts if not isinstance(fact.body, RainAtPots)],
            int(end.timestamp()),
        )
        self._told = Told.by(facts)
        # Water that took hours came in each of them; an hour is shown only what is its own.
        parted = [part for fact in facts if isinstance(fact.body, TOLD) for part in portions(fact)]
        self._facts = sorted([*parted, *held_out], key=lambda part: part.order)
        self._held_out = frozenset(fact.id for fact in held_out)
        self._reported = list(_between(_reports_of_rain(facts), None, start))
        self._heard = {fact.id for fact in self._reported}
        self._met: set[str] = set()
        self._sun_at: datetime | None = None
        self._sun_l: dict[str, float | None] = {}
        self._kept: deque[Lived] = deque()
        self._weather = self._plain

    def hours(self) -> Iterator[Lived]:
        """Yield the start and every hour, each when nothing can change it any more."""
        begun = self._begin()
        sky = _Sky(begun.garden, self._plain)
        nothing = np.zeros((len(LEDGER), len(begun.garden.pots)))
        self._kept.append(Lived(self._start, begun, nothing, *sky.at(self._start)))
        passage = self._passage()
        while (at := self._kept[-1].at) < self._end:
            due = _between(self._facts, at, at + HOUR)
            rain = next((fact for fact in due if self._is_news(fact)), None)
            if rain is not None:
                # Those told before it are met as they were; then the day is lived through again.
                self._through(passage, due[: due.index(rain)], rain.valid_at)
                passage = self._rained(rain)
                continue
            moved = self._through(passage, due, at + HOUR)
            ended = _there(passage.standing)
            self._kept.append(Lived(at + HOUR, ended, moved, *sky.at(at + HOUR)))
            if len(self._kept) > KEPT_BACK:
                yield self._kept.popleft()
        yield from self._kept

    def _begin(self) -> Standing:
        """Return the belief at the start, by the rain that had been reported by then."""
        self._weather = with_rain_seen(self._plain, self._reported)
        known = [fact for fact in self._facts if self._is_taken(fact)]
        begun = fold(
            None, _between(known, None, self._start), self._weather, self._start, self._members
        )
        if begun is None:
            raise ValueError("there was no garden yet at the start")
        return begun

    def _passage(self) -> Passage:
        return Passage(self._kept[-1].standing, self._told, self._weather, self._members)

    def _is_news(self, fact: Fact) -> bool:
        return isinstance(fact.body, RainAtPots) and fact.id not in self._heard

    def _is_taken(self, fact: Fact) -> bool:
        return isinstance(fact.body, FOLDED) and fact.id not in self._held_out

    def _rained(self, rain: Fact) -> Passage:
        """Go back to before the first hour that a report of rain changes."""
        self._reported.append(rain)
        self._heard.add(rain.id)
        self._weather = with_rain_seen(self._plain, self._reported)
        while len(self._kept) > 1 and self._kept[-1].at > rain.valid_at - DAY:
            self._kept.pop()
        return self._passage()

    def _through(self, passage: Passage, due: Sequence[Fact], until: datetime) -> Floats:
        """Take a belief to the end of an hour, and return what moved in it [6, pot]."""
        counted = _there(passage.standing)
        moved = np.zeros((len(LEDGER), len(counted.garden.pots)))
        for at, group in groupby(due, key=_valid_at):
            facts = list(group)
            taken = any(self._is_taken(fact) for fact in facts)
            # What is held out must not even cut an hour in two: that has other last digits.
            going = passage if taken or at == until else passage.branch()
            going.reach(at)
            reached = _there(going.standing)
            if going is passage:
                moved += _counted(counted, reached)
            self._look_at_the_sun(reached, facts)
            for fact in facts:
                self._foretell(fact, going)
                if self._is_taken(fact):
                    _take(going, fact, moved)
            if going is passage:
                moved[CORRECTED] += _taught(going)
                counted = _there(going.standing)
        passage.finish(until)
        return moved + _counted(counted, _there(passage.standing))

    def _foretell(self, fact: Fact, going: Passage) -> None:
        """Hand on what the belief so far says of a report, once."""
        if self._meet is None or fact.id in self._met or not foreseeable(fact.body):
            return
        self._met.add(fact.id)
        pot_id = getattr(fact.body, "pot_id", "")
        one = going.of(pot_id)
        if one is not None and not going.is_unwell(pot_id, fact.valid_at):
            self._meet(fact, foretold(one, fact, (self._sun_l.get(pot_id),), late=False))

    def _look_at_the_sun(self, current: Standing, facts: Sequence[Fact]) -> None:
        """Work out an hour of sun anew, if reports are to be met and some hours have passed."""
        at = current.belief.at
        if self._meet is None or (self._sun_at is not None and at - self._sun_at < SUN_LASTS):
            return
        if any(foreseeable(fact.body) and fact.id not in self._met for fact in facts):
            hours_l = hours_of_sun(current, self._weather)
            self._sun_l = dict(zip(current.belief.pot_ids, hours_l, strict=True))
            self._sun_at = at


def _take(going: Passage, fact: Fact, moved: Floats) -> None:
    """Apply a fact, and enter what moved [6, pot]."""
    pot_id = getattr(fact.body, "pot_id", "")
    before = going.of(pot_id)
    if before is None or isinstance(fact.body, Planted):
        moved[CORRECTED] += _taught(going)
        whole = _there(going.standing)
        going.take(fact)
        moved += _moved_by(fact, whole, _there(going.standing))
        return
    row = going.row(pot_id)
    going.take(fact)
    moved[:, row] += _moved_by(fact, before, _there(going.of(pot_id)))[:, 0]


def _taught(going: Passage) -> Floats:
    """Teach all pots what was seen of single ones, and return by how much that moves each [pot]."""
    before = _there(going.standing)
    going.teach()
    return _mean_l(_there(going.standing)) - _mean_l(before)


def _there(current: Standing | None) -> Standing:
    if current is None:
        raise ValueError("a garden cannot vanish")
    return current


def _moved_by(fact: Fact, before: Standing, after: Standing) -> Floats:
    """Return what moved when a fact was applied [6, pot]."""
    if not isinstance(fact.body, OBSERVED):
        return _counted(before, after)
    poured = _poured(fact, after)
    # Members drawn anew bring their own past along: only the jump is what was learnt.
    poured[CORRECTED] += _mean_l(after) - _mean_l(before) - INTO @ poured
    return poured


def _counted(before: Standing, after: Standing) -> Floats:
    moved: Floats = moved_l(after.belief) - moved_l(before.belief)
    return moved


def imbalance_l(total_l: Floats, change_l: Floats) -> Floats:
    """Return water in − out − change [pot]; zero but for rounding.

    Parameters
    ----------
    total_l : what moved, by `LEDGER` [6, pot].
    change_l : water at the end less water at the start [pot].
    """
    balance: Floats = INTO @ total_l - change_l
    return balance


def _reports_of_rain(facts: Sequence[Fact]) -> list[Fact]:
    """Return the reports of rain among facts."""
    return [fact for fact in facts if isinstance(fact.body, RainAtPots)]


def _between(facts: Sequence[Fact], after: datetime | None, until: datetime) -> Sequence[Fact]:
    """Return the facts valid after one moment and not after another; they are in order."""
    first = 0 if after is None else bisect_right(facts, after, key=_valid_at)
    return facts[first : bisect_right(facts, until, key=_valid_at)]


def _valid_at(fact: Fact) -> datetime:
    return fact.valid_at


def _mean_l(current: Standing) -> Floats:
    mean: Floats = (current.belief.water_l + current.belief.below_l).mean(axis=1)
    return mean


def _poured(fact: Fact, after: Standing) -> Floats:
    """Return what an observation that was a watering too gave and drained [6, pot]."""
    moved = np.zeros((len(LEDGER), len(after.garden.pots)))
    if isinstance(fact.body, TillRan) and fact.body.volume_l is not None:
        row = after.belief.row(fact.body.pot_id)
        moved[LEDGER.index("given_l"), row] = fact.body.volume_l
        kept = after.belief.below_l[row].mean() if after.traits.basin_l[row, 0] > 0.0 else 0.0
        past = max(float(after.belief.past_l[row].mean() - kept), 0.0)
        moved[LEDGER.index("drained_l"), row] = past
    return moved


class _Sky:
    """What the weather was in the hour that ends at a moment."""

    def __init__(self, garden: Garden, weather: HourlyWeather) -> None:
        names = [place.name for place in garden.places]
        self._rows = [names.index(pot.place) for pot in garden.pots]
        self._et0_mm = place_weather(garden, weather).et0_mm[:, 0, :]
        self._filled = weather.filled
        self._hour = {int(end): index for index, end in enumerate(weather.end_s)}

    def at(self, end: datetime) -> tuple[Floats, int]:
        """Return reference ET by pot, and the bits of what was put in."""
        hour = self._hour.get(int(end.timestamp()))
        if hour is None:
            return np.full(len(self._rows), np.nan), 0
        et0 = np.asarray(self._et0_mm[self._rows, hour], dtype=np.float64)
        return et0, int(self._filled[hour])
