"""What people call their pots, places and positions, and what is made of it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.settings.coordinates import coordinates
from irrigate.settings.kind_words import kind_of, kinds_with, measures_of
from irrigate.settings.place_words import exposure_of, place_of


@pytest.mark.parametrize(
    "text",
    [
        "38.61 N, 121.3 W",
        "38.61, -121.3",
        "38.61 -121.3",
        "121.3W 38.61N",
        "N 38.61 W 121.3",
        "38.61° N / 121.30° west",
        "latitude: 38.61 longitude: −121.3",
        "(38.61, -121.3)",
        "38° 36.6' N 121°18'0\" W",
        "38°36′36″N 121°18′W",
    ],
)
def test_positions_as_people_copy_them(text):
    """Degrees, minutes and seconds, sides of the world or signs: one place in every spelling."""
    assert coordinates(text) == ("38.61", "-121.3")


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("38.61", "“38.61” is not a latitude and a longitude: write both as in 38.61 N, 121.3 W"),
        ("here", "“here” is not a latitude and a longitude: write both as in 38.61 N, 121.3 W"),
        ("1 N 2 E 3", "“1 N 2 E 3” is not a latitude and a longitude"),
        ("38 N, 40 S", "38 N, 40 S: one must be N or S, the other E or W"),
        ("-38 S, 40 E", "-38 S, 40 E: a minus and S say it twice; keep one"),
        ("38°61' N, 1 W", "there are 60 minutes in a degree, 60 seconds in a minute"),
    ],
)
def test_positions_that_are_none(text, what):
    """A position that cannot be read is refused with how to write it."""
    with pytest.raises(ValueError, match=r".") as refused:
        coordinates(text)
    assert what in str(refused.value)


@given(st.floats(-66, 66), st.floats(-180, 180))
def test_positions_keep_their_value(latitude, longitude):
    """Whatever is written in decimal degrees comes back to the sixth decimal: 11 cm."""
    read = coordinates(f"{latitude:.7f}, {longitude:.7f}")
    assert float(read[0]) == pytest.approx(latitude, abs=1.1e-6)
    assert float(read[1]) == pytest.approx(longitude, abs=1.1e-6)


@given(st.text(max_size=30))
def test_any_text_is_a_position_or_refused(text):
    """Nothing that can be typed breaks the reader of positions."""
    try:
        latitude, longitude = coordinates(text)
    except ValueError:
        return
    assert abs(float(latitude)) < 1000
    assert abs(float(longitude)) < 1000


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("nursery 5 gal", "nursery 5 gal"),
        ("5 gallon nursery pot", "nursery 5 gal"),
        ("#5", "nursery 5 gal"),
        ("trade #5", "nursery 5 gal"),
        ("5-gallon bucket", "bucket 5 gal"),
        ("fabric 10 gallon", "fabric bag 10 gal"),
        ("10 gal grow bags", "fabric bag 10 gal"),
        ("12 in terracotta", "clay pot 30 cm"),
        ("30cm terra cotta pot", "clay pot 30 cm"),
        ("12 inch hanging basket", "hanging basket 30 cm"),
        ("5 gal", "5 gal"),
        ("19 L", "19 L"),
    ],
)
def test_kinds_by_their_many_names(text, kind):
    """Word order, units and trade numbers do not matter; a bare volume stays a volume."""
    found = kind_of(text)
    assert (found.name, dict(found.measures)) == (kind, {})


def test_a_trade_gallon_is_not_a_gallon():
    """A #5 is the nursery pot, five gallons of a bucket are not, and 4 is no trade size."""
    assert kind_of("#5").name != kind_of("bucket 5 gal").name
    with pytest.raises(ValueError, match="not a trade size known here; there is nursery 1 gal, "):
        kind_of("nursery 4 gal")


@pytest.mark.parametrize(
    ("text", "measures"),
    [
        ("blue pot 45 cm", {"round": "45 cm"}),
        ("square tub 16 in", {"square": "16 in"}),
        ("blue tub 40 l", {"volume": "40 L"}),
        ("cedar box 90 cm by 30 cm", {"trough": "90 cm by 30 cm"}),
        ("cedar box 90x30 cm", {"trough": "90 cm by 30 cm"}),
        ("clay pot 35 cm", {"round": "35 cm"}),
    ],
)
def test_kinds_with_their_size_in_their_name(text, measures):
    """A kind that no catalogue has is described by the size that it is called by, and said so."""
    found = kind_of(text)
    assert (found.name, dict(found.measures)) == (text, measures)
    assert text in found.said


@pytest.mark.parametrize(
    ("text", "what"),
    [
        (
            "nursary 5 gal",
            "“nursary 5 gal” is not a pot kind known here; did you mean nursery 5 gal?",
        ),
        ("window box", "which one of window box 60 cm, window box 80 cm?"),
        ("blue tub", "say its size with it, as in blue tub 40 L"),
        ("cedar box 90 cm", "say its size with it, as in blue tub 40 L"),
    ],
)
def test_kinds_that_are_none(text, what):
    """A slip is asked about, and a size is never guessed."""
    with pytest.raises(ValueError, match=r".") as refused:
        kind_of(text)
    assert str(refused.value).endswith(what)


def test_part_of_a_name_is_enough_for_kinds_in_use():
    """Where only one nursery pot is in use, nursery says which; where two are, it does not."""
    assert kind_of("nursery", in_use=["nursery 5 gal", "half barrel"]).name == "nursery 5 gal"
    assert kind_of("clay", own=["Black tub"], in_use=["clay pot 30 cm"]).name == "clay pot 30 cm"
    with pytest.raises(ValueError, match="nursery"):
        kind_of("nursery", in_use=["nursery 5 gal", "nursery 3 gal"])
    assert kind_of("black  TUB", own=["Black tub"]).name == "Black tub"


def test_letters_show_kinds():
    """Letters find every kind that has them; a number must be whole."""
    assert kinds_with("nursery 5") == ["nursery 5 gal"]
    assert kinds_with("barrel") == ["half barrel"]
    assert kinds_with("zzz") == []


def test_measures():
    """Measures are read in either order, in the words of somebody with a tape."""
    assert measures_of("round 38 cm, height 35 cm") == {"round": "38 cm", "height": "35 cm"}
    assert measures_of("38 cm across, 35 cm high") == {"round": "38 cm", "height": "35 cm"}
    assert measures_of("40 L") == {"volume": "40 L"}
    with pytest.raises(
        ValueError, match="“big” is not a measure of a pot; write as in round 38 cm"
    ):
        measures_of("big")
    with pytest.raises(ValueError, match="height stands there twice; keep one"):
        measures_of("30 cm high, height 35 cm")


def test_places():
    """A place is told in plain words; sun hours and shade can be given in figures too."""
    assert place_of("driveway: full sun, open") == ("driveway", {"wind": "open"})
    assert place_of("porch: morning sun, sheltered and under a roof") == (
        "porch",
        {"sun": "06:00-13:00", "wind": "sheltered", "roof": "yes"},
    )
    assert exposure_of("sun 8 am to 2 pm, 40 % shade") == {"sun": "08:00-14:00", "shade": "40 %"}
    assert place_of("back step") == ("back step", {})


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("porch: sunny", "“sunny” is not understood of a place; say full sun, morning sun"),
        (
            "porch: mornin sun",
            "“mornin sun” is not understood of a place; did you mean morning sun?",
        ),
        ("porch: open, sheltered", "“sheltered” says “wind” a second time; keep one"),
        (": open", "a place needs a name, as in driveway: full sun, open"),
        ("porch morning sun", "a colon ends the place's name: write porch: morning sun"),
    ],
)
def test_places_that_are_none(text, what):
    """What is not understood of a place is asked back."""
    with pytest.raises(ValueError, match=r".") as refused:
        place_of(text)
    assert what in str(refused.value)
