"""Weather from a CSV that a station of one's own writes, read again at every fetch."""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from irrigate.errors import TableError, WeatherError
from irrigate.garden.hour_grid import LONGEST_GAP_H
from irrigate.garden.pots import Site
from irrigate.garden.weather import HOUR_S, Floats
from irrigate.outside.weather.columns import implausible, known_columns, lacking
from irrigate.outside.weather.table import hourly_from_columns, step_s
from irrigate.ports import Fetched

TIME = "time"
AHEAD_S = 16 * 86_400  # rows later than this are not forecasts but a clock gone wrong
MOST_BYTES = 256 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class _Row:
    """One row: the line on which an editor shows it, its stamp [epoch s] and its cells."""

    line: int
    end_s: int
    cells: list[str]


class CsvWeather:
    """A table of hourly or finer rows as a weather source. Implements `ports.WeatherSource`.

    Columns are those of `irrigate.outside.weather.columns`; others are passed over. ``time`` is
    the *end* of the row's period, ISO 8601, with an offset or in ``time_zone``.

    Parameters
    ----------
    path : the file. A last line without its line end is being written, and is left for later.
    wind_height_m : height of the anemometer above the ground [m].
    time_zone : zone of times without an offset; None for the garden's own.
    past_days : how many days gone by are read [days].
    """

    name = "csv"

    def __init__(
        self,
        path: Path,
        *,
        wind_height_m: float = 2.0,
        time_zone: str | None = None,
        past_days: int = 14,
    ) -> None:
        self._path = path
        self._wind_height_m = wind_height_m
        self._time_zone = time_zone
        self._past_s = past_days * 86_400

    def fetch(self, site: Site, now: datetime) -> Fetched:
        """Return the file's hours around ``now``; a fault in it is a `WeatherError` here."""
        try:
            return self.read(site, now)
        except TableError as wrong:
            raise WeatherError(str(wrong)) from wrong

    def read(self, site: Site, now: datetime) -> Fetched:
        """Return the file's hours around ``now``, or raise `TableError` with line and column."""
        names, rows = self._rows(ZoneInfo(self._time_zone or site.time_zone), now)
        if not rows:
            raise self._wrong(None, None, "no row is from the days around now")
        end_s = np.array([row.end_s for row in rows], dtype=np.int64)
        self._check_step(rows, end_s)
        columns = self._numbers(names, rows)
        remarks = self._strange(columns, rows)
        begin, said = _after_a_long_gap(end_s)
        columns = {name: values[begin:] for name, values in columns.items()}
        hours = hourly_from_columns(columns, end_s[begin:], self._wind_height_m, now)
        digest = hashlib.blake2b(digest_size=8)
        for column in (hours.end_s, hours.temperature_c, hours.solar_mj_m2, hours.rain_mm):
            digest.update(np.ascontiguousarray(column[hours.end_s > now.timestamp()]).tobytes())
        return Fetched(
            source=self.name,
            model_run=digest.hexdigest(),
            attribution="",
            fetched_at=now,
            hours=hours,
            remarks=(*remarks, *said),
        )

    # --- text to rows ----------------------------------------------------------------------
    def _text(self) -> str:
        try:
            with self._path.open("rb") as file:
                content = file.read(MOST_BYTES + 1)
        except OSError as trouble:
            raise self._wrong(None, None, f"cannot be read ({trouble.strerror})") from trouble
        if len(content) > MOST_BYTES:
            raise self._wrong(
                None, None, f"is larger than {MOST_BYTES >> 20} MiB; start a new file"
            )
        content = content[: content.rfind(b"\n") + 1]
        try:
            return content.decode("utf-8-sig")
        except UnicodeDecodeError as trouble:
            line = content.count(b"\n", 0, trouble.start) + 1
            raise self._wrong(line, None, "is not UTF-8 text") from trouble

    def _rows(self, zone: ZoneInfo, now: datetime) -> tuple[list[str], list[_Row]]:
        """Return the header and the rows of the days around ``now``, stamped and rising."""
        lines = self._lines(self._text())
        first = next(lines, None)
        if first is None:
            raise self._wrong(None, None, "is empty; the first line names the columns")
        names = [cell.strip() for cell in first[1]]
        self._check_header(names, first[0])
        at = names.index(TIME)
        oldest_s = int(now.timestamp()) - self._past_s
        newest_s = int(now.timestamp()) + AHEAD_S
        rows: list[_Row] = []
        before: int | None = None
        for line, cells in lines:
            if len(cells) != len(names):
                raise self._wrong(line, None, f"{len(cells)} cells under {len(names)} columns")
            end_s = self._stamp(cells[at], zone, before, line)
            if before is not None and end_s <= before:
                raise self._wrong(line, TIME, f"{cells[at]} is not later than the row before it")
            before = end_s
            if oldest_s < end_s <= newest_s:
                rows.append(_Row(line, end_s, cells))
        return names, rows

    def _lines(self, text: str) -> Iterator[tuple[int, list[str]]]:
        reader = csv.reader(io.StringIO(text, newline=""), strict=True)
        while True:
            line = reader.line_num + 1
            try:
                cells = next(reader)
            except StopIteration:
                return
            except csv.Error as wrong:
                raise self._wrong(line, None, f"is not CSV ({wrong})") from wrong
            if cells:
                yield line, cells

    def _check_header(self, names: list[str], line: int) -> None:
        if len(names) == 1 and ";" in names[0]:
            raise self._wrong(line, None, "columns are separated by ';'; commas are needed")
        double = next((name for name in names if name and names.count(name) > 1), None)
        if double is not None:
            raise self._wrong(line, double, "there are two columns of this name")
        if "date" in names and TIME not in names:
            raise self._wrong(line, "date", "daily rows do not do; hourly ones or finer are needed")
        # Radiation and humidity can be estimated; the hour and the temperature cannot.
        for lack in lacking(names, "hour"):
            if TIME in lack or "t_c" in lack:
                raise self._wrong(line, None, lack)

    def _stamp(self, cell: str, zone: ZoneInfo, before: int | None, line: int) -> int:
        """Return the moment [epoch s]; of two that a clock shows in autumn, the one that rises."""
        try:
            told = datetime.fromisoformat(cell.strip())
        except ValueError as wrong:
            raise self._wrong(
                line, TIME, f"{cell!r} is not a time such as 2025-07-12T14:00"
            ) from wrong
        if not 1970 <= told.year < 2200:
            raise self._wrong(line, TIME, f"{cell} is not from our days")
        if told.tzinfo is not None:
            return int(told.timestamp())
        moment = told.replace(tzinfo=zone)
        if moment.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != told:
            raise self._wrong(
                line, TIME, f"{cell} does not exist in {zone.key}: the clocks were put forward"
            )
        if before is not None and moment.timestamp() <= before:
            moment = moment.replace(fold=1)
        return int(moment.timestamp())

    # --- rows to numbers -------------------------------------------------------------------
    def _check_step(self, rows: list[_Row], end_s: NDArray[np.int64]) -> None:
        step = step_s(end_s)
        if step > HOUR_S:
            raise self._wrong(
                rows[1].line,
                TIME,
                f"rows lie {step / HOUR_S:g} h apart; hourly rows or finer are needed,"
                " since a pot may be empty within hours",
            )

    def _numbers(self, names: list[str], rows: list[_Row]) -> dict[str, Floats]:
        columns: dict[str, Floats] = {}
        for name in known_columns(names, "hour"):
            at = names.index(name)
            columns[name] = np.array(
                [self._number(row.cells[at], name, row.line) for row in rows], dtype=np.float64
            )
        return columns

    def _number(self, cell: str, name: str, line: int) -> float:
        cell = cell.strip()
        if not cell:
            return float("nan")
        try:
            return float(cell)
        except ValueError as wrong:
            hint = "; decimals need a point" if "," in cell else ""
            raise self._wrong(
                line, name, f"{cell!r} is not a number{hint} (leave it empty if it is missing)"
            ) from wrong

    def _strange(self, columns: dict[str, Floats], rows: list[_Row]) -> list[str]:
        """Return a remark if values cannot be right; a live station's slip must not stop all."""
        strange = implausible(columns, "hour")
        if not strange:
            return []
        first = strange[0]
        where = f"{self._path}:{rows[first.row].line}: column {first.column}: {first.why}"
        more = f" (and {len(strange) - 1} more)" if len(strange) > 1 else ""
        return [f"{where}{more}: taken as missing"]

    def _wrong(self, line: int | None, column: str | None, what: str) -> TableError:
        return TableError(str(self._path), line, column, what)


def _after_a_long_gap(end_s: NDArray[np.int64]) -> tuple[int, list[str]]:
    """Return the first row after the last gap that nothing can fill, and say so."""
    gaps = np.flatnonzero(np.diff(end_s) > LONGEST_GAP_H * HOUR_S)
    if not gaps.size:
        return 0, []
    days = LONGEST_GAP_H // 24
    return int(gaps[-1]) + 1, [
        f"the station was silent for more than {days} days: only what it told since is used"
    ]
