"""The results of a replay as tables and a summary; pandas is imported when one is written."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

import numpy as np

from irrigate.garden.actions import Action, Ask, Hold, Line
from irrigate.garden.belief import LEDGER
from irrigate.garden.pots import Garden
from irrigate.garden.weather import Filled, Floats
from irrigate.service.hindsight import Lived, imbalance_l

LITRE_DECIMALS, SHARE_DECIMALS, SUMMARY_DECIMALS = 5, 4, 9
FACTOR_DECIMALS = 4
QUANTILES = (0.5, 0.1, 0.9)
# The columns of a table without a decision.
UNLESS_ANY = ("time", "key", "occasion", "for", "until", "pot", "verdict")
MOVED = {name: number for number, name in enumerate(LEDGER)}


class HourTable:
    """Gathers the hours as they are yielded, and what they add up to."""

    def __init__(self) -> None:
        self._rows: dict[str, list[Any]] = {}
        self._opening_l: Floats | None = None
        self._closing_l: Floats = np.zeros(0)
        self._total_l: Floats = np.zeros(0)

    def add(self, hour: Lived) -> None:
        """Take in an hour; the first is the moment of the start, and no row."""
        self._closing_l = hour.mean_l
        if self._opening_l is None:
            self._opening_l, self._total_l = hour.mean_l, hour.moved_l.copy()
            return
        self._total_l = self._total_l + hour.moved_l
        labels = [pot.label for pot in hour.standing.garden.pots]
        middle, low, high = np.quantile(hour.standing.belief.water_l, QUANTILES, axis=1)
        use, capacity = _factor(hour, "log_use"), _factor(hour, "log_capacity")
        moved = hour.moved_l
        columns: Mapping[str, Sequence[Any] | Floats] = {
            "time": [stamp(hour.at)] * len(labels),
            "pot": labels,
            "water_l": middle.round(LITRE_DECIMALS),
            "water_low_l": low.round(LITRE_DECIMALS),
            "water_high_l": high.round(LITRE_DECIMALS),
            "missing_l": hour.missing_l.round(LITRE_DECIMALS),
            "chance_thirsty": hour.chance_thirsty.round(SHARE_DECIMALS),
            "use_factor": use[0],
            "use_factor_low": use[1],
            "use_factor_high": use[2],
            "capacity_factor": capacity[0],
            "capacity_factor_low": capacity[1],
            "capacity_factor_high": capacity[2],
            "use_l": _plain(moved[MOVED["transpired_l"]] + moved[MOVED["evaporated_l"]]),
            "drained_l": _plain(moved[MOVED["drained_l"]]),
            "given_l": _plain(moved[MOVED["given_l"]]),
            "rained_l": _plain(moved[MOVED["rained_l"]]),
            "corrected_l": _plain(moved[MOVED["corrected_l"]]),
            "et0_mm": _plain(hour.et0_mm),
            "weather_put_in": [_put_in(hour.filled)] * len(labels),
        }
        for name, values in columns.items():
            self._rows.setdefault(name, []).extend(values)

    def csv(self) -> str:
        """Return the rows as text."""
        return _csv(self._rows)

    def totals(self, garden: Garden) -> tuple[dict[str, Any], dict[str, float]]:
        """Return what moved in all, by pot and in the whole garden [L]."""
        opening = self._opening_l if self._opening_l is not None else np.zeros(len(garden.pots))
        change = self._closing_l - opening
        rows = {name: self._total_l[number] for name, number in MOVED.items()}
        rows |= {"change_l": change, "imbalance_l": imbalance_l(self._total_l, change)}
        pots = {
            pot.label: {name: _kept(values[row]) for name, values in rows.items()}
            for row, pot in enumerate(garden.pots)
        }
        return pots, {name: _kept(values.sum()) for name, values in rows.items()}


def decisions_csv(actions: Sequence[tuple[datetime, Action]], garden: Garden) -> str:
    """Return a row for each decision and each pot that it speaks of."""
    rows = list(_decision_rows(actions, garden))
    names = list(dict.fromkeys(name for row in rows for name in row))
    return _csv({name: [row.get(name, "") for row in rows] for name in names or UNLESS_ANY})


def _decision_rows(
    actions: Sequence[tuple[datetime, Action]], garden: Garden
) -> Iterator[dict[str, Any]]:
    for at, action in actions:
        said = {
            "time": stamp(at),
            "key": action.key,
            "occasion": occasion(action),
            "for": "" if isinstance(action, Hold) else stamp(action.at),
            "until": stamp(action.until),
        }
        why = {"held_because": action.why if isinstance(action, Hold) else ""}
        if isinstance(action, Ask):
            asked = {"pot": garden.pot(action.pot_id).label, "verdict": f"ask: {action.sought}"}
            yield {**said, **asked, **why, **_reasons(action)}
        elif not action.lines:
            yield {**said, "pot": "", "verdict": "", **why}
        for line in action.lines:
            yield {**said, **_verdict(line, garden), **why, **_reasons(line)}


def occasion(action: Action) -> str:
    """Return what a decision was for: a round, a warning, a notice, a question, or held."""
    return "held" if isinstance(action, Hold) else action.occasion


def _verdict(line: Line, garden: Garden) -> dict[str, Any]:
    thirsty = dict(zip(("10", "50", "90"), line.thirsty_at, strict=True))
    left = dict(zip(("10", "50", "90"), line.share_left, strict=True))
    return {
        "pot": garden.pot(line.pot_id).label,
        "verdict": line.verdict,
        "dose_l": line.dose_l,
        "passes": line.passes,
        "chance_thirsty": round(line.chance_thirsty, SHARE_DECIMALS),
        "chance_even_full": round(line.chance_even_full, SHARE_DECIMALS),
        "risk": line.risk,
        **{f"thirsty_at_{level}": stamp(at) for level, at in thirsty.items()},
        **{f"share_left_{level}": round(share, SHARE_DECIMALS) for level, share in left.items()},
    }


def _reasons(line: Line | Ask) -> dict[str, float]:
    return {name: round(float(value), LITRE_DECIMALS) for name, value in line.reasons.items()}


def summary_json(parts: Mapping[str, Any]) -> str:
    """Return a summary as JSON, without anything that JSON has no word for."""
    return json.dumps(parts, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def stamp(at: datetime | None) -> str:
    """Return a moment as ISO 8601 in UTC; nothing for None."""
    return "" if at is None else f"{at.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"


def _factor(hour: Lived, name: str) -> Floats:
    """Return median, 10 % and 90 % quantile of a factor that is learnt [3, pot]."""
    logs = np.quantile(getattr(hour.standing.belief, name), QUANTILES, axis=1)
    factors: Floats = np.exp(logs).round(FACTOR_DECIMALS)
    return factors


def _put_in(filled: int) -> str:
    """Return the names of the weather that a procedure put in."""
    return " ".join(one.name.lower() for one in Filled if filled & one)


def _plain(values: Floats) -> Floats:
    """Return rounded values without the minus of a zero."""
    rounded: Floats = values.round(LITRE_DECIMALS) + 0.0
    return rounded


def _kept(value: float) -> float:
    return round(float(value), SUMMARY_DECIMALS) + 0.0


def _csv(columns: Mapping[str, Sequence[Any]]) -> str:
    import pandas as pd

    text: str = pd.DataFrame(dict(columns)).to_csv(index=False, lineterminator="\n")
    return text
