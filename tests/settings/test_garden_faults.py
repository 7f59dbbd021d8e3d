"""What is said of a garden file that is wrong."""

from __future__ import annotations

import pytest

from irrigate.errors import GardenFileError
from irrigate.settings.garden_file import settings_of
from tests.settings.gardens import GARDEN, changed, changed_in_full
from tests.settings.mistakes import MISTAKES
from tests.settings.mistakes_in_full import MISTAKES_IN_FULL


def faults_of(text: str) -> list[str]:
    """Return what is said of a text that is wrong."""
    with pytest.raises(GardenFileError) as refused:
        settings_of(text)
    return refused.value.faults


@pytest.mark.parametrize(("old", "new", "said"), MISTAKES, ids=range(len(MISTAKES)))
def test_each_mistake_is_told_with_its_place(old, new, said):
    """Each mistake is told in one line: file, line, column, what it is, how to mend it."""
    assert faults_of(changed(old, new)) == [f"garden.yaml:{line}" for line in said]


@pytest.mark.parametrize(("old", "new", "said"), MISTAKES_IN_FULL, ids=range(len(MISTAKES_IN_FULL)))
def test_each_mistake_in_the_full_garden_is_told(old, new, said):
    """The same for what stands around a pot, what it is made of and what is below it."""
    assert faults_of(changed_in_full(old, new)) == [f"garden.yaml:{line}" for line in said]


def test_all_faults_are_told_at_once_in_the_order_of_the_file():
    """Faults of every part of the file are told together, none hiding another."""
    text = GARDEN
    for old, new in [
        ("latitude: 38.6", "latitude: 91"),
        ("can: 2 gal", "can: 2"),
        ("wind: open", "wind: opn"),
        ("    plant: pepper\n", "    plant: peper\n"),
        ("nursery 5 gal", "19"),
        ("knee-high, wider than pot", "huge"),
        ("place: driveway", "place: drive"),
        ("was: 3", "was: 7"),
        ("mulch: straw", "mulch:"),
    ]:
        text = text.replace(old, new, 1)
    lines = [int(fault.split(":")[1]) for fault in faults_of(text)]
    assert lines == [2, 4, 12, 22, 23, 25, 26, 32, 40]


def test_no_pots_and_too_many():
    """A garden has at least one pot, and not more than a person can walk."""
    head = GARDEN[: GARDEN.index("pots:\n")]
    assert faults_of(head + "pots: {}\n") == [
        "garden.yaml:20:7: pots: there are 0 pots; a garden has 1 to 500"
    ]
    rows = "".join(f"  {label}: {{plant: fig, pot: 19 L, place: porch}}\n" for label in range(501))
    assert faults_of(f"{head}pots:\n{rows}") == [
        "garden.yaml:21:3: pots: there are 501 pots; a garden has 1 to 500"
    ]
