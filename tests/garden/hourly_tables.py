"""Hourly tables for tests: one clear summer, and anything at all."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

from irrigate.garden.pots import Site
from irrigate.garden.solar_day import extraterrestrial_mj_m2
from irrigate.garden.weather import HourlyWeather

SITE = Site(36.1, -79.95, 270.0, "America/New_York")
START_S = 1_752_278_400  # 2025-07-12 00:00 UTC


def clear_summer(hours: int = 144, site: Site = SITE, start_s: int = START_S) -> HourlyWeather:
    """Return hours of the same cloudless day again and again, 18 to 32 °C."""
    end_s = start_s + 3600 * np.arange(1, hours + 1, dtype=np.int64)
    by_sun = ((end_s - 1800) / 3600.0 + site.longitude_deg / 15.0) % 24.0
    return HourlyWeather(
        end_s=end_s,
        temperature_c=np.round(25.0 + 7.0 * np.sin((by_sun - 9.0) / 12.0 * np.pi), 2),
        vapour_pressure_kpa=np.full(hours, 1.8),
        solar_mj_m2=np.round(0.7 * extraterrestrial_mj_m2(end_s, site), 3),
        wind_2m_m_s=np.full(hours, 1.5),
        rain_mm=np.zeros(hours),
        rain_chance=np.zeros(hours),
        origin=np.zeros(hours, dtype=np.uint8),
        filled=np.zeros(hours, dtype=np.uint8),
    )


def _numbers(low: float, high: float) -> st.SearchStrategy[float]:
    nonsense = st.sampled_from([np.nan, np.inf, -np.inf, -999.0, 1e300, -1e300, -0.0, 0.0])
    return st.one_of(st.floats(low, high), st.floats(low, high), nonsense)


@st.composite
def any_tables(draw: st.DrawFn, most_hours: int = 60) -> HourlyWeather:
    """Draw a table with NaN, infinities, nonsense, absent hours and any marks."""
    count = draw(st.integers(1, most_hours))
    steps = draw(st.lists(st.sampled_from([1] * 12 + [2, 5, 30, 100, 200]), min_size=count,
                          max_size=count))  # fmt: skip
    end_s = START_S + 3600 * np.cumsum(np.array(steps, dtype=np.int64))

    def column(low: float, high: float) -> np.ndarray:
        numbers = st.lists(_numbers(low, high), min_size=count, max_size=count)
        return np.array(draw(numbers), dtype=np.float64)

    def codes(most: int) -> np.ndarray:
        numbers = st.lists(st.integers(0, most), min_size=count, max_size=count)
        return np.array(draw(numbers), dtype=np.uint8)

    return HourlyWeather(
        end_s=end_s,
        temperature_c=column(-20.0, 45.0),
        vapour_pressure_kpa=column(0.1, 4.0),
        solar_mj_m2=column(0.0, 4.0),
        wind_2m_m_s=column(0.0, 15.0),
        rain_mm=column(0.0, 20.0),
        rain_chance=column(0.0, 1.0),
        origin=codes(2),
        filled=codes(31) if draw(st.booleans()) else np.zeros(count, dtype=np.uint8),
    )
