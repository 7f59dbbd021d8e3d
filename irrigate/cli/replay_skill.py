"""How well a replay foretold the reports of its record: as a table, as JSON and in words."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from irrigate import units
from irrigate.cli.skill_rows import COLUMNS, score_row
from irrigate.cli.skill_text import FEW, checks_words
from irrigate.errors import InputError
from irrigate.garden.pots import Garden
from irrigate.garden.scoring import Tally, tallied
from irrigate.service.holding_out import HELD_KINDS, HoldOut
from irrigate.service.reporting import Report

HELD_OUT = "held_out"


def read_hold_out(said: Sequence[str]) -> HoldOut:
    """Read what is to be held out: kinds of report, and at most one share of all reports.

    Raises
    ------
    InputError : a word is neither.
    """
    kinds: set[str] = set()
    shares: list[float] = []
    for word in [part.strip().casefold() for one in said for part in one.split(",")]:
        if word in HELD_KINDS:
            kinds.add(word)
        else:
            shares.append(_share(word))
    if len(shares) > 1:
        raise InputError("--hold-out: one share of the reports is enough")
    return HoldOut(frozenset(kinds), shares[0] if shares else 0.0)


def _share(word: str) -> float:
    percent = word.endswith("%")
    try:
        share = float(word.removesuffix("%")) / (100.0 if percent else 1.0)
    except ValueError:
        share = -1.0
    if not 0.0 < share <= 1.0:
        kinds = ", ".join(HELD_KINDS)
        raise InputError(
            f"--hold-out: {word!r} is neither a kind of report ({kinds}) nor a share such as 0.3"
            " or 30%"
        )
    return share


def skill_csv(reports: Sequence[Report], garden: Garden) -> str:
    """Return a row for each report that was foretold; the heading alone if there was none."""
    into = io.StringIO()
    writer = csv.DictWriter(into, (*COLUMNS, HELD_OUT), lineterminator="\n")
    writer.writeheader()
    for report in reports:
        row = score_row(report.score, garden.pot(report.score.foretold.pot_id).label)
        row[HELD_OUT] = report.held_out
        writer.writerow({name: _cell(value) for name, value in row.items()})
    return into.getvalue()


def _cell(value: str | float | bool | None) -> str | float | None:
    return value if not isinstance(value, bool) else "yes" if value else "no"


def skill_summary(reports: Sequence[Report]) -> dict[str, Any]:
    """Return what the scores come to: of what was held out, of what was learnt from, by kind."""
    return {
        name: {
            "all": asdict(tallied(one.score for one in chosen)),
            **{kind: asdict(tally) for kind, tally in _by_kind(chosen)},
        }
        for name, chosen in (
            ("held_out", [one for one in reports if one.held_out]),
            ("learnt_from", [one for one in reports if not one.held_out]),
        )
    }


def skill_lines(reports: Sequence[Report], garden: Garden) -> Iterator[str]:
    """Yield what the scores come to in whole sentences."""
    if not reports:
        yield "No report was of a kind that can be foretold."
    for held_out, name in ((True, "Held out"), (False, "Learnt from, once foretold")):
        chosen = [one for one in reports if one.held_out == held_out]
        for kind, tally in _by_kind(chosen):
            yield f"{name}, {kind}: {checks_words(tally)}{_off(tally, garden)}"


def _by_kind(reports: Sequence[Report]) -> Iterator[tuple[str, Tally]]:
    for kind in HELD_KINDS:
        scores = [one.score for one in reports if one.score.foretold.kind == kind]
        if scores:
            yield kind, tallied(scores)


def _off(tally: Tally, garden: Garden) -> str:
    few = " Too few to judge by." if tally.checks < FEW else ""
    if tally.error_l is None:
        return few
    held = f" The 80 % range held {tally.inside} of {tally.amounts}."
    usual = units.say_volume(tally.error_l, us_units=garden.manner.us_units)
    sun = "" if tally.error_h is None else f", {tally.error_h:.1f} h of sun"
    return f" Usually {usual} off{sun}.{held}{few}"
