"""Locationforecast of MET Norway, from a real server on loopback."""

from __future__ import annotations

import copy
import json
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler
from typing import Any

import numpy as np
import pytest

from irrigate.errors import WeatherError
from irrigate.garden.filling import fill
from irrigate.garden.pots import Site
from irrigate.garden.solar_day import extraterrestrial_mj_m2
from irrigate.garden.weather import HOUR_S, Filled, Origin, empty_weather
from irrigate.outside.weather.json_over_http import JsonOverHttp
from irrigate.outside.weather.met_norway import MetNorway, understood
from tests.outside import forecast_shapes as shapes
from tests.outside import weather_server as server

SITE = Site(36.0726, -79.7920, 272.0, "America/New_York")
NOW = datetime(2025, 7, 12, 14, 20, tzinfo=UTC)
MADE = "Sat, 12 Jul 2025 13:31:07 GMT"


def good() -> dict[str, Any]:
    """Return a forecast as documented."""
    return shapes.locationforecast(SITE, NOW)


def told(answer: object, status: int = 200, minutes: float = 30.0) -> Any:
    """Answer with the headers that the terms ask to be kept; good for so many minutes."""
    server_clock = datetime(2031, 1, 1, tzinfo=UTC)  # not ours: only the difference counts
    until = server_clock + timedelta(minutes=minutes)
    content = json.dumps(answer).encode() if answer is not None else b""

    def step(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response_only(status)
        for name, value in (
            ("Date", f"{server_clock:%a, %d %b %Y %H:%M:%S} GMT"),
            ("Expires", f"{until:%a, %d %b %Y %H:%M:%S} GMT"),
            ("Last-Modified", MADE),
            ("Content-Type", "application/json"),
            ("Content-Length", str(len(content))),
        ):
            handler.send_header(name, value)
        handler.end_headers()
        handler.wfile.write(content)

    return step


def service(url: str, **limits: Any) -> MetNorway:
    """Return the source, asking a server on loopback with short waits."""
    usual: dict[str, Any] = {
        "connect_s": 1.0, "read_s": 1.0, "whole_s": 1.0, "retries": 2, "pause_s": 0.01,
        "longest_wait_s": 1.5,
    }  # fmt: skip
    session = JsonOverHttp(user_agent="irrigate/0.1 sam@example.org", **{**usual, **limits})
    return MetNorway("sam@example.org", url, session=session)


# --- what is asked -------------------------------------------------------------------------
def test_it_says_who_asks_and_no_more_of_the_place_than_needed() -> None:
    """The terms demand a contact, and at most four decimals; two are given."""
    with server.serving(told(good())) as running:
        service(running.url).fetch(SITE, NOW)
    assert running.asked[0] == {"lat": "36.07", "lon": "-79.79", "altitude": "272"}
    assert "sam@example.org" in running.headers[0]["User-Agent"]


def test_nothing_is_asked_before_the_answer_expires_and_then_only_whether_it_changed() -> None:
    """Good for 30 minutes by the server's clock; then its Last-Modified is sent back."""
    with server.serving(told(good()), told(None, 304), told(good())) as running:
        source = service(running.url)
        first = source.fetch(SITE, NOW)
        again = source.fetch(SITE, NOW + timedelta(minutes=29))
        assert len(running.asked) == 1
        unchanged = source.fetch(SITE, NOW + timedelta(minutes=31))
        assert len(running.asked) == 2
        source.fetch(SITE, NOW + timedelta(minutes=62))
    assert [asked.get("If-Modified-Since") for asked in running.headers] == [None, MADE, MADE]
    assert first.model_run == again.model_run == unchanged.model_run
    assert np.array_equal(first.hours.temperature_c, unchanged.hours.temperature_c)


def test_another_place_is_another_question() -> None:
    """What is kept is of one place: a garden that moved is asked about anew."""
    elsewhere = Site(36.5, -79.5, 200.0, "America/New_York")
    with server.serving(told(good())) as running:
        source = service(running.url)
        source.fetch(SITE, NOW)
        source.fetch(elsewhere, NOW)
    assert len(running.asked) == 2
    assert "If-Modified-Since" not in running.headers[1]


def test_a_way_of_asking_that_will_end_is_said() -> None:
    """Status 203 is how the service announces the end of a version; its answer is still good."""
    with server.serving(told(good(), 203)) as running:
        got = service(running.url).fetch(SITE, NOW)
    assert any("will end this forecast" in remark for remark in got.remarks)


# --- what it means -------------------------------------------------------------------------
def test_hours_lie_between_stamps_and_are_the_mean_of_their_ends() -> None:
    """From the stamp of 14:00 on: the first hour ends at 15:00 and is the mean of both."""
    hours = understood(good(), SITE, NOW).hours
    assert hours.end_s[0] == int(NOW.timestamp()) // HOUR_S * HOUR_S + HOUR_S
    assert hours.temperature_c[0] == pytest.approx((27.2 + 29.0) / 2)
    assert np.all(hours.origin == Origin.FORECAST)
    # FAO-56 Example 14: 3.2 m/s at 10 m is 2.4 at 2 m.
    assert np.all(np.round(hours.wind_2m_m_s, 1) == 2.4)


def test_where_stamps_lie_six_hours_apart_every_hour_is_told() -> None:
    """Instants go in a straight line: 19 °C at 06:00 and 27 °C at 12:00 are 25.67 before 11:30."""
    hours = understood(good(), SITE, NOW).hours
    assert np.all(np.diff(hours.end_s) == HOUR_S)
    assert np.isfinite(hours.temperature_c).all()
    eleven = int(datetime(2025, 7, 17, 12, tzinfo=UTC).timestamp())
    at = int(np.flatnonzero(hours.end_s == eleven)[0])
    assert hours.temperature_c[at] == pytest.approx(19.0 + 8.0 * 5.5 / 6.0, abs=0.005)


def test_rain_of_one_hour_and_of_six_is_neither_lost_nor_doubled() -> None:
    """1.2 mm in one hour stay there; 6 mm in six hours are a millimetre in each."""
    answer = good()
    series = answer["properties"]["timeseries"]
    single = copy.deepcopy(series[3])
    single["data"]["next_1_hours"]["details"]["precipitation_amount"] = 1.2
    six = copy.deepcopy(series[-5])
    six["data"]["next_6_hours"]["details"]["precipitation_amount"] = 6.0
    answer["properties"]["timeseries"][3], answer["properties"]["timeseries"][-5] = single, six
    rain = understood(answer, SITE, NOW).hours.rain_mm
    assert rain[3] == 1.2
    assert float(np.nansum(rain)) == pytest.approx(7.2)
    assert list(rain[-24:-18]) == [1.0] * 6


def test_a_probability_is_used_where_it_is_told() -> None:
    """The complete forecast has probabilities; the compact one has none."""
    answer = good()
    answer["properties"]["meta"]["units"]["probability_of_precipitation"] = "%"
    for row in answer["properties"]["timeseries"]:
        row["data"]["next_6_hours"]["details"]["probability_of_precipitation"] = 30.0
    assert np.nanmax(understood(answer, SITE, NOW).hours.rain_chance) == 0.3
    assert np.isnan(understood(good(), SITE, NOW).hours.rain_chance).all()


def test_the_sun_is_estimated_from_the_clouds_and_marked_and_said() -> None:
    """35 % of cloud is n/N of 0.65; FAO-56 Example 10 has Rs = 14.5 of Ra 25.1 by it."""
    got = understood(good(), SITE, NOW)
    sky = extraterrestrial_mj_m2(got.hours.end_s, SITE)
    high = sky > 1.0
    ratio = got.hours.solar_mj_m2[high] / sky[high]
    assert ratio == pytest.approx(np.full(ratio.size, 14.4 / 25.1), abs=2e-3)
    assert np.all(got.hours.filled == Filled.SOLAR)
    assert any("sun estimated from the clouds" in remark for remark in got.remarks)


def test_without_clouds_the_day_s_range_of_temperature_must_do() -> None:
    """Without cloud_area_fraction FAO-56 Eq 50 fills the radiation, marked."""
    answer = good()
    for row in answer["properties"]["timeseries"]:
        del row["data"]["instant"]["details"]["cloud_area_fraction"]
    got = understood(answer, SITE, NOW)
    assert np.isnan(got.hours.solar_mj_m2).all()
    _, remarks = fill(got.hours, SITE, empty_weather())
    assert any("estimated from the day's temperatures" in remark for remark in remarks)


# --- what cannot be used -------------------------------------------------------------------
def unit(name: str, told_unit: str | None) -> dict[str, Any]:
    """Return a good forecast that says another unit."""
    answer = good()
    answer["properties"]["meta"]["units"][name] = told_unit
    return answer


def stamped(index: int, text: object) -> dict[str, Any]:
    """Return a good forecast with another stamp."""
    answer = good()
    answer["properties"]["timeseries"][index]["time"] = text
    return answer


def made(hours: float) -> dict[str, Any]:
    """Return a good forecast that says it was made so many hours from now."""
    answer = good()
    at = NOW + timedelta(hours=hours)
    answer["properties"]["meta"]["updated_at"] = f"{at:%Y-%m-%dT%H:%M:%SZ}"
    return answer


def with_temperature(value: object) -> dict[str, Any]:
    """Return a good forecast with something else for its first temperature."""
    answer = good()
    answer["properties"]["timeseries"][0]["data"]["instant"]["details"]["air_temperature"] = value
    return answer


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (unit("air_temperature", "fahrenheit"), "air_temperature is in fahrenheit, not celsius"),
        (unit("wind_speed", "knots"), "wind_speed is in knots, not m/s"),
        (unit("precipitation_amount", None), "precipitation_amount is in None, not mm"),
        (stamped(4, "2025-07-12T18:30:00Z"), "not all whole hours"),
        (stamped(4, "2025-07-12T18:00:00"), "not all whole hours"),
        (stamped(4, 1752343200), "not all whole hours"),
        (stamped(4, "2025-07-12T14:00:00Z"), "do not follow one another"),
        (stamped(-1, "2025-09-01T00:00:00Z"), "do not follow one another"),
        (with_temperature("warm"), "not a number"),
        (with_temperature(True), "not a number"),
        (made(2.0), "clock"),
        (shapes.locationforecast(SITE, NOW - timedelta(days=30)), "not about the present"),
        ({**good(), "geometry": {"coordinates": [10.7, 59.9, 10]}}, "answers about longitude"),
        ({**good(), "geometry": {"coordinates": []}}, "does not say its longitude"),
        ({"geometry": {}}, "no properties.meta"),
        ({**good(), "properties": {"meta": {"updated_at": "2025-07-12T13:00:00Z", "units": {}},
                                   "timeseries": []}}, "has no hours"),
        ([], "no properties"),
    ],
)  # fmt: skip
def test_answers_that_cannot_be_used_are_refused(answer: Any, said: str) -> None:
    """Other units, stamps, places and types are weather errors, never guesses."""
    with pytest.raises(WeatherError, match=said):
        understood(answer, SITE, NOW)


def test_absurd_values_become_missing_with_a_remark() -> None:
    """A temperature of 999 is no weather; the rest of the answer is."""
    got = understood(with_temperature(999.0), SITE, NOW)
    assert np.isnan(got.hours.temperature_c[0])
    assert any("1 values outside -60 to 60" in remark for remark in got.remarks)


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (server.trouble(500), "in trouble.*500"),
        (server.trouble(403), "refuses to answer us"),
        (server.trouble(429, Retry_After="1800"), "asks to wait 1800 s"),
        (server.trouble(304), "in trouble|elsewhere"),
        (server.body(json.dumps(good()).encode()[:5000]), "breaks off or is damaged"),
        (server.cut_off(json.dumps(good()).encode()[:5000]), "damaged|broke off"),
        (server.body(b"<html>log in</html>", kind="text/html"), "log-in page"),
        (server.redirect("http://example.org/"), "elsewhere"),
    ],
)
def test_trouble_is_said_plainly(step: Any, said: str) -> None:
    """A server in trouble, a log-in page, half an answer, and a 304 to no question."""
    with server.serving(step) as running, pytest.raises(WeatherError, match=said):
        service(running.url, retries=0).fetch(SITE, NOW)


def test_what_could_not_be_used_is_not_kept() -> None:
    """After a damaged answer the whole forecast is asked for again, not whether it changed."""
    wrong = unit("air_temperature", "kelvin")
    with server.serving(told(wrong), told(good())) as running:
        source = service(running.url)
        with pytest.raises(WeatherError, match="kelvin"):
            source.fetch(SITE, NOW)
        source.fetch(SITE, NOW + timedelta(minutes=2))
    assert len(running.asked) == 2
    assert "If-Modified-Since" not in running.headers[1]
