"""The ensemble from a real server on loopback: what is asked, understood, refused, done without."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from irrigate.assemble.live import WEATHER_URL, weather_source
from irrigate.errors import WeatherError
from irrigate.garden.member_hours import packed, unpacked
from irrigate.garden.pots import Site
from irrigate.outside.weather.json_over_http import JsonOverHttp
from irrigate.outside.weather.open_meteo import OpenMeteo
from irrigate.outside.weather.open_meteo_ensemble import OpenMeteoEnsemble, members_of
from irrigate.ports import Fetched
from irrigate.settings.values import WeatherChoice
from tests.outside import weather_server as server

SITE = Site(36.0726, -79.7920, 272.0, "America/New_York")
NOW = datetime(2025, 7, 12, 14, 20, tzinfo=UTC)
HOUR = timedelta(hours=1)


def quick() -> JsonOverHttp:
    """Return a session with short waits."""
    return JsonOverHttp(
        connect_s=1.0, read_s=1.0, whole_s=1.0, retries=0, pause_s=0.01, longest_wait_s=1.0
    )


def a_source(url: str) -> OpenMeteo:
    """Return the forecast and the ensemble of one server."""
    return OpenMeteo(url, session=quick(), ensemble=OpenMeteoEnsemble(url, session=quick()))


def forecast() -> dict[str, Any]:
    """Return a forecast as documented."""
    return server.answer_of(SITE, NOW)


def good(members: int = 31) -> dict[str, Any]:
    """Return an ensemble as documented."""
    return server.ensemble_of(SITE, NOW, members)


def both(ensemble: Any) -> Fetched:
    """Fetch once where the ensemble answers like this."""
    with server.serving(server.as_json(forecast()), ensemble) as running:
        return a_source(running.url).fetch(SITE, NOW)


# --- the question and a good answer --------------------------------------------------------
def test_the_ensemble_is_asked_for_after_the_forecast() -> None:
    """In the same units, of the same place to a kilometre, and with the model's name."""
    with server.serving(server.as_json(forecast()), server.as_json(good())) as running:
        got = a_source(running.url).fetch(SITE, NOW)
    first, second = running.asked
    assert "models" not in first
    assert second["models"] == "gfs_seamless"
    assert "precipitation_probability" not in second["hourly"]
    for name in ("latitude", "timezone", "timeformat", "wind_speed_unit", "precipitation_unit"):
        assert first[name] == second[name]
    assert got.members is not None
    assert got.members.count == 31
    assert got.remarks == ()


def test_members_are_hours_to_come_between_the_stamps() -> None:
    """Hours end at the later stamp; the control is the first member; terms are the forecast's."""
    members, _, remarks = members_of(good(), SITE, NOW)
    assert remarks == ()
    assert members.end_s[0] == int(NOW.timestamp()) + 40 * 60
    assert np.all(np.diff(members.end_s) == 3600)
    plain = forecast()["hourly"]
    at = plain["time"].index(int(members.end_s[0]))
    ends = (plain["temperature_2m"][at - 1] + plain["temperature_2m"][at]) / 2
    assert members.values["temperature_c"][0, 0] == pytest.approx(ends, abs=0.06)
    assert members.values["temperature_c"][20, 0] == pytest.approx(ends + 2.0, abs=0.06)
    sun = plain["shortwave_radiation"][at] * 0.0036
    assert members.values["solar_mj_m2"][0, 0] == pytest.approx(sun, abs=0.006)
    # FAO-56 Example 14: 3.2 m/s at 10 m is 2.4 at 2 m.
    assert members.values["wind_2m_m_s"][0, 0] == pytest.approx(2.4, abs=0.06)
    assert members.values["rain_mm"][:, -30:-28].max() == pytest.approx(1.4, abs=0.06)


def test_what_is_used_is_what_is_kept() -> None:
    """Members come in the steps of the journal: packed and unpacked they are the same bits."""
    members, _, _ = members_of(good(), SITE, NOW)
    text = packed(members)
    again = unpacked(int(members.end_s[0]), members.end_s.size, members.count, text)
    for name, values in members.values.items():
        assert np.array_equal(again.values[name], values), name


def test_a_run_is_recognised_until_another_comes() -> None:
    """The same answer an hour later is the same run; another value makes another."""
    run = members_of(good(), SITE, NOW)[1]
    assert members_of(good(), SITE, NOW + HOUR)[1] == run
    other = good()
    other["hourly"]["temperature_2m_member07"][50] += 0.5
    assert members_of(other, SITE, NOW)[1] != run


def test_it_is_asked_every_three_hours_and_later_after_trouble() -> None:
    """A forecast an hour; an ensemble with every third, and with the second after trouble."""
    answers = [server.as_json(forecast()), server.as_json(good())]
    with server.serving(*answers, server.as_json(forecast())) as running:
        source = a_source(running.url)
        got = [source.fetch(SITE, NOW + number * HOUR) for number in range(3)]
        assert [one.members is not None for one in got] == [True, False, False]
        assert len(running.asked) == 4
        running.script[:] = [server.as_json(forecast()), server.trouble(500),
                             server.as_json(forecast())]  # fmt: skip
        fourth = source.fetch(SITE, NOW + 3 * HOUR)
        assert fourth.members is None
        assert fourth.remarks[0].startswith("no ensemble: 127.0.0.1 is in trouble (status 500)")
        assert source.fetch(SITE, NOW + 4 * HOUR).remarks == ()
        asked = len(running.asked)
        source.fetch(SITE, NOW + 5 * HOUR)
        assert len(running.asked) == asked + 2


# --- trouble -------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("step", "said"),
    [
        (server.silent, "no answer in time|broke off"),
        (server.endless, "sends more than|takes more than"),
        (server.cut_off(json.dumps(good()).encode()[:40_000]), "damaged|broke off"),
        (server.body(json.dumps(good()).encode()[:40_000]), "breaks off or is damaged"),
        (server.body(b'{"latitude":nan,"longitude":nan}'), "damaged"),
        (server.body(b"<html>log in</html>", kind="text/html"), "log-in page"),
        (server.redirect("https://example.org/v1/ensemble"), "elsewhere"),
        (server.trouble(404), "status 404"),
        (server.as_json([1]), "not an object"),
        (server.as_json({"error": True, "reason": "no such model"}, 400), "refuses: no such model"),
        (server.as_json(forecast()), "has 1 members"),
        (server.as_json(good(4)), "has 4 members"),
    ],
)  # fmt: skip
def test_a_forecast_never_waits_for_an_ensemble_in_trouble(step: Any, said: str) -> None:
    """Whatever the ensemble's server does, the forecast is there, and the trouble is said."""
    got = both(step)
    assert len(got.hours) > 200
    assert got.members is None
    (remark,) = got.remarks
    assert remark.startswith("no ensemble: ")
    with pytest.raises(WeatherError, match=said):
        raise WeatherError(remark)


def test_members_with_gaps_are_left_out() -> None:
    """A null, an absurd number and a column cut short in time cost these members, and no more."""
    answer = good()
    answer["hourly"]["temperature_2m_member03"][100] = None
    answer["hourly"]["wind_speed_10m_member09"][90] = 999.0
    answer["hourly"]["precipitation_member30"][-40:] = [None] * 40
    members, _, remarks = members_of(answer, SITE, NOW)
    assert members.count == 28
    assert remarks == ("3 members of Open-Meteo's ensemble have gaps, left out",)
    assert all(np.isfinite(values).all() for values in members.values.values())


def test_all_end_where_most_of_them_end() -> None:
    """A model that reaches five days gives five days of members, all of them."""
    answer = good()
    for key, values in answer["hourly"].items():
        if key != "time":
            values[120:] = [None] * (len(values) - 120)
    members, _, remarks = members_of(answer, SITE, NOW)
    assert members.count == 31
    assert members.end_s[-1] == answer["hourly"]["time"][119]
    assert remarks == ()


def test_a_variable_that_the_model_lacks_is_done_without() -> None:
    """Radiation null throughout, or told by half of the members, is left out, and said."""
    nulls, half = good(), good()
    for number in range(31):
        key = f"shortwave_radiation_member{number:02}" if number else "shortwave_radiation"
        nulls["hourly"][key] = [None] * 192
        if number > 15:
            del half["hourly"][key]
    for answer in (nulls, half):
        members, _, remarks = members_of(answer, SITE, NOW)
        assert "solar_mj_m2" not in members.values
        assert members.count == 31
        assert remarks == ("Open-Meteo's ensemble has no radiation",)


def spoiled(**changed: Any) -> dict[str, Any]:
    """Return a good ensemble with some columns changed."""
    answer = good()
    answer["hourly"].update(changed)
    return answer


def in_unit(key: str, told: str) -> dict[str, Any]:
    """Return a good ensemble that says another unit of one column."""
    answer = good()
    answer["hourly_units"][key] = told
    return answer


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (in_unit("wind_speed_10m_member05", "km/h"), "wind_speed_10m_member05 is in km/h, not m/s"),
        (spoiled(temperature_2m_member02=[20.0] * 5), "temperature_2m_member02 has 5 values"),
        (spoiled(temperature_2m_member02=["20"] * 192), "not a number"),
        (spoiled(temperature_2m_member02=[True] * 192), "not a number"),
        (spoiled(temperature_2m_member02="warm"), "no temperature_2m_member02"),
        (spoiled(temperature_2m=None), "no temperature in any hour"),
        (spoiled(time=[]), "has no hours"),
        ({**good(), "latitude": 51.5}, "answers about latitude"),
        ({**good(), "hourly": {}}, "has no hours"),
        (server.ensemble_of(SITE, NOW - timedelta(days=30)), "reaches only 0 h"),
        (server.ensemble_of(SITE, NOW, days=1), "reaches only 9 h"),
    ],
)  # fmt: skip
def test_answers_that_cannot_be_used_are_refused(answer: dict[str, Any], said: str) -> None:
    """Wrong units, lengths, types, places and times are weather errors, never guesses."""
    with pytest.raises(WeatherError, match=said):
        members_of(answer, SITE, NOW)


def test_gaps_everywhere_are_no_ensemble() -> None:
    """Where every member has a gap somewhere, none is followed."""
    answer = good()
    for number in range(31):
        key = f"temperature_2m_member{number:02}" if number else "temperature_2m"
        answer["hourly"][key][60 + 3 * number] = None
    with pytest.raises(WeatherError, match="full of gaps"):
        members_of(answer, SITE, NOW)


# --- chosen in the garden file -------------------------------------------------------------
def test_it_is_asked_only_where_the_garden_file_says_so() -> None:
    """Off by itself; where on, another server is asked beside its forecast, and none but it."""
    for choice, questions in ((WeatherChoice(), 1), (WeatherChoice(ensemble=True), 2)):
        with server.serving(server.as_json(forecast()), server.as_json(good())) as running:
            source = weather_source(choice, {WEATHER_URL: running.url})
            source.fetch(SITE, NOW)
            assert len(running.asked) == questions
            assert running.paths[-1].endswith("/v1/ensemble" if questions == 2 else "/v1/forecast")
