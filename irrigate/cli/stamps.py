"""Dates and times in a table, from text to days and UTC seconds; never guessed."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import NDArray

from irrigate.errors import InputError, TableError

# Weather that anybody may have measured; outside, a year is a slip of the finger.
YEARS = (1700, 2200)

_OFFSET = re.compile(r"([+-])(\d{2}):?(\d{2})")


def zone_named(name: str) -> tzinfo:
    """Return a time zone by its name ("Europe/Madrid") or its fixed offset ("-05:00")."""
    offset = _OFFSET.fullmatch(name.strip())
    if offset is not None and int(offset[2]) < 24 and int(offset[3]) < 60:
        size = timedelta(hours=int(offset[2]), minutes=int(offset[3]))
        return timezone(-size if offset[1] == "-" else size)
    try:
        return ZoneInfo(name.strip())
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise InputError(
            f"there is no time zone {name!r}; write one such as America/Chicago, or an offset"
            " such as -06:00"
        ) from None


def moment_in(text: str, zone: tzinfo | None) -> datetime:
    """Return the one moment (UTC) that a text says, in ``zone`` if it carries no offset."""
    try:
        return _moment(text.strip(), zone).astimezone(UTC)
    except _UnclearError as unclear:
        raise InputError(str(unclear)) from None


def end_seconds(
    path: str, column: str, cells: list[str], lines: list[int], zone: tzinfo | None
) -> NDArray[np.int64]:
    """Return times as UTC epoch seconds; those without an offset are in ``zone``."""
    seconds = np.empty(len(cells), dtype=np.int64)
    for row, cell in enumerate(cells):
        try:
            seconds[row] = round(_moment(cell.strip(), zone).timestamp())
        except _UnclearError as unclear:
            raise TableError(path, lines[row], column, str(unclear)) from None
    return seconds


def days(path: str, column: str, cells: list[str], lines: list[int]) -> NDArray[np.int64]:
    """Return calendar dates as days since 1970-01-01."""
    counted = np.empty(len(cells), dtype=np.int64)
    for row, cell in enumerate(cells):
        try:
            counted[row] = _date(cell.strip()).toordinal()
        except _UnclearError as unclear:
            raise TableError(path, lines[row], column, str(unclear)) from None
    return counted - date(1970, 1, 1).toordinal()


def check_order(
    path: str, column: str, stamps: NDArray[np.int64], cells: list[str], lines: list[int]
) -> None:
    """Raise `TableError` unless each stamp is later than the one above."""
    wrong = np.flatnonzero(np.diff(stamps) <= 0)
    if not wrong.size:
        return
    row = int(wrong[0]) + 1
    above = f"line {lines[row - 1]} ({cells[row - 1].strip()})"
    if stamps[row] == stamps[row - 1]:
        said = f"{cells[row].strip()} is there already, on {above}"
    else:
        said = f"{cells[row].strip()} is earlier than {above}; sort the rows, the oldest first"
    raise TableError(path, lines[row], column, said)


class _UnclearError(Exception):
    """A stamp that does not say one moment; the text says why."""


def _moment(text: str, zone: tzinfo | None) -> datetime:
    """Return the one moment that a cell says."""
    if not text:
        raise _UnclearError("the cell is empty")
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        hint = "; midnight is 00:00 of the next day" if re.search(r"[T ]24:?\d\d", text) else ""
        raise _UnclearError(
            f"{text!r} is not a time such as 2024-07-01T14:00-05:00 (ISO 8601){hint}"
        ) from None
    if not re.search(r"\d[T ]\d", text):
        raise _UnclearError(f"{text!r} is a date without a time")
    _check_year(text, moment.year)
    if moment.tzinfo is not None:
        return moment
    if zone is None:
        raise _UnclearError(
            f"{text!r} does not say in which zone; add the offset, as in {text}-05:00, or give"
            " --timezone"
        )
    return _placed(text, moment, zone)


def _placed(text: str, local: datetime, zone: tzinfo) -> datetime:
    """Return a local time in its zone, unless the clocks skip it or show it twice."""
    first, second = local.replace(tzinfo=zone), local.replace(tzinfo=zone, fold=1)
    if first.utcoffset() == second.utcoffset():
        return first
    back = first.astimezone(UTC).astimezone(zone).replace(tzinfo=None)
    if back != local:
        raise _UnclearError(f"{text!r} does not exist in {zone}: the clocks go forward over it")
    offsets = " or ".join(_offset(moment) for moment in (first, second))
    raise _UnclearError(
        f"{text!r} happens twice in {zone}, when the clocks go back; add its offset, {offsets}"
    )


def _offset(moment: datetime) -> str:
    """Return a moment's offset from UTC as ISO 8601 writes it."""
    return moment.isoformat()[-6:]


def _date(text: str) -> date:
    """Return the one day that a cell says."""
    if not text:
        raise _UnclearError("the cell is empty")
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise _UnclearError(f"{text!r} is not a date such as 2024-07-01 (ISO 8601)") from None
    _check_year(text, day.year)
    return day


def _check_year(text: str, year: int) -> None:
    """Refuse a year in which nobody measured."""
    if not YEARS[0] <= year <= YEARS[1]:
        raise _UnclearError(f"{text!r} is not between the years {YEARS[0]} and {YEARS[1]}")
