"""The vocabulary of weather columns: what suffices, and what cannot be right."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.outside.weather.columns import (
    COLUMNS,
    STEPS,
    Step,
    implausible,
    known_columns,
    lacking,
)
from tests.published.greensboro import greensboro


@pytest.mark.parametrize(
    ("names", "step", "expected"),
    [
        (["time", "t_c", "t_dew_c", "rs_w_m2"], "hour", []),
        (["time", "t_c", "rh_pct", "rs_mj_m2", "x"], "hour", []),
        (["date", "t_max_c", "t_min_c"], "day", []),
        (["time", "t_c", "rs_w_m2"], "hour", ["none of ea_kpa, t_dew_c, rh_pct"]),
        (["time", "t_c", "RH_pct", "rs_w_m2"], "hour",
         ["none of ea_kpa, t_dew_c, rh_pct; is 'RH_pct' meant for rh_pct?"]),
        (["date", "t_c"], "day", ["no column t_max_c", "no column t_min_c"]),
        ([], "day", ["no column date", "no column t_max_c", "no column t_min_c"]),
    ],
)  # fmt: skip
def test_what_a_table_lacks(names: list[str], step: Step, expected: list[str]) -> None:
    """Each lack is a sentence; a name that is nearly right is asked about."""
    assert lacking(names, step) == expected


def test_columns_of_the_other_step_are_not_known() -> None:
    """A highest temperature is no column of hours."""
    assert known_columns(["t_max_c", "t_c", "colour"], "hour") == ["t_c"]
    assert known_columns(["t_max_c", "t_c", "colour"], "day") == ["t_max_c", "t_c"]


@given(st.sampled_from(sorted(COLUMNS)), st.sampled_from(STEPS), st.floats(0.0, 1.0))
def test_limits_are_inclusive_and_beyond_is_reported(name: str, step: Step, share: float) -> None:
    """Any value within a column's limits passes, and one beyond is named by row and column."""
    limits = COLUMNS[name].limits(step)
    if limits is None:
        return
    low, high = limits
    inside = min(max(low + share * (high - low), low), high)
    values = {name: np.array([np.nan, low, inside, high])}
    assert implausible(values, step) == []
    for beyond in (low - 0.01 - abs(low) * 0.01, high + 0.01 + abs(high) * 0.01, np.inf, -np.inf):
        values[name][2] = beyond
        found = implausible(values, step)
        assert [(one.row, one.column) for one in found] == [(2, name)]


def test_a_real_year_is_plausible() -> None:
    """8760 real hours (NREL 2008, TMY3, Greensboro) pass without a word."""
    year = greensboro()
    table = {
        "t_c": year.temperature_c,
        "t_dew_c": year.dew_point_c,
        "rh_pct": year.humidity_pct,
        "rs_mj_m2": year.solar_mj_m2,
        "wind_m_s": year.wind_10m_m_s,
    }
    assert implausible(table, "hour") == []


@pytest.mark.parametrize(
    ("values", "step", "column"),
    [
        ({"t_c": 60.0 * 1.8 + 32.0}, "hour", "t_c"),  # degrees Fahrenheit
        ({"ea_kpa": 18.0}, "hour", "ea_kpa"),  # hectopascals
        ({"pressure_kpa": 1013.0}, "hour", "pressure_kpa"),
        ({"rs_mj_m2": 700.0}, "hour", "rs_mj_m2"),  # watts
        ({"t_max_c": 10.0, "t_min_c": 11.0}, "day", "t_min_c"),
        ({"rh_max_pct": 40.0, "rh_min_pct": 60.0}, "day", "rh_min_pct"),
        ({"t_c": 20.0, "t_dew_c": 22.0}, "hour", "t_dew_c"),
        ({"t_c": 20.0, "ea_kpa": 2.6}, "hour", "ea_kpa"),
        ({"rh_pct": 0.55}, "hour", "rh_pct"),  # a share
    ],
)
def test_wrong_units_and_contradictions(values: dict[str, float], step: Step, column: str) -> None:
    """A wrong unit or two values that contradict each other are reported, never converted."""
    found = implausible({name: np.array([value]) for name, value in values.items()}, step)
    assert column in [one.column for one in found]


def test_findings_come_by_row() -> None:
    """The first finding is the one highest up in the table."""
    found = implausible(
        {"wind_m_s": np.array([1.0, 2.0, -1.0]), "t_c": np.array([1.0, 99.0, 99.0])}, "hour"
    )
    assert [(one.row, one.column) for one in found] == [(1, "t_c"), (2, "t_c"), (2, "wind_m_s")]
