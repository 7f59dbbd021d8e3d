"""Several real sources in order: a station's table and two servers on loopback."""

from __future__ import annotations

import json
import logging
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from irrigate.errors import WeatherError
from irrigate.garden.pots import Site
from irrigate.garden.weather import HOUR_S, Filled, Origin
from irrigate.outside.clock import SystemClock
from irrigate.outside.weather.box import FetchBox
from irrigate.outside.weather.csv_file import CsvWeather
from irrigate.outside.weather.fetcher import Fetcher
from irrigate.outside.weather.in_order import InOrder
from irrigate.outside.weather.json_over_http import JsonOverHttp
from irrigate.outside.weather.nws import NationalWeatherService
from irrigate.outside.weather.open_meteo import OpenMeteo, understood
from irrigate.ports import Fetched, Trouble
from tests.outside import forecast_shapes as shapes
from tests.outside import weather_server as server

SITE = Site(36.0726, -79.7920, 272.0, "America/New_York")
NOW = datetime(2025, 7, 12, 14, 20, tzinfo=UTC)
NOW_S = int(NOW.timestamp())
LAST_S = NOW_S // HOUR_S * HOUR_S  # the end of the last whole hour gone by


def quick() -> JsonOverHttp:
    """Return a session with short waits."""
    return JsonOverHttp(connect_s=1.0, read_s=1.0, whole_s=2.0, retries=0, pause_s=0.01)


def open_meteo(url: str) -> OpenMeteo:
    """Return the source at a server on loopback."""
    return OpenMeteo(url, past_days=2, session=quick())


def nws(url: str) -> NationalWeatherService:
    """Return the source at a server on loopback."""
    base = url.removesuffix("/v1/forecast")
    return NationalWeatherService("sam@example.org", base, session=quick())


def geo(answer: object) -> Any:
    """Answer with GeoJSON."""
    return server.body(json.dumps(answer).encode(), kind="application/geo+json")


def station(folder: Path, until: datetime, hours: int = 30) -> CsvWeather:
    """Return a station's table without radiation, its last row at a moment."""
    rows = ["time,t_c,rh_pct,wind_m_s,rain_mm"]
    rows += [
        f"{until - timedelta(hours=back):%Y-%m-%dT%H:%MZ},33.5,41,0.9,0.2"
        for back in range(hours - 1, -1, -1)
    ]
    path = folder / "roof.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return CsvWeather(path)


def fetched_in_order(folder: Path, until: datetime) -> Fetched:
    """Fetch once: a station, the grid, and Open-Meteo behind them."""
    with (
        server.serving(geo(shapes.point()), geo(shapes.grid(SITE, NOW))) as grid,
        server.serving(server.as_json(server.answer_of(SITE, NOW))) as whole,
    ):
        sources = [station(folder, until), nws(grid.url), open_meteo(whole.url)]
        return InOrder(sources, {"csv"}).fetch(SITE, NOW)


def test_hour_by_hour_the_first_that_tells_it(tmp_path: Path) -> None:
    """Gone by is the station's, to come the grid's; the sun, which neither has, is Open-Meteo's."""
    got = fetched_in_order(tmp_path, datetime.fromtimestamp(LAST_S, UTC))
    hours = got.hours
    last_day = (hours.end_s > LAST_S - 24 * HOUR_S) & (hours.end_s <= LAST_S)
    assert np.all(hours.temperature_c[last_day] == 33.5)
    assert np.all(hours.rain_mm[last_day] == 0.2)
    assert np.all(hours.origin[last_day] == Origin.OBSERVED)
    coming = hours.end_s > NOW_S
    first = int(np.argmax(coming))
    starts = datetime.fromtimestamp(int(hours.end_s[first]) - HOUR_S, UTC)
    assert hours.temperature_c[first] == shapes.temperature_at(starts)
    told = ~np.isnan(hours.solar_mj_m2)
    assert not np.any(hours.filled[told] & Filled.SOLAR)
    assert hours.solar_mj_m2[coming & told].max() > 1.5
    assert (got.source, got.measured_by, got.told_by) == ("nws", "csv", "open-meteo")
    assert LAST_S in got.measured_s
    assert "Open-Meteo" in got.attribution
    assert "National Weather Service" in got.attribution


def test_before_the_station_s_first_hour_the_others_stand(tmp_path: Path) -> None:
    """A station since this morning: the days before are Open-Meteo's account of them."""
    got = fetched_in_order(tmp_path, datetime.fromtimestamp(LAST_S, UTC))
    old = got.hours.end_s == LAST_S - 40 * HOUR_S
    assert got.hours.temperature_c[old][0] != 33.5
    assert got.hours.origin[old][0] == Origin.OBSERVED
    assert int(got.hours.end_s[old][0]) not in got.measured_s


def test_a_whole_answer_leaves_the_others_unasked() -> None:
    """Behind Open-Meteo, which tells everything, the grid is asked only when it fails."""
    good = server.as_json(server.answer_of(SITE, NOW))
    with (
        server.serving(good, server.trouble(500)) as whole,
        server.serving(geo(shapes.point()), geo(shapes.grid(SITE, NOW))) as grid,
    ):
        source = InOrder([open_meteo(whole.url), nws(grid.url)])
        first = source.fetch(SITE, NOW)
        assert grid.asked == []
        second = source.fetch(SITE, NOW + timedelta(hours=1))
    assert (first.source, first.troubles) == ("open-meteo", ())
    assert second.source == "nws"
    assert [name for name, _ in second.troubles] == ["open-meteo"]
    assert "status 500" in second.troubles[0][1]


def test_a_failing_source_is_in_the_log_once_and_again_when_it_is_back(
    caplog: pytest.LogCaptureFixture,
) -> None:
    """Two failures in a row are one line, and its return is another."""
    good = server.as_json(server.answer_of(SITE, NOW))
    steps = [server.trouble(500), server.trouble(500), good]
    with (
        server.serving(*steps) as whole,
        server.serving(geo(shapes.point()), geo(shapes.grid(SITE, NOW))) as grid,
        caplog.at_level(logging.INFO, "irrigate"),
    ):
        source = InOrder([open_meteo(whole.url), nws(grid.url)])
        for _ in range(3):
            source.fetch(SITE, NOW)
    said = [record.getMessage() for record in caplog.records]
    assert len([line for line in said if "no weather from open-meteo" in line]) == 1
    assert said[-1] == "weather from open-meteo is back"


def test_where_all_fail_it_is_one_error_that_names_each() -> None:
    """A log-in page in front of everything is said of every source."""
    page = server.body(b"<html>log in</html>", kind="text/html")
    with server.serving(page) as one, server.serving(page) as other:
        source = InOrder([nws(other.url), open_meteo(one.url)])
        with pytest.raises(WeatherError, match=r"nws: .*log-in page.*; open-meteo: .*log-in page"):
            source.fetch(SITE, NOW)


def test_the_box_knows_since_when_a_source_fails() -> None:
    """The moment is that of the first failure in a row; success ends it, another source too."""
    box = FetchBox()
    got = Fetched("b", "1", "", NOW, server_hours(), troubles=(("a", "no answer"),))
    box.offer(got)
    later = NOW + timedelta(hours=3)
    box.offer(Fetched("b", "2", "", later, server_hours(), troubles=(("a", "still none"),)))
    assert box.troubles() == (Trouble("a", NOW, "still none"),)
    box.failed(later, "all silent", "a, b")
    assert [one.source for one in box.troubles()] == ["a", "a, b"]
    box.offer(Fetched("b", "3", "", later, server_hours()))
    assert box.troubles() == ()
    box.failed(later, "all silent", "a, b")
    Fetcher(CsvWeather(Path("nowhere.csv")), SITE, box, SystemClock()).follow(
        CsvWeather(Path("elsewhere.csv")), SITE
    )
    assert box.troubles() == ()


def server_hours() -> Any:
    """Return some hours as a source tells them."""
    return understood(server.answer_of(SITE, NOW), SITE, NOW).hours
