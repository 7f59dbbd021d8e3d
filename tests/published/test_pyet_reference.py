"""Held against pyet: the daily FAO-56 and ASCE equations and the pieces they are made of.

Source: the pyet library (1.3 or later; Vremec, Collenteur and Birk, 2024, Geoscientific Model
Development 17:7083). Weather: NREL (2008) TMY3, Greensboro, by the day, and made-up weather.

Where the two differ: pyet does not hold the wind at 0.5 m/s or more in Eq 6, as FAO-56 p. 63
states, nor a deficit at zero on a foggy day (see `irrigate.science.daily_site`). pyet has no
hourly form.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pyet
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from irrigate.science import air, reference_et, sun
from irrigate.science.daily_site import daily_et0_mm, sun_days
from irrigate.science.hourly_site import Site
from tests.published.greensboro import SITE, WIND_HEIGHT_M, greensboro

DAYS = pd.date_range("2001-01-01", periods=365)
DAY_OF_YEAR = np.arange(365) + 1.0


def series(values: NDArray[np.float64]) -> pd.Series[float]:
    """Return daily values as pyet wants them."""
    return pd.Series(values, index=DAYS)


def year_by_day() -> dict[str, NDArray[np.float64]]:
    """Return the daily weather of the year."""
    year = greensboro()
    wind = year.daily("wind_10m_m_s", "mean")
    return {
        "t_max_c": year.daily("temperature_c", "max"),
        "t_min_c": year.daily("temperature_c", "min"),
        "vapour_pressure_kpa": year.daily("vapour_pressure_kpa", "mean"),
        "solar_mj_m2": year.daily("solar_mj_m2", "sum"),
        "wind_2m_m_s": np.asarray(air.wind_at_2m_m_s(wind, WIND_HEIGHT_M)),
    }


def theirs_by_day(site: Site, day: dict[str, NDArray[np.float64]]) -> NDArray[np.float64]:
    """Return pyet's FAO-56 for a year of days."""
    return pyet.pm_fao56(
        series(0.5 * (day["t_max_c"] + day["t_min_c"])),
        series(day["wind_2m_m_s"]),
        rs=series(day["solar_mj_m2"]),
        tmax=series(day["t_max_c"]),
        tmin=series(day["t_min_c"]),
        ea=series(day["vapour_pressure_kpa"]),
        elevation=site.elevation_m,
        lat=np.radians(site.latitude_deg),
        clip_zero=False,
    ).to_numpy()


def ours_by_day(site: Site, day: dict[str, NDArray[np.float64]]) -> NDArray[np.float64]:
    """Return our FAO-56 for the same."""
    return np.asarray(
        daily_et0_mm(
            sun_days(site, DAY_OF_YEAR),
            pressure_kpa=air.pressure_kpa(site.elevation_m),
            ground_heat_mj_m2=0.0,
            method="fao56",
            **day,
        )
    )


def test_a_year_of_fao56() -> None:
    """Every day that is neither calm nor foggy equals pyet's to 1e-6, and the rest differ."""
    day = year_by_day()
    theirs, ours = theirs_by_day(SITE, day), ours_by_day(SITE, day)
    es = air.mean_saturation_vapour_pressure_kpa(day["t_max_c"], day["t_min_c"])
    alike = (day["wind_2m_m_s"] >= 0.5) & (es >= day["vapour_pressure_kpa"])
    assert np.count_nonzero(~alike) == 5
    np.testing.assert_allclose(ours[alike], theirs[alike], rtol=1e-6)
    assert np.all(np.abs(ours[~alike] - theirs[~alike]) > 1e-4)
    held = dict(day, wind_2m_m_s=np.maximum(day["wind_2m_m_s"], 0.5))
    calm = day["wind_2m_m_s"] < 0.5
    np.testing.assert_allclose(ours[calm], theirs_by_day(SITE, held)[calm], rtol=1e-6)


def test_a_year_of_hargreaves() -> None:
    """Eq 52 equals pyet's; its form divides by the latent heat at the day's temperature.

    FAO-56 brings Ra to mm by 0.408 (Eq 20); pyet divides by 2.501 - 0.002361 T, so ours is
    brought to that before it is compared.
    """
    day = year_by_day()
    mean = 0.5 * (day["t_max_c"] + day["t_min_c"])
    theirs = pyet.hargreaves(
        series(mean), series(day["t_max_c"]), series(day["t_min_c"]),
        lat=np.radians(SITE.latitude_deg), method=0, clip_zero=False,
    ).to_numpy()  # fmt: skip
    Ra = sun_days(SITE, DAY_OF_YEAR).extraterrestrial_mj_m2
    ours = np.asarray(reference_et.hargreaves_mm(day["t_max_c"], day["t_min_c"], Ra))
    latent = 2.501 - 0.002361 * mean
    np.testing.assert_allclose(ours / 0.408 / latent, theirs, rtol=1e-6)


def test_the_sun_of_a_year() -> None:
    """Ra and N of 365 days equal pyet's."""
    phi = np.radians(SITE.latitude_deg)
    ours = sun_days(SITE, DAY_OF_YEAR)
    # pyet rounds π to 3.141592654.
    np.testing.assert_allclose(
        ours.extraterrestrial_mj_m2, pyet.extraterrestrial_r(DAYS, phi), rtol=1e-8
    )
    np.testing.assert_allclose(ours.daylight_h, pyet.daylight_hours(DAYS, phi), rtol=1e-8)


@given(
    latitude=st.floats(-60.0, 60.0),
    elevation=st.floats(0.0, 3000.0),
    seed=st.integers(0, 2**32 - 1),
)
def test_made_up_years_anywhere(latitude: float, elevation: float, seed: int) -> None:
    """A year of made-up weather anywhere outside the polar circles equals pyet's to 1e-6."""
    draws = np.random.default_rng(seed)
    site = Site(latitude, 0.0, elevation)
    t_min = draws.uniform(-10.0, 30.0, 365)
    day = {
        "t_max_c": t_min + draws.uniform(0.0, 25.0, 365),
        "t_min_c": t_min,
        "vapour_pressure_kpa": np.asarray(
            air.saturation_vapour_pressure_kpa(t_min - draws.uniform(0.0, 10.0, 365))
        ),
        "solar_mj_m2": draws.uniform(0.0, 1.1, 365) * sun_days(site, DAY_OF_YEAR).clear_sky_mj_m2,
        "wind_2m_m_s": draws.uniform(0.5, 15.0, 365),
    }
    np.testing.assert_allclose(
        ours_by_day(site, day), theirs_by_day(site, day), rtol=1e-6, atol=1e-9
    )


@pytest.mark.parametrize("column", ["e0", "slope", "pressure", "declination", "distance"])
def test_the_pieces(column: str) -> None:
    """Each piece of the calculation equals pyet's."""
    T, z, J = np.linspace(-20, 50, 71), np.linspace(0, 4000, 41), np.arange(1.0, 367.0)
    ours, theirs = {
        "e0": (air.saturation_vapour_pressure_kpa(T), pyet.calc_e0(T)),
        "slope": (air.slope_kpa_c(T), pyet.calc_vpc(T)),
        "pressure": (air.pressure_kpa(z), pyet.calc_press(z)),
        "declination": (sun.declination_rad(J), pyet.solar_declination(J)),
        "distance": (sun.inverse_relative_distance(J), pyet.relative_distance(J)),
    }[column]
    np.testing.assert_allclose(np.asarray(ours), np.asarray(theirs), rtol=1e-9)
