"""The week ahead as plain values for JSON: SI units in the names, times in UTC."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

import numpy as np

from irrigate.assemble.reading import Look
from irrigate.cli.cautions_ahead import found_ahead
from irrigate.cli.outlook_text import DAYS
from irrigate.cli.week_ahead import thirsty, walking_order
from irrigate.garden.balance import missing_l, share_available
from irrigate.garden.day_by_day import DayAhead, day_by_day, evenings
from irrigate.garden.pots import Pot
from irrigate.garden.rounds import next_rounds


def as_plain(found: Look, wanted: Sequence[Pot]) -> dict[str, Any]:
    """Return the outlook of the wanted pots (all if none is named), with the days of each."""
    thought = found.thought
    garden, now = thought.standing.garden, thought.now
    ids = {pot.id for pot in wanted}
    rows = [row for row in walking_order(garden) if not ids or garden.pots[row].id in ids]
    sky = found.sky
    return {
        "garden": garden.name,
        "now": _time(now),
        "first_look": found.first,
        "next_round": _time(next_rounds(garden, now, 1)[0]),
        "answers_waiting": found.waiting,
        "remarks": list(found.remarks),
        "weather": {
            "source": sky.source,
            "attribution": sky.attribution,
            "told_until": _time(sky.told_until),
            "forecast_from": _time(sky.forecast_from),
            "forecast_until": _time(sky.forecast_until),
        },
        "cautions": [
            {
                "kind": caution.kind,
                "pots": [garden.pot(pot_id).label for pot_id in caution.pot_ids],
                "air_c": caution.air_c,
            }
            for caution in found_ahead(thought)
        ],
        "pots": [_pot(found, row) for row in rows],
    }


def _pot(found: Look, row: int) -> dict[str, Any]:
    thought = found.thought
    garden, now, as_is = thought.standing.garden, thought.now, thought.as_is
    pot = garden.pots[row]
    water, traits = thought.standing.belief.water_l, thought.standing.traits
    share = np.quantile(share_available(water, traits)[row], (0.1, 0.5, 0.9))
    days = day_by_day(thought.ahead, as_is, row, evenings(garden, now, DAYS))
    following = next_rounds(garden, now, 1)[0]
    return {
        "pot": pot.label,
        "name": pot.name,
        "place": pot.place,
        "share_left_low": float(share[0]),
        "share_left_middle": float(share[1]),
        "share_left_high": float(share[2]),
        "missing_l": float(np.median(missing_l(water, traits)[row])),
        "below_l": float(np.median(thought.standing.belief.below_l[row])),
        "chance_thirsty_before_next_round": float(as_is.chance_before(following)[row]),
        "risk": pot.risk,
        "thirsty_early": _time(thirsty(thought, row, 0.1)),
        "thirsty_middle": _time(thirsty(thought, row, 0.5)),
        "thirsty_late": _time(thirsty(thought, row, 0.9)),
        "days": [_day(day) for day in days],
    }


def _day(day: DayAhead) -> dict[str, Any]:
    low, middle, high = day.share_left
    return {
        "begins": _time(day.begins),
        "ends": _time(day.ends),
        "et0_mm": day.et0_mm,
        "asked_l": day.asked_l,
        "share_left_low": low,
        "share_left_middle": middle,
        "share_left_high": high,
        "chance_thirsty": day.chance_thirsty,
    }


def _time(at: datetime | None) -> str | None:
    return None if at is None else f"{at.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"
