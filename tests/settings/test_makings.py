"""What is understood of a pot's wall, colour, setting and basin, and of its plant's history."""

from __future__ import annotations

import math
from datetime import date

import pytest

from irrigate.garden.pots import Basin, Pot
from irrigate.settings import catalogue
from irrigate.settings.garden_file import settings_of
from irrigate.settings.vessel_fields import wall_in
from tests.settings.gardens import FULL, changed, changed_in_full


def pot(label: str, old: str = "garden:", new: str = "garden:") -> Pot:
    """Return a pot of the full garden, one thing changed."""
    found = settings_of(changed_in_full(old, new)).garden.labelled(label)
    assert found is not None
    return found


def disc_m2(diameter_m: float) -> float:
    """Return the area of a circle."""
    return math.pi / 4 * diameter_m**2


def test_walls_by_kind_name_and_word():
    """A wall comes from the row, else from the kind's own entry, else from the kind's name."""
    walls = {one.label: one.wall for one in settings_of(FULL).garden.pots}
    assert walls == {"1": "clay", "2": "plastic", "3": "clay", "4": "fabric", "5": "metal"}
    assert pot("1", "stands: sunk", "wall: glazed").wall == "glazed"


@pytest.mark.parametrize(
    ("name", "wall"),
    [
        ("blue clay tub", "clay"), ("Terra cotta 40 cm", "clay"), ("unglazed pot", "clay"),
        ("glazed pot 30 cm", "glazed"), ("ceramic bowl", "glazed"), ("felt bag", "fabric"),
        ("wooden box", "wood"), ("olive tin", "metal"), ("black tub", None),
        ("tinted tub", None),
    ],
)  # fmt: skip
def test_walls_in_names(name, wall):
    """A kind's name tells its wall by whole words only."""
    assert wall_in(name) == wall


def test_every_kind_of_the_catalogue_has_the_wall_that_its_name_says():
    """Clay, glazed, fabric and plastic pots of the catalogue are what they are called."""
    for name, entry in catalogue.kinds().entries.items():
        assert wall_in(name) in (None, entry.value.wall), name


def test_colour_in_either_spelling():
    """Colours lead to black, dark and light; both spellings of the word are read."""
    assert (pot("1").colour, pot("5").colour, pot("2").colour) == ("light", "black", None)
    assert pot("1", "colour: white", "color: dark green").colour == "dark"


def test_settings():
    """A hanging basket hangs unless it is said to stand; other pots stand, or are sunk."""
    assert (pot("1").setting, pot("2").setting, pot("4").setting) == ("sunk", "standing", "hanging")
    assert pot("4", "wall: felt", "stands: on the ground").setting == "standing"
    assert pot("5", "color: black", "stands: hung").setting == "hanging"
    by_name = changed("pot: nursery 5 gal", "pot: blue hanging bowl 40 cm")
    assert settings_of(by_name).garden.pots[0].setting == "hanging"


def test_a_saucer_by_its_width():
    """It holds its usual 3 cm (from memory) in the ring that the pot leaves free."""
    basin = pot("1").basin
    foot_m = 0.194 + (0.285 - 0.194) * 0.015 / 0.265  # the catalogue's 30 cm clay pot
    ring_m2 = disc_m2(0.35) - disc_m2(foot_m)
    assert basin is not None
    assert (basin.kind, basin.open_m2) == ("saucer", pytest.approx(ring_m2))
    assert basin.volume_l == pytest.approx(ring_m2 * 0.03 * 1000)


def test_a_saucer_that_fits():
    """It is as wide as the rim, and 5 cm wider than a straight-sided pot's base."""
    basin = pot("1", "saucer: 35 cm", "saucer: yes").basin
    foot_m = 0.194 + (0.285 - 0.194) * 0.015 / 0.265
    assert basin is not None
    assert basin.open_m2 == pytest.approx(disc_m2(0.285) - disc_m2(foot_m))
    straight = changed("pot: nursery 5 gal", "pot: {round: 30 cm, base: 30 cm}\n    saucer: yes")
    bag = settings_of(straight).garden.pots[0].basin
    assert bag is not None
    assert bag.open_m2 == pytest.approx(disc_m2(0.35) - disc_m2(0.30))
    box = pot("2", "covered: yes", "saucer: yes").basin
    assert box is not None
    assert box.open_m2 == pytest.approx(2.05 * 1.05 - 2.0 * 1.0)


def test_a_saucer_by_what_it_holds():
    """What was measured is taken; its water lies open 3 cm deep."""
    assert pot("1", "saucer: 35 cm", "saucer: 2 L").basin == Basin(
        "saucer", 2.0, pytest.approx(2e-3 / 0.03)
    )
    assert pot("1", "saucer: 35 cm", "saucer: no").basin is None


def test_an_outer_pot_and_a_reservoir():
    """An outer pot keeps what finds room around the pot; a reservoir what it is said to hold."""
    inner = pot("3").vessel.volume_l
    assert pot("3").basin == Basin("outer pot", pytest.approx(60 - inner))
    assert pot("3", "outer pot: 60 L", "outer pot: yes").basin == Basin(
        "outer pot", pytest.approx(inner / 4)
    )
    assert pot("4").basin == Basin("reservoir", 1.5)


@pytest.mark.parametrize(
    "said", ["saucer: no, reservoir: 6 L", "outer pot: no, reservoir: 6 L", "reservoir: 6 L"]
)
def test_what_is_not_there_stands_in_no_ones_way(said):
    """A basin that is said not to be there does not contradict one that is."""
    assert pot("4", "reservoir: 1.5 L", said).basin == Basin("reservoir", 6.0)


def test_a_pot_like_another_with_another_basin():
    """Another basin takes the place of the one in the row that a pot is like."""
    text = (
        FULL
        + "  6: {like: 1, reservoir: 3 L}\n  7: {like: 1, pot: 19 L}\n  8: {like: 2, mulch: bark}\n"
    )
    reservoir, repotted, mulched = settings_of(text).garden.pots[-3:]
    assert reservoir.basin == Basin("reservoir", 3.0)
    assert (repotted.wall, repotted.colour) == ("plastic", None)
    assert mulched.mulch == 0.5


def test_roots():
    """The share of roots is the old pot's mix over the new one's, and never more than all."""
    one = pot("1")
    old = catalogue.kinds()["nursery 1 gal"].value.vessel
    assert one.repotted == date(2026, 5, 1)
    assert one.root_ball == pytest.approx(old.filled_volume_l / one.vessel.filled_volume_l)
    assert (pot("5").repotted, pot("5").root_ball) == (date(2026, 5, 1), None)
    assert (pot("2").repotted, pot("2").root_ball) == (None, None)
    for said, share in (("from 100 L", 1.0), ("out of herb bed", 1.0), ("from 1 gal", 0.25)):
        changed_to = pot("1", "2026-05-01 from nursery 1 gal", f"2026-05-01, {said}")
        assert changed_to.root_ball == pytest.approx(share, abs=0.1)


def test_leaves_rain_and_cover():
    """Leaf area in m², rain as a share or as times, and a cover that lets nothing dry."""
    assert (pot("1").leaf_area_m2, pot("1").rain_catch, pot("2").mulch) == (0.6, 1.5, 1.0)
    assert (pot("2").leaf_area_m2, pot("2").rain_catch, pot("1").mulch) == (None, None, 0.0)
    assert pot("1", "rain catch: 1.5", "rain catch: 60 %").rain_catch == pytest.approx(0.6)
    square_feet = pot("1", "leaf area: 0.6 m2", "leaf area: 6 ft2").leaf_area_m2
    assert square_feet == pytest.approx(6 * 0.3048**2)


def test_a_bed_without_a_bottom():
    """A bed on soil has straight sides and an open base, in the file as in the catalogue."""
    bed = pot("2").vessel
    assert bed.base_suction_m > 0
    assert bed.volume_l == pytest.approx(2000 * 1 * 0.28)
    stocked = pot("2", "pot: herb bed", "pot: 4x8 raised bed").vessel
    assert stocked.base_suction_m > 0
    assert stocked.volume_l == pytest.approx(8 * 0.3048 * 4 * 0.3048 * 280, rel=0.01)


def test_a_plant_of_ones_own():
    """Its trunk and the cold that it stands come from the file, the rest from what it is like."""
    lemon = pot("1").crop
    assert (lemon.bare_stem, lemon.bears_c) == (0.4, -3.0)
    assert lemon.kcb_mid == catalogue.crops()["lemon"].value.kcb_mid
    fahrenheit = pot("1", "-3 C", "23 F").crop.bears_c
    assert fahrenheit == pytest.approx(-5.0)
