"""A station's own CSV as a weather source: what is read, refused with its place, or passed over."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from irrigate.errors import TableError, WeatherError
from irrigate.garden.filling import fill
from irrigate.garden.pots import Site
from irrigate.garden.weather import Origin, empty_weather
from irrigate.outside.weather.csv_file import CsvWeather
from irrigate.ports import WeatherSource

SITE = Site(36.07, -79.79, 272.0, "America/New_York")
NOW = datetime(2025, 7, 12, 14, 20, tzinfo=UTC)  # 10:20 in the garden
HEADER = "time,t_c,rh_pct,rs_w_m2,wind_m_s,rain_mm,battery\n"


def write(tmp_path: Path, text: str | bytes) -> Path:
    """Write a CSV and return its path."""
    path = tmp_path / "station.csv"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


def rows(count: int, minutes: int = 60, until: datetime = NOW) -> str:
    """Return rows with offsets, the last one ending at the last whole step before ``until``."""
    last = until.replace(minute=until.minute // minutes * minutes if minutes < 60 else 0)
    stamps = [last - timedelta(minutes=minutes * k) for k in reversed(range(count))]
    return "".join(f"{stamp.isoformat()},30,50,500,2,0.2,ok\n" for stamp in stamps)


def test_hourly_rows_become_hours_observed_up_to_now(tmp_path: Path) -> None:
    """A column that is not weather is passed over; the rest is read."""
    later = "2025-07-12T15:00:00+00:00,31,40,600,3,0,ok\n"
    source: WeatherSource = CsvWeather(write(tmp_path, HEADER + rows(48) + later))
    fetched = source.fetch(SITE, NOW)
    assert len(fetched.hours) == 49
    assert np.all(fetched.hours.origin[:-1] == Origin.OBSERVED)
    assert fetched.hours.origin[-1] == Origin.FORECAST
    assert fetched.hours.temperature_c[-1] == 31.0
    assert fetched.remarks == ()


def test_ten_minute_rows_are_gathered_into_hours(tmp_path: Path) -> None:
    """Six rows of 0.2 mm are an hour of 1.2 mm; the hour not yet over is left out."""
    fetched = CsvWeather(write(tmp_path, HEADER + rows(6 * 24, 10))).fetch(SITE, NOW)
    assert fetched.hours.end_s[-1] == int(NOW.timestamp()) - 20 * 60
    assert fetched.hours.rain_mm[-1] == 1.2
    assert fetched.hours.solar_mj_m2[-1] == 1.8


def test_local_times_are_those_of_the_garden(tmp_path: Path) -> None:
    """Without an offset a time is local: 10:00 in New York's summer is 14:00 UTC."""
    text = "time,t_c\n2025-07-12T09:00,30\n2025-07-12 10:00,31\n"
    fetched = CsvWeather(write(tmp_path, text)).fetch(SITE, NOW)
    assert fetched.hours.end_s[-1] == int(datetime(2025, 7, 12, 14, tzinfo=UTC).timestamp())
    other = CsvWeather(write(tmp_path, text), time_zone="UTC").fetch(SITE, NOW)
    assert other.hours.end_s[-1] == int(datetime(2025, 7, 12, 10, tzinfo=UTC).timestamp())


def test_the_hour_that_comes_twice_in_autumn_is_read_twice(tmp_path: Path) -> None:
    """On 2 November 2025 New York's 01:00 to 02:00 comes twice: rising rows tell which is which."""
    text = "time,t_c\n" + "".join(
        f"2025-11-02T{clock},10\n" for clock in ("00:00", "01:00", "01:00", "02:00", "03:00")
    )
    now = datetime(2025, 11, 2, 12, tzinfo=UTC)
    fetched = CsvWeather(write(tmp_path, text)).fetch(SITE, now)
    assert list(np.diff(fetched.hours.end_s)) == [3600] * 4


def test_a_line_still_being_written_is_left_for_later(tmp_path: Path) -> None:
    """A row without its line end may be half a row."""
    text = HEADER + rows(24) + "2025-07-12T15:00:00+00:00,3"
    assert len(CsvWeather(write(tmp_path, text)).fetch(SITE, NOW).hours) == 24


def test_an_impossible_value_is_missing_and_is_said_with_its_place(tmp_path: Path) -> None:
    """One slip of a live station must not stop the weather."""
    text = HEADER + rows(24) + "2025-07-12T15:00:00+00:00,999,40,600,3,0,ok\n"
    path = write(tmp_path, text)
    fetched = CsvWeather(path).fetch(SITE, NOW)
    assert np.isnan(fetched.hours.temperature_c[-1])
    assert fetched.remarks[0].startswith(f"{path}:26: column t_c: 999 is not between -60 and 60")


def test_after_a_long_silence_only_what_came_since_is_used(tmp_path: Path) -> None:
    """Ten days without a row cannot be filled, and must not hide the present."""
    text = HEADER + rows(24, until=NOW - timedelta(days=11)) + rows(24)
    fetched = CsvWeather(write(tmp_path, text)).fetch(SITE, NOW)
    assert len(fetched.hours) == 24
    assert "silent for more than 7 days" in fetched.remarks[-1]
    assert len(fill(fetched.hours, SITE, empty_weather())[0]) == 24


def test_a_station_without_a_pyranometer_is_enough(tmp_path: Path) -> None:
    """Time and temperature suffice; what is missing is estimated, and said, when filled."""
    hours = [NOW.replace(minute=0) - timedelta(hours=k) for k in reversed(range(48))]
    text = "time,t_c\n" + "".join(f"{h.isoformat()},{20 + h.hour / 2}\n" for h in hours)
    filled, remarks = fill(
        CsvWeather(write(tmp_path, text)).fetch(SITE, NOW).hours, SITE, empty_weather()
    )
    assert np.isfinite(filled.solar_mj_m2).all()
    assert any(remark.startswith("radiation missing") for remark in remarks)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "station.csv: is empty"),
        ("time,t_c\n", "station.csv: no row is from the days around now"),
        ("time;t_c\n2025-07-12T10:00;30\n", ":1: columns are separated by ';'"),
        ("t_c,rain_mm\n30,0\n", ":1: no column time"),
        ("time,temp\n2025-07-12T10:00,30\n", ":1: no column t_c"),
        ("date,t_max_c\n2025-07-12,30\n", ":1: column date: daily rows do not do"),
        ("time,t_c,t_c\n2025-07-12T10:00,30,30\n", ":1: column t_c: there are two"),
        ("time,t_c\n2025-07-12T10:00,warm\n", ":2: column t_c: 'warm' is not a number"),
        ('time,t_c\n2025-07-12T10:00,"30,5"\n', ":2: column t_c: '30,5' is not a number; decimals"),
        ("time,t_c\n\n12.7.2025,30\n", ":3: column time: '12.7.2025' is not a time"),
        ("time,t_c\n2025-07-12T10:00\n", ":2: 1 cells under 2 columns"),
        ("time,t_c\n2025-07-12T10,3\n2025-07-12T09,3\n", ":3: column time: 2025-07-12T09 is not"),
        ("time,t_c\n2025-03-09T02,3\n", ":2: column time: 2025-03-09T02 does not exist"),
        ("time,t_c\n0001-01-01,3\n", ":2: column time: 0001-01-01 is not from our days"),
        ("time,t_c\n2025-07-11,3\n2025-07-12,3\n", ":3: column time: rows lie 24 h apart"),
        (b"time,t_c\n2025-07-12T10:00,\xff\n", ":2: is not UTF-8"),
        ('time,t_c\n"2025-07-12T10:00,3\n', ":2: is not CSV"),
    ],
)  # fmt: skip
def test_a_wrong_file_is_said_with_line_and_column(
    tmp_path: Path, text: str | bytes, said: str
) -> None:
    """Each fault names its file, line and column; a fetch turns it into a weather error."""
    source = CsvWeather(write(tmp_path, text))
    with pytest.raises(TableError) as wrong:
        source.read(SITE, NOW)
    assert said in str(wrong.value)
    with pytest.raises(WeatherError) as failed:
        source.fetch(SITE, NOW)
    assert str(failed.value) == str(wrong.value)


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    """No file, no weather, no traceback."""
    with pytest.raises(TableError, match="cannot be read"):
        CsvWeather(tmp_path / "none.csv").read(SITE, NOW)


def test_a_whole_year_in_local_time_loses_no_hour(tmp_path: Path) -> None:
    """Hourly local rows through both changes of the clock are 8760 hours of UTC."""
    zone = ZoneInfo(SITE.time_zone)
    start = datetime(2025, 1, 1, 5, tzinfo=UTC)
    moments = [start + timedelta(hours=k) for k in range(1, 8761)]
    text = "time,t_c\n" + "".join(
        f"{moment.astimezone(zone).replace(tzinfo=None).isoformat()},20\n" for moment in moments
    )
    source = CsvWeather(write(tmp_path, text), past_days=370)
    hours = source.fetch(SITE, moments[-1]).hours
    assert list(hours.end_s) == [int(moment.timestamp()) for moment in moments]
