"""Answers and what was foretold of them, a row each, in SI units: as CSV and as plain JSON."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import asdict
from datetime import UTC
from typing import Any

from irrigate.garden.scoring import FEELS, Score, band, middle
from irrigate.service.skill import Skill

UNITS = {"ran": "L", "drained": "L", "weighed": "kg", "probe": "", "finger": "", "wilting": ""}
LEANS = {0: "as predicted", 1: "wetter", -1: "drier"}
DECIMALS = 5

Row = dict[str, str | float | bool | None]


def score_row(score: Score, label: str) -> Row:
    """Return one answer as a row: what was said, what was foretold of it, and the scores.

    Amounts are in the unit of the answer (``unit``; a probe's share or bare number has none),
    errors and CRPS in litres of water in the pot, wetter positive; ``error_sun_h`` in hours of sun.
    """
    told = score.foretold
    low, half, high = (None, None, None)
    chances: Mapping[str, float] = {}
    if told.quantiles:
        (low, high), half = band(told), middle(told)
    elif len(told.chances) == len(FEELS):
        chances = dict(zip(FEELS, told.chances, strict=True))
    else:
        chances = {"wilting": told.chances[0]}
    return {
        "time": f"{score.at.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}", "pot": label,
        "kind": told.kind, "said": _rounded(score.said),
        "unit": UNITS[told.kind], "foretold_10": _rounded(low), "foretold_50": _rounded(half),
        "foretold_90": _rounded(high),
        **{f"chance_{word}": _rounded(chances.get(word)) for word in (*FEELS, "wilting")},
        "result": LEANS[score.lean], "inside_80": score.inside,
        "error_l": _rounded(score.error_l), "error_sun_h": _rounded(score.error_h),
        "crps_l": _rounded(score.crps_l), "log_score": _rounded(score.log_score),
        "pit": _rounded(score.pit), "asked_about": score.stray, "late": told.late,
    }  # fmt: skip


def rows(found: Skill) -> list[Row]:
    """Return all answers as rows; a pot that is gone has no label any more."""
    labels = {pot.id: pot.label for pot in found.garden.pots}
    return [score_row(one, labels.get(one.foretold.pot_id, "")) for one in found.scores]


def as_csv(found: Skill) -> str:
    """Return all answers as a CSV table; its heading alone where there are none."""
    into = io.StringIO()
    writer = csv.DictWriter(into, COLUMNS, lineterminator="\r\n")
    writer.writeheader()
    for row in rows(found):
        writer.writerow({name: _cell(value) for name, value in row.items()})
    return into.getvalue()


def as_plain(found: Skill) -> dict[str, Any]:
    """Return the scores and what they come to, fit for JSON."""
    pots = [
        {
            "pot": pot.label,
            **asdict(found.of_pot(pot.id)),
            "lists": asdict(found.list_tally(pot.id)),
        }
        for pot in found.pots
    ]
    groups = [
        {"group": name, "pots": [found.garden.pot(one).label for one in pot_ids],
         **asdict(found.of_group(pot_ids))}
        for name, pot_ids in found.groups().items()
    ]  # fmt: skip
    return {
        "garden": asdict(found.whole),
        "lists": asdict(found.list_tally()),
        "messages": None if found.messages is None else asdict(found.messages),
        "groups": groups,
        "pots": pots,
        "answers": rows(found),
    }


def _rounded(value: float | str | None) -> float | str | None:
    return round(value, DECIMALS) if isinstance(value, float) else value


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


COLUMNS = (
    "time", "pot", "kind", "said", "unit", "foretold_10", "foretold_50", "foretold_90",
    *(f"chance_{word}" for word in (*FEELS, "wilting")),
    "result", "inside_80", "error_l", "error_sun_h", "crps_l", "log_score", "pit", "asked_about",
    "late",
)  # fmt: skip
"""The columns of the table, in order."""
