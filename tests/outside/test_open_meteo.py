"""The forecast from a real server on loopback: what is asked, understood and refused."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from irrigate.errors import WeatherError
from irrigate.garden.filling import fill
from irrigate.garden.pots import Site
from irrigate.garden.weather import Filled, Origin, empty_weather
from irrigate.outside.weather.json_over_http import JsonOverHttp
from irrigate.outside.weather.open_meteo import ATTRIBUTION, OpenMeteo, understood
from irrigate.ports import Fetched, WeatherSource
from tests.outside import weather_server as server

SITE = Site(36.0726, -79.7920, 272.0, "America/New_York")
NOW = datetime(2025, 7, 12, 14, 20, tzinfo=UTC)


def quick(**changed: Any) -> JsonOverHttp:
    """Return a session with short waits."""
    limits: dict[str, Any] = {
        "connect_s": 1.0, "read_s": 1.0, "whole_s": 1.0, "retries": 2, "pause_s": 0.01,
        "longest_wait_s": 1.5,
    }  # fmt: skip
    return JsonOverHttp(**{**limits, **changed})


def fetched(url: str, **changed: Any) -> Fetched:
    """Fetch once from a server."""
    source: WeatherSource = OpenMeteo(url, past_days=2, session=quick(**changed))
    return source.fetch(SITE, NOW)


def good() -> dict[str, Any]:
    """Return an answer as documented."""
    return server.answer_of(SITE, NOW)


# --- the question and a good answer --------------------------------------------------------
def test_the_question_names_units_zone_and_no_more_of_the_place_than_needed() -> None:
    """GMT, metres per second and seconds since 1970 are asked for; the place to a kilometre."""
    with server.serving(server.as_json(good())) as running:
        fetched(running.url)
    asked = running.asked[0]
    assert (asked["latitude"], asked["longitude"]) == ("36.07", "-79.79")
    assert asked["timezone"] == "GMT"
    assert asked["wind_speed_unit"] == "ms"
    assert asked["timeformat"] == "unixtime"
    assert (asked["past_days"], asked["forecast_days"]) == ("2", "8")
    assert set(asked["hourly"].split(",")) == set(good()["hourly"]) - {"time"}
    assert "apikey" not in asked


def test_hours_are_between_stamps_and_end_at_the_later_one() -> None:
    """Of n stamps n-1 hours are told; gone by is observed, to come is forecast."""
    with server.serving(server.as_json(good())) as running:
        got = fetched(running.url)
    stamps = good()["hourly"]["time"]
    assert list(got.hours.end_s) == stamps[1:]
    now_s = int(NOW.timestamp())
    passed = got.hours.end_s <= now_s
    assert np.all(got.hours.origin[passed] == Origin.OBSERVED)
    assert np.all(got.hours.origin[~passed] == Origin.FORECAST)
    assert got.hours.end_s[passed][-1] == now_s - 20 * 60
    assert got.remarks == ()
    assert got.attribution == ATTRIBUTION
    assert "CC BY 4.0" in got.attribution
    assert got.fetched_at == NOW


def test_values_at_the_stamp_are_averaged_and_those_of_the_hour_before_it_are_not() -> None:
    """Temperature is the mean of the hour's ends; radiation and rain belong to the stamp's hour."""
    answer = good()
    answer["hourly"]["temperature_2m"][10:12] = [20.0, 23.0]
    answer["hourly"]["shortwave_radiation"][10:12] = [100.0, 500.0]
    answer["hourly"]["precipitation"][10:12] = [0.0, 2.5]
    hours = understood(answer, SITE, NOW).hours
    assert hours.end_s[10] == answer["hourly"]["time"][11]
    assert hours.temperature_c[10] == 21.5
    assert hours.solar_mj_m2[10] == 1.8  # 500 W/m² for an hour
    assert hours.rain_mm[10] == 2.5
    assert hours.rain_chance[10] == 1.0  # gone by: it fell


def test_wind_and_humidity_are_converted_by_the_book() -> None:
    """FAO-56 Example 14: 3.2 m/s at 10 m is 2.4 at 2 m; Table 2.3: e°(20) is 2.338 kPa."""
    answer = good()
    answer["hourly"]["temperature_2m"] = [20.0] * len(answer["hourly"]["time"])
    hours = understood(answer, SITE, NOW).hours
    assert np.all(np.round(hours.wind_2m_m_s, 1) == 2.4)
    assert np.all(hours.vapour_pressure_kpa == round(0.5 * 2.338, 3))
    assert hours.rain_chance[-1] == 0.4


def test_a_gzipped_answer_is_read() -> None:
    """The body may come gzipped."""
    with server.serving(server.zipped(good())) as running:
        assert len(fetched(running.url).hours) == 239
    assert running.headers[0]["Accept-Encoding"] == "gzip"


def test_an_unchanged_forecast_is_recognised_an_hour_later() -> None:
    """The digest is the same while the content is, and another once a value changes."""
    first = understood(good(), SITE, NOW)
    later = understood(good(), SITE, NOW + timedelta(hours=1))
    assert later.model_run == first.model_run
    changed = good()
    changed["hourly"]["temperature_2m"][-5] += 0.5
    assert understood(changed, SITE, NOW).model_run != first.model_run


def test_values_come_in_the_steps_in_which_they_are_kept() -> None:
    """Every value is a whole number of its step, so that the journal holds what was used."""
    hours = understood(good(), SITE, NOW).hours
    for values, decimals in (
        (hours.temperature_c, 2), (hours.vapour_pressure_kpa, 3), (hours.solar_mj_m2, 3),
        (hours.wind_2m_m_s, 2), (hours.rain_mm, 1), (hours.rain_chance, 2),
    ):  # fmt: skip
        known = values[~np.isnan(values)]
        assert np.array_equal(known, np.round(known, decimals))


# --- a server in trouble -------------------------------------------------------------------
def test_trouble_that_passes_is_sat_out() -> None:
    """Two errors of the server and a third answer that is good make a good fetch."""
    with server.serving(
        server.trouble(500), server.trouble(503), server.as_json(good())
    ) as running:
        assert len(fetched(running.url).hours) == 239
    assert len(running.asked) == 3


def test_trouble_that_stays_is_an_error_after_a_bounded_number_of_questions() -> None:
    """It is not asked for ever."""
    with (
        server.serving(server.trouble(502)) as running,
        pytest.raises(WeatherError, match=r"in trouble.*502"),
    ):
        fetched(running.url)
    assert len(running.asked) == 3


def test_a_short_wait_that_the_server_asks_for_is_kept() -> None:
    """429 with a Retry-After of a second: the next question comes no sooner."""
    with server.serving(server.trouble(429, Retry_After="1"), server.as_json(good())) as running:
        assert len(fetched(running.url).hours) == 239
    assert len(running.asked) == 2


def test_a_long_wait_is_not_sat_through_but_kept_in_mind() -> None:
    """An hour's Retry-After ends the fetch at once, and nothing is asked before it is over."""
    with server.serving(server.trouble(429, Retry_After="3600"), server.as_json(good())) as running:
        source = OpenMeteo(running.url, session=quick())
        with pytest.raises(WeatherError, match="asks to wait 3600 s"):
            source.fetch(SITE, NOW)
        with pytest.raises(WeatherError, match="left alone until 15:20 UTC"):
            source.fetch(SITE, NOW + timedelta(minutes=30))
        assert len(running.asked) == 1
        later = source.fetch(SITE, NOW + timedelta(minutes=61))
    assert len(later.hours) == 239


def test_a_retry_after_that_means_nothing_is_an_error_and_no_traceback() -> None:
    """A header that is neither seconds nor a date is not waited for."""
    with (
        server.serving(server.trouble(429, Retry_After="soon")) as running,
        pytest.raises(WeatherError),
    ):
        fetched(running.url)


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (server.silent, "no answer in time|broke off"),
        (server.endless, "sends more than 4194304 bytes|takes more than"),
        (server.dribbling, "takes more than 1 s"),
        (server.cut_off(json.dumps(good()).encode()[:4000]), "damaged|broke off"),
        (server.body(json.dumps(good()).encode()[:4000]), "breaks off or is damaged"),
        (server.body(b"\x1f\x8b garbage", Content_Encoding="gzip"), "broke off|damaged"),
        (server.body(b"<html>log in</html>", kind="text/html"), "text/html.*log-in page"),
        (server.body(b"NaN"), "damaged"),
        (server.body(b"[" * 200_000), "damaged"),
        (server.body(b"\xff\xfe"), "damaged"),
        (server.body(b""), "damaged"),
        (server.redirect("file:///etc/hostname"), "elsewhere"),
        (server.redirect("https://example.org/v1/forecast"), "elsewhere"),
        (server.trouble(404), "status 404"),
        (server.as_json([1, 2]), "not an object"),
        (server.as_json({"error": True, "reason": "Latitude must be in range"}, 400),
         "refuses: Latitude must be in range"),
        (server.as_json({"error": True}), "refuses: no reason given"),
    ],
)  # fmt: skip
def test_what_is_not_weather_is_said_plainly(step: Any, said: str) -> None:
    """Silence, floods, dribbles, half answers, log-in pages and redirects are weather errors."""
    with (
        server.serving(step) as running,
        pytest.raises(WeatherError, match=said),
    ):
        fetched(running.url, retries=0)


def test_nobody_there_is_said_plainly() -> None:
    """A closed port is a weather error."""
    with server.serving(server.as_json(good())) as running:
        pass
    with pytest.raises(WeatherError, match="refused"):
        fetched(running.url)


# --- answers of the right shape with wrong content -----------------------------------------
def broken(**changed: Any) -> dict[str, Any]:
    """Return a good answer with some columns of its hourly part changed."""
    answer = good()
    answer["hourly"].update(changed)
    return answer


def unit(name: str, told: str | None) -> dict[str, Any]:
    """Return a good answer that says another unit."""
    answer = good()
    answer["hourly_units"][name] = told
    return answer


COUNT = len(good()["hourly"]["time"])
STAMPS = good()["hourly"]["time"]


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (unit("wind_speed_10m", "km/h"), "wind_speed_10m is in km/h, not m/s"),
        (unit("temperature_2m", "°F"), "temperature_2m is in °F, not °C"),
        (unit("precipitation", None), "precipitation is in None, not mm"),
        (unit("time", "iso8601"), "time is in iso8601"),
        (broken(temperature_2m=[20.0] * 5), f"has 5 values for {COUNT} hours"),
        (broken(temperature_2m=[None] * COUNT), "no temperature in any hour"),
        (broken(temperature_2m=["20"] * COUNT), "not a number"),
        (broken(temperature_2m=[True] * COUNT), "not a number"),
        (broken(relative_humidity_2m=None), "no relative_humidity_2m"),
        (broken(time=STAMPS[::-1]), "not one hour after another"),
        (broken(time=[s + 60 for s in STAMPS]), "not one hour after another"),
        (broken(time=[s * 3 for s in STAMPS]), "not one hour after another"),
        (broken(time=[float(s) for s in STAMPS]), "not all whole numbers"),
        (broken(time=[s - 10 * 365 * 86_400 for s in STAMPS]), "not about the present"),
        (broken(time=[s + 30 * 86_400 for s in STAMPS]), "not about the present"),
        (broken(time=[]), "has no hours"),
        ({**good(), "latitude": 51.5}, "answers about latitude 51.5, not 36.0726"),
        ({**good(), "latitude": 10**400}, "answers about latitude"),
        ({**good(), "longitude": None}, "does not say its longitude"),
        ({**good(), "utc_offset_seconds": -14_400}, "not in GMT"),
        ({**good(), "hourly": [1]}, "no hourly values with their units"),
        ({}, "does not say its latitude"),
    ],
)  # fmt: skip
def test_answers_that_cannot_be_used_are_refused(answer: dict[str, Any], said: str) -> None:
    """Wrong units, lengths, stamps, places and types are weather errors, never guesses."""
    with pytest.raises(WeatherError, match=said):
        understood(answer, SITE, NOW)


def test_absurd_values_become_missing_with_a_remark() -> None:
    """A number that cannot be is not weather; the rest of the answer is."""
    answer = good()
    answer["hourly"]["temperature_2m"][5] = 999.0
    answer["hourly"]["wind_speed_10m"][7] = 10**400
    got = understood(answer, SITE, NOW)
    # Each stamp is an end of two hours.
    assert list(np.flatnonzero(np.isnan(got.hours.temperature_c))) == [4, 5]
    assert list(np.flatnonzero(np.isnan(got.hours.wind_2m_m_s))) == [6, 7]
    assert [remark.partition(":")[0] for remark in got.remarks] == [
        "Open-Meteo's temperature_2m", "Open-Meteo's wind_speed_10m",
    ]  # fmt: skip


def test_a_variable_that_is_null_throughout_is_said_and_filled() -> None:
    """Without radiation the day's temperatures must do, and both are said."""
    got = understood(broken(shortwave_radiation=[None] * COUNT), SITE, NOW)
    assert got.remarks == ("Open-Meteo has no radiation for this place today",)
    filled, remarks = fill(got.hours, SITE, empty_weather())
    assert np.isfinite(filled.solar_mj_m2).all()
    assert any("estimated from the day's temperatures" in remark for remark in remarks)


def test_nulls_and_false_zeros_do_not_reach_the_pots() -> None:
    """Nulls in every column and zeros at noon are filled and marked."""
    answer = good()
    for name in ("temperature_2m", "relative_humidity_2m", "wind_speed_10m", "precipitation"):
        answer["hourly"][name][60:62] = [None, None]
    noon = 48 + 17  # 17 h GMT is about noon by the sun there
    answer["hourly"]["shortwave_radiation"][noon - 1 : noon + 2] = [0.0, 0.0, 0.0]
    filled, remarks = fill(understood(answer, SITE, NOW).hours, SITE, empty_weather())
    assert np.isfinite(filled.temperature_c).all()
    assert filled.solar_mj_m2[noon - 1] > 1.5
    assert filled.filled[noon - 1] & Filled.SOLAR
    assert any("dark under a high sun" in remark for remark in remarks)


def test_a_short_forecast_is_used_and_said() -> None:
    """An answer that ends tonight is better than none, and says how far it goes."""
    answer = good()
    for name, values in answer["hourly"].items():
        answer["hourly"][name] = values[: 48 + 24]
    got = understood(answer, SITE, NOW)
    assert got.remarks == ("Open-Meteo's forecast reaches only 9 h ahead",)
