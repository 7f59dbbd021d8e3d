"""How wrong the newest forecast may be, from the facts at hand."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from irrigate.garden.events import Fact, Forecast, ForecastMembers
from irrigate.garden.forecast_errors import Doubt
from irrigate.garden.forecast_record import REMEMBERED, learnt_spreads, scores_of
from irrigate.garden.member_hours import MemberHours, unpacked

# An ensemble older than this is left: its members have long parted.
FRESH = timedelta(hours=24)


def doubt_of(facts: Sequence[Fact], now: datetime) -> Doubt:
    """Return how wrong the newest forecast may be.

    Parameters
    ----------
    facts : facts that stand, any kinds; a day's score counts for 60 days, and that of another
        source never.
    now : the present (UTC).
    """
    newest = _newest_forecast(facts)
    source = newest.body.source if newest and isinstance(newest.body, Forecast) else None
    made_s = int(newest.valid_at.timestamp()) if newest else None
    recent = [fact for fact in facts if now - REMEMBERED < fact.valid_at <= now]
    return Doubt(learnt_spreads(scores_of(recent, source)), _ensemble(recent, source, now), made_s)


def _newest_forecast(facts: Sequence[Fact]) -> Fact | None:
    forecasts = [fact for fact in facts if isinstance(fact.body, Forecast)]
    return max(forecasts, key=lambda fact: (fact.recorded_at, fact.id), default=None)


def _ensemble(facts: Sequence[Fact], source: str | None, now: datetime) -> MemberHours | None:
    """Return the newest ensemble; None if there is none, or it is old or damaged."""
    told = [
        fact
        for fact in facts
        if isinstance(fact.body, ForecastMembers)
        and fact.body.source == source
        and fact.valid_at > now - FRESH
    ]
    newest = max(told, key=lambda fact: (fact.recorded_at, fact.id), default=None)
    if newest is None or not isinstance(newest.body, ForecastMembers):
        return None
    body = newest.body
    try:
        return unpacked(body.first_end_s, body.hour_count, body.member_count, body.content)
    except ValueError:
        return None
