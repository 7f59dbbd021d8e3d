"""The traps of YAML, each closed: what was written stays what it says, or is refused in words."""

from __future__ import annotations

import os

import pytest

from irrigate.errors import GardenFileError
from irrigate.settings.nodes import places, plain, read_tree
from irrigate.settings.source import LARGEST_FILE_BYTES, Mark, read_source, source_of


def tree(text: str):
    """Return the tree of a text."""
    return read_tree(source_of(text.encode(), "g.yaml"))


def test_nothing_is_guessed():
    """Times, words for yes and no, and leading zeros stay the text that was written."""
    written = "at: 22:00\nroof: no\non: [off, yes]\nlabel: 010\nzero: 0o17\nnone: ~\nq: '~'\n"
    assert plain(tree(written)) == {
        "at": "22:00",
        "roof": "no",
        "on": ["off", "yes"],
        "label": "010",
        "zero": "0o17",
        "none": None,
        "q": "~",
    }


def test_places_are_counted_from_one():
    """Every value and every key knows its line and column."""
    found = places(tree("a:\n  b: [x, y]\n"))
    assert found.keys["a",] == Mark(1, 1)
    assert found.keys["a", "b"] == Mark(2, 3)
    assert found.values["a", "b"] == Mark(2, 6)
    assert found.values["a", "b", 1] == Mark(2, 10)


REFUSED = [
    ("a: 1\na: 2", ["g.yaml:2:1: “a” is already in line 1; take one of them out"]),
    ("", ["g.yaml:1:1: the file is empty"]),
    ("# nothing but this\n", ["g.yaml:1:1: the file is empty"]),
    ("---\n", ["g.yaml:1:1: the file is empty"]),
    ("- a", ["g.yaml:1:1: the file must be made of lines such as “garden: Back yard”"]),
    ("a word", ["g.yaml:1:1: the file must be made of lines such as “garden: Back yard”"]),
    (
        "a: &x 1\nb: *x",
        [
            "g.yaml:1:4: “&x” is not understood here; put it in quotes or take it out",
            "g.yaml:2:4: “*x” refers to another place; write it out here",
        ],
    ),
    ("<<: {a: 1}", ["g.yaml:1:1: “<<” is not understood here; write the lines out"]),
    (
        "a: !x 1",
        ["g.yaml:1:4: “!x” is not understood here; put it in quotes or take it out"],
    ),
    ("a:\n\tb: 1", ["g.yaml:2:1: a tab; indent with spaces instead"]),
    ("a:\n  b: 1\n  \tc: 2", ["g.yaml:3:3: a tab; indent with spaces instead"]),
    ("a: 1\n---\nb: 2", ["g.yaml:2:1: “---” begins a second document; one file, one garden"]),
    ("a: b: c", ["g.yaml:1:5: a second colon, or a line that is indented too far"]),
    ("a: 1\nb: 'x", ["g.yaml:2:4: a quote is opened here and never closed"]),
    (
        "a: {x: 1\nb: 2",
        ["g.yaml:2:2: does not fit what stands above: a wrong indent, an open bracket?"],
    ),
    ("a: - b", ["g.yaml:1:4: a list begins on a line of its own, below its name"]),
    ("a: @b", ["g.yaml:1:4: a value may not begin with this character; put it in quotes"]),
    ("? [a]\n: 1", ["g.yaml:1:3: a name is expected before the colon"]),
    ("a: b\x07c", ["g.yaml:1:5: there is a stray character (U+0007); delete it"]),
    ("a: 1\r\nb: \u2028", ["g.yaml:2:4: there is a stray character (U+2028); delete it"]),
    ("a: " + "[" * 40 + "]" * 40, ["g.yaml:1:16: is nested more than 12 deep"]),
]


@pytest.mark.parametrize(("text", "faults"), REFUSED, ids=range(len(REFUSED)))
def test_refused_in_words(text, faults):
    """What cannot be read is refused with its line and column, and a word on mending it."""
    with pytest.raises(GardenFileError) as refused:
        tree(text)
    assert refused.value.faults == faults


def test_a_small_file_cannot_grow():
    """Nested references, by which a few lines could fill the memory, are refused unexpanded."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [
        f"a{level}: &a{level} [{', '.join([f'*a{level - 1}'] * 9)}]" for level in range(1, 30)
    ]
    with pytest.raises(GardenFileError) as refused:
        tree("\n".join(lines))
    assert len(refused.value.faults) == 30 + 29 * 9


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        (b"a: caf\xe9\n", "g.yaml:1:7: byte 0xe9 is not UTF-8; save the file as UTF-8"),
        (b"a: 1\nb: \xff\n", "g.yaml:2:4: byte 0xff is not UTF-8; save the file as UTF-8"),
        ("a: 1".encode("utf-16"), "g.yaml:1:1: is UTF-16; save it as UTF-8"),
        (b"a: \x00", "g.yaml:1:4: there is a stray character (U+0000); delete it"),
        (b"#" * (LARGEST_FILE_BYTES + 1), "g.yaml:1:1: the file is larger than 1000 kB"),
    ],
)
def test_bytes_that_are_not_text(tmp_path, content, fault):
    """A file that is not plain UTF-8 of a sensible size is refused with the place of its fault."""
    path = tmp_path / "g.yaml"
    path.write_bytes(content)
    with pytest.raises(GardenFileError) as refused:
        read_source(path)
    assert refused.value.faults == [fault]


def test_files_that_are_not_there(tmp_path):
    """A missing file, a folder and a pipe are told apart; none of them is waited for."""
    with pytest.raises(GardenFileError, match="there is no such file"):
        read_source(tmp_path / "none.yaml")
    with pytest.raises(GardenFileError, match="is a folder"):
        read_source(tmp_path)
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(GardenFileError, match="is not an ordinary file"):
        read_source(tmp_path / "pipe")


def test_a_byte_order_mark_is_no_part_of_the_text():
    """A mark that some editors put before the first letter changes neither names nor columns."""
    found = tree("\ufeffa: 1\n")
    assert plain(found) == {"a": "1"}
    assert places(found).keys["a",] == Mark(1, 1)
