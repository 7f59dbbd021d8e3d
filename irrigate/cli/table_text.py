"""A comma-separated file as text: its rows, the line each begins on, and every byte kept.

Lines are counted as an editor counts them, the header on line 1; a quoted cell may run over
several. The text of each row is kept as it was written, so that a column can be added without
touching the others.
"""

from __future__ import annotations

import csv
import io
import sys
from dataclasses import dataclass, field
from pathlib import Path

from irrigate.errors import TableError

STANDARD_INPUT = "-"
_BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class TableText:
    """The rows of a file: cells, the line where each row begins, and its own text.

    ``records`` is all of the text in order, the header first; ``places`` says which record each
    row is, since empty lines are records but no rows.
    """

    path: str
    header: tuple[str, ...]
    cells: list[list[str]] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    records: list[str] = field(default_factory=list)
    places: list[int] = field(default_factory=list)

    def column(self, name: str) -> list[str]:
        """Return the cells of one column, by its name."""
        position = self.header.index(name)
        return [row[position] for row in self.cells]

    def with_column(self, name: str, values: list[str]) -> str:
        """Return the whole text with one more column at the end of each row."""
        records = list(self.records)
        records[0] = _appended(records[0], name)
        for place, value in zip(self.places, values, strict=True):
            records[place] = _appended(records[place], value)
        return "".join(records)


def _appended(record: str, cell: str) -> str:
    """Return a row's text with one more cell, its line ending kept."""
    body = record.rstrip("\r\n")
    return f"{body},{cell}{record[len(body) :]}"


def read_table_text(path: str, ragged: list[TableError] | None = None) -> TableText:
    """Read a file, or standard input for ``-``, into rows; raise `TableError` where it is wrong.

    ``ragged`` : takes the errors of rows with too few or too many cells, which are then left out.
    """
    shown = "standard input" if path == STANDARD_INPUT else path
    text = _decoded(shown, _content(path, shown))
    mark = _BYTE_ORDER_MARK if text.startswith(_BYTE_ORDER_MARK) else ""
    lines = list(io.StringIO(text.removeprefix(mark), newline=""))
    if not text.removeprefix(mark).strip():
        raise TableError(shown, None, None, "the file is empty; the first line names the columns")
    table: TableText | None = None
    reader = csv.reader(lines, strict=True)
    begin = 0
    while begin < len(lines):
        try:
            cells = next(reader)
        except csv.Error as wrong:
            raise TableError(shown, begin + 1, None, _meant(wrong)) from None
        record, line = "".join(lines[begin : reader.line_num]), begin + 1
        begin = reader.line_num
        if table is None:
            table = TableText(shown, _header(shown, line, cells), records=[mark + record])
            continue
        try:
            _add(table, line, cells, record)
        except TableError as wrong:
            if ragged is None:
                raise
            ragged.append(wrong)
    assert table is not None  # noqa: S101 - a text that is not blank has a first record
    return table


def _add(table: TableText, line: int, cells: list[str], record: str) -> None:
    """Add one record to the table, as a row unless it is an empty line."""
    if record.strip():
        if len(cells) != len(table.header):
            raise TableError(table.path, line, None, _miscounted(cells, table.header))
        table.cells.append(cells)
        table.lines.append(line)
        table.places.append(len(table.records))
    table.records.append(record)


def _content(path: str, shown: str) -> bytes:
    """Return the bytes of a file or of standard input."""
    if path == STANDARD_INPUT:
        return sys.stdin.buffer.read()
    try:
        return Path(path).read_bytes()
    except FileNotFoundError:
        raise TableError(shown, None, None, "there is no such file") from None
    except IsADirectoryError:
        raise TableError(shown, None, None, "this is a folder, not a file") from None
    except (OSError, ValueError) as failed:
        why = getattr(failed, "strerror", None) or str(failed)
        raise TableError(shown, None, None, f"cannot be read: {why}") from None


def _decoded(shown: str, content: bytes) -> str:
    """Return the content as text, which must be UTF-8."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise TableError(shown, None, None, "the file is UTF-16; save it as CSV in UTF-8")
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as wrong:
        before = io.StringIO(content[: wrong.start].decode("utf-8") + ".", newline="")
        line = sum(1 for _ in before)
        raise TableError(shown, line, None, "a byte that is not UTF-8; save it as UTF-8") from None
    if "\x00" in text:
        line = sum(1 for _ in io.StringIO(text[: text.index("\x00")] + ".", newline=""))
        raise TableError(shown, line, None, "a zero byte: this is no text file")
    return text


def _header(shown: str, line: int, cells: list[str]) -> tuple[str, ...]:
    """Return the names of the columns, or say what is wrong with the first line."""
    if not any(cell.strip() for cell in cells):
        raise TableError(shown, line, None, "the first line must name the columns")
    if len(cells) == 1:
        for sign, word in ((";", "semicolons"), ("\t", "tabs")):
            if sign in cells[0]:
                raise TableError(
                    shown, line, None,
                    f"the cells are parted by {word}; save the file with commas between cells and"
                    " a point in numbers",
                )  # fmt: skip
    names = tuple(cell.strip() for cell in cells)
    for position, name in enumerate(names):
        first = names.index(name)
        if name and first != position:
            raise TableError(
                shown, line, name, f"the name stands over columns {first + 1} and {position + 1}"
            )
    return names


def _miscounted(cells: list[str], header: tuple[str, ...]) -> str:
    """Return what to say of a row with more or fewer cells than the header."""
    said = f"{len(cells)} cells where the header has {len(header)}"
    if len(cells) > len(header):
        return f"{said}; numbers take a decimal point, and a text with a comma takes quotes"
    return f"{said}; a cell without a value still takes its comma"


def _meant(wrong: csv.Error) -> str:
    """Return a parser's complaint in words that say how to mend it."""
    said = str(wrong)
    if "unexpected end of data" in said:
        return "a quotation mark is opened here and never closed"
    if "expected after" in said:
        return 'a quoted cell must end at its second quotation mark; write "" for one inside it'
    return f"the row cannot be read: {said}"
