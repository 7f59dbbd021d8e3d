"""What a garden file that is in order is understood to say."""

from __future__ import annotations

import hashlib
import math
from dataclasses import fields
from datetime import date, time
from pathlib import Path

import pytest

from irrigate.garden.pots import Place
from irrigate.ports import GardenFile
from irrigate.settings.garden_file import YamlGardenFile, read_settings, settings_of
from irrigate.settings.values import WeatherChoice
from tests.settings.gardens import GARDEN, changed


def test_site_and_rounds():
    """The site is read in metres and degrees; rounds are sorted by time, with their days."""
    garden = settings_of(GARDEN).garden
    assert (garden.site.latitude_deg, garden.site.longitude_deg) == (38.6, -121.3)
    assert garden.site.elevation_m == 30.0
    assert [(one.at, one.weekdays) for one in garden.rounds] == [
        (time(7), (0, 1, 2, 3, 4, 5, 6)),
        (time(18, 30), (0, 1, 2, 3, 4)),
    ]
    later_first = changed("  - 07:00\n", "").replace("quiet:", "  - 7 am\nquiet:")
    assert settings_of(later_first).garden.rounds == garden.rounds


def test_people_and_manner():
    """People have the ways and hours that were written; manner is read in SI."""
    settings = settings_of(changed("quiet:", "notice: 20 min\nlead: 90 min\nquiet:"))
    person, manner = settings.garden.people[0], settings.garden.manner
    assert (person.name, person.reach) == ("Ana", ("phone",))
    assert person.can_act == ((time(7), time(8, 30)), (time(17), time(21)))
    assert manner.us_units
    assert manner.can_l == pytest.approx(7.570824, abs=1e-6)
    assert manner.quiet == (time(21, 30), time(6, 30))
    assert (manner.notice_min, manner.lead_h) == (20, 1.5)
    assert settings.service.reach == ("phone",)


def test_places():
    """A place without a word about it is a usual yard; what a pot says makes another place."""
    garden = settings_of(GARDEN).garden
    assert garden.places == (
        Place("driveway", wind=1.0),
        Place("porch"),
        Place("porch (pot 8)", shade=0.2),
    )
    assert [pot.place for pot in garden.pots] == ["driveway", "porch", "porch (pot 8)"]
    text = changed("  porch:\n", "  porch: {roof: yes, sun: 8 am to 1 pm, wind: 30 %}\n")
    porch = settings_of(text).garden.place("porch")
    assert (porch.rain, porch.sun_from, porch.sun_until, porch.wind) == (
        0.0,
        time(8),
        time(13),
        0.3,
    )


def test_pots_in_walking_order():
    """Pots keep the order of the file; ids are left for the cycle to mint; labels are texts."""
    pots = settings_of(GARDEN).garden.pots
    assert [(pot.label, pot.walk) for pot in pots] == [("7", 0), ("07a", 1), ("8", 2)]
    assert {pot.id + pot.vessel_id + pot.plant_id for pot in pots} == {""}


def test_plants_mixes_and_vessels():
    """Names lead to the catalogue by any spelling, and to the file's own entries first."""
    pepper, tomato, long_pepper = settings_of(GARDEN).garden.pots
    assert (pepper.crop.name, tomato.crop.name) == ("pepper", "tomato")
    assert pepper.vessel.volume_l == pytest.approx(14.9)
    assert (tomato.medium.name, tomato.medium.lower_limit) == ("my mix", 0.2)
    assert tomato.medium.theta_s == pepper.medium.theta_s
    assert (tomato.vessel.height_m, tomato.vessel.opening_area_m2) == pytest.approx(
        (0.35, math.pi / 4 * 0.38**2)
    )
    assert (long_pepper.crop.name, long_pepper.crop.height_m) == ("long pepper", 0.9)
    assert long_pepper.crop.kcb_mid == pepper.crop.kcb_mid
    assert long_pepper.vessel.volume_l == pytest.approx(18.927, abs=1e-3)


def test_sizes():
    """A size in words is by the pot's opening, one measure gives the other, none is full-grown."""
    pepper, tomato, long_pepper = settings_of(GARDEN).garden.pots
    width = 2 * (pepper.vessel.opening_area_m2 / math.pi) ** 0.5
    assert pepper.canopy_height_m == 0.5
    assert pepper.canopy_width_m == pytest.approx(1.5 * width)
    assert tomato.canopy_width_m == 0.5
    grown = tomato.crop.height_m / tomato.crop.width_m
    assert tomato.canopy_height_m == pytest.approx(0.5 * grown)
    assert long_pepper.canopy_width_m == long_pepper.crop.width_m
    assert long_pepper.canopy_height_m == long_pepper.crop.height_m


def test_the_rest_of_a_pot():
    """Mulch is the share of evaporation it takes away (FAO-56 ch. 10: full cover, about half)."""
    pepper, tomato, long_pepper = settings_of(GARDEN).garden.pots
    assert (pepper.mulch, long_pepper.mulch) == (0.0, 0.5)
    assert tomato.planted == date(2026, 4, 20)
    assert (pepper.risk, long_pepper.risk) == (0.2, 0.1)
    covered = settings_of(changed("mulch: straw", "mulch: 60 %")).garden.pots[2]
    assert covered.mulch == pytest.approx(0.3)
    assert settings_of("risk: 5 %\n" + GARDEN).garden.pots[0].risk == 0.05


def test_a_renaming_and_an_exchange():
    """`was` tells which pot got another number; two pots may exchange theirs."""
    assert settings_of(GARDEN).renamed == (("3", "07a"),)
    text = changed("was: 3", "was: 7").replace(
        "    place: driveway\n", "    place: driveway\n    was: 07a\n"
    )
    assert settings_of(text).renamed == (("07a", "7"), ("7", "07a"))


def test_remarks():
    """Readings that could surprise, and what was assumed, are said in sentences."""
    assert settings_of(GARDEN).remarks == (
        "Pot 7: nursery 5 gal is a trade size of 14.9 L (3.9 gal), not of 18.9 L (5.0 gal).",
        (
            "Pot 8: 5 gal is read as 18.9 L (5.0 gal); "
            "for the trade size of 14.9 L (3.9 gal), say nursery 5 gal."
        ),
        "No mix is given for pot 8: taken as potting mix.",
        "No size is given for pot 8: taken as full-grown.",
    )
    text = changed("can: 2 gal\n", "")
    text = text[: text.index("people:")] + text[text.index("places:") :]
    assert settings_of(text).remarks[:2] == (
        "No can is described: one can is taken as 2½ gal.",
        "No people are named: messages go to the console, for action 07:00 to 21:00.",
    )


def test_weather():
    """Weather comes from a provider, or from a table that lies beside the garden file."""
    assert settings_of(GARDEN).service.weather == WeatherChoice("open-meteo")
    text = "weather: {csv: station.csv, wind height: 10 ft}\n" + GARDEN
    chosen = settings_of(text, folder=Path("/some/folder")).service.weather
    assert chosen.csv == Path("/some/folder/station.csv")
    assert chosen.wind_height_m == pytest.approx(3.048)


@pytest.mark.parametrize(
    ("said", "ensemble"),
    [
        ("open-meteo", False),
        ("{from: open-meteo}", False),
        ("{from: open-meteo, ensemble: no}", False),
        ("{from: open-meteo, ensemble: yes}", True),
        ("{ensemble: yes}", True),
    ],
)
def test_an_ensemble_is_asked_for_on_request(said, ensemble):
    """A provider's ensemble is off unless the file says yes."""
    chosen = settings_of(f"weather: {said}\n{GARDEN}").service.weather
    assert chosen == WeatherChoice("open-meteo", ensemble=ensemble)


def test_the_port(tmp_path):
    """The file on disk is a `GardenFile`: the garden, the digest of its bytes, what was renamed."""
    path = tmp_path / "garden.yaml"
    path.write_text(GARDEN, encoding="utf-8")
    port: GardenFile = YamlGardenFile(path)
    read = port.read()
    assert read.garden == settings_of(GARDEN).garden
    assert read.digest == hashlib.sha256(path.read_bytes()).hexdigest()
    assert read.renamed == (("3", "07a"),)


def test_reading_twice_is_equal():
    """The same text gives equal values, so that a reload of an unchanged file changes nothing."""
    first, second = settings_of(GARDEN), settings_of(GARDEN)
    assert all(getattr(first, one.name) == getattr(second, one.name) for one in fields(first))


@pytest.mark.parametrize(
    ("path", "pots"), [("config/sample.yaml", 12), ("irrigate/catalogue/demo_garden.yaml", 12)]
)
def test_the_sample_gardens_are_in_order(path, pots):
    """Every garden that comes with the package is read without a fault."""
    settings = read_settings(Path(__file__).parents[2] / path)
    assert len(settings.garden.pots) == pots
