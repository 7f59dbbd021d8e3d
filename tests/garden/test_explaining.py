"""The numbers laid open are those that the balance stepped with, for any pot and weather."""

from __future__ import annotations

import math
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.balance import STRAIN_COSTS
from irrigate.garden.events import Given
from irrigate.garden.explaining import explained
from irrigate.garden.fold import fold
from irrigate.garden.pots import Basin, Garden
from irrigate.garden.weather import HourlyWeather
from irrigate.garden.working import central_run
from tests.garden.makers import (
    HOUR,
    START,
    a_garden,
    a_pot,
    any_gardens,
    any_weather,
    fact,
    standing_of,
    summer,
    three_pots,
    version,
)
from tests.garden.stirring import stirred, wets


@settings(max_examples=30, deadline=None)
@given(any_gardens(), any_weather(), st.integers(0, 47), st.integers(30, 900), wets())
def test_every_factor_gives_back_what_the_run_used(
    garden: Garden, weather: HourlyWeather, later_h: int, minutes: int, wet: float
) -> None:
    """Reference ET, litres per millimetre and the surface's rate come out as the run had them."""
    begins = START + later_h * HOUR
    standing, until = stirred(garden, wet, begins), begins + timedelta(minutes=minutes)
    run = central_run(standing, weather, until)
    for row, pot in enumerate(garden.pots):
        told = explained(standing, weather, until, pot.id)
        index, hour, plant = run.first + told.chosen, told.hour, told.plant
        assert plant.leaf_m2 == pytest.approx(run.demand.leaf_m2[row, index], rel=1e-12)
        held = min(plant.free_m2, plant.limit_m2) * plant.leaf_share
        assert held == pytest.approx(plant.leaf_m2, rel=1e-12)
        assert told.surface.rate == pytest.approx(run.demand.evaporation[row, index], rel=1e-9)
        assert told.surface.slack == pytest.approx(run.demand.slack[row, index], rel=1e-9)
        smaller = min(told.surface.by_energy, told.surface.most)
        assert smaller == pytest.approx(told.surface.rate, rel=1e-9)
        whole_hour = max(told.at_place.sky.et0_mm, 0.0)
        assert whole_hour * hour.hours == pytest.approx(hour.et0_mm, rel=1e-9, abs=1e-12)
        fresh = 1.0 - STRAIN_COSTS * hour.strain
        asked = hour.et0_mm * plant.leaf_m2 * told.believed.use_factor * fresh
        assert asked == pytest.approx(hour.asked_l, rel=1e-9, abs=1e-12)
        assert told.stored == {name: values[row] for name, values in run.summary().items()}


@settings(max_examples=30, deadline=None)
@given(any_gardens(most=1), any_weather(), st.integers(30, 2000), wets())
def test_the_lines_of_the_balance_hang_together(
    garden: Garden, weather: HourlyWeather, minutes: int, wet: float
) -> None:
    """Each line begins where the last ended; what it lost and took back is the change (Eq 85)."""
    standing, until = stirred(garden, wet), START + timedelta(minutes=minutes)
    told = explained(standing, weather, until, garden.pots[0].id)
    pot = told.believed
    before = (pot.start_l, pot.start_surface_mm, pot.start_below_l, START.timestamp())
    for hour in told.hours:
        assert (hour.begin_l, hour.begin_surface_mm, hour.begin_below_l, hour.begins_s) == before
        lost = hour.drunk_l + hour.dried_l + hour.breathed_l
        assert hour.end_l == pytest.approx(hour.begin_l + hour.back_l - lost, abs=1e-12)
        below = hour.begin_below_l - hour.back_l - hour.stood_l
        assert hour.end_below_l == pytest.approx(below, abs=1e-12)
        assert 0.0 <= hour.drunk_l <= hour.asked_l + 1e-12
        assert 0.0 <= hour.share_left <= 1.0
        before = (hour.end_l, hour.end_surface_mm, hour.end_below_l, hour.ends_s)
    assert before[3] == until.timestamp()
    evaporated = math.fsum(hour.dried_l + hour.breathed_l + hour.stood_l for hour in told.hours)
    assert evaporated == pytest.approx(told.stored["central_evaporated_l"], abs=1e-12)


@settings(max_examples=30, deadline=None)
@given(any_gardens(most=1), any_weather())
def test_what_the_pot_holds_comes_out_of_its_mix(garden: Garden, weather: HourlyWeather) -> None:
    """Limit and home's share of the laboratory's water are what is full; roots reach part."""
    told = explained(standing_of(garden), weather, START + HOUR, garden.pots[0].id)
    pot, mix, medium = told.believed, told.believed.mix, garden.pots[0].medium
    limit, laboratory = mix.limit_theta * mix.filled_l, mix.mean_theta * mix.filled_l
    full = limit + mix.home_fill * (laboratory - limit)
    assert full == pytest.approx(pot.full_l, rel=1e-12)
    assert mix.air + pot.full_l / mix.filled_l == pytest.approx(medium.theta_s, rel=1e-12)
    assert mix.top_theta <= mix.mean_theta <= mix.base_theta
    unreached = pot.roots.unreached_l if pot.roots else 0.0
    assert limit + unreached == pytest.approx(pot.limit_l, rel=1e-9)
    assert pot.full_l - pot.limit_l == pytest.approx(pot.available_l, rel=1e-12)


def test_what_moved_so_far_is_the_ledger() -> None:
    """Water in less water out is what the pot has gained since it was first seen, in any member."""
    garden = a_garden(a_pot("1", basin=Basin("saucer", 2.0, 0.02)))
    given = fact(Given("p-1", 6.0), START + 5 * HOUR)
    now = fold(None, [version(garden), given], summer(), START + 60 * HOUR, 8)
    assert now is not None
    told = explained(now, summer(), START + 61 * HOUR, "p-1")
    first = standing_of(garden).belief.water_l
    gained = now.belief.water_l + now.belief.below_l - first
    assert told.so_far.given_l == pytest.approx(6.0, rel=0.1)
    assert told.so_far.change_l == pytest.approx(gained.mean(), rel=1e-6)
    assert told.so_far.drained_l > 0.0
    assert 0.0 < told.so_far.thirsty_h < 60.0


def test_the_hour_in_full_is_the_one_that_asks_most() -> None:
    """Of a whole day it is an hour of the early afternoon, and all its numbers are finite."""
    garden = three_pots()
    told = explained(standing_of(garden), summer(), START + timedelta(days=1), garden.pots[0].id)
    sky, pot = told.at_place.sky, told.believed
    assert told.hour.et0_mm == max(hour.et0_mm for hour in told.hours)
    assert sky.sun_up
    assert abs(sky.hour_angle_rad) < math.pi / 4
    for part in (sky, told.surface, pot, pot.mix, told.so_far, told.hour):
        values = [getattr(part, name) for name in part.__slots__]
        assert all(math.isfinite(value) for value in values if isinstance(value, float))


def test_without_weather_in_between_there_is_nothing_to_work_on() -> None:
    """A table that ends before the decision is refused, and so is a pot that is not there."""
    garden = three_pots()
    standing = standing_of(garden)
    old = summer().select(summer().end_s <= START.timestamp())
    with pytest.raises(ValueError, match="no weather between"):
        explained(standing, old, START + HOUR, garden.pots[0].id)
    with pytest.raises(ValueError, match="not in tuple"):
        explained(standing, summer(), START + HOUR, "nobody")
