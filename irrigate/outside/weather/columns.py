"""The columns that a weather table may have: names, units, limits, and which suffice.

One vocabulary for every table that is read. A unit is part of a column's name, and a value is
never bent to fit: what lies outside the limits is reported with its row. The limits are the
extremes ever measured on earth, rounded outward (common practice, no source), so that they
catch a wrong unit or a logger's code for "missing" and not a heat wave.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from irrigate.science.air import saturation_vapour_pressure_kpa

Floats = NDArray[np.float64]
Step = Literal["hour", "day"]
STEPS: tuple[Step, ...] = ("hour", "day")

TIME_COLUMN: dict[Step, str] = {"hour": "time", "day": "date"}


@dataclass(frozen=True, slots=True)
class Column:
    """One column of numbers: its unit, what it means, and its limits by the hour and by the day.

    A column with limits of None is not known at that step.
    """

    name: str
    unit: str
    meaning: str
    hour: tuple[float, float] | None
    day: tuple[float, float] | None

    def limits(self, step: Step) -> tuple[float, float] | None:
        """Return the lowest and the highest value at a step, or None if it has no such column."""
        return self.hour if step == "hour" else self.day


_T = (-60.0, 60.0)
_SHARE = (0.0, 100.0)

COLUMNS: dict[str, Column] = {
    column.name: column
    for column in (
        Column("t_c", "°C", "mean air temperature at 2 m", _T, _T),
        Column("t_max_c", "°C", "highest air temperature", None, _T),
        Column("t_min_c", "°C", "lowest air temperature", None, _T),
        Column("rh_pct", "%", "mean relative humidity", _SHARE, _SHARE),
        Column("rh_max_pct", "%", "highest relative humidity", None, _SHARE),
        Column("rh_min_pct", "%", "lowest relative humidity", None, _SHARE),
        Column("t_dew_c", "°C", "dew point", (-80.0, 40.0), (-80.0, 40.0)),
        Column("ea_kpa", "kPa", "actual vapour pressure", (0.0, 6.0), (0.0, 6.0)),
        # A pyranometer radiates to the night sky and reads a few watts below zero.
        Column("rs_mj_m2", "MJ/m²", "solar radiation in the period", (-0.04, 5.5), (0.0, 45.0)),
        Column("rs_w_m2", "W/m²", "mean solar radiation", (-10.0, 1500.0), (0.0, 520.0)),
        Column("sunshine_h", "h", "bright sunshine in the day", None, (0.0, 24.0)),
        Column("wind_m_s", "m/s", "mean wind speed", (0.0, 75.0), (0.0, 75.0)),
        Column("pressure_kpa", "kPa", "air pressure at the site", (40.0, 110.0), (40.0, 110.0)),
        Column("rain_mm", "mm", "rain in the period", (0.0, 410.0), (0.0, 1900.0)),
        Column("g_mj_m2", "MJ/m²", "ground heat flux a day", None, (-10.0, 10.0)),
        Column("gap", "0 or 1", "1: nobody measured this row", (0.0, 1.0), (0.0, 1.0)),
    )
}

# Of each group one column must be there; the first that holds a value is the one used.
SUFFICIENT: dict[Step, tuple[tuple[str, ...], ...]] = {
    "hour": (("t_c",), ("ea_kpa", "t_dew_c", "rh_pct"), ("rs_mj_m2", "rs_w_m2")),
    "day": (("t_max_c",), ("t_min_c",)),
}

# Left of each pair must not lie above the right one by more than the slack.
_ORDERED: tuple[tuple[str, str, float], ...] = (
    ("t_min_c", "t_max_c", 0.0),
    ("t_min_c", "t_c", 0.0),
    ("t_c", "t_max_c", 0.0),
    ("rh_min_pct", "rh_max_pct", 0.0),
    ("rh_min_pct", "rh_pct", 0.0),
    ("rh_pct", "rh_max_pct", 0.0),
    # Two sensors, each right to some tenths.
    ("t_dew_c", "t_c", 1.0),
    ("t_dew_c", "t_max_c", 1.0),
)


@dataclass(frozen=True, slots=True)
class Implausible:
    """A value that cannot be right: its row (from 0), its column, and why."""

    row: int
    column: str
    why: str


def known_columns(names: Iterable[str], step: Step) -> list[str]:
    """Return those names that are columns of numbers at this step, in their order."""
    return [name for name in names if name in COLUMNS and COLUMNS[name].limits(step) is not None]


def lacking(names: Iterable[str], step: Step) -> list[str]:
    """Return what a table with these columns lacks to be enough, one sentence for each lack."""
    there = list(names)
    wanted = ((TIME_COLUMN[step],), *SUFFICIENT[step])
    return [_lack(group, there) for group in wanted if not set(group) & set(there)]


def _lack(group: tuple[str, ...], there: list[str]) -> str:
    """Return a sentence that says which columns would do, and which one may have been meant."""
    needed = f"no column {group[0]}" if len(group) == 1 else f"none of {', '.join(group)}"
    for name in group:
        folded = {other.strip().casefold(): other for other in there}
        near = difflib.get_close_matches(name, folded, n=1, cutoff=0.7)
        if near and folded[near[0]] not in COLUMNS:
            return f"{needed}; is {folded[near[0]]!r} meant for {name}?"
    return needed


def implausible(values: Mapping[str, Floats], step: Step) -> list[Implausible]:
    """Return every value that cannot be right, by row and then by column; NaN is only missing.

    values : columns of one length; names outside the vocabulary are passed over.
    """
    found: list[Implausible] = []
    for name in values.keys() & COLUMNS.keys():
        limits = COLUMNS[name].limits(step)
        if limits is not None:
            found += _outside_limits(COLUMNS[name], values[name], limits)
    for low, high, slack in _ORDERED:
        if low in values and high in values:
            found += _out_of_order(low, high, values[low], values[high], slack)
    for name in ("rh_pct", "rh_max_pct"):
        found += _shares_for_percent(name, values.get(name, np.zeros(0)))
    found += _above_saturation(values, step)
    return sorted(found, key=lambda one: (one.row, one.column))


def _outside_limits(
    column: Column, values: Floats, limits: tuple[float, float]
) -> list[Implausible]:
    """Return the values outside a column's own limits, infinite ones among them."""
    low, high = limits
    return [
        Implausible(
            int(row),
            column.name,
            f"{values[row]:g} is not between {low:g} and {high:g} {column.unit}"
            " (leave the cell empty where nothing was measured)",
        )
        for row in np.flatnonzero((values < low) | (values > high))
    ]


def _out_of_order(
    low: str, high: str, lows: Floats, highs: Floats, slack: float
) -> list[Implausible]:
    """Return the rows where what should be the lower of two values is the higher one."""
    return [
        Implausible(int(row), low, f"{lows[row]:g} is above {high}, {highs[row]:g}")
        for row in np.flatnonzero(lows > highs + slack)
    ]


def _shares_for_percent(name: str, values: Floats) -> list[Implausible]:
    """Return the first row of a humidity that is a share of 1 throughout: no air is that dry."""
    above_zero = np.flatnonzero(values > 0.0)
    if not above_zero.size or np.any(values > 1.0):
        return []
    row = int(above_zero[0])
    said = f"{values[row]:g} here and never above 1 in the table; percent is meant, 0 to 100"
    return [Implausible(row, name, said)]


def _above_saturation(values: Mapping[str, Floats], step: Step) -> list[Implausible]:
    """Return the rows with more vapour than the air can hold at its warmest."""
    warmest = "t_c" if step == "hour" else "t_max_c"
    if warmest not in values or "ea_kpa" not in values:
        return []
    # Air outside the limits is reported already; far outside, Eq 11 has a pole.
    warm = np.where(np.abs(values[warmest]) <= _T[1], values[warmest], np.nan)
    most = np.asarray(saturation_vapour_pressure_kpa(warm))
    return [
        Implausible(
            int(row),
            "ea_kpa",
            f"{values['ea_kpa'][row]:g} kPa is more than air of {warm[row]:g} °C can hold,"
            f" {most[row]:.3g} kPa",
        )
        for row in np.flatnonzero(values["ea_kpa"] > 1.06 * most)
    ]
