"""Missing weather by FAO-56 chapter 3, and the doubts held against a year that was measured.

Allen, Pereira, Raes and Smith, 1998, FAO Irrigation and Drainage Paper 56, Examples 15 and 20;
NREL typical year (TMY3) of Greensboro, station 723170, as shipped with pvlib.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pvlib
import pytest

from irrigate.garden.filling import fill
from irrigate.garden.plausible import believed, quantised
from irrigate.garden.pots import Site
from irrigate.garden.solar_day import DAY_S, extraterrestrial_mj_m2, solar_day
from irrigate.garden.weather import Filled, HourlyWeather, empty_weather
from irrigate.science.air import saturation_vapour_pressure_kpa

LYON = Site(45.72, 0.0, 200.0, "Europe/Paris")  # Example 20; by longitude 0 its day is that of UTC
JULY_15_S = 1_752_537_600  # 2025-07-15 00:00 UTC, day 196 of the year


def lyon_with_temperatures_only() -> HourlyWeather:
    """Return a day between 14.8 and 26.6 °C of which nothing else is known (Example 20)."""
    hours = np.arange(24)
    nothing = np.full(24, np.nan)
    return HourlyWeather(
        end_s=JULY_15_S + 3600 * (hours + 1),
        # Lowest in the hour to 5, highest in that to 17: any course between them will do.
        temperature_c=np.round(20.7 - 5.9 * np.cos((hours - 4) / 12.0 * np.pi), 2),
        vapour_pressure_kpa=nothing,
        solar_mj_m2=nothing,
        wind_2m_m_s=nothing,
        rain_mm=np.zeros(24),
        rain_chance=nothing,
        origin=np.zeros(24, dtype=np.uint8),
        filled=np.zeros(24, dtype=np.uint8),
    )


def test_lyon_s_extraterrestrial_radiation_adds_up_to_the_day_s() -> None:
    """Example 20: Ra 40.55 MJ m⁻² d⁻¹, here as the sum of the hours (Example 15 prints 40.6)."""
    raw = lyon_with_temperatures_only()
    assert extraterrestrial_mj_m2(raw.end_s, LYON).sum() == pytest.approx(40.55, abs=0.05)


def test_lyon_s_missing_humidity_radiation_and_wind() -> None:
    """Example 20: ea 1.68 kPa by Eq 48, Rs 22.29 MJ m⁻² d⁻¹ by Eq 50, and 2 m s⁻¹."""
    filled, _ = fill(lyon_with_temperatures_only(), LYON, empty_weather())
    assert filled.temperature_c.min() == 14.8
    assert filled.temperature_c.max() == 26.6
    assert filled.vapour_pressure_kpa == pytest.approx(1.68, abs=0.005)
    assert filled.solar_mj_m2.sum() == pytest.approx(22.29, abs=0.05)
    assert np.all(filled.wind_2m_m_s == 2.0)
    day = filled.solar_mj_m2 > 0
    assert np.all(filled.filled[day] == Filled.HUMIDITY | Filled.SOLAR | Filled.WIND)


@pytest.fixture(scope="module")
def greensboro() -> tuple[HourlyWeather, Site]:
    """Return the typical year: stamps at the end of the hour, in standard time (UTC-5)."""
    path = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    table, about = pvlib.iotools.read_tmy3(path, map_variables=False)
    temperature_c = table["Dry-bulb (C)"].to_numpy(float)
    hours = len(table)
    site = Site(about["latitude"], about["longitude"], about["altitude"], "America/New_York")
    saturated = np.asarray(saturation_vapour_pressure_kpa(temperature_c))
    weather = HourlyWeather(
        end_s=631_152_000 + 3600 * (np.arange(hours, dtype=np.int64) + 1 + 5),  # 1990-01-01
        temperature_c=temperature_c,
        vapour_pressure_kpa=table["RHum (%)"].to_numpy(float) / 100.0 * saturated,
        solar_mj_m2=table["GHI (W/m^2)"].to_numpy(float) * 0.0036,
        wind_2m_m_s=table["Wspd (m/s)"].to_numpy(float) * 0.748,  # Eq 47 for 10 m
        rain_mm=np.zeros(hours),
        rain_chance=np.zeros(hours),
        origin=np.zeros(hours, dtype=np.uint8),
        filled=np.zeros(hours, dtype=np.uint8),
    )
    return quantised(weather), site


def test_a_typical_year_is_believed_throughout(greensboro: tuple[HourlyWeather, Site]) -> None:
    """No hour of the typical year is doubted: its darkest days and brightest hours are real."""
    weather, site = greensboro
    kept, remarks = believed(weather, site)
    assert remarks == ()
    assert np.array_equal(kept.solar_mj_m2, weather.solar_mj_m2)


def test_false_zeros_are_found_in_every_day_of_the_year(
    greensboro: tuple[HourlyWeather, Site],
) -> None:
    """A zero put at solar noon of each of the 365 days is found, and nothing beside it."""
    weather, site = greensboro
    solar = weather.solar_mj_m2.copy()
    by_sun = (weather.end_s - 1800 + round(site.longitude_deg * 240)) % DAY_S
    noon = np.abs(by_sun - DAY_S // 2) <= 1800
    assert np.unique(solar_day(weather.end_s[noon], site.longitude_deg)).size == 365
    solar[noon] = 0.0
    broken = HourlyWeather(
        weather.end_s, weather.temperature_c, weather.vapour_pressure_kpa, solar,
        weather.wind_2m_m_s, weather.rain_mm, weather.rain_chance, weather.origin, weather.filled,
    )  # fmt: skip
    kept, _ = believed(broken, site)
    assert np.array_equal(np.isnan(kept.solar_mj_m2), noon)


def root_mean_square(error: np.ndarray) -> float:
    """Return the root of the mean square."""
    return float(np.sqrt(np.mean(error**2)))


@pytest.mark.parametrize(
    ("name", "at_most"), [("vapour_pressure_kpa", 0.33), ("solar_mj_m2", 0.75)]
)
def test_bridging_a_year_s_gaps_is_closer_than_the_rule_for_whole_days(
    greensboro: tuple[HourlyWeather, Site], name: str, at_most: float
) -> None:
    """With three hours lost each noon, bridging errs less than Eq 48 and 50, so it goes first."""
    weather, site = greensboro
    of_day = np.arange(len(weather)) % 24
    lost = (of_day >= 11) & (of_day < 14)
    raw = weather.select(np.arange(len(weather)))
    getattr(raw, name)[lost] = np.nan
    by_neighbours, _ = fill(raw, site, empty_weather())
    getattr(raw, name)[:] = np.nan
    by_rule, _ = fill(raw, site, empty_weather())
    truth = getattr(weather, name)[lost]
    miss = root_mean_square(getattr(by_neighbours, name)[lost] - truth)
    assert miss < at_most * root_mean_square(getattr(by_rule, name)[lost] - truth)


def test_a_year_s_lost_days_are_found_within_the_weather_s_own_whims(
    greensboro: tuple[HourlyWeather, Site],
) -> None:
    """Each tenth day's temperatures lost: nearer than the mean of the same hours before."""
    weather, site = greensboro
    lost = np.isin(np.arange(len(weather)) // 24, np.arange(7, 360, 10))
    raw = weather.select(np.arange(len(weather)))
    raw.temperature_c[lost] = np.nan
    filled, _ = fill(raw, site, empty_weather())
    days = [np.roll(weather.temperature_c, 24 * day) for day in range(1, 6)]
    plain = np.mean(days, axis=0)
    truth = weather.temperature_c
    miss = root_mean_square((filled.temperature_c - truth)[lost])
    assert miss < 0.75 * root_mean_square((plain - truth)[lost])
