"""Holes in the weather: what is put in, what is marked, what is said, and that none is left."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.filling import fill
from irrigate.garden.plausible import believed, quantised
from irrigate.garden.solar_day import extraterrestrial_mj_m2
from irrigate.garden.weather import (
    HOUR_S,
    VALUES,
    Filled,
    HourlyWeather,
    Origin,
    empty_weather,
    merged,
)
from irrigate.science.air import saturation_vapour_pressure_kpa
from tests.garden.hourly_tables import SITE, any_tables, clear_summer

NOTHING = empty_weather()


def same(one: HourlyWeather, other: HourlyWeather) -> bool:
    """Return whether two tables are equal to the last bit."""
    return all(
        np.array_equal(getattr(one, field.name), getattr(other, field.name), equal_nan=True)
        for field in fields(HourlyWeather)
    )


def test_whole_weather_passes_unchanged_and_unremarked() -> None:
    """A table without holes comes out equal to the last bit, and nothing is said."""
    whole = clear_summer()
    filled, remarks = fill(whole, SITE, NOTHING)
    assert same(filled, whole)
    assert remarks == ()


def test_no_hours_give_no_hours() -> None:
    """An empty table is no fault of its own."""
    assert fill(NOTHING, SITE, clear_summer()) == (NOTHING, ())


def test_a_short_gap_in_temperature_is_bridged_in_a_straight_line() -> None:
    """Two hours missing lie on the line between their neighbours, and are marked."""
    raw = clear_summer()
    raw.temperature_c[[30, 31]] = np.nan
    filled, remarks = fill(raw, SITE, NOTHING)
    expected = np.interp([30, 31], [29, 32], raw.temperature_c[[29, 32]])
    assert filled.temperature_c[[30, 31]] == pytest.approx(expected, abs=0.005)
    assert list(filled.filled[29:33]) == [0, Filled.TEMPERATURE, Filled.TEMPERATURE, 0]
    assert list(filled.origin[29:33]) == [0, Origin.FILLED, Origin.FILLED, 0]
    assert remarks == ("temperature missing 2 h on 13 Jul, taken from the hours beside it",)


def test_a_long_gap_takes_the_same_hours_of_the_days_before() -> None:
    """Where every day is the same, a day lost is found again exactly."""
    whole, raw = clear_summer(), clear_summer()
    raw.temperature_c[50:75] = np.nan
    filled, remarks = fill(raw, SITE, NOTHING)
    assert np.array_equal(filled.temperature_c, whole.temperature_c)
    assert remarks == (
        "temperature missing 25 h from 13 Jul to 14 Jul, taken from the same hours of other days",
    )


def test_recent_hours_lend_their_values() -> None:
    """A table whose first day has no temperatures borrows them from the days before it."""
    days, other = clear_summer(), clear_summer()
    raw, recent = other.select(slice(72, None)), days.select(slice(0, 72))
    raw.temperature_c[:24] = np.nan
    filled, _ = fill(raw, SITE, recent)
    assert np.array_equal(filled.temperature_c, days.temperature_c[72:])
    assert np.array_equal(filled.end_s, raw.end_s)


def test_what_was_told_before_of_the_same_hour_is_no_guess() -> None:
    """An hour that was known and is now null keeps what was known, unmarked."""
    known, raw = clear_summer(), clear_summer()
    raw.temperature_c[10] = raw.solar_mj_m2[15] = raw.rain_mm[7] = np.nan
    filled, remarks = fill(raw, SITE, known)
    assert same(filled, known)
    assert remarks == ()


def test_a_guess_from_before_is_never_lent_to_another_day() -> None:
    """Only measured hours lend: a filled yesterday must not breed a filled today."""
    recent = clear_summer(24)
    recent.filled[:] = Filled.TEMPERATURE
    raw = clear_summer(48).select(slice(24, None))
    raw.temperature_c[:] = np.nan
    filled, remarks = fill(raw, SITE, recent)
    assert len(filled) == 0
    assert remarks == ("no hour has a temperature: none can be used",)


def test_the_table_ends_where_nothing_tells_the_temperature() -> None:
    """After more days than can be borrowed from, the table ends, and says so."""
    raw = clear_summer(24 * 12)
    raw.temperature_c[48:] = np.nan
    filled, remarks = fill(raw, SITE, NOTHING)
    # Five days may borrow from the last day known, and no more.
    assert len(filled) == 48 + 5 * 24
    assert remarks[-1].startswith("weather ends before 120 h from 18 Jul to 23 Jul")


def test_a_gap_of_weeks_ends_the_table_before_it() -> None:
    """Hours that are absent for longer than any day can lend are not invented."""
    later = clear_summer(24, start_s=int(clear_summer(24).end_s[-1]) + 20 * 86_400)
    filled, remarks = fill(merged([clear_summer(24), later]), SITE, NOTHING)
    assert len(filled) == 24
    assert remarks == ("weather ends on 12 Jul: more than 7 days are missing after it",)


def test_absent_hours_are_put_in_and_marked_in_every_value() -> None:
    """Hours that the source left out are there afterwards, with all their marks."""
    whole = clear_summer()
    kept = np.ones(len(whole), dtype=np.bool_)
    kept[60:65] = False
    filled, remarks = fill(whole.select(kept), SITE, NOTHING)
    assert np.array_equal(filled.end_s, whole.end_s)
    assert set(filled.filled[60:65]) == {31}
    assert remarks == (
        "all weather missing 5 h on 14 Jul, put together from hours and days beside it",
    )


def test_false_zeros_at_midday_are_found_and_estimated() -> None:
    """Four hours of no sun at noon between bright ones are the instrument's, and are replaced."""
    raw = clear_summer()
    sky = extraterrestrial_mj_m2(raw.end_s, SITE)
    noon = np.flatnonzero(sky[48:72] == sky[48:72].max())[0] + 48
    false = slice(noon - 2, noon + 2)
    raw.solar_mj_m2[false] = 0.0
    filled, remarks = fill(raw, SITE, NOTHING)
    # 32 and 18 °C, FAO-56 Eq 50.
    assert filled.solar_mj_m2[false] == pytest.approx(0.16 * 14**0.5 * sky[false], abs=0.01)
    assert remarks == (
        "radiation not believable 4 h on 14 Jul (dark under a high sun), taken as missing",
        "radiation missing 4 h on 14 Jul, estimated from the day's temperatures",
    )


def test_one_false_zero_takes_the_clouds_of_the_hours_beside_it() -> None:
    """Where both neighbours have 0.7 of Ra, so has the hour between them."""
    raw = clear_summer()
    raw.solar_mj_m2[64] = 0.0
    filled, remarks = fill(raw, SITE, NOTHING)
    assert filled.solar_mj_m2[64] == pytest.approx(clear_summer().solar_mj_m2[64], abs=0.001)
    assert remarks[1] == "radiation missing 1 h on 14 Jul, taken from the hours beside it"


def test_a_lost_day_between_two_hot_ones_is_hot() -> None:
    """The course of the days before is moved to meet the hours on both sides of the gap."""
    raw = clear_summer()
    raw.temperature_c[72:] += 6.0
    expected = raw.temperature_c[80:104].copy()
    raw.temperature_c[80:104] = np.nan
    filled, _ = fill(raw, SITE, NOTHING)
    # Some of the days before already hold hot hours, so the usual course is not quite the same.
    assert filled.temperature_c[80:104] == pytest.approx(expected, abs=1.6)
    assert filled.temperature_c[80:96] == pytest.approx(expected[:16], abs=0.02)


def test_a_day_that_is_dark_throughout_is_not_believed() -> None:
    """A sensor stuck at a small value all day is found by the day's sum, not by one hour."""
    raw = clear_summer()
    sky = extraterrestrial_mj_m2(raw.end_s, SITE)
    day = slice(5, 29)
    raw.solar_mj_m2[day] = np.minimum(0.04 * 0.75 * sky[day], raw.solar_mj_m2[day])
    _, remarks = believed(raw, SITE)
    assert len(remarks) == 1
    assert "dark under a high sun" in remarks[0]


def test_more_sun_than_the_sky_has_is_not_believed() -> None:
    """Radiation above that at the top of the air becomes an estimate."""
    raw = clear_summer()
    sky = extraterrestrial_mj_m2(raw.end_s, SITE)
    raw.solar_mj_m2[64] = sky[64] + 0.5
    filled, remarks = fill(raw, SITE, NOTHING)
    assert filled.solar_mj_m2[64] < sky[64]
    assert "above what the sun sends" in remarks[0]


def test_a_night_without_radiation_is_no_guess() -> None:
    """That it is dark by night needs no mark and no remark."""
    raw = clear_summer()
    night = extraterrestrial_mj_m2(raw.end_s, SITE) == 0.0
    raw.solar_mj_m2[night] = np.nan
    filled, remarks = fill(raw, SITE, NOTHING)
    assert not filled.filled.any()
    assert remarks == ()


def test_missing_rain_is_none_and_is_marked() -> None:
    """No rain is invented, and the hour says that it was not told."""
    raw = clear_summer()
    raw.rain_mm[3] = np.nan
    filled, remarks = fill(raw, SITE, NOTHING)
    assert filled.rain_mm[3] == 0.0
    assert filled.filled[3] == Filled.RAIN
    assert remarks == ("rain missing 1 h on 11 Jul, taken as none",)


def test_without_a_chance_rain_that_is_told_is_taken_to_fall() -> None:
    """A missing probability is 1 where there is rain and 0 where there is none."""
    raw = clear_summer()
    raw.rain_mm[3] = 2.0
    raw.rain_chance[:] = np.nan
    filled, _ = fill(raw, SITE, NOTHING)
    assert filled.rain_chance[3] == 1.0
    assert filled.rain_chance.sum() == 1.0


def test_hours_that_do_not_share_a_grid_are_the_caller_s_error() -> None:
    """Stamps half an hour apart are not a table of hours."""
    raw = clear_summer(2)
    raw.end_s[1] += 1800
    with pytest.raises(ValueError, match="whole hours apart"):
        fill(raw, SITE, NOTHING)


@settings(max_examples=100, deadline=None)
@given(raw=any_tables(), recent=st.one_of(st.just(NOTHING), any_tables(24)))
def test_nothing_impossible_ever_leaves(raw: HourlyWeather, recent: HourlyWeather) -> None:
    """Whatever comes in, what leaves is whole, hourly, within bounds, and honestly marked."""
    filled, _ = fill(raw, SITE, recent)
    for name in (*VALUES, "rain_chance"):
        assert np.isfinite(getattr(filled, name)).all(), name
    assert not np.any(np.diff(filled.end_s) != HOUR_S)
    assert np.all(np.isin(filled.end_s, np.arange(raw.end_s[0], raw.end_s[-1] + 1, HOUR_S)))
    assert np.all((filled.temperature_c >= -60) & (filled.temperature_c <= 60))
    saturated = np.asarray(saturation_vapour_pressure_kpa(filled.temperature_c))
    assert np.all((filled.vapour_pressure_kpa > 0) & (filled.vapour_pressure_kpa <= saturated))
    sky = extraterrestrial_mj_m2(filled.end_s, SITE)
    assert np.all((filled.solar_mj_m2 >= 0) & (filled.solar_mj_m2 <= sky + 0.101))
    assert np.all((filled.wind_2m_m_s >= 0) & (filled.rain_mm >= 0))
    assert np.all((filled.rain_chance >= 0) & (filled.rain_chance <= 1))
    assert np.all(filled.origin[filled.filled > 0] == Origin.FILLED)
    assert same(filled, quantised(filled))


@settings(max_examples=60, deadline=None)
@given(raw=any_tables())
def test_filling_twice_changes_nothing(raw: HourlyWeather) -> None:
    """A whole table is left alone, however it became whole."""
    once, _ = fill(raw, SITE, NOTHING)
    twice, remarks = fill(once, SITE, NOTHING)
    assert same(once, twice)
    assert remarks == ()


@settings(max_examples=60, deadline=None)
@given(raw=any_tables())
def test_believable_values_are_never_changed(raw: HourlyWeather) -> None:
    """What was told and can be believed comes out as it was told, to the step kept."""
    filled, _ = fill(raw, SITE, NOTHING)
    told, _ = believed(quantised(raw), SITE)
    told = told.select(np.isin(told.end_s, filled.end_s))
    filled = filled.select(np.isin(filled.end_s, told.end_s))
    for name in ("temperature_c", "solar_mj_m2", "wind_2m_m_s", "rain_mm"):
        before, after = getattr(told, name), getattr(filled, name)
        known = ~np.isnan(before)
        assert np.array_equal(before[known], after[known]), name
