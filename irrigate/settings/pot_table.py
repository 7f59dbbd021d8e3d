"""Pots out of a table, as it is pasted from a spreadsheet: one row a pot, columns by plain names.

What a cell says is read as in the garden file. A fault is told with the table's line and the
number of the column, as a spreadsheet counts them.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from irrigate.errors import GardenFileError, InputError
from irrigate.settings.kind_words import kind_of
from irrigate.settings.one_breath import labels_in
from irrigate.settings.readers import did_you_mean
from irrigate.settings.row_parts import Row, size_of
from irrigate.settings.schema import MOST_POTS
from irrigate.settings.source import Mark, Source, read_source
from irrigate.settings.table_columns import Columns, columns_of
from irrigate.settings.writing import Fault, NewGarden, faults_of

LONGEST_CELL = 200
NOWHERE = "garden"
"""What the place is called where a table says of no pot where it stands."""


@dataclass(frozen=True, slots=True)
class PotTable:
    """What a table of pots says.

    Parameters
    ----------
    rows : label and entries, in the table's order.
    kinds : pot kinds that the catalogue lacks, made from the size in their names.
    places : places that the table names, in the order they come.
    remarks : what else the gardener should know of how it was read.
    marks : where each entry stands, by label and key.
    """

    source: Source
    rows: tuple[tuple[str, Row], ...]
    kinds: Mapping[str, Mapping[str, str]]
    places: tuple[str, ...]
    remarks: tuple[str, ...]
    marks: Mapping[tuple[str, ...], Mark]


def read_pot_table(path: Path, garden: NewGarden) -> PotTable:
    """Read a table of pots for a garden whose places and kinds are known so far.

    A `GardenFileError` holds everything that is wrong with it, in the table's order.
    """
    source = read_source(path)
    reader = _Reader(source, garden)
    for line, cells in _records(source):
        if not reader.columns.known:
            reader.columns = columns_of(cells, source, line)
        else:
            reader.row(line, cells)
        if len(reader.rows) > MOST_POTS:
            what = f"there are more than {MOST_POTS} pots; a garden has 1 to {MOST_POTS}"
            raise GardenFileError([source.fault(Mark(line, 1), what)])
    table = reader.table()
    if table.rows:
        reader.note_read(faults_of(with_pots(garden, table)))
    if reader.faults:
        raise GardenFileError(
            [source.fault(mark, what) for mark, what in sorted(reader.faults.items(), key=_place)]
        )
    return table


def with_pots(garden: NewGarden, table: PotTable) -> NewGarden:
    """Return the garden with the table's pots, and with the kinds and places they need."""
    described = {name for name, _ in garden.places}
    new_places: tuple[tuple[str, Mapping[str, str]], ...] = tuple(
        (name, {}) for name in table.places if name not in described
    )
    return replace(
        garden,
        places=(*garden.places, *new_places),
        kinds=(*garden.kinds, *table.kinds.items()),
        pots=table.rows,
    )


def _place(fault: tuple[Mark, str]) -> tuple[int, int]:
    return fault[0].line, fault[0].column


def _records(source: Source) -> Iterator[tuple[int, list[str]]]:
    """Yield the table's rows, the empty ones left out, each with the line it begins in."""
    lines = list(source.lines)
    told = re.fullmatch(r"sep=(.)", lines[0]) if lines else None
    delimiter = told[1] if told else _delimiter(lines)
    skipped = 1 if told else 0
    reader = csv.reader((f"{line}\n" for line in lines[skipped:]), delimiter=delimiter)
    begins = skipped + 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield begins, [" ".join(cell.split()) for cell in cells]
            begins = skipped + reader.line_num + 1
    except csv.Error as wrong:
        raise GardenFileError([source.fault(Mark(begins, 1), f"is no table ({wrong})")]) from None


def _delimiter(lines: list[str]) -> str:
    """Return what parts the header's names: the commonest of tab, semicolon and comma."""
    header = next((line for line in lines if line.strip()), "")
    return max("\t;,", key=header.count)


@dataclass(slots=True)
class _Reader:
    """Reads row after row, noting what is wrong as it meets it."""

    source: Source
    garden: NewGarden
    columns: Columns = field(default_factory=Columns)
    rows: dict[str, dict[str, str | Mapping[str, str]]] = field(default_factory=dict)
    kinds: dict[str, Mapping[str, str]] = field(default_factory=dict)
    places: dict[str, None] = field(default_factory=dict)
    remarks: dict[str, None] = field(default_factory=dict)
    marks: dict[tuple[str, ...], Mark] = field(default_factory=dict)
    faults: dict[Mark, str] = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)

    def table(self) -> PotTable:
        """Return what was read; a `GardenFileError` if the table is no table of pots."""
        if not self.columns.known:
            raise GardenFileError([self.source.fault(Mark(1, 1), "the table is empty")])
        if not self.rows and not self.faults:
            what = "there is no pot below the line of names"
            raise GardenFileError([self.source.fault(Mark(1, 1), what)])
        remarks = (*self.columns.remarks, *self.remarks)
        return PotTable(
            self.source,
            tuple(self.rows.items()),
            self.kinds,
            tuple(self.places),
            remarks,
            self.marks,
        )

    def row(self, line: int, cells: list[str]) -> None:
        """Take in one row."""
        if len(cells) > len(self.columns.names) and any(cells[len(self.columns.names) :]):
            what = (
                f"there are {len(cells)} cells in this row and {len(self.columns.names)} names "
                "above; put a text with commas in quotes"
            )
            self.faults[Mark(line, len(self.columns.names) + 1)] = what
            return
        for column, cell in enumerate(cells, start=1):
            if len(cell) > LONGEST_CELL:
                what = f"this cell is longer than {LONGEST_CELL} letters; is a quote left open?"
                self.faults[Mark(line, column)] = what
                return
        said = {
            key: (self._with_unit(key, cells[column - 1]), Mark(line, column))
            for key, column in self.columns.known.items()
            if column <= len(cells) and cells[column - 1]
        }
        if not said:
            return
        for label in self._labels(said.pop("label", ("", Mark(line, 1)))):
            self._pot(label, line, said)

    def _with_unit(self, key: str, cell: str) -> str:
        """Give a bare number the unit that stands in brackets above it."""
        unit = self.columns.units.get(key, "")
        return f"{cell} {unit}" if unit and re.fullmatch(r"[0-9.]+", cell) else cell

    def _labels(self, cell: tuple[str, Mark]) -> tuple[str, ...]:
        """Return the labels that a cell stands for; the next number where it is empty."""
        text, mark = cell
        if not text:
            numbers = [int(label) for label in self.rows if re.fullmatch("[0-9]{1,9}", label)]
            return (str(max(numbers, default=0) + 1),)
        try:
            labels = labels_in(text.removeprefix("#").strip())
        except InputError as wrong:
            self.faults[mark] = str(wrong)
            return ()
        if len(labels) > 1:
            self.remarks[f"{text} is taken as {len(labels)} pots alike."] = None
        return labels

    def _pot(self, label: str, line: int, said: Mapping[str, tuple[str, Mark]]) -> None:
        first = min((mark for _, mark in said.values()), key=lambda mark: mark.column, default=None)
        at = Mark(line, self.columns.known.get("label", first.column if first else 1))
        if label in self.rows:
            what = f"pot {label} is already in line {self.lines[label]}; give this one another"
            self.faults[at] = f"{what} number"
            for key, (text, mark) in said.items():  # its cells may be wrong all the same
                self._cell(label, {}, key, text, mark)
            return
        self.lines[label] = line
        self.marks["pots", label] = at
        row = self.rows[label] = {}
        for key, (text, mark) in said.items():
            self.marks["pots", label, key] = mark
            self._cell(label, row, key, text, mark)
        if "like" not in row:
            self._need_enough(label, row, at)

    def _cell(
        self, label: str, row: dict[str, str | Mapping[str, str]], key: str, text: str, mark: Mark
    ) -> None:
        """Take in one cell under the key that its column stands for."""
        if key in ("wide", "tall"):
            size = row.get("size")
            row["size"] = {**(size if isinstance(size, Mapping) else {}), key: text}
            self.marks["pots", label, "size", key] = mark
            self.marks.setdefault(("pots", label, "size"), mark)
        elif key == "size":
            row["size"] = size_of(text) or text
        elif key == "pot":
            row["pot"] = self._kind(label, text, mark)
        elif key == "place":
            row["place"] = self._standing(label, text, mark)
        else:
            row[key] = text

    def _kind(self, label: str, text: str, mark: Mark) -> str:
        try:
            own = (*(name for name, _ in self.garden.kinds), *self.kinds)
            found = kind_of(text, own, self.garden.kinds_in_use)
        except ValueError as wrong:
            self.faults[mark] = f"pot {label}, pot kind: {wrong}"
            return text
        if found.measures:
            self.kinds[found.name] = found.measures
        if found.said:
            self.remarks[f"{found.said}."] = None
        return found.name

    def _standing(self, label: str, text: str, mark: Mark) -> str:
        """Return the place; one that resembles a described one is a slip, any other is new."""
        described = [name for name, _ in self.garden.places]
        known = (*described, *self.places)
        for name in known:
            if name.casefold() == text.casefold():
                self.places[name] = None
                return name
        near = did_you_mean(text, described, most=0) if described else ""
        if near:
            self.faults[mark] = f"pot {label}, place: “{text}” is not among the places; {near}"
            return described[0]
        self.places[text] = None
        return text

    def _need_enough(self, label: str, row: dict[str, str | Mapping[str, str]], at: Mark) -> None:
        """Say what is missing in a row; a pot of which no place is told stands in the only one."""
        described = [name for name, _ in self.garden.places]
        if "place" not in row and len(described) == 1:
            row["place"] = described[0]
        elif "place" not in row and "place" not in self.columns.known and not described:
            row["place"] = NOWHERE
            self.places[NOWHERE] = None
        said = {"plant": "what grows in it", "pot": "which kind of pot", "place": "where it stands"}
        missing = [words for key, words in said.items() if key not in row]
        if missing:
            self.faults[at] = f"pot {label}: say {' and '.join(missing)} too"
            row.setdefault("place", described[0] if described else NOWHERE)

    def note_read(self, found: list[Fault]) -> None:
        """Keep what the reader of garden files found wrong, at the cells it came from."""
        for fault in found:
            path = tuple(str(part) for part in fault.path)
            while path and path not in self.marks:
                path = path[:-1]
            mark = self.marks.get(path, Mark(1, 1))
            self.faults.setdefault(mark, fault.what)
