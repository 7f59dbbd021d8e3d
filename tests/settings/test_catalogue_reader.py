"""The package's own tables, read as the service reads them."""

from __future__ import annotations

from importlib import resources

import pytest
import yaml

from irrigate.settings import catalogue
from irrigate.settings.words import HEIGHTS_M, MULCHES, WIDTHS_OF_POT, WINDS

SHELVES = {
    "crops.yaml": catalogue.crops,
    "media.yaml": catalogue.media,
    "vessels.yaml": catalogue.kinds,
}


@pytest.mark.parametrize("file_name", SHELVES)
def test_nothing_is_lost_in_reading(file_name):
    """Every entry and every field of a file stands on the shelf, with its tag."""
    text = resources.files("irrigate.catalogue").joinpath(file_name).read_text("utf-8")
    written = yaml.safe_load(text)
    shelf = SHELVES[file_name]()
    assert list(shelf.entries) == list(written)
    for name, fields in written.items():
        tags = {field: pair[1] for field, pair in fields.items() if field != "aliases"}
        assert shelf[name].tags == tags


def test_values_are_those_of_the_file():
    """Numbers, lists, words and yes-or-no reach the frozen values unchanged."""
    pepper = catalogue.crops()["pepper"].value
    assert (pepper.kcb_mid, pepper.kcb_end) == (1.0, 0.8)  # FAO-56 Table 17
    assert pepper.stages_d == (30, 35, 40, 20)  # FAO-56 Table 11
    assert pepper.depletion_fraction == 0.3  # FAO-56 Table 22
    assert pepper.fruiting
    assert pepper.likes == "even"
    loam = catalogue.media()["loam"].value
    assert loam.mineral
    assert not catalogue.media()["potting mix"].value.mineral
    assert catalogue.kinds()["nursery 5 gal"].value.vessel.volume_l == pytest.approx(14.9)


@pytest.mark.parametrize("name", ["Peppers", "pepper", "bell  pepper", "BELL PEPPER"])
def test_any_spelling_finds_it(name):
    """Other names, plurals, capitals and spaces lead to the same entry."""
    assert catalogue.crops().find(name) == "pepper"


def test_what_is_not_there_is_not_found():
    """A name that no entry has leads nowhere."""
    assert catalogue.crops().find("triffid") is None


def test_sources_are_summed_up():
    """An entry says in one line what was read where, and that the rest is a default."""
    assert catalogue.crops()["pepper"].value.source == (
        "FAO-56 Tables 11, 12, 17, 22, 23; most crops, FAO-56 Eq 102; "
        "the rest default, not verified"
    )
    assert catalogue.media()["potting mix"].value.source == "default, not verified"


def test_unverified_fields_are_known():
    """Fields that rest on memory are told from those that were read."""
    assert "width_m" in catalogue.crops()["pepper"].unverified
    assert "kcb_mid" not in catalogue.crops()["pepper"].unverified


def test_words_stand_for_sensible_numbers():
    """Words for sizes rise in the order they are listed; shares are shares."""
    assert list(HEIGHTS_M.values()) == sorted(HEIGHTS_M.values())
    assert list(WIDTHS_OF_POT.values()) == sorted(WIDTHS_OF_POT.values())
    assert list(WINDS.values()) == sorted(WINDS.values())
    assert all(0 <= share < 1 for share in MULCHES.values())
