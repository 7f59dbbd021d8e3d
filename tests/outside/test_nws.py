"""Grid points of the US National Weather Service, from a real server on loopback."""

from __future__ import annotations

import copy
import json
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from irrigate.errors import WeatherError
from irrigate.garden.filling import fill
from irrigate.garden.pots import Site
from irrigate.garden.solar_day import extraterrestrial_mj_m2
from irrigate.garden.weather import HOUR_S, Filled, Origin, empty_weather
from irrigate.outside.weather.json_over_http import JsonOverHttp
from irrigate.outside.weather.nws import NationalWeatherService, understood
from irrigate.ports import Fetched, WeatherSource
from tests.outside import forecast_shapes as shapes
from tests.outside import weather_server as server

SITE = Site(36.0726, -79.7920, 272.0, "America/New_York")
NOW = datetime(2025, 7, 12, 14, 20, tzinfo=UTC)
GEO = "application/geo+json"


def told(answer: object) -> Any:
    """Answer in the service's own kind of JSON."""
    return server.body(json.dumps(answer).encode(), kind=GEO)


def service(url: str, **limits: Any) -> WeatherSource:
    """Return the source, asking a server on loopback with short waits."""
    usual: dict[str, Any] = {
        "connect_s": 1.0, "read_s": 1.0, "whole_s": 1.0, "retries": 2, "pause_s": 0.01,
        "longest_wait_s": 1.5,
    }  # fmt: skip
    session = JsonOverHttp(
        user_agent="irrigate (home garden; sam@example.org)", **{**usual, **limits}
    )
    base = url.removesuffix("/v1/forecast")
    return NationalWeatherService("sam@example.org", base, session=session)


def good() -> dict[str, Any]:
    """Return a grid as documented."""
    return shapes.grid(SITE, NOW)


def fetched() -> Fetched:
    """Fetch once, the place first and then its grid."""
    with server.serving(told(shapes.point()), told(good())) as running:
        return service(running.url).fetch(SITE, NOW)


# --- what is asked -------------------------------------------------------------------------
def test_the_place_is_asked_once_and_then_its_grid_alone() -> None:
    """Two fetches put three questions, each of them with a contact in the User-Agent."""
    with server.serving(told(shapes.point()), told(good())) as running:
        source = service(running.url)
        source.fetch(SITE, NOW)
        source.fetch(SITE, NOW + timedelta(hours=1))
    grid = "/gridpoints/RAH/33,55"
    assert running.paths == ["/points/36.07,-79.79", grid, grid]
    assert all("sam@example.org" in asked["User-Agent"] for asked in running.headers)
    assert GEO in running.headers[0]["Accept"]


def test_coordinates_have_no_zeros_that_the_service_would_redirect_for() -> None:
    """36.10 is asked for as 36.1: the service sends askers elsewhere over a trailing zero."""
    with server.serving(told(shapes.point()), told(good())) as running:
        service(running.url).fetch(Site(36.0990, -79.8001, 272.0, "America/New_York"), NOW)
    assert running.paths[0] == "/points/36.1,-79.8"


def test_a_grid_that_went_is_looked_up_again() -> None:
    """Offices draw their grids anew: after a 404 the place is asked again."""
    steps = [told(shapes.point()), server.trouble(404), told(shapes.point("GSP")), told(good())]
    with server.serving(*steps) as running:
        source = service(running.url)
        with pytest.raises(WeatherError, match="knows nothing of this place"):
            source.fetch(SITE, NOW)
        source.fetch(SITE, NOW)
    assert running.paths[-1] == "/gridpoints/GSP/33,55"


# --- what it means -------------------------------------------------------------------------
def test_an_interval_is_every_hour_in_it() -> None:
    """2025-07-12T12:00/PT1H is the hour that ends at 13:00 UTC; PT3H the three after its start."""
    hours = fetched().hours
    noon = int(datetime(2025, 7, 12, 12, tzinfo=UTC).timestamp())
    assert hours.end_s[0] == noon + HOUR_S
    assert np.all(np.diff(hours.end_s) == HOUR_S)
    assert list(hours.temperature_c[:3]) == [27.0, 27.1, 27.2]
    # FAO-56 Example 14: 3.2 m/s at 10 m is 2.4 at 2 m, and 11.52 km/h is 3.2 m/s.
    assert np.all(np.round(hours.wind_2m_m_s, 1) == 2.4)
    assert np.all(hours.origin == Origin.FORECAST)
    assert np.all(hours.rain_chance == 0.4)


def test_humidity_by_the_book() -> None:
    """FAO-56 Table 2.3: e°(27.0 °C) is 3.565 kPa; 60 % of it is told."""
    assert fetched().hours.vapour_pressure_kpa[0] == pytest.approx(0.6 * 3.565, abs=1e-3)


def test_an_amount_is_that_of_its_whole_interval() -> None:
    """3 mm in six hours are half a millimetre in each of them, and nothing is lost or doubled."""
    rain = fetched().hours.rain_mm
    assert list(rain[23:31]) == [0.0, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.0]
    assert float(np.nansum(rain)) == pytest.approx(3.0)


def test_the_sun_is_estimated_from_the_clouds_and_marked_and_said() -> None:
    """A sky covered by 35 % is n/N of 0.65: FAO-56 Example 10 has Rs = 14.5 of Ra 25.1 by it."""
    got = fetched()
    sky = extraterrestrial_mj_m2(got.hours.end_s, SITE)
    high = sky > 1.0
    ratio = got.hours.solar_mj_m2[high] / sky[high]
    assert ratio == pytest.approx(np.full(ratio.size, 14.4 / 25.1), abs=2e-3)
    assert np.all(got.hours.filled == Filled.SOLAR)
    assert any("sun estimated from the clouds (FAO-56 Eq 35)" in one for one in got.remarks)
    filled, _ = fill(got.hours, SITE, empty_weather())
    assert np.all(filled.filled[filled.solar_mj_m2 > 0] & Filled.SOLAR)


def test_without_clouds_the_day_s_range_of_temperature_must_do() -> None:
    """Without skyCover radiation is left open, and FAO-56 Eq 50 fills it, marked."""
    grid = good()
    del grid["properties"]["skyCover"]
    got = understood(grid, SITE, NOW)
    assert np.isnan(got.hours.solar_mj_m2).all()
    filled, remarks = fill(got.hours, SITE, empty_weather())
    assert np.isfinite(filled.solar_mj_m2).all()
    assert any("estimated from the day's temperatures" in one for one in remarks)


def test_a_dew_point_does_for_the_humidity() -> None:
    """FAO-56 Table 2.3: e°(18 °C) is 2.064 kPa, by Eq 14 the vapour pressure of that dew point."""
    grid = good()
    del grid["properties"]["relativeHumidity"]
    got = understood(grid, SITE, NOW)
    assert got.hours.vapour_pressure_kpa[0] == pytest.approx(2.064, abs=1e-3)


@pytest.mark.parametrize(
    ("name", "uom", "value", "column", "expected"),
    [
        ("temperature", "wmoUnit:degF", 86.0, "temperature_c", 30.0),
        ("temperature", "wmoUnit:K", 303.15, "temperature_c", 30.0),
        ("temperature", "unit:degC", 30.0, "temperature_c", 30.0),
        ("windSpeed", "wmoUnit:m_s-1", 3.2, "wind_2m_m_s", 2.39),
    ],
)
def test_another_unit_of_the_same_kind_is_converted(
    name: str, uom: str, value: float, column: str, expected: float
) -> None:
    """86 °F and 303.15 K are 30 °C: a unit that is named and known is no fault."""
    grid = good()
    told = grid["properties"][name]
    told["uom"] = uom
    for each in told["values"]:
        each["value"] = value
    hours = getattr(understood(grid, SITE, NOW).hours, column)
    assert hours == pytest.approx(np.full(hours.size, expected), abs=0.006)


def test_nulls_are_hours_of_which_nothing_is_told() -> None:
    """A null leaves a hole for the filling to close, and nothing else."""
    grid = good()
    for each in grid["properties"]["temperature"]["values"][5:7]:
        each["value"] = None
    hours = understood(grid, SITE, NOW).hours
    assert list(np.flatnonzero(np.isnan(hours.temperature_c))) == [5, 6]


# --- what cannot be used -------------------------------------------------------------------
def changed(name: str, **parts: Any) -> dict[str, Any]:
    """Return a good grid with something else in one of its layers."""
    grid = copy.deepcopy(good())
    grid["properties"][name].update(parts)
    return grid


def with_time(text: str) -> dict[str, Any]:
    """Return a good grid with another interval in its first temperature."""
    grid = good()
    grid["properties"]["temperature"]["values"][0]["validTime"] = text
    return grid


def made(hours: float) -> dict[str, Any]:
    """Return a good grid that says it was made so many hours from now."""
    grid = good()
    at = NOW + timedelta(hours=hours)
    grid["properties"]["updateTime"] = f"{at:%Y-%m-%dT%H:%M:%S}+00:00"
    return grid


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (changed("temperature", uom="wmoUnit:percent"), "is in wmoUnit:percent, not in degC"),
        (changed("windSpeed", uom="wmoUnit:kn"), "is in wmoUnit:kn, not in km_h-1"),
        (changed("quantitativePrecipitation", uom=None), "is in None, not in mm"),
        (changed("temperature", values=[]), "no temperature"),
        (changed("temperature", values="many"), "it has no values"),
        (changed("temperature", values=[7]), "not an interval with its value"),
        (with_time("2025-07-12T12:00:00/PT1H"), "is not an interval such as"),
        (with_time("2025-07-12T12:00:00+00:00"), "is not an interval such as"),
        (with_time("2025-07-12T12:00:00+00:00/P400D"), "not an interval of a forecast"),
        (with_time("2025-07-12T12:00:00+00:00/P2D"), "do not follow one another"),
        (with_time("never"), "is not an interval such as"),
        (made(3.0), "made 3 h from now: this computer's clock or theirs is wrong"),
        (made(-400 * 24.0), None),
        ({}, "no properties"),
        ([1], "no properties"),
        ({"properties": {}}, "no geometry"),
        ({**good(), "geometry": {"coordinates": [[[-120.0, 36.0]]]}}, "about longitude -120"),
    ],
)
def test_answers_that_cannot_be_used_are_refused(answer: Any, said: str | None) -> None:
    """Other units, shapes, times and places are weather errors; an old forecast is only said."""
    if said is None:
        assert "forecast is 9600 h old" in understood(answer, SITE, NOW).remarks[0]
        return
    with pytest.raises(WeatherError, match=said):
        understood(answer, SITE, NOW)


def test_a_grid_about_another_time_is_refused() -> None:
    """A forecast that ended last week is no weather, whatever its header says."""
    grid = shapes.grid(SITE, NOW - timedelta(days=30))
    with pytest.raises(WeatherError, match="not about the present"):
        understood(grid, SITE, NOW)


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (server.trouble(500), "in trouble.*500"),
        (server.trouble(403), "refuses to answer us"),
        (server.trouble(404), "knows nothing of this place"),
        (server.trouble(429, Retry_After="7200"), "asks to wait 7200 s"),
        (server.body(json.dumps(good()).encode()[:3000], kind=GEO), "breaks off or is damaged"),
        (server.cut_off(json.dumps(good()).encode()[:3000]), "damaged|broke off"),
        (server.body(b"<html>welcome to our cafe</html>", kind="text/html"), "log-in page"),
        (server.redirect("http://example.org/"), "elsewhere"),
        (told({"properties": {"gridId": "../x", "gridX": 1, "gridY": 2}}), "which grid point"),
        (told({"properties": {"gridId": "RAH", "gridX": 1.5, "gridY": 2}}), "which grid point"),
    ],
)
def test_trouble_is_said_plainly(step: Any, said: str) -> None:
    """A server in trouble, a log-in page, and half an answer are weather errors."""
    with server.serving(step) as running, pytest.raises(WeatherError, match=said):
        service(running.url, retries=0).fetch(SITE, NOW)


def test_trouble_that_passes_is_sat_out() -> None:
    """The service's own pages warn of passing 500s: two of them, and then an answer."""
    steps = [told(shapes.point()), server.trouble(500), server.trouble(500), told(good())]
    with server.serving(*steps) as running:
        assert len(service(running.url).fetch(SITE, NOW).hours) == 7 * 24


def test_a_long_wait_holds_for_the_whole_host() -> None:
    """After a 429 for the grid, the place is not asked about either until the time is over."""
    steps = [told(shapes.point()), server.trouble(429, Retry_After="3600"), told(shapes.point())]
    with server.serving(*steps) as running:
        source = service(running.url)
        for match in ("asks to wait 3600 s", "left alone until 15:20 UTC"):
            with pytest.raises(WeatherError, match=match):
                source.fetch(SITE, NOW)
        assert len(running.paths) == 2
