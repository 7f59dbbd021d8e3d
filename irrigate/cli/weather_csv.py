"""A weather table in a CSV, checked cell by cell; pandas is imported only when one is read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import tzinfo

import numpy as np
from numpy.typing import NDArray

from irrigate.cli.stamps import check_order, days, end_seconds
from irrigate.cli.table_text import TableText, read_table_text
from irrigate.errors import TableError
from irrigate.outside.weather.columns import (
    TIME_COLUMN,
    Floats,
    Step,
    implausible,
    known_columns,
    lacking,
)
from irrigate.outside.weather.table import step_s

# What a cell may hold, besides nothing, where nothing was measured.
MISSING = ("", "NA", "NaN", "nan")

HOUR_S = 3600


@dataclass(frozen=True, slots=True, eq=False)
class WeatherTable:
    """A weather table: its text, its stamps, and its columns of numbers (NaN: missing).

    ``stamps``: UTC epoch seconds at the end of each hour, or days since 1970-01-01.
    Rows that are marked as a gap hold NaN in every column.
    """

    text: TableText
    step: Step
    stamps: NDArray[np.int64]
    values: dict[str, Floats]

    def __len__(self) -> int:
        """Return the number of rows."""
        return int(self.stamps.size)

    def error(self, row: int, column: str, what: str) -> TableError:
        """Return an error that points to one cell."""
        return TableError(self.text.path, self.text.lines[row], column, what)

    @property
    def day_of_year(self) -> NDArray[np.float64]:
        """The day of the year of each date, 1 to 366; for a table of days."""
        dates = self.stamps.astype("datetime64[D]")
        new_year = dates.astype("datetime64[Y]").astype("datetime64[D]")
        since: NDArray[np.float64] = (dates - new_year).astype(np.float64)
        return since + 1.0


def read_weather(
    path: str, step: Step, zone: tzinfo | None = None, *, finer: bool = False
) -> WeatherTable:
    """Read a weather table from a file, or standard input for ``-``.

    zone : of times that carry no offset. finer : rows may also be shorter than an hour. Raises
    `TableError` with file, line and column for whatever cannot be right.
    """
    text = read_table_text(path)
    lacks = lacking(text.header, step)
    if lacks:
        raise TableError(text.path, 1, None, "; ".join(lacks))
    column = TIME_COLUMN[step]
    cells = text.column(column)
    if step == "hour":
        stamps = end_seconds(text.path, column, cells, text.lines, zone)
    else:
        stamps = days(text.path, column, cells, text.lines)
    check_order(text.path, column, stamps, cells, text.lines)
    if step == "hour":
        _check_finer(text, stamps) if finer else _check_hours(text, stamps)
    values = {name: _numbers(text, name) for name in known_columns(text.header, step)}
    _blank_gaps(text, values)
    table = WeatherTable(text, step, stamps, values)
    _check_plausible(table)
    return table


def _numbers(text: TableText, name: str) -> Floats:
    """Return a column's numbers, NaN where a cell says that nothing was measured."""
    import pandas as pd

    cells = pd.Series(text.column(name), dtype=object)
    cells = cells.str.strip() if len(cells) else cells
    missing = cells.isin(MISSING)
    numbers = pd.to_numeric(cells.where(~missing), errors="coerce").to_numpy(dtype=np.float64)
    wrong = np.flatnonzero(~np.isfinite(numbers) & ~missing.to_numpy(dtype=bool))
    if wrong.size:
        row = int(wrong[0])
        raise TableError(text.path, text.lines[row], name, _not_a_number(str(cells.iloc[row])))
    return numbers


def _not_a_number(cell: str) -> str:
    """Return what to say of a cell that is no finite number."""
    if cell.count(",") == 1 and cell.replace(",", "").strip("+-").isdigit():
        return f"{cell!r} has a decimal comma; write a point"
    return f"{cell!r} is not a number; leave the cell empty where nothing was measured"


def _check_hours(text: TableText, stamps: NDArray[np.int64]) -> None:
    """Refuse rows that are less than an hour apart, or that plainly are not hours."""
    apart = np.diff(stamps)
    close = np.flatnonzero(apart < HOUR_S)
    if close.size:
        row = int(close[0]) + 1
        said = f"{apart[row - 1] / 60:g} minutes after the row above; each row must be an hour"
        raise TableError(text.path, text.lines[row], TIME_COLUMN["hour"], said)
    if apart.size > 1 and not np.any(apart == HOUR_S):
        said = f"the rows are {np.median(apart) / HOUR_S:g} hours apart; each row must be an hour"
        raise TableError(text.path, text.lines[1], TIME_COLUMN["hour"], said)


def _check_finer(text: TableText, stamps: NDArray[np.int64]) -> None:
    """Refuse rows that mostly lie further apart than an hour."""
    step = step_s(stamps)
    if step > HOUR_S:
        said = f"the rows are {step / HOUR_S:g} hours apart; they must be hours, or finer"
        raise TableError(text.path, text.lines[1], TIME_COLUMN["hour"], said)


def _blank_gaps(text: TableText, values: dict[str, Floats]) -> None:
    """Forget what stands in rows that are marked as a gap."""
    if "gap" not in values:
        return
    marks = values["gap"]
    odd = np.flatnonzero(~np.isnan(marks) & (marks != 0.0) & (marks != 1.0))
    if odd.size:
        row = int(odd[0])
        said = f"{marks[row]:g} is neither 0 nor 1 (1: nobody measured this row)"
        raise TableError(text.path, text.lines[row], "gap", said)
    for name, column in values.items():
        if name != "gap":
            column[marks == 1.0] = np.nan


def _check_plausible(table: WeatherTable) -> None:
    """Raise for the first value that cannot be right, and say how many more there are."""
    found = implausible(table.values, table.step)
    if found:
        first = found[0]
        more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
        raise table.error(first.row, first.column, first.why + more)
