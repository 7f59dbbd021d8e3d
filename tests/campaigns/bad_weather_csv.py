"""Spoilt weather tables by the thousand, to see that each is refused where it is wrong.

``python -m tests.campaigns.bad_weather_csv [EXAMPLES]`` runs 2,000 of each kind by default; the
suite runs the same checks with fewer.
"""

from __future__ import annotations

import contextlib
import io
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.cli.main import run

SITE = ["--latitude", "36.1", "--longitude", "-79.95", "--elevation", "273", "--wind-height", "10"]
HEADER = ("time", "note", "t_c", "rh_pct", "rs_mj_m2", "wind_m_s")
REQUIRED = ("time", "t_c", "rh_pct", "rs_mj_m2")
NUMBERS = ("t_c", "rh_pct", "rs_mj_m2", "wind_m_s")
UNITS_LIMIT = {"t_c": "61", "rh_pct": "100.5", "rs_mj_m2": "9", "wind_m_s": "-0.1"}
WRONG_TIMES = (
    "",
    "yesterday",
    "2001-07-03",
    "2001-13-01T00:00Z",
    "03/07/2001 12:00",
    "2001-07-03T25:00Z",
    "2001-07-03T24:00Z",
    "0001-01-01T00:00Z",
    "9999-12-31T23:00Z",
    "2001-07-03T12:00",
)


@dataclass(frozen=True)
class Table:
    """A good table as cells, and how it is written down."""

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    ending: str
    mark: bool

    def line_of(self, row: int) -> int:
        """Return the line on which a row begins, as an editor counts."""
        return 2 + row + sum(cell.count("\n") for r in self.rows[:row] for cell in r)

    def written(self) -> bytes:
        """Return the file."""
        lines = [",".join(self.header)]
        lines += [",".join(_quoted(cell) for cell in row) for row in self.rows]
        text = "".join(line + self.ending for line in lines)
        return (("\ufeff" if self.mark else "") + text).encode("utf-8")

    def with_cell(self, row: int, column: str, cell: str) -> Table:
        """Return the table with one other cell."""
        position = self.header.index(column)
        cells = list(self.rows[row])
        cells[position] = cell
        return replace(self, rows=(*self.rows[:row], tuple(cells), *self.rows[row + 1 :]))


@dataclass(frozen=True)
class Spoilt:
    """A file that is wrong, where, and why it is."""

    fault: str
    content: bytes
    line: int | None
    column: str | None
    options: tuple[str, ...] = ()


def _quoted(cell: str) -> str:
    """Return a cell as CSV writes it."""
    if any(sign in cell for sign in ',"\n\r'):
        return '"' + cell.replace('"', '""') + '"'
    return cell


notes = st.sampled_from(("", "dry", "a, b", 'said "hot"', "two\nlines", "öäü", "two\nmore\nlines"))


@st.composite
def tables(draw: st.DrawFn) -> Table:
    """Return a good table of some July hours in Greensboro."""
    first = draw(st.integers(0, 20))
    count = draw(st.integers(2, 12))
    rows = []
    for hour in range(first, first + count):
        # The sun is up from about 11 to 24 UTC; nothing is measured to shine in the dark.
        bright = 13 <= hour % 24 <= 23
        rows.append((
            f"2001-07-{3 + hour // 24:02d}T{hour % 24:02d}:00Z",
            draw(notes),
            f"{draw(st.integers(150, 400)) / 10:g}",
            f"{draw(st.integers(20, 100))}",
            f"{draw(st.integers(0, 300)) / 100 if bright else 0:g}",
            draw(st.sampled_from(("", "1.5", "NA", "3"))),
        ))  # fmt: skip
    return Table(HEADER, tuple(rows), draw(st.sampled_from(("\n", "\r\n"))), draw(st.booleans()))


Fault = Callable[[st.DrawFn, Table], Spoilt]


def _cell(fault: str, table: Table, row: int, column: str, cell: str) -> Spoilt:
    """Return a table with one wrong cell."""
    return Spoilt(fault, table.with_cell(row, column, cell).written(), table.line_of(row), column)


def _row(draw: st.DrawFn, table: Table, first: int = 0) -> int:
    """Return one of the rows."""
    return draw(st.integers(first, len(table.rows) - 1))


def _wrong_number(draw: st.DrawFn, table: Table) -> Spoilt:
    words = ("abc", "1_0", "0x1A", "--3", "inf", "-inf", "1e999", "12,5", "3 4", "None", "-", "٣")
    cell = draw(st.sampled_from(words))
    return _cell("no number", table, _row(draw, table), draw(st.sampled_from(NUMBERS)), cell)


def _outside(draw: st.DrawFn, table: Table) -> Spoilt:
    column = draw(st.sampled_from(NUMBERS))
    cell = draw(st.sampled_from((UNITS_LIMIT[column], "-9999", "1e30")))
    return _cell("outside the limits", table, _row(draw, table), column, cell)


def _wrong_time(draw: st.DrawFn, table: Table) -> Spoilt:
    cell = draw(st.sampled_from(WRONG_TIMES))
    return _cell("no time", table, _row(draw, table), "time", cell)


def _repeated(draw: st.DrawFn, table: Table) -> Spoilt:
    row = _row(draw, table, 1)
    return _cell("twice", table, row, "time", table.rows[row - 1][0])


def _unsorted(draw: st.DrawFn, table: Table) -> Spoilt:
    row = _row(draw, table, 1)
    return _cell("unsorted", table, row, "time", "2001-06-30T00:00Z")


def _half_hour(draw: st.DrawFn, table: Table) -> Spoilt:
    row = _row(draw, table, 1)
    return _cell("half hours", table, row, "time", table.rows[row - 1][0].replace(":00Z", ":30Z"))


def _sun_at_night(draw: st.DrawFn, table: Table) -> Spoilt:
    night = table.with_cell(0, "time", "2001-07-03T05:00Z")
    rest = [row for row in table.rows[1:] if row[0] > "2001-07-03T06:00Z"]
    night = replace(night, rows=(night.rows[0], *rest))
    spoilt = _cell("sun at night", night, 0, "rs_mj_m2", "2.5")
    # With hours left out, what remains may not be hours at all; two rows always pass.
    return spoilt if len(night.rows) == len(table.rows) else _outside(draw, table)


def _cells_short(draw: st.DrawFn, table: Table) -> Spoilt:
    row = _row(draw, table)
    cells = table.rows[row][:-1] if draw(st.booleans()) else (*table.rows[row], "5")
    bad = replace(table, rows=(*table.rows[:row], cells, *table.rows[row + 1 :]))
    return Spoilt("miscounted", bad.written(), table.line_of(row), None)


def _lacking(draw: st.DrawFn, table: Table) -> Spoilt:
    name = draw(st.sampled_from(REQUIRED))
    other = draw(st.sampled_from(("", "x", name.upper(), name + "s", name.replace("_", " "))))
    header = tuple(other if column == name else column for column in table.header)
    if other == name:
        return _outside(draw, table)
    return Spoilt("column lacking", replace(table, header=header).written(), 1, None)


def _two_alike(draw: st.DrawFn, table: Table) -> Spoilt:
    name = draw(st.sampled_from(NUMBERS))
    header = tuple(name if column == "note" else column for column in table.header)
    return Spoilt("name twice", replace(table, header=header).written(), 1, name)


def _result_there(draw: st.DrawFn, table: Table) -> Spoilt:
    header = tuple("et0_mm" if column == "note" else column for column in table.header)
    return Spoilt("result there", replace(table, header=header).written(), 1, "et0_mm")


def _semicolons(draw: st.DrawFn, table: Table) -> Spoilt:
    plain = replace(table, mark=False).written().decode()
    return Spoilt("semicolons", plain.replace(",", draw(st.sampled_from(";\t"))).encode(), 1, None)


def _open_quote(draw: st.DrawFn, table: Table) -> Spoilt:
    row = len(table.rows) - 1
    written = table.with_cell(row, "note", "@@").written().replace(b"@@", b'"never closed')
    return Spoilt("open quote", written, table.line_of(row), None)


def _not_utf8(draw: st.DrawFn, table: Table) -> Spoilt:
    row = _row(draw, table)
    byte = draw(st.sampled_from((b"\xe9", b"\xff", b"\x00")))
    written = table.with_cell(row, "note", "@@").written().replace(b"@@", byte)
    return Spoilt("not UTF-8", written, table.line_of(row), None)


def _nothing(draw: st.DrawFn, table: Table) -> Spoilt:
    words = (b"", b"\n", b"\r\n\r\n", b"  \n", b"\xef\xbb\xbf", b"\xef\xbb\xbf\n")
    return Spoilt("empty", draw(st.sampled_from(words)), None, None)


FAULTS: tuple[Fault, ...] = (
    _wrong_number, _outside, _wrong_time, _repeated, _unsorted, _half_hour, _sun_at_night,
    _cells_short, _lacking, _two_alike, _result_there, _semicolons, _open_quote, _not_utf8,
    _nothing,
)  # fmt: skip


@st.composite
def spoilt_tables(draw: st.DrawFn) -> Spoilt:
    """Return a good table with one fault, and where it lies."""
    return draw(st.sampled_from(FAULTS))(draw, draw(tables()))


def et0(content: bytes, *options: str) -> tuple[int, str, bytes | None, str]:
    """Run the command on a file; return exit code, standard error, what was written, the path."""
    with tempfile.TemporaryDirectory() as folder:
        path, out = Path(folder) / "weather.csv", Path(folder) / "out.csv"
        path.write_bytes(content)
        errors = io.StringIO()
        with contextlib.redirect_stderr(errors):
            code = run(["et0", str(path), *SITE, "--out", str(out), *options])
        left = sorted(found.name for found in Path(folder).iterdir())
        assert left in (["weather.csv"], ["out.csv", "weather.csv"]), left
        written = out.read_bytes() if out.exists() else None
        return code, errors.getvalue(), written, str(path)


def check_spoilt(spoilt: Spoilt) -> None:
    """Assert that a spoilt table is refused at its place and nothing is written."""
    code, errors, written, path = et0(spoilt.content, *spoilt.options)
    place = path if spoilt.line is None else f"{path}:{spoilt.line}"
    column = "" if spoilt.column is None else f"column {spoilt.column}: "
    assert code == 2, (spoilt.fault, errors)
    assert written is None
    assert errors.startswith(f"{place}: {column}"), (spoilt.fault, place, column, errors)
    assert "Traceback" not in errors
    assert len(errors.strip().splitlines()) == 1, errors


def check_good(table: Table) -> None:
    """Assert that a good table comes back row by row with one cell more."""
    content = table.written()
    code, errors, written, _ = et0(content)
    assert code == 0, errors
    assert written is not None
    back = written.decode("utf-8").split(table.ending)
    given_ = content.decode("utf-8").split(table.ending)
    assert len(back) == len(given_)
    for before, after in zip(given_, back, strict=True):
        assert after.startswith(before)
    added = sum(len(after) > len(before) for before, after in zip(given_, back, strict=True))
    assert added == len(table.rows) + 1


def check_anything(content: bytes) -> None:
    """Assert that any bytes at all give a result or one plain sentence, never a traceback."""
    code, errors, written, path = et0(content)
    assert code in (0, 2)
    assert (written is None) == (code == 2)
    if code == 2:
        assert errors.startswith(path)


anything = st.one_of(
    st.binary(max_size=200),
    st.text(max_size=200).map(lambda text: text.encode("utf-8", "surrogatepass")),
    st.text(alphabet='time,t_crh\n"0123456789.-:TZ;\r\t', max_size=300).map(
        lambda text: b"time,t_c,rh_pct,rs_mj_m2\n" + text.encode()
    ),
)


def campaign(examples: int) -> None:
    """Run every check on so many examples."""
    for check, strategy in (
        (check_spoilt, spoilt_tables()),
        (check_good, tables()),
        (check_anything, anything),
    ):
        quiet = settings(
            max_examples=examples, deadline=None, suppress_health_check=list(HealthCheck)
        )
        quiet(given(strategy)(check))()  # type: ignore[operator]
        print(f"{check.__name__}: {examples} examples passed")


if __name__ == "__main__":
    campaign(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
