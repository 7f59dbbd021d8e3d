"""Columns brought to whole hours: means, sums and energy kept, and nothing made up."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.errors import InputError
from irrigate.garden.weather import Filled, Origin
from irrigate.outside.weather.table import hourly_from_columns, step_s

NOON_S = 1_752_321_600  # 2025-07-12 12:00 UTC
LATER = datetime(2025, 8, 1, tzinfo=UTC)


def rows(count: int, step: int, start_s: int = NOON_S) -> np.ndarray:
    """Return the ends of ``count`` periods of ``step`` seconds that begin at ``start_s``."""
    return start_s + step * np.arange(1, count + 1, dtype=np.int64)


def columns(count: int, **changed: np.ndarray) -> dict[str, np.ndarray]:
    """Return plain weather by the row, with some columns changed."""
    plain = {
        "t_c": np.full(count, 30.0),
        "rh_pct": np.full(count, 50.0),
        "rs_w_m2": np.full(count, 500.0),
        "wind_m_s": np.full(count, 2.0),
        "rain_mm": np.zeros(count),
    }
    return {**plain, **changed}


def test_hourly_rows_on_the_hour_pass_as_they_are() -> None:
    """An hour's row is that hour: 500 W/m² is 1.8 MJ, 50 % at 30 °C is 2.12 kPa (FAO-56 Eq 54)."""
    table = hourly_from_columns(columns(3), rows(3, 3600), 2.0, LATER)
    assert list(table.end_s) == [NOON_S + 3600, NOON_S + 7200, NOON_S + 10800]
    assert np.all(table.temperature_c == 30.0)
    assert np.all(table.solar_mj_m2 == 1.8)
    assert np.all(table.vapour_pressure_kpa == 2.122)  # e0(30) 4.243, FAO-56 Table 2.3
    assert np.all(table.wind_2m_m_s == 2.0)
    assert np.all(table.origin == Origin.OBSERVED)


def test_ten_minutes_become_hours() -> None:
    """Six rows make an hour: temperature and wind by the mean, rain by the sum, sun as energy."""
    temperature = np.repeat([20.0, 26.0], 6) + np.tile([-1.0, 1.0], 6)
    rain = np.zeros(12)
    rain[[1, 2, 7]] = (0.4, 0.2, 3.0)
    energy = np.full(12, 0.3)
    table = hourly_from_columns(
        {"t_c": temperature, "rain_mm": rain, "rs_mj_m2": energy}, rows(12, 600), 2.0, LATER
    )
    assert list(table.temperature_c) == [20.0, 26.0]
    assert table.rain_mm == pytest.approx([0.6, 3.0])
    assert table.solar_mj_m2 == pytest.approx([1.8, 1.8])


def test_hours_that_end_at_half_past_are_laid_over_whole_ones() -> None:
    """In a zone of half hours each row gives half of itself to two hours."""
    temperature = np.array([20.0, 24.0, 28.0])
    rain = np.array([1.0, 2.0, 4.0])
    table = hourly_from_columns(
        {"t_c": temperature, "rain_mm": rain}, rows(3, 3600, NOON_S + 1800), 2.0, LATER
    )
    # From 12:30 to 15:30: the hours to 13, 14 and 15; that to 16 is not finished.
    assert list(table.end_s) == [NOON_S + 3600 * hour for hour in (1, 2, 3)]
    assert list(table.temperature_c) == [20.0, 22.0, 26.0]
    assert list(table.rain_mm) == [0.5, 1.5, 3.0]


def test_wind_at_ten_metres_is_brought_down_to_two() -> None:
    """FAO-56 Example 14: 3.2 m/s at 10 m is 2.4 m/s at 2 m."""
    table = hourly_from_columns(columns(1, wind_m_s=np.array([3.2])), rows(1, 3600), 10.0, LATER)
    assert round(float(table.wind_2m_m_s[0]), 1) == 2.4


def test_rain_written_for_hours_to_come_is_no_certainty() -> None:
    """What a table has of later hours leaves their chance open; gone by, it fell or did not."""
    rain = np.array([0.0, 1.2, 0.0, 2.0])
    now = datetime.fromtimestamp(NOON_S + 7200, UTC)
    table = hourly_from_columns(columns(4, rain_mm=rain), rows(4, 3600), 2.0, now)
    assert list(table.rain_chance[:2]) == [0.0, 1.0]
    assert np.isnan(table.rain_chance[2:]).all()


def test_hours_after_now_are_forecast() -> None:
    """Only what has passed was observed."""
    now = datetime.fromtimestamp(NOON_S + 2 * 3600, tz=UTC)
    table = hourly_from_columns(columns(3), rows(3, 3600), 2.0, now)
    assert list(table.origin) == [Origin.OBSERVED, Origin.OBSERVED, Origin.FORECAST]


def test_an_hour_measured_less_than_half_has_no_mean_but_keeps_its_rain() -> None:
    """Two of six rows tell no mean; the rain that they caught fell nevertheless, and is marked."""
    end_s = np.concatenate([rows(6, 600), rows(2, 600, NOON_S + 3600), rows(6, 600, NOON_S + 7200)])
    rain = np.zeros(14)
    rain[6] = 5.0
    table = hourly_from_columns(columns(14, rain_mm=rain), end_s, 2.0, LATER)
    assert np.isnan(table.temperature_c[1])
    assert table.rain_mm[1] == 5.0
    assert list(table.filled) == [0, Filled.RAIN, 0]


def test_impossible_values_and_marked_gaps_are_missing() -> None:
    """A logger's 999 and a row that says it is a gap are NaN, not weather."""
    table = hourly_from_columns(
        columns(4, t_c=np.array([30.0, 999.0, 30.0, 30.0]), gap=np.array([0.0, 0.0, 1.0, 0.0])),
        rows(4, 3600), 2.0, LATER,
    )  # fmt: skip
    # The third row told nothing at all, so its hour is absent.
    assert list(table.end_s) == [NOON_S + 3600 * hour for hour in (1, 2, 4)]
    assert np.isnan(table.temperature_c[1])
    assert table.wind_2m_m_s[1] == 2.0


def test_daily_rows_are_refused() -> None:
    """A day's values cannot tell its hours."""
    with pytest.raises(InputError, match="rows lie 24 h apart"):
        hourly_from_columns(columns(3), rows(3, 86_400), 2.0, LATER)


def test_the_step_is_the_commonest_distance() -> None:
    """A few gaps do not make ten-minute rows into something else."""
    assert step_s(np.array([0, 600, 1200, 1800, 9000, 9600])) == 600
    assert step_s(np.array([600])) == 3600


@given(
    step=st.sampled_from([60, 300, 600, 900, 1200, 1800, 3600]),
    offset=st.integers(-3000, 3000),
    rain=st.lists(st.floats(0, 20).map(lambda mm: round(mm, 2)), min_size=1, max_size=80),
)
def test_rain_and_energy_are_kept(step: int, offset: int, rain: list[float]) -> None:
    """Whatever the rows' length and offset, what fell in finished hours is what the rows held."""
    end_s = rows(len(rain), step, NOON_S + offset)
    # Rows of none before and after, so that every hour the rain touches is finished.
    dry = 2 * 3600 // step + 1
    lead = rows(dry, step, NOON_S + offset - dry * step)
    tail = rows(dry, step, int(end_s[-1]))
    every = np.concatenate([lead, end_s, tail])
    mm = np.concatenate([np.zeros(lead.size), rain, np.zeros(tail.size)])
    table = hourly_from_columns({"rain_mm": mm, "rs_mj_m2": mm / 8}, every, 2.0, LATER)
    assert table.rain_mm.sum() == pytest.approx(sum(rain), abs=0.051 * len(table))
    assert np.nansum(table.solar_mj_m2) == pytest.approx(sum(rain) / 8, abs=0.00051 * len(table))
