"""Time zones that are proposed."""

from __future__ import annotations

import pytest

from irrigate.cli.time_zones import country_of, machine_zone, nearest_zone


def test_the_machines_zone(tmp_path):
    """The environment goes before the clock's link, and that before the name in a file."""
    assert machine_zone({}, tmp_path) is None
    (tmp_path / "etc").mkdir()
    (tmp_path / "etc/timezone").write_text("Europe/Rome\n")
    assert machine_zone({}, tmp_path) == "Europe/Rome"
    (tmp_path / "etc/localtime").symlink_to("/usr/share/zoneinfo/Europe/Madrid")
    assert machine_zone({}, tmp_path) == "Europe/Madrid"
    assert machine_zone({"TZ": ":Asia/Tokyo"}, tmp_path) == "Asia/Tokyo"
    assert machine_zone({"TZ": "CET-1CEST"}, tmp_path) == "Europe/Madrid"


@pytest.mark.parametrize("name", ["UTC", "Etc/UTC", "GMT", "Etc/GMT+8"])
def test_no_zone_to_live_in(tmp_path, name):
    """A machine that keeps UTC says nothing about where its garden is."""
    assert machine_zone({"TZ": name}, tmp_path) is None


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (34.05, -118.24, "America/Los_Angeles"),
        (40.42, -3.70, "Europe/Madrid"),
        (-26.2, 28.0, "Africa/Johannesburg"),
        (-36.9, 174.8, "Pacific/Auckland"),
        (-18.1, -179.9, "Pacific/Fiji"),
    ],
)
def test_the_nearest_city(latitude, longitude, zone):
    """The zone of the nearest principal city, across the date line too (positions from memory)."""
    assert nearest_zone(latitude, longitude) == zone


def test_countries():
    """A zone's country is that of its city in the time zone database."""
    assert country_of("America/Denver") == "US"
    assert country_of("Europe/Rome") == "IT"
    assert country_of("Etc/GMT+8") == ""
