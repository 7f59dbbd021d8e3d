"""Pots called as people call them, in a garden file."""

from __future__ import annotations

import pytest
from jsonschema import Draft202012Validator

from irrigate.errors import GardenFileError
from irrigate.settings import catalogue
from irrigate.settings.garden_file import settings_of
from irrigate.settings.json_schema import garden_schema
from irrigate.settings.values import Settings
from tests.settings.yaml_as_editors_see_it import as_editors_see_it

GARDEN = """\
site: {latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}
rounds: [07:00]
places: {porch: }
pots:
  1: {plant: basil, pot: 'PHRASE', place: porch}
"""
VALIDATOR = Draft202012Validator(garden_schema())


def with_pot(phrase: str) -> Settings:
    """Return a garden whose pot is called that; an editor marks nothing of it."""
    text = GARDEN.replace("PHRASE", phrase)
    assert list(VALIDATOR.iter_errors(as_editors_see_it(text))) == []
    return settings_of(text)


@pytest.mark.parametrize(
    ("phrase", "kind"),
    [
        ("5-gallon bucket", "bucket 5 gal"),
        ("five gallon bucket", "bucket 5 gal"),
        ("5 gallon nursery pot", "nursery 5 gal"),
        ("nursery pot 5 gal", "nursery 5 gal"),
        ("trade 5 pot", "nursery 5 gal"),
        ("number 15 container", "nursery 15 gal"),
        ("10 gallon grow bag", "fabric bag 10 gal"),
        ("12 in clay pot", "clay pot 30 cm"),
        ("terracotta pot 12 inches", "clay pot 30 cm"),
        ("30cm pot", "plastic pot 30 cm"),
        ("12 in pot", "plastic pot 30 cm"),
        ("Window box 24 in", "window box 60 cm"),
        ("12 inch hanging basket", "hanging basket 30 cm"),
        ("10 l bucket", "bucket 10 l"),
    ],
)
def test_a_phrase_leads_to_a_kind(phrase, kind):
    """Order, spelling and the unit of a size do not matter; the reading is said."""
    settings = with_pot(phrase)
    assert settings.garden.pots[0].vessel == catalogue.kinds()[kind].value.vessel
    assert settings.readings["1"].vessel.startswith(f"{kind}, ")


@pytest.mark.parametrize(
    ("phrase", "volume_l"),
    [
        ("15 L pot", 15.0),
        ("19 liter plastic pot", 19.0),
        ("19 L nursery pot", 19.0),
        ("40 litre tub", 40.0),
        ("5 gal pot", 18.927),
        ("2.5 gallon blue pot", 9.4635),
    ],
)
def test_a_phrase_tells_a_volume(phrase, volume_l):
    """A pot that no kind is like holds what is said; litres are never a trade size."""
    assert with_pot(phrase).garden.pots[0].vessel.volume_l == pytest.approx(volume_l, rel=1e-4)


@pytest.mark.parametrize(
    ("phrase", "opening_m2"),
    [
        ("14 in terracotta", 3.14159265 / 4 * (14 * 0.0254) ** 2),
        ("blue pot 45 cm", 3.14159265 / 4 * 0.45**2),
        ("square pot 35 cm", 0.35**2),
        ("sink 70 cm by 40 cm", 0.7 * 0.4),
    ],
)
def test_a_phrase_tells_a_measure(phrase, opening_m2):
    """A size that no kind has is taken as the width at the rim; the rest is said to be assumed."""
    settings = with_pot(phrase)
    assert settings.garden.pots[0].vessel.opening_area_m2 == pytest.approx(opening_m2, rel=1e-6)
    assert settings.readings["1"].vessel.startswith(f"{phrase}, ")
    assert "height" in settings.readings["1"].assumed[-2].what[0]


def test_a_gallon_that_may_be_a_trade_size_is_remarked():
    """Five gallons of a pot are taken at their word, and the other reading is said."""
    for phrase in ("5 gal", "5 gal pot"):
        assert any("for the trade size of 14.9 L" in one for one in with_pot(phrase).remarks)


@pytest.mark.parametrize(
    ("phrase", "said"),
    [
        ("nursery 5 galon", "did you mean nursery 5 gal?"),
        ("nursery 4 gal", "describe it under “pot kinds”"),
        ("amphora", "describe it under “pot kinds”"),
        ("19", "has no unit: say 19 L or 19 gal"),
        ("900 L pot", "is out of range: 0.2 L (1 cup) to 500 L (130 gal)"),
        ("blue pot 9 m", "out of range"),
    ],
)
def test_what_is_no_pot_is_refused(phrase, said):
    """A phrase that tells neither kind nor size is refused with what to do."""
    with pytest.raises(GardenFileError, match=r"^garden\.yaml:5:26: pot 1, pot") as refused:
        settings_of(GARDEN.replace("PHRASE", phrase))
    assert said in str(refused.value)
    assert len(refused.value.faults) == 1
