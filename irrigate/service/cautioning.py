"""Cautions beside the doses: found for a round, each said of a pot at most once a day or a week."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from irrigate.garden.actions import Caution, Line, Tell
from irrigate.garden.believed import Standing
from irrigate.garden.cautions import cautions
from irrigate.garden.deciding import store_at
from irrigate.garden.events import Decided
from irrigate.garden.outlook import Outlook
from irrigate.garden.pots import Garden
from irrigate.garden.rounds import at_local, local_day
from irrigate.garden.weather import HourlyWeather
from irrigate.ports import Journal
from irrigate.service.wording import HOPELESS

# A round with nothing to water is silent, but not over what has to be done all the same.
SPEAKS = frozenset({"cold night", "standing water"})
# Advice that stays true is no news on the next day.
SELDOM = frozenset({"hot pot", "heavy"})
WEEK = 7


def cautions_at(
    standing: Standing, as_is: Outlook, weather: HourlyWeather, lines: Sequence[Line],
    at: datetime, until: datetime,
) -> tuple[Caution, ...]:  # fmt: skip
    """Return all that a round should know besides its doses, said before or not."""
    lost = frozenset(line.pot_id for line in lines if line.chance_even_full > HOPELESS)
    store = store_at(standing, as_is, at)
    return cautions(standing, store, lines, lost, weather, at, until)


def not_yet_said(
    found: Sequence[Caution], garden: Garden, journal: Journal, now: datetime
) -> tuple[Caution, ...]:
    """Return the cautions less what was said of the same pots on the same day, or lately.

    What has to be done that day is said once a day; advice that stays true, once a week.
    """
    if not found:
        return ()
    days = WEEK if any(one.kind in SELDOM for one in found) else 1
    zone = ZoneInfo(garden.site.time_zone)
    today = local_day(now, zone)
    since = at_local(today - timedelta(days=days - 1), time(0), zone)
    said: set[tuple[str, str]] = set()
    for fact in journal.facts((Decided,), valid_after=since):
        action = fact.body.action if isinstance(fact.body, Decided) else None
        if isinstance(action, Tell):
            same_day = local_day(fact.recorded_at, zone) == today
            said |= {
                (one.kind, whom)
                for one in action.cautions
                for whom in _whom(one)
                if same_day or one.kind in SELDOM
            }
    fresh = (_without(one, said) for one in found)
    return tuple(one for one in fresh if one is not None)


def _whom(caution: Caution) -> tuple[str, ...]:
    """Return whom a caution concerns: pots, or nobody in particular."""
    return caution.pot_ids or ("",)


def _without(caution: Caution, said: Collection[tuple[str, str]]) -> Caution | None:
    left = [index for index, one in enumerate(_whom(caution)) if (caution.kind, one) not in said]
    if not left:
        return None
    return replace(
        caution,
        pot_ids=tuple(caution.pot_ids[index] for index in left if caution.pot_ids),
        each_kg=tuple(caution.each_kg[index] for index in left if caution.each_kg),
    )
