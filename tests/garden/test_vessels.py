"""Vessels: exact volumes against integration, proportions, and refusals that say what to mend."""

from __future__ import annotations

import math
from dataclasses import FrozenInstanceError

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from irrigate.errors import InputError
from irrigate.garden.vessels import RoundBowl, RoundTaper, SquareTaper, Trough, Vessel

side = st.floats(0.03, 1.5)
share = st.floats(0.0, 0.4)
vessels = st.one_of(
    st.builds(lambda t, b, h, s: RoundTaper(t, b, h, s * h), side, side, side, share),
    st.builds(lambda t, b, h, s: SquareTaper(t, b, h, s * h), side, side, side, share),
    st.builds(
        lambda a, b, c, d, h, s: Trough(a, b, c, d, h, s * h), side, side, side, side, side, share
    ),
    st.builds(lambda t, h, s: RoundBowl(t, h, s * h), side, side, share),
)


@given(vessels)
def test_volume_is_the_integral_of_area(vessel: Vessel) -> None:
    """Litres to the rim and of the medium equal scipy's integral of the cross-section."""
    for litres, top in (
        (vessel.volume_l, vessel.height_m),
        (vessel.filled_volume_l, vessel.filled_height_m),
    ):
        integral = 1000.0 * quad(lambda z: float(vessel.area_m2(z)), 0.0, top)[0]
        assert litres == pytest.approx(integral, rel=1e-9)


@given(side, side, side)
def test_round_pot_is_a_frustum(top: float, base: float, height: float) -> None:
    """A round pot's volume is (π h/12)(D² + D d + d²) (school geometry)."""
    expected = 1000.0 * math.pi * height / 12.0 * (top**2 + top * base + base**2)
    assert RoundTaper(top, base, height).volume_l == pytest.approx(expected, rel=1e-12)


@given(vessels)
def test_side_area_is_the_integral_of_the_perimeter(vessel: Vessel) -> None:
    """The wall beside the medium equals scipy's integral of the perimeter, its slope left out.

    A bowl's perimeter begins like a root at its foot, where sixteen nodes are a little off.
    """
    integral = quad(lambda z: float(vessel.perimeter_m(z)), 0.0, vessel.filled_height_m)[0]
    rel = 1e-3 if isinstance(vessel, RoundBowl) else 1e-9
    assert vessel.side_area_m2 == pytest.approx(integral, rel=rel)


@given(side, side, side, share)
def test_the_wall_of_a_frustum(top: float, base: float, height: float, left: float) -> None:
    """A round wall is π/2 (D + d) s along its slope s (school geometry); ours leaves that out.

    A square one's is 2 (A + a) s. The slope of a pot's wall is steep: for a base of 0.8 of the top
    and a height of 0.95 of it, what the slope would add is half a percent.
    """
    depth = height * (1.0 - left)
    at_fill = base + (top - base) * (1.0 - left)
    slope = math.hypot(depth, (at_fill - base) / 2.0)
    slanted = math.pi / 2.0 * (at_fill + base) * slope
    found = RoundTaper(top, base, height, left * height).side_area_m2
    assert found == pytest.approx(slanted * depth / slope, rel=1e-9)
    square = SquareTaper(top, base, height, left * height).side_area_m2
    assert square == pytest.approx(2.0 * (at_fill + base) * depth, rel=1e-9)
    usual = RoundTaper.of_volume(15.0, headspace_share=0.0)
    lean = (usual.top_diameter_m - usual.base_diameter_m) / 2.0
    assert math.hypot(usual.height_m, lean) / usual.height_m == pytest.approx(1.0055, abs=5e-4)


def test_perimeters_by_hand() -> None:
    """Circle, square and oblong at half height; the rim of a bowl is its own circle."""
    assert RoundTaper(0.3, 0.2, 0.3).perimeter_m(0.15) == pytest.approx(math.pi * 0.25)
    assert SquareTaper(0.3, 0.2, 0.3).perimeter_m(0.15) == pytest.approx(1.0)
    assert Trough(0.9, 0.3, 0.7, 0.2, 0.2).perimeter_m(0.1) == pytest.approx(2 * (0.8 + 0.25))
    assert RoundBowl(0.4, 0.2).perimeter_m(0.2) == pytest.approx(math.pi * 0.4)


@given(side)
def test_half_ball_and_cube(width: float) -> None:
    """A bowl half as high as wide is half a ball; straight pots are cylinder, cube and box."""
    assert RoundBowl(width, width / 2).volume_l == pytest.approx(1000 * math.pi * width**3 / 12)
    assert RoundTaper(width, width, width).volume_l == pytest.approx(1000 * math.pi / 4 * width**3)
    assert SquareTaper(width, width, width).volume_l == pytest.approx(1000 * width**3)
    box = Trough(2 * width, width, 2 * width, width, width)
    for vessel in (RoundBowl(width, width), SquareTaper(width, width, width), box):
        assert vessel.filled_volume_l == vessel.volume_l  # no headspace unless one is given
    assert box.volume_l == pytest.approx(2000 * width**3)


@given(vessels, st.floats(0.0, 0.9))
def test_levels_share_out_the_medium(vessel: Vessel, from_share: float) -> None:
    """The levels lie within their layer, their shares sum to 1, and the mean height is exact."""
    lowest, top = from_share * vessel.filled_height_m, vessel.filled_height_m
    heights, shares = vessel.levels(lowest)
    assert lowest < heights.min() < heights.max() < top
    assert shares.sum() == pytest.approx(1.0)
    moment = quad(lambda z: z * float(vessel.area_m2(z)), lowest, top)[0]
    mean = 1000.0 * moment / (vessel.filled_volume_l - vessel.volume_below_l(lowest))
    assert float((heights * shares).sum()) == pytest.approx(mean, rel=1e-9)


@given(st.sampled_from([RoundTaper, SquareTaper, Trough, RoundBowl]), st.floats(0.05, 500.0))
def test_a_pot_known_by_its_volume(shape: type[RoundTaper], litres: float) -> None:
    """A pot made from a volume holds that volume, about nine tenths of it medium."""
    vessel = shape.of_volume(litres)
    assert vessel.volume_l == pytest.approx(litres, rel=1e-12)
    assert 0.83 <= vessel.filled_volume_l / litres <= 0.93


def test_areas_at_rim_and_medium() -> None:
    """Rain enters at the rim; evaporation leaves from the medium, lower and narrower."""
    pot = RoundTaper(0.30, 0.20, 0.30, 0.03)
    assert pot.opening_area_m2 == pytest.approx(math.pi / 4 * 0.30**2)
    assert pot.surface_area_m2 == pytest.approx(math.pi / 4 * 0.29**2)
    assert pot.filled_height_m == pytest.approx(0.27)
    # 10 mm of rain on a 30 cm opening is 0.7 L.
    assert 10.0 * pot.opening_area_m2 == pytest.approx(0.7, abs=0.01)


def test_vessels_are_values() -> None:
    """A vessel cannot be changed, equals its like, and takes arrays of heights."""
    pot = RoundTaper(0.30, 0.20, 0.30)
    with pytest.raises(FrozenInstanceError):
        pot.height_m = 1.0  # type: ignore[misc]
    assert pot == RoundTaper(0.30, 0.20, 0.30)
    assert hash(pot) == hash(RoundTaper(0.30, 0.20, 0.30))
    assert pot.area_m2(np.array([0.0, 0.3])).shape == (2,)


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (lambda: RoundTaper(0.0, 0.2, 0.3), "top diameter 0 m: must be more than 0"),
        (lambda: SquareTaper(0.3, -0.2, 0.3), "base side -0.2 m: must be more than 0"),
        (lambda: RoundBowl(float("nan"), 0.3), "top diameter nan m: must be more than 0"),
        (
            lambda: RoundTaper(0.3, 0.2, 0.3, 0.3),
            "headspace 0.3 m: must be at least 0 and less than the pot's inside height of 0.3 m",
        ),
        (lambda: RoundTaper.of_volume(-1.0), "volume -1 L: must be more than 0"),
        (lambda: Trough.of_volume(float("inf")), "volume inf L: must be more than 0"),
    ],
)
def test_impossible_vessels_are_refused(make: object, text: str) -> None:
    """A pot that cannot be is refused, with what is wrong and what may stand there."""
    with pytest.raises(InputError) as raised:
        make()  # type: ignore[operator]
    assert str(raised.value) == text
