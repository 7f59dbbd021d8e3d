"""Once a day: how the forecasts of the day that has ended fared.

Seven forecasts are read, those that stood at the day's beginning and at the six midnights (UTC)
before; what comes of it is one small fact, from which the size of errors is told ever after.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from irrigate.garden.events import Fact, Forecast, ForecastScored, WeatherHours, standing
from irrigate.garden.forecast_errors import LEAD_DAYS
from irrigate.garden.forecast_record import fared
from irrigate.garden.known_weather import told_until_s
from irrigate.garden.weather import HourlyWeather, merged
from irrigate.ports import Journal

DAY = timedelta(days=1)
# After a long time without power no more days than these are made up for, one at a step.
DAYS_BACK = 7


def score_due(journal: Journal, at_hand: Sequence[Fact], now: datetime) -> Fact | None:
    """Return the score of the oldest day that has none yet, if one is due.

    Parameters
    ----------
    journal : read for the forecasts.
    at_hand : facts that hold the weather told of the last days, and the scores there are.
    now : the present (UTC).

    Notes
    -----
    A day is due when all its hours have been told, and is scored once: hours corrected later
    change little of sixty days' errors.
    """
    told_s = told_until_s(at_hand)
    if told_s is None:
        return None
    begins = _oldest_due(journal, at_hand, min(datetime.fromtimestamp(told_s, UTC), now))
    if begins is None:
        return None
    told = _told_of(at_hand, begins)
    sources = _forecasts(journal, begins)
    if not sources or not len(told):
        source, errors = "", {}
    else:
        # Of a source that was changed meanwhile, only what the new one said counts.
        source = sources[0][0]
        errors = fared(told, [(made_s, hours) for name, made_s, hours in sources if name == source])
    ends = begins + DAY
    body = ForecastScored(source, errors)
    return Fact(f"forecast scored {begins:%Y-%m-%d}", ends, now, body)


def _oldest_due(journal: Journal, at_hand: Sequence[Fact], told: datetime) -> datetime | None:
    """Return the beginning of the first day that is told whole and not scored yet."""
    last = _midnight_before(told)
    scored = [fact.valid_at for fact in at_hand if isinstance(fact.body, ForecastScored)]
    first = last - DAYS_BACK * DAY
    if scored:
        first = max(first, *scored)
    else:
        begun = journal.oldest(Forecast)
        if begun is None:
            return None
        first = max(first, _midnight_before(begun.valid_at) + DAY)
    return first if first < last else None


def _midnight_before(at: datetime) -> datetime:
    return at.replace(hour=0, minute=0, second=0, microsecond=0)


def _told_of(at_hand: Sequence[Fact], begins: datetime) -> HourlyWeather:
    """Return the hours of a day (UTC) as their source told them, the later word counting."""
    told = sorted(
        (fact for fact in standing(list(at_hand)) if isinstance(fact.body, WeatherHours)),
        key=lambda fact: (fact.recorded_at, fact.id),
    )
    tables = [fact.body.hours for fact in told if isinstance(fact.body, WeatherHours)]
    return merged(tables).between(int(begins.timestamp()), int((begins + DAY).timestamp()))


def _forecasts(journal: Journal, begins: datetime) -> list[tuple[str, int, HourlyWeather]]:
    """Return source, moment and hours of the forecasts to score, the newest first."""
    found: dict[str, tuple[str, int, HourlyWeather]] = {}
    for days in range(LEAD_DAYS):
        stood_at = begins - days * DAY
        fact = journal.newest(Forecast, valid_until=stood_at)
        if fact is None or not isinstance(fact.body, Forecast):
            break
        made_s = int(fact.valid_at.timestamp())
        # What stood since long before is scored as the forecast of its own day.
        if fact.valid_at > stood_at - DAY:
            found.setdefault(fact.id, (fact.body.source, made_s, fact.body.hours))
    return list(found.values())
