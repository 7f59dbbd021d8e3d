"""FAO-56 (Allen, Pereira, Raes, Smith 1998): Examples 28-30 and 40-43, to their printed digits."""

from __future__ import annotations

import numpy as np
import pytest

from irrigate.science import canopy, shading
from irrigate.science.air import psychrometric_constant_kpa_c, slope_kpa_c
from irrigate.science.crop_coefficients import (
    climate_adjusted,
    climate_term,
    crop_et_mm,
    dual_crop_et_mm,
    stage_coefficient,
)

DRY_BEAN_STAGES = (25.0, 25.0, 30.0, 20.0)


def test_example_28_single_coefficient_through_a_season() -> None:
    """Example 28 (p. 133, Eq 66): Kc of dry bean on days 20, 40, 70 and 95."""
    days = np.array([20.0, 40.0, 70.0, 95.0])
    found = stage_coefficient(days, DRY_BEAN_STAGES, 0.15, 1.19, 0.35)
    np.testing.assert_allclose(found, [0.15, 0.77, 1.19, 0.56], atol=0.005)


def test_example_29_basal_coefficient_for_climate() -> None:
    """Example 29 (Eq 70): Kcb mid of dry bean, 1.10 in Table 17, becomes 1.14."""
    assert climate_adjusted(1.10, 2.2, 30.0, 0.4) == pytest.approx(1.14, abs=0.005)


def test_example_30_basal_coefficient_through_a_season() -> None:
    """Example 30 (Eq 66): Kcb of dry bean on days 12, 37, 65 and 90; 0.25 at the end (Table 17)."""
    days = np.array([12.0, 37.0, 65.0, 90.0])
    found = stage_coefficient(days, DRY_BEAN_STAGES, 0.15, 1.14, 0.25)
    # Day 37 is 0.625 before rounding: printed 0.63.
    np.testing.assert_allclose(found, [0.15, 0.63, 1.14, 0.70], atol=0.0051)


def test_low_end_coefficients_are_left_alone() -> None:
    """Text below Eq 65 and 70: a coefficient under 0.45 is not adjusted for climate."""
    assert climate_adjusted(0.35, 4.0, 25.0, 0.4) == 0.35


def test_example_35_sums_the_two_coefficients() -> None:
    """Example 35, day 1 (Eq 69 and 58): Kcb 0.30 and Ke 0.91 at 4.5 mm are 5.5 mm (5.445)."""
    assert dual_crop_et_mm(0.30, 0.91, 4.5) == pytest.approx(5.5, abs=0.06)
    assert crop_et_mm(1.21, 4.5) == dual_crop_et_mm(0.30, 0.91, 4.5)


def test_example_40_sparse_tomatoes() -> None:
    """Example 40 (Eq 94-95): cover 0.50, not 0.85, brings Kcb 1.17 to 0.94, Kc 1.22 to 0.99."""
    added = climate_term(1.1, 30.0, 0.75)
    assert added == pytest.approx(0.02, abs=0.005)
    reduction = canopy.sparse_reduction(0.50, 0.85)
    assert reduction == pytest.approx(0.23, abs=0.005)
    assert climate_adjusted(1.15, 1.1, 30.0, 0.75) == pytest.approx(1.17, abs=0.005)
    assert climate_adjusted(1.20, 1.1, 30.0, 0.75) == pytest.approx(1.22, abs=0.005)
    assert 1.17 - reduction == pytest.approx(0.94, abs=0.005)
    assert 1.22 - reduction == pytest.approx(0.99, abs=0.005)


def test_example_41_natural_vegetation() -> None:
    """Example 41 (Eq 98-101, Box 18): rows at 40° N on day 200 have Kcb 0.75.

    The print rounds tan η to 2.8 and the effective cover to 0.41, then to 0.4; unrounded it is
    0.405.
    """
    sun = shading.noon_sun_elevation_rad(40.0, 200.0)
    assert sun == pytest.approx(1.24, abs=0.005)
    assert np.sin(sun) == pytest.approx(0.94, abs=0.005)
    effective = shading.effective_cover_of_rows(0.3, 1.0, sun)
    assert effective == pytest.approx(0.41, abs=0.006)
    full = canopy.full_cover_coefficient(2.0, 1.5, 55.0)
    assert full == pytest.approx(1.15, abs=0.005)
    assert canopy.basal_from_cover(0.15, full, 0.3, effective, 2.0) == pytest.approx(
        0.75, abs=0.005
    )


def test_example_42_against_a_lysimeter() -> None:
    """Example 42 (38.5° N, day 201): Kcb 0.95; a lysimeter had 0.90-1.00 (Pruitt 1984, there).

    The height is 0.75 m, recomputed from the print.
    """
    sun = shading.noon_sun_elevation_rad(38.5, 201.0)
    effective = shading.effective_cover_of_rows(0.5, 1.0, sun)
    assert effective == pytest.approx(0.66, abs=0.01)
    basal = canopy.basal_from_cover(0.15, 1.17, 0.5, effective, 0.75)
    assert basal == pytest.approx(0.95, abs=0.01)


@pytest.mark.parametrize(
    ("ground_m2", "cover", "basal", "reduced"),
    [(100.0, 0.196, 0.60, 0.40), (50.0, 0.39, 1.04, 0.70)],
)
def test_example_43_olives(ground_m2: float, cover: float, basal: float, reduced: float) -> None:
    """Example 43 (30° N, day 180): ball-shaped crowns of 5 m, r_l 420 s/m, by ground per tree."""
    found_cover = np.pi / 4.0 * 5.0**2 / ground_m2
    assert found_cover == pytest.approx(cover, abs=0.005)
    sun = shading.noon_sun_elevation_rad(30.0, 180.0)
    effective = shading.effective_cover_of_round(found_cover, sun)
    assert shading.effective_cover_of_round(0.196, sun) == pytest.approx(0.20, abs=0.005)
    found = canopy.basal_from_cover(0.15, 1.29, found_cover, effective, 4.0)
    assert found == pytest.approx(basal, abs=0.01)
    factor = canopy.stomatal_factor(0.189, 0.0676, 2.0, 420.0)
    assert factor == pytest.approx(0.67, abs=0.005)
    assert found * factor == pytest.approx(reduced, abs=0.01)


def test_example_43_uses_the_air_of_a_warm_day() -> None:
    """Example 43's Δ 0.189 and γ 0.0676 belong to 25 °C at about sea level (Eq 13 and 8)."""
    assert slope_kpa_c(25.0) == pytest.approx(0.189, abs=0.0005)
    assert psychrometric_constant_kpa_c(101.6) == pytest.approx(0.0676, abs=0.0005)


def test_full_cover_stops_at_two_metres() -> None:
    """Eq 101: Kcb,h is 1.0 + 0.1 h up to 2 m and 1.20 above, at RHmin 45 % and 2 m/s."""
    heights = np.array([0.1, 1.0, 2.0, 3.0, 6.0])
    found = canopy.full_cover_coefficient(heights, 2.0, 45.0)
    np.testing.assert_allclose(found, [1.01, 1.1, 1.2, 1.2, 1.2])


def test_lone_plants_stop_at_two_and_a_half() -> None:
    """P. 202-203 and Eq 105: an isolated stand uses at most 2.5 ETo, tight stomata less."""
    heights = np.array([0.1, 0.6, 1.3, 5.0])
    found = canopy.lone_plant_coefficient(heights, 1.0)
    np.testing.assert_allclose(found, [1.3, 1.8, 2.5, 2.5])
    assert canopy.lone_plant_coefficient(0.6, 1.0, 0.5) == pytest.approx(1.5)


def test_a_seedling_is_not_thrifty() -> None:
    """Size is counted once: a seedling 25 cm wide asks for about 0.32 L at ETo 6 mm.

    Recomputed from Eq 99-101 and Box 18 for a dense seedling under a high sun; the product with
    Table 17's initial 0.15 would give 0.04 L.
    """
    area = shading.shaded_area_of_round_m2(0.25, 0.25, shading.noon_sun_elevation_rad(38.0, 190))
    litres = 6.0 * area * canopy.full_cover_coefficient(0.25, 2.0, 45.0)
    assert litres == pytest.approx(0.32, abs=0.01)
