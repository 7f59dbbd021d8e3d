"""The week ahead as a table: how full each pot is, and when it will probably be thirsty."""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np

from irrigate import units
from irrigate.cli.tables import table
from irrigate.garden.balance import missing_l, share_available
from irrigate.garden.rounds import next_rounds
from irrigate.service.thinking import Thought
from irrigate.service.wording import called, clock, day_part, moment

SURE_ENOUGH = 0.995


def week_ahead(thought: Thought) -> str:
    """Return the table, a pot a line in walking order, without watering and without rain."""
    garden, outlook = thought.standing.garden, thought.as_is
    now, following = thought.now, next_rounds(thought.standing.garden, thought.now, 1)[0]
    store, traits = thought.standing.belief.water_l, thought.standing.traits
    share = np.median(share_available(store, traits), axis=1)
    lacking = np.median(missing_l(store, traits), axis=1)
    chance = outlook.chance_before(following)
    us_units = garden.manner.us_units
    rows = []
    for row in sorted(range(len(garden.pots)), key=lambda row: garden.pots[row].walk):
        pot = garden.pots[row]
        rows.append(
            (
                called(pot),
                units.in_percent(float(share[row])),
                units.say_volume(float(lacking[row]), us_units=us_units),
                chance_words(float(chance[row])),
                _when(thought, row),
            )
        )
    until = moment(garden, following, now)
    headings = ("pot", "left", "missing", f"thirsty before {until}", "probably thirsty (8 in 10)")
    return table(headings, rows)


def chance_words(chance: float) -> str:
    """Say a chance in whole percent, but neither 0 nor 100 where it is not certain."""
    if 0.0 < chance < 1.0 - SURE_ENOUGH:
        return "under 1 %"
    if SURE_ENOUGH < chance < 1.0:
        return "over 99 %"
    return units.in_percent(chance)


def _when(thought: Thought, row: int) -> str:
    """Say the middle of the dry-out moment and the 80 % around it."""
    early, middle, late = (thought.as_is.thirsty_quantile(row, at) for at in (0.1, 0.5, 0.9))
    if early is None:
        return "not within the week"
    if middle is None:
        return f"perhaps from {_said(thought, early)}"
    last = _said(thought, late) if late is not None else "after the week"
    if middle <= thought.now:
        return "now" if last == "now" else f"now (by {last})"
    if early <= thought.now:
        return f"{_said(thought, middle)} (by {last})"
    return f"{_said(thought, middle)} ({_said(thought, early)} – {last})"


def _said(thought: Thought, at: datetime) -> str:
    """Say a moment: to the half hour within a day, by the part of the day beyond."""
    garden = thought.standing.garden
    if at <= thought.now:
        return "now"
    if at - thought.now < timedelta(hours=18):
        return clock(garden, at, coarse=True)
    return day_part(garden, at, short=True)
