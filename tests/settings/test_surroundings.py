"""What is understood of glass, ground, walls, lamps and spacing at a place."""

from __future__ import annotations

from datetime import time

import pytest

from irrigate.errors import GardenFileError
from irrigate.garden.pots import Place
from irrigate.settings.garden_file import settings_of
from irrigate.settings.surroundings import GROUNDS, SPACINGS
from tests.settings.gardens import FULL, changed_in_full


def place(name: str, old: str = "garden:", new: str = "garden:") -> Place:
    """Return a place of the full garden, one thing changed."""
    return settings_of(changed_in_full(old, new)).garden.place(name)


def test_places_of_the_full_garden():
    """Glass, ground, wall, spacing and lamps reach the place; what is not said is as usual."""
    assert settings_of(FULL).garden.places == (
        Place("greenhouse", glass=pytest.approx(0.7), ground="paved", spacing="close"),
        Place("driveway", ground="paved", sunny_wall=True, spacing="alone", wind=1.0),
        Place(
            "cellar", shade=1.0, lamps_w_m2=60.0, lamps_from=time(6), lamps_until=time(22)
        ),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("said", "glass"), [("yes", 0.7), ("no", None), ("85 %", 0.85), ("true", 0.7), ("Yes", 0.7)]
)
def test_glass(said, glass):
    """Yes is a small house of its usual share, from memory; no is the open."""
    assert place("greenhouse", "glass: 70 %", f"glass: {said}").glass == glass


@pytest.mark.parametrize(
    "rest", ["glass: no, rain: 50 %", "glass: no, roof: yes", "glass: yes, rain: 0 %"]
)
def test_glass_beside_other_words_on_rain(rest):
    """What does not contradict is taken."""
    assert place("greenhouse", "glass: 70 %", rest).name == "greenhouse"


@pytest.mark.parametrize(
    ("said", "ground"),
    [("lawn", "green"), ("Grass", "green"), ("dry grass", "bare"), ("gravel", "bare"),
     ("concrete", "paved"), ("driveway", "paved")],
)  # fmt: skip
def test_ground(said, ground):
    """The common words for green, bare and paved ground lead to them, capitals or not."""
    assert place("greenhouse", "ground: tiles", f"ground: {said}").ground == ground


def test_words_mean_themselves():
    """The plain words are among those that are understood, and mean themselves."""
    assert {word: GROUNDS[word] for word in ("green", "bare", "paved")} == {
        "green": "green", "bare": "bare", "paved": "paved",
    }  # fmt: skip
    assert [SPACINGS[word] for word in ("close", "apart", "alone")] == ["close", "apart", "alone"]


@pytest.mark.parametrize(
    ("said", "light", "begin", "end"),
    [
        ("{light: 60 W/m2, on: 6 am to 10 pm}", 60.0, time(6), time(22)),
        ('"60 W/m2, 06:00-22:00"', 60.0, time(6), time(22)),
        ("60 W/m² from 06:00 to 22:00", 60.0, time(6), time(22)),
        ("40 watts per m2, day and night", 40.0, None, None),
        ("{light: 40 W/m2, on: always}", 40.0, None, None),
    ],
)
def test_lamps(said, light, begin, end):
    """Lamps in one text or in two entries; day and night has no beginning."""
    cellar = place("cellar", "{light: 60 W/m2, on: 06:00-22:00}", said)
    assert (cellar.lamps_w_m2, cellar.lamps_from, cellar.lamps_until) == (light, begin, end)


def test_a_pot_keeps_what_its_place_is():
    """A pot that says something of its own spot stands under the same glass, on the same ground."""
    text = changed_in_full("outer pot: 60 L", "shade: 30 %")
    own = settings_of(text).garden.place("greenhouse (pot 3)")
    assert (own.shade, own.glass, own.ground, own.spacing) == (
        0.3,
        pytest.approx(0.7),
        "paved",
        "close",
    )


def test_a_pot_cannot_have_what_is_a_places():
    """Glass and ground are a place's: a row that names them is told so."""
    with pytest.raises(GardenFileError) as refused:
        settings_of(changed_in_full("outer pot: 60 L", "ground: lawn"))
    assert "pot 3, ground: is not known here" in refused.value.faults[0]


def test_salt_of_the_water():
    """The water's EC reaches the manner in dS/m; unsaid it is not known."""
    assert settings_of(FULL).garden.manner.water_salt_ds_m == pytest.approx(0.9)
    unsaid = settings_of(changed_in_full("water salt: 900 uS/cm\n", "")).garden.manner
    assert unsaid.water_salt_ds_m is None
