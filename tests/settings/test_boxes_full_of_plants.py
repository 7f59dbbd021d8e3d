"""Boxes and beds hold more than one plant: what is taken of those whose size was not told."""

from __future__ import annotations

import math

import pytest

from irrigate.settings.garden_file import settings_of
from irrigate.settings.values import Settings

FILE = """
garden: Beds
site: {{latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}}
rounds: [07:00]
places: {{yard: }}
mix: raised bed mix
pots:
  1: {{plant: bean, pot: {pot}, place: yard{more}}}
"""


def read(pot: str = "raised bed 2 by 1 m", more: str = "") -> Settings:
    """Return a garden of one pot."""
    return settings_of(FILE.format(pot=pot, more=more))


def canopy_m2(settings: Settings) -> float:
    """Return the canopy of its pot."""
    return math.pi / 4 * settings.garden.pots[0].canopy_width_m ** 2


def test_a_bed_of_no_told_size_is_full() -> None:
    """Beans in a bed of 2 m² cover 2 m², as gardeners sow them; a plant in a tub is one plant."""
    bed = read()
    assert canopy_m2(bed) == pytest.approx(2.0)
    assert bed.garden.pots[0].canopy_height_m == bed.garden.pots[0].crop.height_m
    (size,) = (one for one in bed.readings["1"].assumed if one.what == ("plant's size",))
    assert size.whence == "full-grown, as many as fill the box"
    tub = read("half barrel")
    assert tub.garden.pots[0].canopy_width_m == tub.garden.pots[0].crop.width_m


def test_a_height_alone_fills_the_bed_too() -> None:
    """Of knee-high beans in a bed the height is as said, and how wide they are is told."""
    bed = read(more=", size: knee-high")
    assert canopy_m2(bed) == pytest.approx(2.0)
    assert bed.garden.pots[0].canopy_height_m == pytest.approx(0.5, abs=0.1)
    assert ("plants' width",) in [one.what for one in bed.readings["1"].assumed]


def test_a_plant_larger_than_its_box_keeps_its_size() -> None:
    """A bean of 35 cm in a box of 12 by 60 cm, which is as large as a circle of 30 cm."""
    narrow = "{trough: 60 cm by 12 cm, base: 60 cm by 12 cm, height: 20 cm}"
    box = read(narrow)
    assert box.garden.pots[0].canopy_width_m == box.garden.pots[0].crop.width_m


def test_one_small_plant_in_a_bed_is_asked_about() -> None:
    """A seedling in a bed may be one of sixty: that is asked, and not of plants that fill it."""
    asked = "covers less than a quarter of it"
    assert any(asked in remark for remark in read(more=", size: seedling").remarks)
    for said in ("", ', size: "shin-high, as wide as pot"', ", size: {wide: 90 cm, tall: 40 cm}"):
        assert not any(asked in remark for remark in read(more=said).remarks), said
    assert not any(asked in remark for remark in read("half barrel", ", size: seedling").remarks)
