"""What must always hold of reference evapotranspiration, whatever the weather."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from irrigate.errors import InputError
from irrigate.science import air, radiation, reference_et, sun
from irrigate.science.daily_site import daily_et0_mm, sun_days
from irrigate.science.hourly_site import (
    METHODS,
    Method,
    Site,
    hourly_et0_mm,
    relative_shortwave,
    site_et0_mm,
    sky_told,
    sky_untold,
    sun_hours,
)

HERE = Site(36.1, -79.95, 273.0)
ENDS = np.datetime64("2001-07-03T05:00", "s").astype(np.int64) + (np.arange(72) + 1) * 3600
SUN = sun_hours(HERE, ENDS)

methods = st.sampled_from(METHODS)
temperatures = st.floats(-10.0, 45.0)
shares = st.floats(0.05, 1.0)
winds = st.floats(0.0, 12.0)


def hour_at_noon(
    method: Method, temperature: float, humidity: float, clear: float, wind: float
) -> float:
    """Return reference evapotranspiration of one July hour about noon, clouds as measured."""
    noon = int(np.argmax(SUN.clear_sky_mj_m2))
    sun_ = sun_hours(HERE, ENDS[noon : noon + 1])
    solar = clear * sun_.clear_sky_mj_m2
    et0 = hourly_et0_mm(
        sun_,
        temperature_c=np.array([temperature]),
        vapour_pressure_kpa=humidity * np.array([air.saturation_vapour_pressure_kpa(temperature)]),
        solar_mj_m2=solar,
        wind_2m_m_s=np.array([wind]),
        pressure_kpa=98.1,
        relative_shortwave=relative_shortwave(sun_, solar, 0.5, method),
        method=method,
    )
    return float(et0[0])


@given(methods, temperatures, shares, shares, winds, st.floats(0.0, 0.3))
def test_more_sun_evaporates_more(
    method: Method, temperature: float, humidity: float, clear: float, wind: float, more: float
) -> None:
    """At the same clouds, more radiation on the place never evaporates less."""
    ea = humidity * air.saturation_vapour_pressure_kpa(temperature)
    low, high = (
        hourly_et0_mm(
            SUN,
            temperature_c=np.full(72, temperature),
            vapour_pressure_kpa=np.full(72, ea),
            solar_mj_m2=share * SUN.clear_sky_mj_m2,
            wind_2m_m_s=np.full(72, wind),
            pressure_kpa=98.1,
            relative_shortwave=np.full(72, clear),
            method=method,
        )
        for share in (clear, clear + more)
    )  # fmt: skip
    if method == "fao56":
        assert np.all(high >= low - 1e-12)
    else:
        # Where Rn turns positive ASCE's night resistance gives way to the day's at one stroke;
        # the hour's value may jump there, downward where Rn - G is what counts: G/Rn 0.5 to 0.1.
        noon = SUN.clear_sky_mj_m2 > 1.0
        assert np.all(high[noon] >= low[noon] - 1e-12)


@given(temperatures, shares, shares, shares, winds)
def test_drier_air_evaporates_more(
    temperature: float, damp: float, dry: float, clear: float, wind: float
) -> None:
    """At the same radiation balance, a larger deficit never evaporates less."""
    slope, gamma = air.slope_kpa_c(temperature), 0.066
    es = air.saturation_vapour_pressure_kpa(temperature)
    wet, arid = sorted((es * (1.0 - damp), es * (1.0 - dry)))
    low, high = (
        reference_et.combination_mm(
            slope, gamma, clear * 3.0, temperature, wind, deficit, 37.0, 0.34
        )
        for deficit in (wet, arid)
    )
    assert high >= low - 1e-12


@given(methods, temperatures, shares, shares, winds)
def test_never_more_than_energy_and_drying_allow(
    method: Method, temperature: float, humidity: float, clear: float, wind: float
) -> None:
    """A noon hour lies between what no wind and all energy bound: above -0.1 and below 3 mm."""
    et0 = hour_at_noon(method, temperature, humidity, clear, wind)
    assert -0.1 < et0 < 3.0


@given(st.integers(0, 2**32 - 1), methods)
def test_arrays_equal_a_loop_over_numbers(seed: int, method: Method) -> None:
    """Broadcasting members over hours gives what each hour alone gives."""
    draws = np.random.default_rng(seed)
    T = draws.uniform(0.0, 40.0, (3, 72))
    ea = 0.6 * np.asarray(air.saturation_vapour_pressure_kpa(T))
    solar = draws.uniform(0.0, 1.1, (3, 72)) * SUN.clear_sky_mj_m2
    wind = draws.uniform(0.0, 8.0, (3, 1))
    ratio = draws.uniform(0.3, 1.0, 72)
    whole = hourly_et0_mm(
        SUN, temperature_c=T, vapour_pressure_kpa=ea, solar_mj_m2=solar, wind_2m_m_s=wind,
        pressure_kpa=98.0, relative_shortwave=ratio, method=method,
    )  # fmt: skip
    assert whole.shape == (3, 72)
    for member, hour in ((0, 0), (1, 17), (2, 71), (2, 36)):
        alone = hourly_et0_mm(
            sun_hours(HERE, ENDS[hour : hour + 1]),
            temperature_c=T[member, hour],
            vapour_pressure_kpa=ea[member, hour],
            solar_mj_m2=solar[member, hour],
            wind_2m_m_s=wind[member, 0],
            pressure_kpa=98.0,
            relative_shortwave=ratio[hour],
            method=method,
        )
        np.testing.assert_allclose(whole[member, hour], alone[0], rtol=1e-12)


INPUTS = ("temperature_c", "vapour_pressure_kpa", "solar_mj_m2", "wind_2m_m_s", "pressure_kpa")


def weather(kind: type[np.floating] = np.float64) -> dict[str, NDArray[np.floating]]:
    """Return three plain July days."""
    hour = np.arange(72)
    T = 24.0 + 7.0 * np.sin(2 * np.pi * (hour - 9) / 24)
    return {
        "temperature_c": T.astype(kind),
        "vapour_pressure_kpa": np.full(72, 1.8, kind),
        "solar_mj_m2": (0.8 * SUN.clear_sky_mj_m2).astype(kind),
        "wind_2m_m_s": np.full(72, 1.5, kind),
        "pressure_kpa": np.full(72, 98.1, kind),
    }


@given(methods, st.sampled_from(INPUTS), st.integers(0, 71))
def test_a_missing_value_spoils_its_own_hour_only(method: Method, name: str, hour: int) -> None:
    """NaN in gives NaN out in that hour, and numbers in all the others."""
    full = weather()
    full[name][hour] = np.nan
    et0 = site_et0_mm(HERE, ENDS, assumed_ratio=0.7, method=method, **full)
    assert np.flatnonzero(np.isnan(et0)).tolist() == [hour]
    if name != "solar_mj_m2":  # radiation also told the clouds of the night after
        whole = site_et0_mm(HERE, ENDS, assumed_ratio=0.7, method=method, **weather())
        np.testing.assert_array_equal(np.delete(et0, hour), np.delete(whole, hour))


@pytest.mark.parametrize("method", METHODS)
def test_float32_stays_float32(method: Method) -> None:
    """Half the memory in, half the memory out, and within 2e-5 mm of the full precision."""
    half = site_et0_mm(HERE, ENDS, assumed_ratio=0.7, method=method, **weather(np.float32))
    full = site_et0_mm(HERE, ENDS, assumed_ratio=0.7, method=method, **weather())
    assert half.dtype == np.float32
    assert full.dtype == np.float64
    np.testing.assert_allclose(half, full, atol=2e-5)


@pytest.mark.parametrize("method", METHODS)
def test_long_series_are_the_same_in_stretches(method: Method) -> None:
    """A series longer than one stretch equals its parts, given the same clouds."""
    hours = 30000
    ends = ENDS[0] + np.arange(hours) * 3600
    sun_ = sun_hours(HERE, ends)
    draws = np.random.default_rng(5)
    columns = {
        "temperature_c": draws.uniform(0.0, 40.0, hours),
        "vapour_pressure_kpa": draws.uniform(0.3, 2.0, hours),
        "solar_mj_m2": draws.uniform(0.0, 1.0, hours) * sun_.clear_sky_mj_m2,
        "wind_2m_m_s": draws.uniform(0.0, 6.0, hours),
        "relative_shortwave": draws.uniform(0.3, 1.0, hours),
    }
    whole = hourly_et0_mm(sun_, pressure_kpa=98.0, method=method, **columns)
    for part in (slice(0, 100), slice(12200, 12400), slice(29900, 30000)):
        piece = hourly_et0_mm(
            sun_hours(HERE, ends[part]),
            pressure_kpa=98.0,
            method=method,
            **{name: values[part] for name, values in columns.items()},
        )
        np.testing.assert_array_equal(whole[part], piece)


@given(st.floats(-89.9, 89.9), st.integers(1, 365))
def test_a_day_of_hours_is_the_day(latitude: float, day: int) -> None:
    """At any latitude and date 24 hours of Ra add up to Eq 21, night and polar day included."""
    site = Site(latitude, 0.0, 0.0)
    delta, dr = sun.declination_rad(float(day)), sun.inverse_relative_distance(float(day))
    middles = np.pi / 12.0 * (np.arange(24) + 0.5) - np.pi
    for shift in (0.0, 0.07):
        hours = sun.extraterrestrial_radiation_mj_m2(
            (middles + shift + np.pi) % (2 * np.pi) - np.pi, 1.0, np.radians(latitude), delta, dr
        )
        total = sun_days(site, float(day)).extraterrestrial_mj_m2
        np.testing.assert_allclose(np.sum(hours), total, rtol=1e-9, atol=1e-9)


def test_quarters_of_an_hour_add_up_to_the_hour() -> None:
    """Four quarters of steady weather give the hour, but for what is not linear in the sun."""
    quarter_ends = ENDS[0] - 3600 + (np.arange(72 * 4) + 1) * 900
    quarters = sun_hours(HERE, quarter_ends, 0.25)
    Ra = quarters.extraterrestrial_mj_m2.reshape(72, 4).sum(axis=1)
    np.testing.assert_allclose(Ra, SUN.extraterrestrial_mj_m2, atol=2e-3)
    steady = {"vapour_pressure_kpa": np.array(1.5), "wind_2m_m_s": np.array(2.0)}
    whole, parts = (
        hourly_et0_mm(
            sun_, temperature_c=np.array(28.0), solar_mj_m2=0.8 * sun_.clear_sky_mj_m2,
            pressure_kpa=98.0, relative_shortwave=np.array(0.8), method="fao56", **steady,
        )
        for sun_ in (SUN, quarters)
    )  # fmt: skip
    day = SUN.clear_sky_mj_m2 > 1.0
    np.testing.assert_allclose(parts.reshape(72, 4).sum(axis=1)[day], whole[day], rtol=2e-3)


def test_the_stamp_is_the_end_of_the_hour() -> None:
    """The sun's highest hour ends about half an hour after solar noon, not before it."""
    noon_h = 12.0 + 79.95 / 15.0 - float(sun.seasonal_correction_h(184.0))
    highest = ENDS[int(np.argmax(SUN.extraterrestrial_mj_m2[:24]))]
    end_h = (highest % 86400) / 3600.0
    assert 0.0 <= end_h - noon_h <= 1.0


def test_night_clouds_come_from_the_evening_before() -> None:
    """An overcast evening makes an overcast night, by both methods; the start is assumed."""
    solar = SUN.clear_sky_mj_m2.copy()
    solar[24:48] *= 0.4
    for method in METHODS:
        ratio = relative_shortwave(SUN, solar, 0.123, method)
        dark = np.flatnonzero(sky_untold(SUN, method))
        first_told = int(np.flatnonzero(sky_told(SUN, method))[0])
        assert np.all(ratio[dark[dark < first_told]] == 0.123)
        second_night = dark[(dark > 24) & (dark < 30)]
        third_night = dark[(dark > 48) & (dark < 54)]
        np.testing.assert_allclose(ratio[second_night], 1.0)
        np.testing.assert_allclose(ratio[third_night], 0.4)


def test_clouds_are_not_carried_past_a_day() -> None:
    """After more than a day without a telling hour the assumed ratio serves again."""
    solar = SUN.clear_sky_mj_m2.copy()
    solar[24:] = np.nan
    ratio = relative_shortwave(SUN, solar, 0.55, "fao56")
    last_told = int(np.flatnonzero(sky_told(SUN, "fao56")[:24])[-1])
    dark = sky_untold(SUN, "fao56")
    age = np.arange(72) - last_told
    assert np.all(ratio[dark & (age > 0) & (age <= 24)] == 1.0)
    assert np.all(ratio[dark & (age > 24)] == 0.55)
    assert np.all(np.isnan(ratio[~dark & (np.arange(72) >= 24)]))


def test_shade_cloth_keeps_the_skys_clouds() -> None:
    """With the open sky's ratio handed in, shade takes radiation and makes no clouds."""
    full = weather()
    ratio = relative_shortwave(SUN, full["solar_mj_m2"], 0.8, "fao56")
    shaded = dict(full, solar_mj_m2=0.5 * full["solar_mj_m2"])
    noon = int(np.argmax(SUN.clear_sky_mj_m2))
    by_sky = hourly_et0_mm(SUN, relative_shortwave=ratio, method="fao56", **shaded)[noon]
    by_cloth = site_et0_mm(HERE, ENDS, assumed_ratio=0.8, method="fao56", **shaded)[noon]
    open_ground = hourly_et0_mm(SUN, relative_shortwave=ratio, method="fao56", **full)[noon]
    assert 0.4 * open_ground < by_sky < by_cloth < open_ground


def test_the_daily_wind_limit_is_of_fao_only() -> None:
    """A still day counts as 0.5 m/s by FAO-56 (p. 63) and as still by ASCE 2005."""
    day = {
        "t_max_c": 35.0, "t_min_c": 22.0, "vapour_pressure_kpa": 2.0, "solar_mj_m2": 25.0,
        "pressure_kpa": 98.0, "ground_heat_mj_m2": 0.0,
    }  # fmt: skip
    sun_ = sun_days(HERE, 184.0)
    for method, same in (("fao56", True), ("asce-short", False), ("asce-tall", False)):
        still, slow = (
            float(daily_et0_mm(sun_, wind_2m_m_s=wind, method=method, **day)) for wind in (0.0, 0.5)
        )
        assert (still == slow) is same


def test_the_polar_night_is_not_computed() -> None:
    """No sun tells no clouds: NaN, not a guess."""
    svalbard = sun_days(Site(78.0, 15.0, 10.0), np.array([355.0]))
    et0 = daily_et0_mm(
        svalbard, t_max_c=np.array([-5.0]), t_min_c=np.array([-12.0]),
        vapour_pressure_kpa=np.array([0.2]), solar_mj_m2=np.array([0.0]),
        wind_2m_m_s=np.array([3.0]), pressure_kpa=100.0, ground_heat_mj_m2=0.0, method="fao56",
    )  # fmt: skip
    assert np.isnan(et0).all()


@given(st.floats(0.0, 2.0))
def test_the_cloud_factor_stays_in_bounds(ratio: float) -> None:
    """The factor lies between 0.055 and 1 for any ratio (ASCE 2005 Eq 18: 0.05 to 1.0)."""
    assert 0.05 <= float(radiation.cloudiness_factor(ratio)) <= 1.0


@pytest.mark.parametrize(
    ("latitude", "longitude", "elevation"),
    [(91.0, 0.0, 0.0), (0.0, 280.0, 0.0), (0.0, 0.0, 9000.0), (float("nan"), 0.0, 0.0)],
)
def test_a_place_off_the_globe_is_refused(
    latitude: float, longitude: float, elevation: float
) -> None:
    """A latitude, longitude or elevation that no place has is an input error."""
    with pytest.raises(InputError, match="is not between"):
        Site(latitude, longitude, elevation)


def test_more_than_an_hour_is_refused() -> None:
    """The hourly equations are not asked about three hours."""
    with pytest.raises(ValueError, match="up to one hour"):
        sun_hours(HERE, ENDS, 3.0)


def test_no_hours_give_no_hours() -> None:
    """An empty series is an empty result."""
    nothing = np.zeros(0)
    et0 = site_et0_mm(
        HERE, np.zeros(0, dtype=np.int64), temperature_c=nothing, vapour_pressure_kpa=nothing,
        solar_mj_m2=nothing, wind_2m_m_s=nothing, pressure_kpa=98.0, assumed_ratio=0.5,
        method="fao56",
    )  # fmt: skip
    assert et0.shape == (0,)
