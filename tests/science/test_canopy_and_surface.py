"""Canopy, shading, surface and root zone: bounds, limits and shapes that must always hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.science import canopy, root_zone, shading, surface
from irrigate.science.crop_coefficients import climate_term, stage_coefficient

latitudes = st.floats(-66.0, 66.0)
days = st.floats(1.0, 366.0)
sizes = st.floats(0.05, 4.0)
depths = st.one_of(st.just(0.0), st.floats(1e-6, 40.0))


@given(sizes, sizes, latitudes, days)
def test_a_shadow_is_no_smaller_than_its_crown(
    width: float, height: float, latitude: float, day: float
) -> None:
    """The shaded area is at least the crown seen from above; the bound on low sun limits it."""
    sun = shading.noon_sun_elevation_rad(latitude, day)
    from_above = np.pi / 4.0 * width**2
    shadow = shading.shaded_area_of_round_m2(width, height, sun)
    assert shadow >= from_above * (1.0 - 1e-12)
    # Bound of 30°: the shadow is no longer than cot 30° = √3 times the height.
    assert shadow <= from_above + np.pi / 4.0 * width * height * 3.0**0.5 + 1e-12
    box = shading.shaded_area_of_row_m2(width, width, height, sun)
    assert box > shadow


@given(sizes, st.floats(0.6, 1.5))
def test_a_ball_is_box_18(width: float, sun: float) -> None:
    """For a crown as high as wide the lone shadow is Box 18's round form, fc / sin η."""
    shadow = shading.shaded_area_of_round_m2(width, width, sun)
    ground = 100.0
    cover = np.pi / 4.0 * width**2 / ground
    by_box = shading.effective_cover_of_round(cover, sun) * ground
    assert shadow == pytest.approx(float(by_box), rel=1e-12)


@given(sizes, sizes, sizes, st.floats(0.6, 1.5))
def test_a_row_is_box_18(length: float, width: float, height: float, sun: float) -> None:
    """The lone row's shadow is Box 18's rectangular form with the height to width ratio."""
    ground = 1000.0
    by_box = shading.effective_cover_of_rows(length * width / ground, height / width, sun) * ground
    found = shading.shaded_area_of_row_m2(length, width, height, sun)
    assert found == pytest.approx(float(by_box), rel=1e-12)


@given(latitudes, days)
def test_sun_at_noon_by_the_plain_rule(latitude: float, day: float) -> None:
    """At noon the sun's zenith distance is latitude less declination (school geometry)."""
    declination = 0.409 * np.sin(2.0 * np.pi * day / 365.0 - 1.39)
    expected = np.pi / 2.0 - abs(np.deg2rad(latitude) - declination)
    assert shading.noon_sun_elevation_rad(latitude, day) == pytest.approx(expected, abs=1e-7)


def test_polar_night_is_below_the_horizon() -> None:
    """In the polar night the noon sun is below the horizon and the shadow stays bounded."""
    sun = shading.noon_sun_elevation_rad(80.0, 355)
    assert sun < 0.0
    assert shading.shaded_area_of_round_m2(1.0, 1.0, sun) == pytest.approx(np.pi / 2.0)


@given(sizes, st.floats(0.1, 1.3), st.floats(0.0, 10.0), st.floats(5.0, 100.0))
def test_a_crop_is_bound_by_its_own_row(
    height: float, own: float, wind: float, humidity: float
) -> None:
    """The bounded coefficient is the smaller of the two, and stomata scale it."""
    free = canopy.full_cover_coefficient(height, wind, humidity)
    bound = canopy.crop_full_cover_coefficient(height, own, wind, humidity)
    assert bound <= free
    assert canopy.crop_full_cover_coefficient(height, np.inf, wind, humidity) == free
    halved = canopy.crop_full_cover_coefficient(height, own, wind, humidity, 0.5)
    assert halved == pytest.approx(0.5 * float(bound))


@given(st.floats(0.0, 30.0), st.floats(-10.0, 120.0), st.floats(0.0, 30.0))
def test_climate_stays_within_its_limits(wind: float, humidity: float, height: float) -> None:
    """The climate term stays within what FAO-56's range of validity gives, and rises with wind."""
    term = climate_term(wind, humidity, height)
    assert -0.18 * (10 / 3) ** 0.3 - 1e-12 <= term <= 0.26 * (10 / 3) ** 0.3 + 1e-12
    assert climate_term(wind + 1.0, humidity, height) >= term


@given(st.floats(0.0, 12.0), st.floats(0.0, 12.0))
def test_density_grows_to_one(index: float, more: float) -> None:
    """More leaves never use less, and never more than full cover."""
    sparse, dense = canopy.canopy_density(index), canopy.canopy_density(index + more)
    assert 0.0 <= sparse <= dense <= 1.0
    assert canopy.basal_from_leaf_area(0.15, 1.15, index) == pytest.approx(
        0.15 + float(sparse), abs=1e-12
    )


@given(st.floats(20.0, 1000.0), st.floats(0.5, 6.0))
def test_tighter_stomata_use_less(resistance: float, wind: float) -> None:
    """Fr is 1 at 100 s/m and falls with resistance."""
    here = canopy.stomatal_factor(0.189, 0.0676, wind, resistance)
    assert canopy.stomatal_factor(0.189, 0.0676, wind, resistance + 10.0) < here
    assert canopy.stomatal_factor(0.189, 0.0676, wind, 100.0) == pytest.approx(1.0)


@given(st.floats(0.0, 40.0), st.floats(0.0, 60.0))
def test_wetting_loses_nothing(depletion: float, water: float) -> None:
    """What wets the surface and what passes on add up to the water given."""
    left, passed = surface.wet_the_surface(depletion, water)
    assert depletion - left + passed == pytest.approx(water, abs=1e-12)
    assert left == 0.0 or passed == 0.0


@given(st.floats(0.0, 1.0), st.floats(0.2, 1.3), st.floats(0.0, 0.2), st.floats(0.0, 1.0))
def test_evaporation_keeps_below_the_maximum(
    kr: float, maximum: float, basal: float, few: float
) -> None:
    """Kcb and Ke together never pass Kc max, nor Ke the exposed wetted share of it."""
    ke = surface.evaporation_coefficient(kr, maximum, basal, few)
    assert 0.0 <= ke <= few * maximum
    assert basal + ke <= maximum + 1e-12


@given(depths, depths, depths)
def test_drying_ends_at_the_total(readily: float, more: float, depletion: float) -> None:
    """Kr is 1 up to REW, falls to 0 at TEW, and does not divide by zero where they meet."""
    total = readily + more
    kr = surface.reduction_coefficient(total, readily, depletion)
    assert 0.0 <= kr <= 1.0
    if depletion < readily - 1e-9:
        assert kr == 1.0
    if depletion >= total:
        assert kr == 0.0


@given(st.floats(0.0, 100.0), st.floats(0.0, 80.0), st.floats(0.0, 10.0), st.booleans())
def test_root_zone_loses_nothing(depletion: float, water: float, use: float, early: bool) -> None:
    """Change of depletion is use plus percolation less water, as long as no bound is met."""
    day = root_zone.day_with_early_water if early else root_zone.day_with_late_water
    after, passed = day(depletion, water, use, 1e6)
    assert after - depletion == pytest.approx(float(use + passed - water), abs=1e-9)
    assert after >= 0.0
    assert passed >= 0.0


@given(st.floats(-10.0, 200.0))
def test_a_season_has_no_jumps(day: float) -> None:
    """The stage curve is continuous and stays between its three values."""
    curve = (25.0, 25.0, 30.0, 20.0), 0.15, 1.14, 0.25
    here, soon = stage_coefficient(day, *curve), stage_coefficient(day + 0.01, *curve)
    assert abs(here - soon) <= 0.01 * 0.99 / 20.0
    assert 0.15 <= here <= 1.14


def test_float32_stays_float32() -> None:
    """Every formula that clips keeps the precision of the arrays that it is given."""
    x = np.array([0.2, 0.6], np.float32)
    found = [
        climate_term(2.2, 30.0, x),
        canopy.full_cover_coefficient(x, 2.0, 45.0),
        canopy.crop_full_cover_coefficient(x, 1.1, 2.0, 45.0, 0.7),
        canopy.stomatal_factor(0.189, 0.0676, x, 100.0),
        canopy.basal_from_cover(0.15, 1.15, x, x, 1.0),
        canopy.lone_plant_coefficient(x, 1.0),
        shading.noon_sun_elevation_rad(x, 200.0),
        shading.shaded_area_of_round_m2(x, 0.3, 1.0),
        surface.maximum_coefficient(x, 2.0, 45.0, 0.3),
        surface.reduction_coefficient(20.0, 9.0, x),
        surface.covered_fraction(x, 0.15, 1.2, 0.3),
        surface.exposed_wetted_fraction(x, 1.0),
        surface.wet_the_surface(x, 1.0)[0],
        stage_coefficient(x, (20.0, 30.0, 40.0, 20.0), 0.15, 1.1, 0.8),
        root_zone.day_with_early_water(x, 1.0, 0.5, 30.0)[0],
    ]
    assert [array.dtype for array in found] == [np.float32] * len(found)
