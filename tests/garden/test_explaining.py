"""The numbers laid open are those that the balance stepped with, for any pot and weather."""

from __future__ import annotations

import math
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.explaining import explained
from irrigate.garden.pots import Garden
from irrigate.garden.weather import HourlyWeather
from irrigate.garden.working import central_run
from tests.garden.makers import (
    HOUR,
    START,
    any_gardens,
    any_weather,
    standing_of,
    summer,
    three_pots,
)


@settings(max_examples=30, deadline=None)
@given(any_gardens(), any_weather(), st.integers(0, 47), st.integers(30, 900))
def test_every_factor_gives_back_what_the_run_used(
    garden: Garden, weather: HourlyWeather, later_h: int, minutes: int
) -> None:
    """Reference ET, litres per millimetre and the surface's rate come out as the run had them."""
    begins = START + later_h * HOUR
    standing, until = standing_of(garden, at=begins), begins + timedelta(minutes=minutes)
    run = central_run(standing, weather, until)
    for row, pot in enumerate(garden.pots):
        told = explained(standing, weather, until, pot.id)
        index = run.first + told.chosen
        hour = told.hours[told.chosen]
        assert told.plant.leaf_m2 == pytest.approx(run.demand.leaf_m2[row, index], rel=1e-12)
        assert told.surface.rate == pytest.approx(run.demand.evaporation[row, index], rel=1e-9)
        assert told.surface.slack == pytest.approx(run.demand.slack[row, index], rel=1e-9)
        whole_hour = max(told.sky.et0_mm, 0.0)
        assert whole_hour * hour.hours == pytest.approx(hour.et0_mm, rel=1e-9, abs=1e-12)
        asked = hour.et0_mm * told.plant.leaf_m2 * told.believed.use_factor
        assert asked == pytest.approx(hour.asked_l, rel=1e-9, abs=1e-12)
        assert told.stored == {name: values[row] for name, values in run.summary().items()}


@settings(max_examples=30, deadline=None)
@given(any_gardens(most=1), any_weather(), st.integers(30, 2000))
def test_the_lines_of_the_balance_hang_together(
    garden: Garden, weather: HourlyWeather, minutes: int
) -> None:
    """Each line begins where the last ended, and loses what the plant drank and the top dried."""
    standing, until = standing_of(garden), START + timedelta(minutes=minutes)
    told = explained(standing, weather, until, garden.pots[0].id)
    before_l, before_s = told.believed.start_l, START.timestamp()
    before_mm = told.believed.start_surface_mm
    for hour in told.hours:
        assert (hour.begin_l, hour.begins_s, hour.begin_surface_mm) == (
            before_l,
            before_s,
            before_mm,
        )
        assert hour.end_l == pytest.approx(hour.begin_l - hour.drunk_l - hour.dried_l, abs=1e-12)
        assert 0.0 <= hour.drunk_l <= hour.asked_l + 1e-12
        assert 0.0 <= hour.share_left <= 1.0
        before_l, before_s, before_mm = hour.end_l, hour.ends_s, hour.end_surface_mm
    assert before_s == until.timestamp()


def test_the_hour_in_full_is_the_one_that_asks_most() -> None:
    """Of a whole day it is an hour of the early afternoon, and all its numbers are finite."""
    garden = three_pots()
    told = explained(standing_of(garden), summer(), START + timedelta(days=1), garden.pots[0].id)
    assert told.hours[told.chosen].et0_mm == max(hour.et0_mm for hour in told.hours)
    assert told.sky.sun_up
    assert abs(told.sky.hour_angle_rad) < math.pi / 4
    for part in (told.sky, told.surface, told.believed):
        assert all(math.isfinite(getattr(part, name)) for name in part.__slots__)


def test_without_weather_in_between_there_is_nothing_to_work_on() -> None:
    """A table that ends before the decision is refused, and so is a pot that is not there."""
    garden = three_pots()
    standing = standing_of(garden)
    old = summer().select(summer().end_s <= START.timestamp())
    with pytest.raises(ValueError, match="no weather between"):
        explained(standing, old, START + HOUR, garden.pots[0].id)
    with pytest.raises(ValueError, match="not in tuple"):
        explained(standing, summer(), START + HOUR, "nobody")
