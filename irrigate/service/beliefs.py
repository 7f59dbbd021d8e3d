"""Bringing the belief up to now: from memory, else from a checkpoint, else from the first fact.

The belief is *settled* up to the last hour whose weather was told; from there to now it is
provisional, stepped with the forecast, and made anew each time. A fact that is valid before the
settled moment takes the fold back to the last checkpoint before it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from irrigate.garden.belief import Belief
from irrigate.garden.believed import Standing
from irrigate.garden.events import (
    Fact,
    Forecast,
    ForecastMembers,
    ForecastScored,
    GardenVersion,
    Given,
    Marked,
    RainAtPots,
    Retracted,
    RoundAnswered,
    RoundTold,
    Tended,
    TillRan,
    WeatherHours,
    standing,
)
from irrigate.garden.fold import FOLDED, fold
from irrigate.garden.forecast_errors import Doubt
from irrigate.garden.forecast_record import REMEMBERED
from irrigate.garden.known_weather import known_weather, told_until_s
from irrigate.garden.marks import marks
from irrigate.garden.outlook import HORIZON_H
from irrigate.garden.passage import LEAD
from irrigate.garden.pots import Garden
from irrigate.garden.weather import HOUR_S, HourlyWeather
from irrigate.garden.weather_doubt import doubt_of
from irrigate.ports import Journal
from irrigate.service.checkpoints import packed, unpacked

# Facts older than this are refused, so nothing older need be kept at hand.
WINDOW = timedelta(days=14)
DAY = timedelta(days=1)
HOUR = timedelta(hours=1)
# The week ahead is looked at whole even where a forecast has ended or none has come for days.
AHEAD = HORIZON_H * HOUR
MOMENT = timedelta(microseconds=1)
# However long ago it was: the last days told stand in for those that nobody tells.
LAST_WEATHER = 3
# A forecast that was told longer ago is left: recent days then stand in.
OLDEST_FORECAST = timedelta(hours=48)
OF_FORECASTS = (Forecast, ForecastMembers, ForecastScored)
AT_HAND = (*FOLDED, RoundAnswered, RainAtPots, WeatherHours, *OF_FORECASTS, Retracted)


@dataclass(frozen=True, slots=True, eq=False)
class Grounds:
    """What the belief rests on, kept between steps.

    Parameters
    ----------
    position : how much of the journal has been read.
    facts : those at hand, taken back or not, in no order.
    settled : the belief at the last hour whose weather was told; None before the first.
    """

    position: int = 0
    facts: tuple[Fact, ...] = ()
    settled: Standing | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Present:
    """The belief now and the weather around it; both None before there is a garden and weather.

    ``paused`` and ``unwell`` are the ids of pots that bear these marks; ``told_s`` is the end of
    the last hour gone by that a source has told of [UTC epoch s]; ``doubt`` is how wrong the
    forecast may be.
    """

    standing: Standing | None
    weather: HourlyWeather | None
    paused: frozenset[str] = frozenset()
    unwell: frozenset[str] = frozenset()
    told_s: int | None = None
    doubt: Doubt | None = None


def first_grounds(journal: Journal, now: datetime) -> Grounds:
    """Read what a fold up to now needs, after a start."""
    after = now - WINDOW - LEAD - 2 * DAY
    recent = journal.facts(AT_HAND, valid_after=after)
    versions = journal.facts((GardenVersion,), valid_until=after)
    turns = journal.facts((Marked,), valid_until=after)
    weather = journal.facts((WeatherHours,), valid_until=after)[-LAST_WEATHER:]
    scores = journal.facts((ForecastScored,), valid_after=now - REMEMBERED, valid_until=after)
    return Grounds(journal.position(), (*versions[-1:], *turns, *weather, *scores, *recent))


def brought_up(
    grounds: Grounds, journal: Journal, now: datetime, members: int, *, keeps: bool = True
) -> tuple[Grounds, Present]:
    """Return the grounds with all that the journal holds, and the belief at ``now``.

    Parameters
    ----------
    grounds : from the last time, or `first_grounds`.
    journal : read, and given a checkpoint at each midnight passed.
    now : the moment wanted (UTC).
    members : size of the ensemble.
    keeps : False for a reader beside the daemon, which leaves no checkpoints.
    """
    fresh = journal.since(grounds.position)
    position = grounds.position + len(fresh)
    relevant = [fact for fact in fresh if isinstance(fact.body, AT_HAND)]
    facts = _at_hand((*grounds.facts, *relevant), now)
    settled = grounds.settled
    changed_from = _changed_from(relevant, facts)
    if settled is not None and changed_from is not None and changed_from <= settled.belief.at:
        if keeps:
            journal.drop_checkpoints(changed_from - MOMENT)
        settled = None
    stand = standing(list(facts))
    weather = known_weather(stand, int((now + AHEAD).timestamp()), now - OLDEST_FORECAST)
    if not len(weather):
        return Grounds(position, facts, settled), Present(None, None)
    leave = _leaver(journal, position) if keeps else _nobody
    if settled is None:
        settled = _from_checkpoint(journal, facts, stand, now, position)
    if settled is None and _begun(stand) <= now - WINDOW:
        settled = _from_the_first_fact(journal, now, members, leave)
    settled = _settled(settled, stand, weather, now, members, leave)
    present = fold(settled, stand, weather, now, members)
    paused, unwell = (marks(stand, mark).bearing(now) for mark in ("paused", "unwell"))
    return Grounds(position, facts, settled), Present(
        present, weather, paused, unwell, told_until_s(stand), doubt_of(stand, now)
    )


@dataclass(frozen=True, slots=True, eq=False)
class Hindsight:
    """What is known by now, for looking back: the facts that stand, and the weather of all hours.

    ``answers`` are facts not yet in the journal; `looked_back` starts from ``settled`` where that
    is neither too late nor changed by anything.
    """

    facts: tuple[Fact, ...]
    answers: tuple[Fact, ...]
    weather: HourlyWeather
    settled: Standing | None
    position: int
    changed_from: datetime | None


def hindsight(
    grounds: Grounds, journal: Journal, answers: Sequence[Fact], now: datetime
) -> Hindsight:  # fmt: skip
    """Gather what is known by now, before ``answers`` are in the journal."""
    fresh = journal.since(grounds.position)
    relevant = [fact for fact in fresh if isinstance(fact.body, AT_HAND)]
    facts = _at_hand((*grounds.facts, *relevant), now)
    until_s = int((now + AHEAD).timestamp())
    weather = known_weather(standing(list(facts)), until_s, now - OLDEST_FORECAST)
    changed_from = _changed_from([*relevant, *answers], (*facts, *answers))
    position = grounds.position + len(fresh)
    return Hindsight(facts, tuple(answers), weather, grounds.settled, position, changed_from)


def looked_back(
    back: Hindsight, journal: Journal, answers: Sequence[Fact], at: datetime, members: int
) -> Standing | None:
    """Return the belief at a moment gone by, as it is known now, leaving nothing behind.

    Parameters
    ----------
    back : what is known.
    journal : read for a checkpoint, where the belief at hand is too late.
    answers : those of ``back``, as far as they are to count; what is valid after ``at`` is not
        applied, but says that its round is not one that nobody spoke of.
    at : the moment (UTC).
    members : size of the ensemble.
    """
    if not len(back.weather):
        return None
    start, latest = back.settled, at
    if back.changed_from is not None:
        latest = min(at, back.changed_from - MOMENT)
    stand = standing([*back.facts, *answers])
    if start is not None and start.belief.at > latest:
        start = _from_checkpoint(journal, back.facts, stand, latest, back.position)
        if start is None and _begun(stand) <= at - WINDOW:
            start = _from_the_first_fact(journal, latest, members, _nobody)
    return fold(start, stand, back.weather, at, members)


def _at_hand(facts: Sequence[Fact], now: datetime) -> tuple[Fact, ...]:
    """Return the facts that may still matter; of forecasts only the newest few."""
    oldest = now - WINDOW - LEAD - 2 * DAY
    forecasts = sorted(
        (fact for fact in facts if isinstance(fact.body, Forecast)), key=lambda fact: fact.order
    )
    kept = set(map(id, forecasts[-4:]))
    theirs = [fact for fact in facts if isinstance(fact.body, ForecastMembers)]
    kept |= set(map(id, sorted(theirs, key=lambda fact: fact.order)[-1:]))
    past = (fact for fact in facts if isinstance(fact.body, WeatherHours))
    kept |= set(map(id, sorted(past, key=lambda fact: fact.order)[-LAST_WEATHER:]))
    versions = [fact for fact in facts if isinstance(fact.body, GardenVersion)]
    before = [fact for fact in versions if fact.valid_at <= oldest]
    ground = max(before, key=lambda fact: fact.order, default=None)
    return tuple(
        fact
        for fact in facts
        if fact is ground
        or isinstance(fact.body, Marked)  # a pot stays paused however long ago it was
        or id(fact) in kept
        or (isinstance(fact.body, ForecastScored) and fact.valid_at > now - REMEMBERED)
        or (fact.valid_at > oldest and not isinstance(fact.body, OF_FORECASTS))
    )


def _changed_from(fresh: Sequence[Fact], facts: Sequence[Fact]) -> datetime | None:
    """Return the earliest moment at which new facts change what was believed."""
    by_id = {fact.id: fact for fact in facts}
    rounds = {
        fact.body.round_key: fact.valid_at for fact in facts if isinstance(fact.body, RoundTold)
    }
    reports = [fact.valid_at for fact in facts if isinstance(fact.body, RainAtPots)]
    moments = []
    for fact in fresh:
        moments += _touched(fact, rounds, reports)
        if fact.supersedes in by_id:
            moments += _touched(by_id[fact.supersedes], rounds, reports)
    return min(moments, default=None)


def _touched(
    fact: Fact, rounds: Mapping[str, datetime], reports: Sequence[datetime]
) -> list[datetime]:
    """Return the moments from which a fact changes the belief."""
    match fact.body:
        case Forecast() | ForecastMembers() | ForecastScored():
            return []  # the settled belief rests on no forecast
        case WeatherHours(hours=hours):
            # Valid from the start of its first hour: what was believed at that moment stays. But
            # where rain was reported, the hours of the day before share in it, told late or not.
            last = fact.valid_at + len(hours) * HOUR
            days = [at - DAY for at in reports if fact.valid_at < at + HOUR and last > at - DAY]
            return [fact.valid_at + MOMENT, *days]
        case RainAtPots():
            return [fact.valid_at - DAY]
        case (
            Given(round_key=str() as key)
            | TillRan(round_key=str() as key)
            | Tended(round_key=str() as key)
        ):
            # It also says that the round was not unspoken of.
            return [min(fact.valid_at, rounds.get(key, fact.valid_at))]
        case RoundAnswered(round_key=key):
            return [rounds.get(key, fact.valid_at)]
        case _:
            return [fact.valid_at]


def _from_checkpoint(
    journal: Journal, facts: Sequence[Fact], stand: Sequence[Fact], now: datetime, position: int
) -> Standing | None:
    """Return the newest belief kept that no later fact has changed.

    A late fact drops the checkpoints that it changes; a crash may have come between.
    """
    before = now
    while (checkpoint := journal.checkpoint(before, position)) is not None:
        unseen = [
            fact for fact in journal.since(checkpoint.position) if isinstance(fact.body, AT_HAND)
        ]
        changed_from = _changed_from(unseen, facts)
        before = checkpoint.valid_at - MOMENT
        if changed_from is not None and changed_from <= checkpoint.valid_at:
            before = changed_from - MOMENT
            continue
        garden = _garden_at(stand, checkpoint.valid_at)
        found = unpacked(checkpoint, garden) if garden else None
        if found is not None:
            return found
    return None


def _from_the_first_fact(
    journal: Journal, now: datetime, members: int, leave: Callable[[Belief], None]
) -> Standing | None:
    """Fold all that the journal holds: where no checkpoint is left, what is at hand is too little.

    It gives the same bits, only later.
    """
    # No settled belief rests on a forecast, and a season of them is long to read.
    stand = standing(journal.facts([kind for kind in AT_HAND if kind not in OF_FORECASTS]))
    weather = known_weather(stand, int(now.timestamp()))
    return _settled(None, stand, weather, now, members, leave)


def _begun(stand: Sequence[Fact]) -> datetime:
    """Return when the first garden at hand was met; the last of all moments if there is none."""
    met = [fact.valid_at for fact in stand if isinstance(fact.body, GardenVersion)]
    return min(met, default=datetime.max.replace(tzinfo=UTC))


def _garden_at(stand: Sequence[Fact], at: datetime) -> Garden | None:
    garden = None
    for fact in stand:
        if isinstance(fact.body, GardenVersion) and fact.valid_at <= at:
            garden = fact.body.garden
    return garden


def _settled(
    start: Standing | None,
    stand: Sequence[Fact],
    weather: HourlyWeather,
    now: datetime,
    members: int,
    leave: Callable[[Belief], None],
) -> Standing | None:
    """Fold to the last hour told, leaving a checkpoint at each midnight on the way."""
    told_s = told_until_s(stand)
    if told_s is None:
        return start
    # At a whole hour even if the clock was set back: a step cut in two has other bits.
    until = datetime.fromtimestamp(min(told_s, int(now.timestamp()) // HOUR_S * HOUR_S), UTC)
    current = start
    begins = datetime.fromtimestamp(int(weather.end_s[0]) - HOUR_S, UTC)
    for midnight in _midnights(current, stand, begins, until):
        current = fold(current, stand, weather, midnight, members)
        if current is not None:
            leave(current.belief)
    if current is not None and current.belief.at >= until:
        return current
    return fold(current, stand, weather, until, members)


def _leaver(journal: Journal, position: int) -> Callable[[Belief], None]:
    return lambda belief: journal.save_checkpoint(packed(belief, position))


def _nobody(_: Belief) -> None:
    """Leave nothing."""


def _midnights(
    start: Standing | None, stand: Sequence[Fact], begins: datetime, until: datetime
) -> list[datetime]:
    """Return the midnights UTC between the belief (or the first garden) and a moment."""
    begun = max(_begun(stand), begins) if start is None else start.belief.at
    if begun > until:
        return []
    midnight = begun.replace(hour=0, minute=0, second=0, microsecond=0) + DAY
    found = []
    while midnight <= until:
        found.append(midnight)
        midnight += DAY
    return found
