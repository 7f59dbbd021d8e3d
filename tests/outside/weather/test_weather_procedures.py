"""Which column serves, row by row, and that the choice is told."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.outside.weather import procedures
from irrigate.outside.weather.reference_rows import by_day, by_hour, misplaced_hours
from irrigate.science import air
from irrigate.science.daily_site import sun_days
from irrigate.science.hourly_site import Site
from tests.published.greensboro import SITE, greensboro

NAN = float("nan")
ALL = np.array([True])


def column(*values: float) -> np.ndarray:
    """Return a column."""
    return np.array(values, dtype=np.float64)


def test_vapour_pressure_by_the_day_in_fao_order() -> None:
    """Measured, dew point, both extremes, the highest, the mean, the dawn (FAO-56 chapter 3)."""
    table = {
        "t_max_c": np.full(6, 25.0),
        "t_min_c": np.full(6, 18.0),
        "ea_kpa": column(1.5, NAN, NAN, NAN, NAN, NAN),
        "t_dew_c": column(15.0, 15.0, NAN, NAN, NAN, NAN),
        "rh_max_pct": column(82.0, 82.0, 82.0, 82.0, NAN, NAN),
        "rh_min_pct": column(54.0, 54.0, 54.0, NAN, 54.0, NAN),
        "rh_pct": column(68.0, 68.0, 68.0, 68.0, 68.0, NAN),
    }
    chosen = procedures.daily_vapour_pressure(table, 6)
    # Rows 2 to 4 are FAO-56 Example 5.
    np.testing.assert_allclose(chosen.values, [1.5, 1.705, 1.70, 1.69, 1.78, 2.064], atol=0.006)
    assert [(chosen.name(row) or "").split(" (")[0] for row in range(6)] == [
        "ea_kpa",
        "t_dew_c",
        "rh_max_pct and rh_min_pct",
        "rh_max_pct",
        "rh_pct",
        "t_min_c as the dew point",
    ]


def test_radiation_units_agree() -> None:
    """700 W/m² over an hour are 2.52 MJ/m², over a day 60.48 (1 W = 1 J/s)."""
    up = np.array([True, True, False])
    by_watts = procedures.hourly_solar({"rs_w_m2": column(700.0, NAN, NAN)}, up)
    np.testing.assert_allclose(by_watts.values, [2.52, NAN, 0.0])
    assert by_watts.name(1) is None
    assert by_watts.name(2) == procedures.SUN_DOWN
    sun = sun_days(SITE, column(180.0))
    day = procedures.daily_solar({"rs_w_m2": column(300.0)}, sun, coast=False)
    np.testing.assert_allclose(day.values, [25.92])


def test_the_instruments_own_cold_counts_as_no_radiation() -> None:
    """A pyranometer's few watts below zero at night become zero."""
    chosen = procedures.hourly_solar({"rs_w_m2": column(-4.0)}, np.array([False]))
    assert chosen.values[0] == 0.0


def test_radiation_from_the_range_never_passes_the_clear_sky() -> None:
    """A coast with 20 degrees between night and day is held at Rso."""
    sun = sun_days(SITE, column(180.0))
    table = {"t_max_c": column(38.0), "t_min_c": column(18.0)}
    coast = procedures.daily_solar(table, sun, coast=True)
    inland = procedures.daily_solar(table, sun, coast=False)
    assert coast.values[0] == sun.clear_sky_mj_m2[0]
    assert inland.values[0] < coast.values[0]


def test_wind_height() -> None:
    """3.2 m/s at 10 m are 2.4 (FAO-56 Example 14); at 2 m nothing changes; none gives 2."""
    wind = {"wind_m_s": column(3.2, NAN)}
    np.testing.assert_allclose(procedures.wind_at_2m(wind, 2, 10.0).values, [2.4, 2.0], atol=0.05)
    assert procedures.wind_at_2m(wind, 2, 2.0).values[0] == 3.2
    assert procedures.wind_at_2m({}, 1, None).counts(ALL) == {procedures.WIND_ASSUMED: 1}


@given(st.lists(st.lists(st.one_of(st.just(NAN), st.floats(-5, 5)), min_size=4, max_size=4)))
def test_the_first_known_option_is_taken(options: list[list[float]]) -> None:
    """Each row takes the first option that holds a value; counts add up to the known rows."""
    named = {f"option {place}": np.array(values) for place, values in enumerate(options)}
    chosen = procedures.first_known(4, named)
    for row in range(4):
        known = [values[row] for values in options if values[row] == values[row]]
        if known:
            assert chosen.values[row] == known[0]
        else:
            assert np.isnan(chosen.values[row])
            assert chosen.name(row) is None
    everywhere = np.ones(4, dtype=bool)
    assert sum(chosen.counts(everywhere).values()) == np.count_nonzero(~np.isnan(chosen.values))


def hours_of_july(days: int) -> tuple[dict[str, np.ndarray], np.ndarray]:
    """Return some July days of Greensboro as a table."""
    year = greensboro()
    part = slice(24 * 185, 24 * (185 + days))
    table = {
        "t_c": year.temperature_c[part].copy(),
        "ea_kpa": year.vapour_pressure_kpa[part].copy(),
        "rs_mj_m2": year.solar_mj_m2[part].copy(),
        "wind_m_s": year.wind_10m_m_s[part].copy(),
    }
    return table, year.end_s[part]


@given(st.sampled_from(["t_c", "ea_kpa", "rs_mj_m2", "wind_m_s"]), st.integers(0, 71))
def test_each_missing_value_has_its_fate(name: str, hour: int) -> None:
    """A missing value is stood in for by name, or leaves the row empty with a reason."""
    table, ends = hours_of_july(3)
    table[name][hour] = NAN
    rows = by_hour(table, ends, SITE, "fao56", wind_height_m=10.0, first_night=0.5)
    empty = np.flatnonzero(np.isnan(rows.et0_mm)).tolist()
    source = rows.sources["radiation"].name(hour)
    if name == "wind_m_s" or source == procedures.SUN_DOWN:
        assert empty == []
    else:
        assert empty == [hour]
        assert rows.reasons.name(hour) is not None
    assert all(rows.reasons.name(row) is None for row in range(72) if row not in empty)


def test_without_any_day_the_night_stays_empty() -> None:
    """A table of dark hours alone has no clouds to go by, and says so."""
    table, ends = hours_of_july(1)
    dark = {name: values[:4] for name, values in table.items()}
    rows = by_hour(dark, ends[:4], SITE, "fao56", wind_height_m=10.0, first_night=None)
    assert np.isnan(rows.et0_mm).all()
    assert "--first-night" in (rows.reasons.name(0) or "")
    told = by_hour(dark, ends[:4], SITE, "fao56", wind_height_m=10.0, first_night=0.5)
    assert not np.isnan(told.et0_mm).any()


def test_stamps_at_the_wrong_place_are_noticed() -> None:
    """Local hours taken for UTC show sunshine in the dark; the right ones do not."""
    table, ends = hours_of_july(3)
    assert misplaced_hours(table, ends, SITE) == []
    assert misplaced_hours(table, ends - 5 * 3600, SITE)
    assert misplaced_hours(table, ends, Site(36.1, 79.95, 273.0))


def test_a_day_without_a_temperature_stays_empty() -> None:
    """Nothing stands in for a day's extremes."""
    table = {"t_max_c": column(30.0, NAN), "t_min_c": column(18.0, 17.0)}
    rows = by_day(table, column(180.0, 181.0), SITE, "fao56", wind_height_m=None, coast=False)
    assert not np.isnan(rows.et0_mm[0])
    assert np.isnan(rows.et0_mm[1])
    assert rows.reasons.name(1) == "no t_max_c"


def test_measured_pressure_serves_before_the_elevation() -> None:
    """A row with a pressure uses it, one without that of the elevation (Eq 7)."""
    chosen = procedures.pressure({"pressure_kpa": column(97.0, NAN)}, 2, 273.0)
    assert chosen.values[0] == 97.0
    assert chosen.values[1] == pytest.approx(air.pressure_kpa(273.0))
