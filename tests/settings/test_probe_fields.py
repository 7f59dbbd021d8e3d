"""A probe's two points in a pot's row: written either way, lent, and refused."""

from __future__ import annotations

import pytest

from irrigate.errors import GardenFileError
from irrigate.garden.pots import ProbePoints
from irrigate.settings.garden_file import settings_of
from irrigate.settings.probe_fields import in_words
from tests.settings.gardens import changed


def points(label: str, row: str) -> ProbePoints | None:
    """Return the points of a pot after a row was added to pot 7, and a pot like it."""
    text = changed("    place: driveway\n", f"    place: driveway\n    {row}\n")
    text += "  20: {like: 7}\n  21: {like: 7, mix: bark mix}\n"
    pot = settings_of(text).garden.labelled(label)
    assert pot is not None
    return pot.probe


@pytest.mark.parametrize(
    "row",
    ["probe: {dry: 830, wet: 420}", "probe: 830 dry, 420 wet", "probe: dry 830, wet 420",
     "probe: 830 dry and 420 wet"],
)  # fmt: skip
def test_either_way_of_writing(row: str) -> None:
    """In lines or in words, and taken over by a pot that is like it, but not into another mix."""
    assert points("7", row) == ProbePoints(830.0, 420.0)
    assert points("20", row) == ProbePoints(830.0, 420.0)
    assert points("21", row) is None
    assert points("8", row) is None


def test_it_counts_either_way() -> None:
    """Some probes show more when it is wet, and some count below zero."""
    assert in_words("-3.5 dry, 12 wet") == ProbePoints(-3.5, 12.0)


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("probe: {dry: 830}", "wet"),
        ("probe: {dry: 830, wet: 830}", "the probe shows the same dry and wet"),
        ("probe: 500 dry, 500 wet", "the probe shows the same dry and wet"),
        ("probe: 830", "is not two points of a probe; write 830 dry, 420 wet"),
        ("probe: {dry: much, wet: 420}", "much is not a number"),
        ("probe: {dry: 830, wet: 420, moist: 600}", "moist"),
    ],
)
def test_what_is_refused(row: str, told: str) -> None:
    """Each fault is told at its line."""
    with pytest.raises(GardenFileError) as wrong:
        points("7", row)
    assert len(wrong.value.faults) == 1
    assert told in wrong.value.faults[0]
    assert "pot 7" in wrong.value.faults[0]


def test_check_says_it_back() -> None:
    """The reading of the pot names both points."""
    text = changed("    place: driveway\n", "    place: driveway\n    probe: 830 dry, 420 wet\n")
    assert "probe 830 dry, 420 just drained" in str(settings_of(text).readings["7"])
