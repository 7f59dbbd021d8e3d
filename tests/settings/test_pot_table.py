"""Pots out of a table, as a spreadsheet gives them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.cli.init_answers import START
from irrigate.errors import GardenFileError
from irrigate.settings.pot_table import PotTable, read_pot_table, with_pots
from irrigate.settings.writing import faults_of

NOWHERE = replace(START, places=())
DESCRIBED = replace(
    START,
    places=(("driveway", {"wind": "open"}), ("porch", {})),
    kinds=(("Black tub", {"volume": "40 L"}),),
)


def read(tmp_path: Path, content: str | bytes, garden=NOWHERE) -> PotTable:
    """Read a table from its text."""
    path = tmp_path / "pots.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_pot_table(path, garden)


def faults(tmp_path: Path, content: str | bytes, garden=NOWHERE) -> list[str]:
    """Return what is said of a table that is refused."""
    with pytest.raises(GardenFileError) as refused:
        read(tmp_path, content, garden)
    return refused.value.faults


@pytest.mark.parametrize(
    "content",
    [
        'number,plant,pot kind,size,place\n7,pepper,#5,"knee-high, wider than pot",driveway\n',
        (
            "Place;POT KIND;Plant;Pot No.;Plant size\r\n"
            "driveway;#5;pepper;7;knee-high, wider than pot\r\n"
        ),
        "plant\tcontainer\twhere\tsize\tpot\npepper\t#5\tdriveway\tknee-high wider than pot\t7\n",
        (
            "\ufeffpot,kind,crop,location,size\n\n"
            '7,5 gallon nursery pot,peppers,driveway,"knee-high, wider than pot"\n,,,,\n'
        ),
        (
            "sep=;\nlabel;plant;pot;place;size\n"
            "#7;pepper;nursery 5 gal;driveway;knee-high, wider than pot\n"
        ),
        'number,plant,pot,size,place\n7,pepper,#5,"knee-high,\nwider than pot",driveway\n',
    ],
)
def test_spreadsheets_of_every_kind(tmp_path, content):
    """Columns in any order and by many names, parted by commas, semicolons or tabs: one pot."""
    table = read(tmp_path, content)
    ((label, row),) = table.rows
    assert label == "7"
    assert row["plant"] in ("pepper", "peppers")
    assert (row["pot"], row["place"]) == ("nursery 5 gal", "driveway")
    assert row["size"] == "knee-high, wider than pot"
    assert table.places == ("driveway",)
    assert faults_of(with_pots(NOWHERE, table)) == []


def test_widths_and_heights(tmp_path):
    """The plant's size may stand in two columns, with the unit in the cell or above it."""
    rows = "1,mint,19 L,porch,40,16\n2,mint,19 L,porch,1 ft,\n"
    content = f"no,plant,kind,place,wide (cm),tall [in]\n{rows}"
    rows = dict(read(tmp_path, content).rows)
    assert rows["1"]["size"] == {"wide": "40 cm", "tall": "16 in"}
    assert rows["2"]["size"] == {"wide": "1 ft"}


def test_what_is_said_about_the_reading(tmp_path):
    """Columns that are not used, ranges, and names that were read otherwise are reported."""
    content = (
        "number,plant,container,place,bought,price\n"
        "1-3,mint,12 in terracotta,porch,May,3\n"
        "4,lemon,blue tub 60 L,porch,,\n"
    )
    table = read(tmp_path, content)
    assert [label for label, _ in table.rows] == ["1", "2", "3", "4"]
    assert table.kinds == {"blue tub 60 L": {"volume": "60 L"}}
    assert table.remarks == (
        "Not used: the columns “bought”, “price”.",
        "1-3 is taken as 3 pots alike.",
        "12 in terracotta is read as clay pot 30 cm.",
        "blue tub 60 L is taken to hold 60 L.",
    )


def test_pots_like_others(tmp_path):
    """A row that is like another needs nothing else, also where the other comes later."""
    content = "number,plant,pot,place,like\n1,,,,2\n2,mint,#5,porch,\n3,basil,,,1\n"
    table = read(tmp_path, content)
    assert dict(table.rows)["1"] == {"like": "2"}
    assert dict(table.rows)["3"] == {"plant": "basil", "like": "1"}


def test_without_numbers_and_places(tmp_path):
    """Pots are counted where no column numbers them, and stand in one place where none is told."""
    table = read(tmp_path, "plant,pot\nmint,#5\nbasil,#1\n")
    assert [(label, row["place"]) for label, row in table.rows] == [
        ("1", "garden"),
        ("2", "garden"),
    ]
    assert table.places == ("garden",)
    assert table.remarks == ("The table has no column of pot numbers: they are counted from 1.",)


def test_described_places_and_kinds(tmp_path):
    """What the garden describes already is taken, in capitals or not; other places are added."""
    content = "no,plant,kind,place\n1,mint,black TUB,Driveway\n2,mint,#5,under the vine\n"
    table = read(tmp_path, content, DESCRIBED)
    rows = dict(table.rows)
    assert (rows["1"]["pot"], rows["1"]["place"]) == ("Black tub", "driveway")
    grown = with_pots(DESCRIBED, table)
    assert [name for name, _ in grown.places] == ["driveway", "porch", "under the vine"]
    assert dict(grown.places)["driveway"] == {"wind": "open"}


def test_other_entries_of_a_pot(tmp_path):
    """Every other entry that a pot may have in the garden file may be a column."""
    content = "no,plant,kind,place,shade,risk,roof,name\n1,mint,#5,porch,30 %,10 %,yes,Old one\n"
    row = dict(read(tmp_path, content).rows)["1"]
    assert (row["shade"], row["risk"], row["roof"]) == ("30 %", "10 %", "yes")


HEADER = "number,plant,pot,size,place\n"
MISTAKES = [
    ("", ["pots.csv:1:1: the table is empty"]),
    ("\n , ,\n", ["pots.csv:1:1: the table is empty"]),
    (HEADER, ["pots.csv:1:1: there is no pot below the line of names"]),
    (
        "number,colour\n7,red\n",
        [
            (
                "pots.csv:1:1: there is no column “plant” (what grows in it); there is no column "
                "“pot kind” (which kind of pot it is, as in nursery 5 gal)"
            )
        ],
    ),
    (
        "number,plnt,pot\n7,mint,#5\n",
        [
            (
                "pots.csv:1:1: there is no column “plant” (what grows in it); is it the one called "
                "“plnt”?"
            )
        ],
    ),
    (
        "number,plant,crop,pot\n7,mint,mint,#5\n",
        ["pots.csv:1:3: “crop” says the same as “plant”; keep one of the columns"],
    ),
    (
        HEADER + "7,peper,nursary 5 gal,nee-high,driveway\n"
        "8,mint,window box,,porch\n7,mint,#5,,x\n",
        [
            "pots.csv:2:2: pot 7, plant: “peper” is not a plant known here; did you mean pepper?",
            (
                "pots.csv:2:3: pot 7, pot kind: “nursary 5 gal” is not a pot kind known here; "
                "did you mean nursery 5 gal?"
            ),
            "pots.csv:2:4: pot 7, size: “nee-high” is not a size; did you mean knee-high?",
            (
                "pots.csv:3:3: pot 8, pot kind: “window box” is not a pot kind known here; "
                "which one of window box 60 cm, window box 80 cm?"
            ),
            "pots.csv:4:1: pot 7 is already in line 2; give this one another number",
        ],
    ),
    (
        HEADER + "7,,,,\n8,mint,,,porch\n",
        [
            (
                "pots.csv:2:1: pot 7: say what grows in it and which kind of pot and where it "
                "stands too"
            ),
            "pots.csv:3:1: pot 8: say which kind of pot too",
        ],
    ),
    (
        HEADER + "7,mint,#5,knee-high,wider than pot,porch\n",
        [
            (
                "pots.csv:2:6: there are 6 cells in this row and 5 names above; put a text with "
                "commas in quotes"
            )
        ],
    ),
    (
        HEADER + "all,mint,#5,,porch\nseven of nine,mint,#5,,porch\n9-3,mint,#5,,porch\n",
        [
            "pots.csv:2:1: pot all: “all” has a meaning in answers; give the pot a number, as in 7",
            (
                "pots.csv:3:1: pot seven of nine: “seven of nine” cannot be a pot's number: one "
                "word of at most 12 letters or digits, as in 7a"
            ),
            "pots.csv:4:1: 9-3: write the lower number first, and at most 100 pots",
        ],
    ),
    (
        (
            "no,plant,kind,place,like,planted,wide\n"
            "1,mint,#5,porch,,20/4/2026,\n2,,,,5,,\n3,mint,#5,x,,,40\n"
        ),
        [
            (
                "pots.csv:2:6: pot 1, planted: 20/4/2026 is not a date: write year-month-day, "
                "as in 2026-04-20"
            ),
            "pots.csv:3:5: pot 2, like: there is no pot 5; there is 1, 2, 3",
            "pots.csv:4:7: pot 3, size, wide: 40 has no unit: say 40 cm or 40 in",
        ],
    ),
    (
        b"number,plant\n7,jalape\xf1o\n",
        ["pots.csv:2:9: byte 0xf1 is not UTF-8; save the file as UTF-8"],
    ),
    ("number,plant\n".encode("utf-16"), ["pots.csv:1:1: is UTF-16; save it as UTF-8"]),
]


@pytest.mark.parametrize(("content", "told"), MISTAKES)
def test_everything_wrong_is_told_at_once(tmp_path, content, told):
    """Each fault names its line and the number of its column, and how to mend it."""
    assert faults(tmp_path, content) == told


def test_a_place_that_resembles_a_described_one_is_a_slip(tmp_path):
    """A new place is added, but one letter off a described one is asked about."""
    content = HEADER + "7,mint,#5,,drivway\n8,mint,#5,,\n"
    assert faults(tmp_path, content, DESCRIBED) == [
        "pots.csv:2:5: pot 7, place: “drivway” is not among the places; did you mean driveway?",
        "pots.csv:3:1: pot 8: say where it stands too",
    ]


def test_tables_beyond_belief(tmp_path):
    """A quote left open swallows the rest of a table, and a thousand pots are no garden."""
    row = "7,mint,#5,,porch\n"
    assert faults(tmp_path, HEADER + '7,"mint,#5,,porch\n' + row * 20) == [
        "pots.csv:2:2: this cell is longer than 200 letters; is a quote left open?"
    ]
    many = "".join(f"{number},mint,#5,,porch\n" for number in range(1, 1001))
    assert faults(tmp_path, HEADER + many) == [
        "pots.csv:502:1: there are more than 500 pots; a garden has 1 to 500"
    ]


def test_no_such_table(tmp_path):
    """A table that is not there is said so."""
    with pytest.raises(GardenFileError, match="there is no such file"):
        read_pot_table(tmp_path / "none.csv", NOWHERE)


CELLS = [
    "7", "8-12", "", "mint", "pepper", "#5", "nursery 5 gal", "19 L", "blue tub 40 L", "porch",
    "knee-high", "knee-high, wider than pot", "no", "yes", "22:00", "a: b", '"', "'", "x\ny", "1",
    "like", "2026-04-20", "50 %", "40 cm", "½", "🌱", "#", "{", "=1+1",
]  # fmt: skip
HEADERS = ["number", "plant", "pot kind", "place", "size", "wide", "like", "mulch", "name", "x"]


@settings(
    max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.lists(st.sampled_from(HEADERS), min_size=1, max_size=8, unique=True),
    st.lists(st.lists(st.sampled_from(CELLS) | st.text(max_size=5), max_size=9), max_size=6),
    st.sampled_from(",;\t"),
)
def test_any_table_is_read_or_refused(tmp_path, header, rows, delimiter):
    """No table breaks the reader: it makes a garden in order, or is refused with every place."""
    content = "\n".join(delimiter.join(cells) for cells in (header, *rows))
    try:
        table = read(tmp_path, content.encode("utf-8", "replace"))
    except GardenFileError as refused:
        told = refused.faults
    else:
        told = []
        assert faults_of(with_pots(NOWHERE, table)) == []
    assert all(fault.startswith("pots.csv:") for fault in told)


def test_columns_of_what_a_pot_is_made_of_and_stands_in(tmp_path):
    """Saucers, walls, colours and the like come from columns by their common names."""
    header = (
        "no,plant,kind,place,Saucer (cm),Material,Color,Setting,Leaf area (m2),Potted up,"
        "Rain catch,Lid,Cachepot,Reservoir\n"
    )
    rows = (
        "1,fig,19 L,porch,40,terracotta,white,sunk,0.6,2026-05-01 from #1,60 %,yes,,\n"
        "2,mint,19 L,porch,,,,,,,,,yes,\n"
        "3,mint,19 L,porch,,,,hanging,,,,,,2 L\n"
    )
    table = read(tmp_path, header + rows)
    assert dict(table.rows) == {
        "1": {
            "plant": "fig", "pot": "19 L", "place": "porch", "saucer": "40 cm",
            "wall": "terracotta", "colour": "white", "stands": "sunk", "leaf area": "0.6 m2",
            "repotted": "2026-05-01 from #1", "rain catch": "60 %", "covered": "yes",
        },
        "2": {"plant": "mint", "pot": "19 L", "place": "porch", "outer pot": "yes"},
        "3": {
            "plant": "mint", "pot": "19 L", "place": "porch", "stands": "hanging",
            "reservoir": "2 L",
        },
    }  # fmt: skip
    assert faults_of(with_pots(NOWHERE, table)) == []


def test_what_is_wrong_in_such_a_column(tmp_path):
    """A fault names the line and the column, as everywhere in the table."""
    content = "no,plant,kind,place,saucer,material\n1,fig,19 L,porch,10 cm,paper\n"
    told = faults(tmp_path, content)
    assert [fault.partition(": ")[0] for fault in told] == ["pots.csv:2:6"]
    content = content.replace("paper", "clay")
    assert faults(tmp_path, content)[0].startswith("pots.csv:2:5: pot 1, saucer: a saucer 10 cm")
