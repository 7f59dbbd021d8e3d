"""What became of every pot, hour by hour, by all that the journal holds in the end.

A report of rain changes the day before it; so the hours are folded once more when everything is
known, and what each hour moved adds up to the change from the first to the last.

An observation moves no water: it keeps the members that fit. The mean of a pot's members jumps all
the same, and the ledgers of the kept ones are not those of the lot. So the fold is halted at each
observation, the movements are counted up to it, and the jump goes to ``corrected_l``.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import get_args

import numpy as np

from irrigate.garden.balance import missing_l, share_available
from irrigate.garden.belief import LEDGER, moved_l
from irrigate.garden.events import Fact, RainAtPots, RoundAnswered, TillRan, WeatherHours, standing
from irrigate.garden.exposure import place_weather
from irrigate.garden.fold import FOLDED, Standing, fold
from irrigate.garden.known_weather import known_weather
from irrigate.garden.observations import Observation
from irrigate.garden.pots import Garden
from irrigate.garden.watering import portions
from irrigate.garden.weather import Floats, HourlyWeather
from irrigate.ports import Journal

HOUR = timedelta(hours=1)
TELLING = (*FOLDED, RoundAnswered, RainAtPots, WeatherHours)
OBSERVED = (*get_args(Observation), TillRan)
CORRECTED = LEDGER.index("corrected_l")
INTO = np.array(
    [1.0 if name in {"rained_l", "given_l", "corrected_l"} else -1.0 for name in LEDGER]
)


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


def lived_hours(journal: Journal, start: datetime, end: datetime, members: int) -> Iterator[Lived]:
    """Yield the moment ``start``, at which nothing moved yet, and every hour up to ``end``.

    Parameters
    ----------
    journal : with a garden not later than ``start``, and the weather up to ``end``.
    start, end : whole hours (UTC).
    members : size of the ensemble.
    """
    facts = standing(journal.facts(TELLING))
    weather = known_weather(facts, int(end.timestamp()))
    # Water that took hours came in each of them; an hour is shown only what is its own.
    parted = (part for fact in facts for part in portions(fact))
    facts = sorted(parted, key=lambda part: part.order)
    current = fold(None, _between(facts, None, start), weather, start, members)
    if current is None:
        raise ValueError("there was no garden yet at the start")
    sky = _Sky(current.garden, weather)
    nothing = np.zeros((len(LEDGER), len(current.garden.pots)))
    yield Lived(start, current, nothing, *sky.at(start))
    while start < end:
        facts_due = _between(facts, start, start + HOUR)
        start += HOUR
        current, moved = _through(current, facts_due, weather, start)
        yield Lived(start, current, moved, *sky.at(start))


def imbalance_l(total_l: Floats, change_l: Floats) -> Floats:
    """Return water in − out − change [pot]; zero but for rounding.

    Parameters
    ----------
    total_l : what moved, by `LEDGER` [6, pot].
    change_l : water at the end less water at the start [pot].
    """
    balance: Floats = INTO @ total_l - change_l
    return balance


def _between(facts: Sequence[Fact], after: datetime | None, until: datetime) -> Sequence[Fact]:
    """Return the facts valid after one moment and not after another; they are in order."""
    first = 0 if after is None else bisect_right(facts, after, key=_valid_at)
    return facts[first : bisect_right(facts, until, key=_valid_at)]


def _valid_at(fact: Fact) -> datetime:
    return fact.valid_at


def _through(
    begun: Standing, due: Sequence[Fact], weather: HourlyWeather, until: datetime
) -> tuple[Standing, Floats]:
    """Return the belief at the end of an hour, and what moved in it [6, pot]."""
    answers = [fact for fact in due if isinstance(fact.body, RoundAnswered)]

    def folded(count: int, at: datetime) -> Standing:
        after = fold(begun, [*answers, *due[:count]], weather, at, begun.belief.members)
        if after is None:
            raise ValueError("a garden cannot vanish")
        return after

    moved = np.zeros((len(LEDGER), len(begun.garden.pots)))
    counted = begun
    for index, fact in enumerate(due):
        if isinstance(fact.body, OBSERVED):
            before, after = folded(index, fact.valid_at), folded(index + 1, fact.valid_at)
            moved += moved_l(before.belief) - moved_l(counted.belief)
            moved += _poured(fact, after)
            # Members drawn anew bring their own past along: only the jump is what was learnt.
            moved[CORRECTED] += _mean_l(after) - _mean_l(before) - INTO @ _poured(fact, after)
            counted = after
    ended = folded(len(due), until)
    return ended, moved + moved_l(ended.belief) - moved_l(counted.belief)


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
