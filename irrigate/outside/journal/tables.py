"""Hourly weather as the journal keeps it: rounded columns of plain numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any

import numpy as np

from irrigate.garden.weather import HOUR_S, HourlyWeather

DECIMALS: Mapping[str, int] = {
    "temperature_c": 2,
    "vapour_pressure_kpa": 3,
    "solar_mj_m2": 3,
    "wind_2m_m_s": 2,
    "rain_mm": 2,
    "rain_chance": 2,
}
"""Finer than any source tells, and than any pot can feel."""

_CODES = ("origin", "filled")


def rounded_table(table: HourlyWeather) -> HourlyWeather:
    """Return the table with every value as it will be kept; a second time changes nothing."""
    return replace(
        table,
        # Adding zero turns a negative zero into a plain one.
        **{name: np.round(getattr(table, name), d) + 0.0 for name, d in DECIMALS.items()},
    )


def plain_table(table: HourlyWeather) -> dict[str, Any]:
    """Return the rounded table as plain lists; hours in a row are told by the first alone.

    A `ValueError` if a value is missing: a raw table is filled before it is kept.
    """
    kept = rounded_table(table)
    for name in DECIMALS:
        if not bool(np.all(np.isfinite(getattr(kept, name)))):
            raise ValueError(f"{name} has a value that is not a finite number")
    ends = kept.end_s.tolist()
    in_a_row = bool(ends) and ends[-1] - ends[0] == (len(ends) - 1) * HOUR_S
    in_a_row = in_a_row and bool(np.all(np.diff(kept.end_s) == HOUR_S))
    plain: dict[str, Any] = {"end_s": ends[0] if in_a_row else ends}
    for name in (*DECIMALS, *_CODES):
        plain[name] = getattr(kept, name).tolist()
    return plain


def table_of(plain: Any) -> HourlyWeather:
    """Return the table that these lists hold; a `ValueError` if they do not hold one."""
    if not isinstance(plain, dict) or set(plain) != {field.name for field in fields(HourlyWeather)}:
        raise ValueError("not a table of hours")
    ends = plain["end_s"]
    if isinstance(ends, int) and not isinstance(ends, bool):
        ends = [ends + HOUR_S * index for index in range(len(plain["temperature_c"]))]
    columns: dict[str, Any] = {"end_s": np.array(_column("end_s", ends, {int}), dtype=np.int64)}
    for name in DECIMALS:
        columns[name] = np.array(_column(name, plain[name], {int, float}), dtype=np.float64)
    for name in _CODES:
        columns[name] = np.array(_column(name, plain[name], {int}), dtype=np.uint8)
    return HourlyWeather(**columns)


def _column(name: str, column: Any, kinds: set[type]) -> list[Any]:
    """Return the column if it is a list of such numbers; a `bool` is none."""
    if not isinstance(column, list) or not kinds.issuperset(map(type, column)):
        raise ValueError(f"{name} is not a list of numbers")
    return column
