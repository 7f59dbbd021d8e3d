"""The retention curve and the drained pot: identities, bounds, and a quadrature of other make."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from irrigate.garden.vessels import RoundBowl, RoundTaper, Vessel
from irrigate.science import retention

residual = st.floats(0.0, 0.25)
pores = st.floats(0.3, 0.7)
alpha = st.floats(0.01, 3.0)
steepness = st.floats(1.1, 3.0)
curves = st.builds(lambda r, p, a, n: (r, r + p, a, n), residual, pores, alpha, steepness)


def _capacity(vessel: Vessel, curve: tuple[float, float, float, float]) -> float:
    heights, shares = vessel.levels()
    return float(retention.container_capacity(heights * 100.0, shares, *curve))


@given(curves, st.floats(0.0, 15000.0))
def test_between_residual_and_saturation(
    curve: tuple[float, float, float, float], suction: float
) -> None:
    """Water content never leaves the range from residual to saturation."""
    found = retention.water_content(suction, *curve)
    assert curve[0] - 1e-12 <= found <= curve[1] + 1e-12


@given(curves, st.floats(0.0, 1000.0), st.floats(0.1, 1000.0))
def test_more_suction_less_water(
    curve: tuple[float, float, float, float], suction: float, more: float
) -> None:
    """Water content falls with suction."""
    assert retention.water_content(suction + more, *curve) <= retention.water_content(
        suction, *curve
    )


@given(curves, st.floats(0.02, 0.98))
def test_the_curve_reads_both_ways(
    curve: tuple[float, float, float, float], saturation: float
) -> None:
    """The water content at the suction of a water content is that water content."""
    theta = curve[0] + saturation * (curve[1] - curve[0])
    suction = retention.suction_cm(theta, *curve)
    assert retention.water_content(suction, *curve) == pytest.approx(theta, abs=1e-9)


def test_ends_of_the_inverse() -> None:
    """Saturated and wetter means no suction; residual and drier means no end of it."""
    found = retention.suction_cm(np.array([0.9, 0.8, 0.1, 0.05]), 0.1, 0.8, 0.1, 1.5)
    np.testing.assert_array_equal(found, [0.0, 0.0, np.inf, np.inf])


@settings(max_examples=60)
@given(curves, st.floats(0.05, 0.6), st.floats(0.3, 1.0), st.booleans())
def test_drained_pot_against_another_quadrature(
    curve: tuple[float, float, float, float], height: float, taper: float, bowl: bool
) -> None:
    """Container capacity agrees with scipy's adaptive quadrature as closely as is claimed."""
    vessel = RoundBowl(0.3, height) if bowl else RoundTaper(0.3, 0.3 * taper, height)
    edges = [0.0, 1e-4, 1e-3, 1e-2, height]
    litres = 1000.0 * sum(
        quad(
            lambda z: float(retention.water_content(100.0 * z, *curve)) * float(vessel.area_m2(z)),
            low,
            high,
        )[0]
        for low, high in pairwise(edges)
    )
    claimed = 2e-4 if curve[3] <= 2.0 else 1e-3
    assert _capacity(vessel, curve) == pytest.approx(litres / vessel.volume_l, abs=claimed)


@given(curves)
def test_shallow_pots_hold_more(curve: tuple[float, float, float, float]) -> None:
    """Of one medium, CC(3.8 cm) > CC(7.6 cm) > CC(15.2 cm), while CC + air space stays the same.

    The heights are those of Owen & Altland 2008, HortScience 43:505.
    """
    held = [_capacity(RoundTaper(0.1, 0.1, height), curve) for height in (0.038, 0.076, 0.152)]
    assert held[0] > held[1] > held[2]
    for water in held:
        assert curve[0] < water < curve[1]
        assert water + retention.air_space(curve[1], water) == pytest.approx(curve[1])


@given(curves, st.floats(0.4, 0.95))
def test_a_narrow_base_holds_less(curve: tuple[float, float, float, float], taper: float) -> None:
    """Narrowing the wet base of a pot lowers its mean water content."""
    straight = _capacity(RoundTaper(0.3, 0.3, 0.3), curve)
    assert _capacity(RoundTaper(0.3, 0.3 * taper, 0.3), curve) < straight


def test_arrays_of_pots_and_members() -> None:
    """Curves may differ by pot and member: the node axis is the last and is summed away."""
    heights, shares = RoundTaper(0.3, 0.25, 0.28, 0.02).levels()
    alphas = np.array([[0.1, 0.2, 0.3], [0.4, 0.5, 0.6]])
    found = retention.container_capacity(heights * 100.0, shares, 0.1, 0.8, alphas, 1.5)
    assert found.shape == (2, 3)
    for index, value in np.ndenumerate(alphas):
        alone = retention.container_capacity(heights * 100.0, shares, 0.1, 0.8, float(value), 1.5)
        assert found[index] == pytest.approx(float(alone), rel=1e-14)


@given(curves)
def test_water_by_suction_adds_up(curve: tuple[float, float, float, float]) -> None:
    """Easily available plus buffering water is what leaves between 1 and 10 kPa."""
    together = retention.easily_available_water(*curve) + retention.buffering_water(*curve)
    between = retention.water_content(10.0, *curve) - retention.water_content(100.0, *curve)
    assert together == pytest.approx(float(between), abs=1e-12)
