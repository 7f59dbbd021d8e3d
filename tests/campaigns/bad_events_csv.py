"""Spoilt records of events by the thousand, to see that each is refused where it is wrong.

``python -m tests.campaigns.bad_events_csv [EXAMPLES]`` runs 2,000 of each kind by default; the
suite runs the same checks with fewer.
"""

from __future__ import annotations

import contextlib
import io
import re
import sys
import tempfile
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.cli.events_csv import Span, read_events
from irrigate.cli.main import run
from irrigate.settings.garden_file import settings_of
from tests.cli.replay_scene import GARDEN, START, Scene, weather, written

HOURS = 30
HEADER = ("time", "pot", "kind", "value", "unit", "note")
ZONE = ZoneInfo("America/Los_Angeles")
LABELS = ("1", "2", "B7")

# What is good of each kind: value and unit.
GOOD = {
    "given": (("2", "L"), ("1/2", "can"), ("10", "s hose"), ("2 qt", ""), ("300", "ml")),
    "till-ran": (("", ""), ("1.5", "L")),
    "till-ran-twice": (("", ""), ("2", "L")),
    "weighed": (("9.5", "kg"), ("14 lb", "")),
    "finger": (("wet", ""), ("moist", ""), ("Dry", "")),
    "wilting": (("", ""),),
    "planted": (("", ""),),
    "probe": (("31", "%"), ("0.3", "m3/m3"), ("0.30 m³/m³", "")),
    "drained": (("0.4", "L"), ("0", ""), ("½", "can")),
    "canopy": (("40 x 60", "cm"), ("1 ft × 18 in", ""), ("0.3 X 0.4", "m")),
    "rain": (("none", ""), ("ran through", ""), ("6", "mm"), ("¼ in", "")),
}
WRONG = {
    "given": (("", ""), ("2", ""), ("0", "L"), ("-1", "L"), ("900", "L"), ("2", "kg"), ("some", ""),
              ("1,5", "L"), ("nan", "L"), ("1e400", "L")),
    "till-ran": (("3", ""), ("0", "L"), ("twice", ""), ("400", "gal")),
    "till-ran-twice": (("3", ""), ("yes", "")),
    "weighed": (("", ""), ("12", ""), ("0", "kg"), ("900", "kg"), ("12", "L"), ("-3", "kg")),
    "finger": (("", ""), ("damp-ish", ""), ("3", ""), ("wet", "L")),
    "wilting": (("yes", ""), ("", "L")),
    "planted": (("pepper", ""),),
    "probe": (("", ""), ("0.3", ""), ("31", ""), ("120", "%"), ("-1", "%"), ("31", "m3/m3"),
              ("nan", "m3/m3")),
    "drained": (("", ""), ("3", ""), ("400", "gal"), ("-1", "L")),
    "canopy": (("", ""), ("40", "cm"), ("40 x 60", ""), ("0 x 60", "cm"), ("40 x 60", "kg"),
               ("40 x 6000", "cm"), ("x", "cm"), ("40 x -2", "cm")),
    "rain": (("", ""), ("lots", ""), ("6", ""), ("6", "kg"), ("-2", "mm"), ("3", "m")),
}  # fmt: skip
WRONG_TIMES = (
    "", "noon", "2026-07-07", "2026-13-01T00:00Z", "07/08/2026 12:00", "2026-07-07T25:00Z",
    "2026-07-07T24:00Z", "0001-01-01T00:00Z", "9999-12-31T23:00Z", "2026-03-08 02:30",
    "2025-07-07T20:00Z", "2026-07-07T07:00Z", "2026-07-08T13:01Z",
)  # fmt: skip
WRONG_POTS = ("", "3", "b 7", "1 1", "1,2", "B7 all", "-")
WRONG_KINDS = ("", "Givn", "watered", "till ran", "rain?", "finger dry")


@dataclass(frozen=True)
class Row:
    """One row of a record as cells."""

    time: str
    pot: str
    kind: str
    value: str
    unit: str
    note: str

    def written(self) -> str:
        """Return the row."""
        cells = (self.time, self.pot, self.kind, self.value, self.unit, self.note)
        return ",".join(f'"{cell}"' if re.search('[,\n"]', cell) else cell for cell in cells)


@dataclass(frozen=True)
class Spoilt:
    """A record that is wrong in places: the file, and each place as (line, column)."""

    text: str
    places: tuple[tuple[int, str], ...]


notes = st.sampled_from(("", "dry", "a, b", "two\nlines"))


@st.composite
def records(draw: st.DrawFn) -> list[Row]:
    """Return a good record, each row a minute of its own."""
    minutes = draw(st.lists(st.integers(1, HOURS * 60), min_size=1, max_size=8, unique=True))
    rows = []
    for minute in minutes:
        at = START + timedelta(minutes=minute)
        local = draw(st.booleans())
        stamp = f"{at.astimezone(ZONE):%Y-%m-%d %H:%M}" if local else f"{at:%Y-%m-%dT%H:%MZ}"
        kind = draw(st.sampled_from(sorted(GOOD)))
        value, unit = draw(st.sampled_from(GOOD[kind]))
        pots = draw(st.lists(st.sampled_from(LABELS), min_size=1, max_size=3, unique=True))
        pot = "" if kind == "rain" else draw(st.sampled_from((" ".join(pots), "all")))
        rows.append(Row(stamp, pot, kind, value, unit, draw(notes)))
    return rows


@st.composite
def spoilt_records(draw: st.DrawFn) -> Spoilt:
    """Return a record of which some rows are each wrong in one cell."""
    rows = draw(records())
    wrong = draw(st.sets(st.integers(0, len(rows) - 1), min_size=1))
    columns = {index: draw(st.sampled_from(("time", "pot", "kind", "value"))) for index in wrong}
    for index, column in columns.items():
        rows[index] = _spoilt(draw, rows[index], column)
    places = tuple((line_of(rows, index), columns[index]) for index in sorted(columns))
    return Spoilt(text_of(rows), places)


def _spoilt(draw: st.DrawFn, row: Row, column: str) -> Row:
    """Return a row with one wrong cell."""
    if column == "time":
        return replace(row, time=draw(st.sampled_from(WRONG_TIMES)))
    if column == "kind":
        return replace(row, kind=draw(st.sampled_from(WRONG_KINDS)))
    if column == "pot":
        wrong = ("1", "all") if row.kind == "rain" else WRONG_POTS
        return replace(row, pot=draw(st.sampled_from(wrong)))
    value, unit = draw(st.sampled_from(WRONG[row.kind]))
    return replace(row, value=value, unit=unit)


def line_of(rows: list[Row], index: int) -> int:
    """Return the line on which a row begins, as an editor counts."""
    return 2 + index + sum(row.note.count("\n") for row in rows[:index])


def text_of(rows: list[Row]) -> str:
    """Return a record as a file."""
    return "\n".join([",".join(HEADER), *(row.written() for row in rows)]) + "\n"


def replay(text: str) -> tuple[int, list[str], bool]:
    """Run the command on a record; return its code, what it said, and if there are results."""
    with tempfile.TemporaryDirectory() as name:
        scene = Scene(Path(name))
        scene.write(GARDEN, written(weather(HOURS)), "")
        (Path(name) / "e.csv").write_bytes(text.encode("utf-8", "surrogatepass"))
        said = io.StringIO()
        with contextlib.redirect_stderr(said), contextlib.redirect_stdout(io.StringIO()):
            code = run(scene.arguments())
        lines = said.getvalue().replace(f"{name}/", "").splitlines()
        return code, lines, (Path(name) / "out").exists()


def check_spoilt(spoilt: Spoilt) -> None:
    """Assert that every wrong cell is named in order, no other, and that nothing is written."""
    code, lines, written_any = replay(spoilt.text)
    assert (code, written_any) == (2, False), lines
    found = []
    for line in lines:
        place = re.fullmatch(r"e\.csv:(\d+): column (\w+): \S.*", line)
        assert place, lines
        found.append((int(place[1]), place[2]))
    assert tuple(found) == spoilt.places, lines


def check_good(rows: list[Row]) -> None:
    """Assert that a good record becomes one event for each pot of each row."""
    garden = settings_of(GARDEN).garden
    span = Span(START, START + timedelta(hours=HOURS))
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "e.csv"
        path.write_text(text_of(rows), encoding="utf-8")
        record = read_events(str(path), garden, ZONE, span)
    wanted = sum(
        1 if row.kind == "rain" else len(LABELS) if row.pot == "all" else len(row.pot.split())
        for row in rows
    )
    assert len(record.events) == wanted
    assert record.left_out == 0


def check_anything(text: str) -> None:
    """Assert that any text at all is refused in plain words, never with a traceback."""
    code, lines, written_any = replay(text)
    assert code in (0, 2), lines
    assert written_any == (code == 0)
    if code == 2:
        assert lines[0].startswith("e.csv")


anything = st.one_of(
    st.text(min_size=0, max_size=200),
    # A row that happens to be good would be replayed; none has a time.
    st.text(alphabet='time,potkindvalue\n"0123456789.-:T;\r\t', max_size=200).map(
        lambda text: "time,pot,kind,value,unit\n,\n" + text
    ),
)


def campaign(examples: int) -> None:
    """Run every check on so many examples."""
    for check, strategy in (
        (check_spoilt, spoilt_records()),
        (check_good, records()),
        (check_anything, anything),
    ):
        quiet = settings(
            max_examples=examples, deadline=None, suppress_health_check=list(HealthCheck)
        )
        quiet(given(strategy)(check))()  # type: ignore[operator]
        print(f"{check.__name__}: {examples} examples passed")


if __name__ == "__main__":
    campaign(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
