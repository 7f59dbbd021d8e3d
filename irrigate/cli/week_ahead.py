"""The week ahead as a table: how full each pot is, and when it will probably be thirsty."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from irrigate import units
from irrigate.cli.tables import table
from irrigate.garden.balance import missing_l, share_available
from irrigate.garden.pots import Garden
from irrigate.garden.rounds import next_rounds
from irrigate.service.thinking import Thought
from irrigate.service.wording import called, clock

SURE_ENOUGH = 0.995
WIDTH = 80
LATER = "later"
LEVELS = (0.5, 0.1, 0.9)


def week_ahead(thought: Thought) -> str:
    """Return the table, a pot a line in walking order, without watering and without rain."""
    garden = thought.standing.garden
    now, following = thought.now, next_rounds(thought.standing.garden, thought.now, 1)[0]
    store, traits = thought.standing.belief.water_l, thought.standing.traits
    share = np.median(share_available(store, traits), axis=1)
    to_fill = np.maximum(traits.fills_l - thought.standing.belief.below_l, 0.0)
    lacking = np.median(missing_l(store, traits) + to_fill, axis=1)
    chance = thought.as_is.chance_before(following)
    us_units = garden.manner.us_units
    rows = [
        (
            called(garden.pots[row]),
            units.in_percent(float(share[row])),
            units.say_volume(float(lacking[row]), us_units=us_units),
            chance_words(float(chance[row])),
            *(said_ahead(garden, thirsty(thought, row, level), now) for level in LEVELS),
        )
        for row in walking_order(garden)
    ]
    by = said_ahead(garden, following, now, exact=True)
    headings = ("pot", "left", "missing", f"thirsty by\n{by}?", "probably", "between", "and")
    drawn = table(headings, rows, width=WIDTH)
    if any(LATER in row for row in rows):
        return f"{drawn}\n{LATER}: after the week ahead"
    return drawn


def chance_words(chance: float) -> str:
    """Say a chance in whole percent, but neither 0 nor 100 where it is not certain."""
    if 0.0 < chance < 1.0 - SURE_ENOUGH:
        return "under 1 %"
    if SURE_ENOUGH < chance < 1.0:
        return "over 99 %"
    return units.in_percent(chance)


def said_ahead(
    garden: Garden, at: datetime | None, now: datetime, *, exact: bool = False
) -> str:  # fmt: skip
    """Say a moment of the week ahead shortly: now, 15:00, Thu 15:00; later if it is not in it.

    Unless ``exact``, to the hour: it is not known better.
    """
    if at is None:
        return LATER
    if at <= now:
        return "now"
    zone = ZoneInfo(garden.site.time_zone)
    if not exact:
        # Counted in UTC, so that the hours of a clock change are no riddle.
        at = max(_whole_hour(at), now)
    day = at.astimezone(zone)
    time = clock(garden, at)
    return time if day.date() == now.astimezone(zone).date() else f"{day:%a} {time}"


def _whole_hour(at: datetime) -> datetime:
    at += timedelta(minutes=30)
    return at.replace(minute=0, second=0, microsecond=0)


def thirsty(thought: Thought, row: int, level: float) -> datetime | None:
    """Return the moment by which a share ``level`` of the members is thirsty, if in the week."""
    return thought.as_is.thirsty_quantile(row, level)


def walking_order(garden: Garden) -> list[int]:
    """Return the rows of the pots in the order of walking."""
    return sorted(range(len(garden.pots)), key=lambda row: garden.pots[row].walk)
