"""What leaves use per millimetre of reference ET: by size, neighbours, ground and season."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.leaves import APART, LIMIT, Climate, Leaves, leaves_of
from irrigate.garden.pots import Garden, Ground, Place, Pot, Spacing
from irrigate.garden.weather import HourlyWeather
from irrigate.science.canopy import full_cover_coefficient
from tests.garden.makers import START, a_garden, a_pot, any_gardens, any_weather, summer

YARD = Place("yard", wind=1.0)
# The climate in which FAO-56 prints its coefficients: minimum humidity 45 %, wind 2 m/s.
STANDARD = Climate(
    end_s=np.array([int(START.timestamp()) + 3600 * 20]),
    day_of_year=np.array([191.0]),
    wind_2m_m_s=np.array([2.0]),
    humidity_min_pct=np.array([45.0]),
    temperature_c=np.array([25.0]),
)


def of(pot: Pot, place: Place = YARD, climate: Climate = STANDARD) -> Leaves:
    """Return a pot's leaves at a place, on the day of START."""
    garden = a_garden(replace(pot, place=place.name), places=(place,))
    size = np.array([pot.canopy_width_m, pot.canopy_height_m])
    return leaves_of(garden.pots[0], garden, climate, size, START)


def use(pot: Pot, place: Place = YARD) -> float:
    """Return litres per millimetre in the standard climate."""
    return float(of(pot, place).use_m2[0])


@settings(max_examples=40)
@given(any_gardens(), any_weather(3))
def test_use_keeps_its_bounds(garden: Garden, weather: HourlyWeather) -> None:
    """Never negative, never above full cover of the plant's own ground, nor its lone limit.

    The limit: 2.5 or 1.4 per shaded ground × Fr (FAO-56 p. 202-203); Eq 98: twice the canopy.
    """
    open_ground = Climate.of(weather)
    for pot in garden.pots:
        place = garden.place(pot.place)
        size = np.array([pot.canopy_width_m, pot.canopy_height_m])
        leaves = leaves_of(pot, garden, open_ground.at(place), size, START)
        assert np.all(leaves.use_m2 >= 0.0)
        assert np.all(leaves.use_m2 <= leaves.limit_m2 + 1e-12)
        assert np.all(leaves.use_m2 <= leaves.full_cover * leaves.ground_m2 + 1e-12)
        assert np.all(leaves.use_m2 <= 2.0 * leaves.full_cover * leaves.canopy_m2 + 1e-12)
        assert np.all(leaves.shaded_m2 >= leaves.canopy_m2 - 1e-12)


def test_a_touching_plant_by_the_printed_numbers() -> None:
    """A tomato 0.6 m wide, 1 m tall among others: Kcb 1.1 (Eq 101) × 0.878 (Eq 97) × its ground.

    Where canopies touch, a round one covers π/4 of its square, and its noon shadow more: Eq 98
    makes that 0.36 m² × (shadow/0.36)^½. Leaf area index 3.
    """
    tomato = replace(a_pot("1", "tomato", size_m=(0.6, 1.0)))
    tomato = replace(tomato, crop=replace(tomato.crop, leaf_area_index=3.0, bare_stem=0.0))
    found = of(tomato, replace(YARD, spacing="close"))
    sun = float(found.noon_sun_rad[0])
    shadow = np.pi / 4.0 * 0.6 * np.hypot(0.6, 1.0 / np.tan(sun))
    expected = 1.1 * 0.878 * 0.36 * min(1.0, shadow / 0.36) ** 0.5
    assert float(found.use_m2[0]) == pytest.approx(expected, rel=2e-3)


@given(st.floats(0.05, 1.5), st.floats(0.05, 2.5), st.sampled_from(["tomato", "fig", "basil"]))
def test_the_further_apart_the_more_each_uses(width: float, height: float, crop: str) -> None:
    """Alone a plant uses no less than some way apart, and there no less than among its like.

    Crowding halves a plant's use at most: ×1.5 per plant was weighed between pots on concrete
    three heights apart and in a dense block (Hagishima and others 2007, abstract).
    """
    pot = a_pot("1", crop, size_m=(width, height))
    order: tuple[Spacing, ...] = ("close", "apart", "alone")
    close, apart, alone = (use(pot, replace(YARD, spacing=spacing)) for spacing in order)
    assert close <= apart * (1.0 + 1e-12)
    assert apart <= alone * (1.0 + 1e-12)
    assert alone <= 2.0 * close * (1.0 + 1e-12), "Eq 98's twice the canopy"
    assert use(replace(pot, setting="hanging"), replace(YARD, spacing="close")) == alone


@given(st.floats(0.05, 1.5), st.floats(0.05, 2.5))
def test_green_surroundings_are_no_drier(width: float, height: float) -> None:
    """Amid watered plants a lone one is held to 1.4 of its shadow, on bare ground or paving to 2.5.

    Paving is bare ground: over asphalt a day's use was the same or less (Kjelgren & Cole 2000).
    """
    pot = a_pot("1", "tomato", size_m=(width, height))
    order: tuple[Ground, ...] = ("green", "bare", "paved")
    green, bare, paved = (
        use(pot, Place("yard", ground=ground, spacing="alone")) for ground in order
    )
    assert green <= bare == paved
    shadow = float(of(pot).shaded_m2[0])
    assert green <= 1.4 * shadow + 1e-12
    assert (LIMIT["green"], LIMIT["paved"]) == (1.4, 2.5)


def test_a_trunk_gives_off_nothing() -> None:
    """A little tree on a bare stem shades less ground than one clothed to its foot."""
    lemon = a_pot("1", "lemon", size_m=(0.6, 1.5))
    close = replace(YARD, spacing="close")
    clothed, stemmed = (
        of(replace(lemon, crop=replace(lemon.crop, bare_stem=stem)), close) for stem in (0.0, 0.6)
    )
    assert float(stemmed.crown_m[0]) == pytest.approx(0.6)
    assert stemmed.shaded_m2[0] < clothed.shaded_m2[0]
    assert stemmed.use_m2[0] < clothed.use_m2[0]


def test_a_measured_leaf_area_enters_by_eq_97() -> None:
    """Twice the leaves on the same ground are less than twice the use, as Eq 97 has it.

    Leaf areas of the crop's usual index change nothing; 0.1 m² on 0.196 m² is an index of 0.51.
    """
    pot = a_pot("1", "tomato", size_m=(0.5, 0.8))
    usual = pot.crop.leaf_area_index * np.pi / 4.0 * 0.25
    assert use(replace(pot, leaf_area_m2=float(usual))) == pytest.approx(use(pot), rel=1e-12)
    few, twice = (use(replace(pot, leaf_area_m2=area)) for area in (0.1, 0.2))
    index = 0.1 / (np.pi / 4.0 * 0.25)
    assert twice / few == pytest.approx(
        (1.0 - np.exp(-1.4 * index)) / (1.0 - np.exp(-0.7 * index)), rel=1e-12
    )


def test_a_bare_plant_uses_nothing_and_a_tiring_one_less() -> None:
    """Without its leaves a fig uses nothing; at the end of its season a pepper Kcb end over mid."""
    fig = a_pot("1", "fig")
    bare = replace(fig, crop=replace(fig.crop, leaves_by_month=(0.0,) * 12))
    assert use(bare) == 0.0
    pepper = a_pot("1", "pepper", size_m=(0.6, 0.7))
    old = START.date() - timedelta(days=sum(pepper.crop.stages_d) + 5)
    share = pepper.crop.kcb_end / pepper.crop.kcb_mid
    assert use(replace(pepper, planted=old)) == pytest.approx(share * use(pepper))


def test_climate_terms_are_of_the_day_that_ends_with_the_hour() -> None:
    """A gale in the morning is in the next 24 hours' mean wind, and in none before it or after."""
    weather = summer(4, START)
    wind = np.full(96, 1.0)
    wind[30] = 25.0
    found = Climate.of(replace(weather, wind_2m_m_s=wind)).wind_2m_m_s
    assert found[29] == 1.0
    assert found[30:54] == pytest.approx(np.full(24, 2.0))
    assert found[54] == pytest.approx(1.0)


@given(st.integers(1, 60))
def test_an_hours_climate_does_not_hang_on_where_the_table_begins(cut: int) -> None:
    """With its own 24 hours at hand, an hour has the same bits from any beginning."""
    weather = summer(5, START)
    whole, part = Climate.of(weather), Climate.of(weather.select(slice(cut, None)))
    for name in ("wind_2m_m_s", "humidity_min_pct", "temperature_c"):
        assert np.array_equal(getattr(part, name)[23:], getattr(whole, name)[cut + 23 :]), name


def test_the_wind_is_the_places_own() -> None:
    """In a sheltered yard the climate term of Eq 99 sees half the wind, under glass 0.5 m/s."""
    half = STANDARD.at(Place("yard", wind=0.5))
    house = STANDARD.at(Place("house", glass=0.7))
    assert (half.wind_2m_m_s[0], house.wind_2m_m_s[0]) == (1.0, 0.5)
    vine = a_pot("1", "tomato", size_m=(0.6, 1.8))
    assert float(of(vine, climate=half).full_cover[0]) < float(of(vine).full_cover[0])
    assert float(of(vine).full_cover[0]) <= float(full_cover_coefficient(1.8, 2.0, 45.0))


def test_neighbours_stand_in_widths_of_the_canopy() -> None:
    """Touching is one width from stem to stem; alone leaves Eq 98 free to its bound of 2 fc."""
    pot = a_pot("1", "tomato", size_m=(0.6, 0.6))
    assert APART["close"] == 1.0
    alone = of(pot, replace(YARD, spacing="alone"))
    assert float(alone.reached_m2[0]) == pytest.approx(2.0 * float(alone.canopy_m2[0]))
