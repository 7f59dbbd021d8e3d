"""What stands around a place: windows of sun, glass, walls, lamps, and the ET0 that follows."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.exposure import LEAVES_HOLD_MM, place_weather
from irrigate.garden.pots import Place, Site
from irrigate.garden.surroundings import (
    lamp_share,
    rain_share,
    sky_share,
    solar_mj_m2,
    sun_share,
    wind_m_s,
)
from irrigate.garden.weather import HourlyWeather
from tests.garden.makers import DAY, HOUR, START, a_garden, any_places, any_weather, summer
from tests.garden.scalar_air import within

OPEN = Place("yard", wind=1.0)
LAMPS = replace(OPEN, lamps_w_m2=60.0, lamps_from=time(6), lamps_until=time(22))
# Whole hours, halves and quarters from UTC; with and without summer time.
ZONES = (
    "UTC", "America/Los_Angeles", "Asia/Kolkata", "Asia/Kathmandu", "Australia/Adelaide",
    "America/St_Johns", "Pacific/Chatham",
)  # fmt: skip
ENDS = np.arange(1, 25, dtype=np.int64) * 3600 + int(START.timestamp())

moments = st.builds(time, st.integers(0, 23), st.sampled_from([0, 1, 15, 30, 45, 59]))


def et0_at(place: Place, weather: HourlyWeather) -> np.ndarray:
    """Return the ET0 of each hour of the day after START at a place called yard [mm]."""
    garden = a_garden(places=(place,))
    day = (weather.end_s > START.timestamp()) & (weather.end_s <= (START + DAY).timestamp())
    found: np.ndarray = place_weather(garden, weather).et0_mm[0, 0, day]
    return found


@given(moments, moments, st.sampled_from(ZONES))
def test_a_window_of_sun_minute_by_minute(begins: time, ends: time, zone: str) -> None:
    """The part of each hour inside a window is what counting its minutes gives, in any zone.

    Windows over midnight, and zones whose hours begin at half past ours, are among them.
    """
    place = replace(LAMPS, lamps_from=begins, lamps_until=ends)
    site = Site(0.0, 0.0, 0.0, zone)
    expected = [within(site, int(end), begins, ends) for end in ENDS]
    assert lamp_share(place, ENDS, zone) == pytest.approx(np.array(expected), abs=1e-9)
    window = replace(OPEN, sun_from=begins, sun_until=ends)
    # Out of it a quarter is left, the sky's own light (from memory).
    shares = 0.25 + 0.75 * np.array(expected)
    assert sun_share(window, ENDS, zone) == pytest.approx(shares, abs=1e-9)


def test_a_summer_time_that_ends() -> None:
    """On the day on which clocks go back, a lamp from 6 to 22 o'clock burns for 16 hours."""
    midnight = int(datetime(2026, 11, 1, 4, tzinfo=UTC).timestamp())
    ends = midnight + 3600 * np.arange(1, 26, dtype=np.int64)
    assert lamp_share(LAMPS, ends, "America/New_York").sum() == pytest.approx(16.0)


def test_lamps_give_watts_times_seconds() -> None:
    """60 W/m² over 16 hours are 60 × 16 × 3600 J = 3.456 MJ/m², also by night."""
    dark = np.zeros(ENDS.size)
    assert solar_mj_m2(LAMPS, dark, ENDS, "UTC").sum() == pytest.approx(3.456)
    assert not solar_mj_m2(replace(LAMPS, lamps_w_m2=0.0), dark, ENDS, "UTC").any()


@given(any_places(), st.sampled_from(ZONES))
def test_shares_keep_their_bounds_and_their_type(place: Place, zone: str) -> None:
    """A place gets no more sun than a sunny wall adds, no more rain than falls; float32 stays."""
    share = sun_share(place, ENDS, zone)
    assert np.all((share >= 0.0) & (share <= 1.09 + 1e-12))
    assert 0.0 <= rain_share(place) <= 1.0
    assert 0.0 <= sky_share(place) <= 1.0
    sun = np.ones(ENDS.size, dtype=np.float32)
    assert solar_mj_m2(place, sun, ENDS, zone).dtype == np.float32
    assert wind_m_s(place, sun).dtype == np.float32


def test_under_glass_no_rain_falls_and_no_wind_blows() -> None:
    """Rain 0, wind 0.5 m/s (the least that FAO-56 p. 63 takes), no net loss of heat to the sky."""
    house = replace(OPEN, glass=0.7)
    assert rain_share(house) == 0.0
    assert sky_share(house) == 0.0
    assert np.all(wind_m_s(house, np.array([0.0, 3.0, 9.0])) == 0.5)
    assert sun_share(house, ENDS, "UTC") == pytest.approx(0.7)


def test_reference_et_under_plastic_in_almeria() -> None:
    """Under a whitened plastic house in July ET0 is about 4 mm a day, in winter below 1.

    Lysimeters under grass, Almería 1993–2004 (Fernández and others 2010, Irrig. Sci. 28:497,
    abstract). Ours: a clear July day at 37.6° N of 18 to 32 °C outside, 5 °C warmer inside (from
    memory), 50–60 % of the sun let in when whitened; within a factor of 1.25.
    """
    hot = summer(8)
    hot = replace(hot, temperature_c=hot.temperature_c + 5.0)
    whitened = [et0_at(replace(OPEN, glass=share), hot).sum() for share in (0.5, 0.6)]
    middle = float(np.sqrt(whitened[0] * whitened[1]))
    assert 4.0 / 1.25 <= middle <= 4.0 * 1.25


@settings(max_examples=25)
@given(any_places(), any_weather(6))
def test_more_light_never_asks_for_less(place: Place, weather: HourlyWeather) -> None:
    """Less shade, a sunny wall or brighter lamps never lower the ET0 of a day; it is never < 0."""
    base = et0_at(place, weather)
    assert np.all(base >= 0.0)
    lit = replace(place, lamps_w_m2=place.lamps_w_m2 + 50.0)
    assert et0_at(lit, weather).sum() >= base.sum() - 1e-9
    assert et0_at(replace(place, shade=0.0), weather).sum() >= base.sum() - 1e-9
    if place.glass is None:
        walled, bare = (et0_at(replace(place, sunny_wall=wall), weather) for wall in (True, False))
        assert walled.sum() >= bare.sum() - 1e-9


def test_paving_asks_for_nothing_more() -> None:
    """Over asphalt leaves get hotter and close their pores: a day's use stays the same or falls.

    Kjelgren & Cole 2000, HortScience 35:412 (abstract): so ET0 is the same on any ground.
    """
    days = [
        et0_at(replace(OPEN, ground=ground), summer()).sum()  # type: ignore[arg-type]
        for ground in ("green", "bare", "paved")
    ]
    assert days[0] == days[1] == days[2]


def test_leaves_catch_from_the_rain_that_reaches_them() -> None:
    """Of 0.8, 0.8 and 3 mm, 0.8, 0.5 and 0 stay on leaves; under half a roof, 0.4, 0.4 and 0.5.

    1.3 mm: saltbush and Mitchell grass (Dunkerley & Booth 1999, Water Resour. Res. 35:1581).
    """
    weather = summer()
    first = int(np.searchsorted(weather.end_s, (START + HOUR).timestamp()))
    rain = weather.rain_mm.copy()
    rain[first : first + 3] = (0.8, 0.8, 3.0)
    wet = replace(weather, rain_mm=rain)
    for place, expected in ((OPEN, (0.8, 0.5, 0.0)), (replace(OPEN, rain=0.5), (0.4, 0.4, 0.5))):
        found = place_weather(a_garden(places=(place,)), wet)
        assert found.caught_mm[0, 0, first : first + 3] == pytest.approx(expected)
        assert np.all(found.caught_mm <= found.rain_mm)
    assert pytest.approx(1.3) == LEAVES_HOLD_MM


def test_leaves_are_dry_again_after_six_hours() -> None:
    """A shower six hours after one that filled them is caught anew, one after five is not.

    Some hours until leaves are dry: from memory; this guards against change.
    """
    weather = summer()
    first = int(np.searchsorted(weather.end_s, (START + HOUR).timestamp()))
    for later, caught in ((5, 0.0), (6, 1.3)):
        rain = weather.rain_mm.copy()
        rain[[first, first + later]] = 5.0
        found = place_weather(a_garden(places=(OPEN,)), replace(weather, rain_mm=rain))
        assert found.caught_mm[0, 0, first + later] == pytest.approx(caught)
