"""Pots told by another's row, and since when a row holds."""

# ruff: noqa: E501, ISC004  # each text as it is read

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.errors import GardenFileError
from irrigate.garden.pots import Pot
from irrigate.settings.garden_file import settings_of
from irrigate.settings.likeness import NEVER_LENT, likened

HEAD = """\
site: {latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}
rounds: [07:00]
places: {driveway: {wind: open}, porch: }
pots:
"""
SEVEN = (
    "  7: {plant: pepper, name: Long red, pot: nursery 5 gal, mix: bark mix, place: driveway,"
    " size: 'knee-high, wider than pot', mulch: straw, planted: 2026-04-20, risk: 10 %,"
    " shade: 30 %, was: 3, since: 2026-07-03}\n"
)


def pots_of(rows: str) -> dict[str, Pot]:
    """Return the pots of a garden with these rows, by label."""
    return {pot.label: pot for pot in settings_of(HEAD + rows).garden.pots}


def faults_of(rows: str) -> list[str]:
    """Return what is said of rows that are wrong, from the line on; the first row is line 5."""
    with pytest.raises(GardenFileError) as refused:
        settings_of(HEAD + rows)
    return [fault.removeprefix("garden.yaml:") for fault in refused.value.faults]


def test_all_of_another_row_is_taken():
    """A pot that is like 7 and says nothing more is 7 again, but for label, walk and history."""
    pots = pots_of(SEVEN + "  8: {like: 7}\n")
    seven = replace(pots["7"], label="8", walk=1, since=None, place=pots["8"].place)
    assert pots["8"] == seven
    assert pots["8"].place == "driveway (pot 8)"


def test_was_and_since_are_not_taken():
    """Another pot's renaming and change are its own."""
    read = settings_of(HEAD + SEVEN + "  8: {like: 7}\n")
    assert read.renamed == (("3", "7"),)
    assert [pot.since for pot in read.garden.pots] == ["2026-07-03", None]


def test_own_keys_change_what_is_taken():
    """What a row says itself stands; a size or measures are taken as a whole or not at all."""
    eight = pots_of(SEVEN + "  8: {like: 7, pot: 19 L, size: {wide: 60 cm}, mulch: no}\n")["8"]
    assert (eight.crop.name, eight.medium.name, eight.risk) == ("pepper", "bark mix", 0.1)
    assert eight.vessel.volume_l == pytest.approx(19.0)
    assert (eight.canopy_width_m, eight.mulch) == (0.6, 0.0)
    assert eight.canopy_height_m != 0.5


def test_a_size_in_words_is_by_the_pot_that_takes_it():
    """Wider than pot is wider than that pot."""
    rows = SEVEN.replace(", shade: 30 %", "") + "  8: {like: 7, pot: nursery 1 gal}\n"
    pots = pots_of(rows)
    assert pots["8"].canopy_width_m < 0.7 * pots["7"].canopy_width_m


def test_another_plant_does_not_take_the_name():
    """A name that was given to a pepper is not a basil's; its own name is."""
    rows = "  8: {like: 7, plant: basil}\n  9: {like: 7, plant: basil, name: Genoa}\n"
    pots = pots_of(SEVEN + rows)
    assert [pots[label].name for label in "789"] == ["Long red", "basil", "Genoa"]


def test_a_word_on_rain_takes_the_place_of_the_other():
    """`roof` and `rain` say the same thing; the row's own one stands."""
    rows = (
        "  1: {plant: fig, pot: 19 L, place: porch, roof: yes}\n"
        "  2: {like: 1, rain: 40 %}\n  3: {like: 2, roof: no}\n"
    )
    garden = settings_of(HEAD + rows).garden
    assert [garden.place(pot.place).rain for pot in garden.pots] == [0.0, 0.4, 1.0]


def test_chains_and_labels_further_down():
    """A pot may be like one that is like another, and one that stands further down."""
    rows = "  1: {like: 2, risk: 30 %}\n  2: {like: 7, place: porch}\n" + SEVEN
    pots = pots_of(rows)
    assert list(pots) == ["1", "2", "7"]
    assert [pot.walk for pot in pots.values()] == [0, 1, 2]
    assert (pots["1"].crop, pots["1"].risk) == (pots["7"].crop, 0.3)
    assert pots["1"].place == "porch (pot 1)"


def test_a_long_chain():
    """Five hundred pots, each like the one before, are read; so are they back to front."""
    rows = [f"  {label}: {{like: {label + 1}}}\n" for label in range(1, 500)]
    last = "  500: {plant: fig, pot: 19 L, place: porch}\n"
    assert len(pots_of("".join(rows) + last)) == 500
    assert pots_of(last + "".join(reversed(rows)))["1"].crop.name == "fig"


MISTAKES = [
    (
        SEVEN + "  8: {like: 77}\n",
        ["6:13: pot 8, like: there is no pot 77; did you mean 7?"],
    ),
    (
        SEVEN + "  8: {like: nine, place: porch}\n",
        ["6:13: pot 8, like: there is no pot nine; there is 7, 8"],
    ),
    (
        SEVEN + "  8: {like: 8}\n",
        [
            "6:13: pot 8, like: pot 8 cannot be like itself; name another, or take the line out"
        ],
    ),
    (
        "  1: {like: 2}\n  2: {like: 3}\n  3: {like: 1}\n  4: {like: 1}\n",
        [
            "7:13: pot 3, like: the pots go round in a ring (1 is like 2, 2 is like 3, 3 is like 1):"
            " describe one of them by itself"
        ],
    ),
    (
        "  1: {like: 9}\n  2: {like: 1}\n",
        ["5:13: pot 1, like: there is no pot 9; there is 1, 2"],
    ),
    (SEVEN + "  8: {like: }\n", ["6:13: pot 8, like: has no value: write one, or take the line out"]),
    (
        SEVEN + "  8: {like: [7]}\n",
        [
            "6:13: pot 8, like: one value is expected here, without lines or a list below it"
        ],
    ),
    (
        SEVEN.replace("pepper", "peper") + "  8: {like: 7}\n  9: {like: 8}\n",
        ["5:14: pot 7, plant: “peper” is not a plant known here; did you mean pepper?"],
    ),
    (
        SEVEN.replace("plant:", "plnt:") + "  8: {like: 7}\n  9: {like: 8}\n",
        ["5:7: pot 7, plnt: is not known here; did you mean plant?"],
    ),
    (
        "  1: {plant: fig, place: porch}\n  2: {like: 1}\n  3: {like: 2}\n",
        ["5:3: pot 1: “pot” is missing: its kind or volume, as in nursery 5 gal or 19 L"],
    ),
    ("  1: fig\n  2: {like: 1}\n", [
        "5:6: pot 1: lines of its own are expected here, each with a name and a colon"
    ]),
    (
        SEVEN + "  8: {like: 7, place: moon}\n",
        ["6:23: pot 8, place: “moon” is not among the places; there is driveway, porch"],
    ),
    (
        SEVEN + "  8: {like: 7, pot: {trough: 2 m by 1 m, height: 20 cm}, size: three times as wide as pot}\n",
        ["6:64: pot 8, size: makes the plant 4.8 m wide; at most 4 m (13 ft)"],
    ),
    (
        SEVEN.replace("knee-high, wider than", "three times as wide as")
        + "  8: {like: 7, pot: {trough: 2 m by 1 m, height: 20 cm}}\n",
        ["6:13: pot 8, like: makes the plant 4.8 m wide; at most 4 m (13 ft)"],
    ),
    (
        SEVEN.replace("since: 2026-07-03", "since: July"),
        ["5:200: pot 7, since: “July” is not a date: write 2026-07-03, 2026-07-03 18:30, or always"],
    ),
    (
        SEVEN.replace("since: 2026-07-03", "since: 2026-02-30 18:30"),
        [
            "5:200: pot 7, since: 2026-02-30 is not a date: write year-month-day, as in 2026-04-20"
        ],
    ),
    (
        SEVEN.replace("since: 2026-07-03", "since: 2026-07-03 18"),
        ["5:200: pot 7, since: 18 is not a time of day: write 07:00 or 7 am"],
    ),
]  # fmt: skip


@pytest.mark.parametrize(("rows", "said"), MISTAKES, ids=range(len(MISTAKES)))
def test_each_mistake_is_told_once_where_it_was_written(rows, said):
    """A wrong `like` or `since` is told with its place; a borrowed fault only where it stands."""
    assert faults_of(rows) == said


@pytest.mark.parametrize(
    ("written", "held"),
    [
        ("2026-07-03", "2026-07-03"),
        ("2026-07-03 18:30", "2026-07-03T18:30"),
        ("2026-07-03T06:05", "2026-07-03T06:05"),
        ("2026-07-03 6:30 pm", "2026-07-03T18:30"),
        ("Always", "always"),
    ],
)
def test_since_is_held_in_one_form(written, held):
    """A date, a date and a time by ISO 8601, or `always`, however it was written."""
    rows = SEVEN.replace("since: 2026-07-03", f"since: {written}")
    assert pots_of(rows)["7"].since == held


KEYS = ("plant", "pot", "place", "roof", "rain", "name", "was", "since")


@given(
    st.dictionaries(
        st.sampled_from("abcdef"),
        st.dictionaries(st.sampled_from(KEYS), st.integers(0, 9).map(str))
        | st.tuples(
            st.dictionaries(st.sampled_from(KEYS), st.integers(0, 9).map(str)),
            st.sampled_from("abcdefg"),
        ).map(lambda pair: {**pair[0], "like": pair[1]}),
        min_size=1,
    )
)
def test_filling_in_always_ends(pots):
    """Whoever is like whom, each row keeps its own keys and its place, and history is not lent."""
    likeness = likened(pots)
    assert list(likeness.rows) == list(pots)
    for label, row in pots.items():
        filled = likeness.rows[label]
        assert {key: filled[key] for key in row} == row
        assert not (filled.keys() - row.keys()) & NEVER_LENT
        for key in filled.keys() - row.keys():
            assert filled[key] == pots[likeness.lenders[label][key]][key]
    wrong = {label for label, _ in likeness.wrong}
    assert wrong <= likeness.broken
    assert bool(wrong) == bool(likeness.broken)


WRITTEN = {
    "plant": ["pepper", "peper", "7", ""],
    "pot": ["19 L", "19", "nursery 5 gal", "{round: 30 cm}", "{}"],
    "place": ["porch", "moon"],
    "size": ["knee-high", "huge", "{wide: 50 cm}"],
    "like": ["a", "b", "c", "d", "e", "[a]", "{a: b}", "''", ""],
    "since": ["always", "2026-07-03", "July"],
    "was": ["a", "x"],
    "roof": ["yes", "maybe"],
    "rain": ["50 %", "2"],
    "strange": ["1"],
}
rows = st.lists(
    st.sampled_from(sorted(WRITTEN)).flatmap(
        lambda key: st.tuples(st.just(key), st.sampled_from(WRITTEN[key]))
    ),
    unique_by=lambda pair: pair[0],
)


@settings(deadline=None)
@given(st.dictionaries(st.sampled_from("abcd"), rows | st.just("fig"), min_size=1))
def test_rows_of_any_kind_are_read_or_refused(pots):
    """Whatever stands in rows that borrow from each other, each fault names a line of the file."""
    text = HEAD + "".join(
        f"  {label}: {row}\n"
        if isinstance(row, str)
        else f"  {label}: {{{', '.join(f'{key}: {value}' for key, value in row)}}}\n"
        for label, row in pots.items()
    )
    faults = None
    try:
        settings_of(text)
    except GardenFileError as refused:
        faults = refused.faults
    assert faults is None or faults
    assert all(4 <= int(fault.split(":")[1]) <= 4 + len(pots) for fault in faults or ())
