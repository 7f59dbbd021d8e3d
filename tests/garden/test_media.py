"""Media in vessels: what holds for any mix, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.errors import InputError
from irrigate.garden.media import DRYING_DEPTH_M, Medium
from irrigate.garden.vessels import RoundTaper, Vessel

MIX = Medium("mix", 0.19, 0.80, 0.256, 1.52, 0.25, 8.0, 0.35)

media = st.builds(
    lambda r, p, a, n, limit, rew: Medium("m", r, r + p, a, n, r + limit * p, rew, 0.3),
    st.floats(0.0, 0.2),
    st.floats(0.3, 0.7),
    st.floats(0.02, 2.0),
    st.floats(1.15, 2.5),
    st.floats(0.0, 0.6),
    st.floats(0.0, 12.0),
)
pots = st.builds(
    lambda litres, headspace: RoundTaper.of_volume(litres, headspace_share=headspace),
    st.floats(0.2, 300.0),
    st.floats(0.0, 0.3),
)


@given(media, pots)
def test_water_and_air_fill_the_pores(medium: Medium, pot: Vessel) -> None:
    """Held water lies between residual and saturation, and with the air it makes the porosity."""
    held = medium.container_capacity(pot)
    assert medium.theta_r < held < medium.theta_s
    assert held + medium.air_space(pot) == pytest.approx(medium.theta_s)
    assert 0.0 <= medium.available_l(pot) <= medium.held_l(pot) < pot.filled_volume_l


@given(media, pots)
def test_surface_layer(medium: Medium, pot: Vessel) -> None:
    """REW never passes TEW, and TEW is never more than the layer's pores could hold."""
    total = medium.total_evaporable_water_mm(pot)
    depth_mm = 1000.0 * min(DRYING_DEPTH_M, pot.filled_height_m)
    assert 0.0 <= medium.readily_evaporable_water_mm(pot) <= total <= medium.theta_s * depth_mm


@given(media, st.floats(0.12, 0.6))
def test_the_top_is_the_driest_layer(medium: Medium, height: float) -> None:
    """Eq 73 by the top layer's own water is no more than by the pot's mean."""
    pot = RoundTaper(0.3, 0.3, height)
    mean = medium.container_capacity(pot)
    by_mean = 1000.0 * (mean - 0.5 * medium.lower_limit) * DRYING_DEPTH_M
    assert medium.total_evaporable_water_mm(pot) <= max(by_mean, 0.0) + 1e-9


def test_a_shallow_pot_dries_to_its_floor() -> None:
    """In a pot filled less than 0.10 m high, Ze is the filled height and the mean is the pot's."""
    pot = RoundTaper(0.2, 0.2, 0.08, 0.01)
    expected = 1000.0 * (MIX.container_capacity(pot) - 0.5 * 0.25) * 0.07
    assert MIX.total_evaporable_water_mm(pot) == pytest.approx(expected)


def test_a_trade_five_of_potting_mix() -> None:
    """A 14.9 L nursery pot holds some 7 L of water, 3.5 to 4 L of it to a plant's use.

    Guards against change; 0.25-0.35 of a pot's volume is the range from memory.
    """
    pot = RoundTaper.of_volume(14.9)
    assert MIX.held_l(pot) == pytest.approx(7.1, abs=0.1)
    assert 0.25 <= MIX.available_l(pot) / pot.filled_volume_l <= 0.35
    assert MIX.dry_mass_kg(pot) == pytest.approx(0.35 * pot.filled_volume_l)


def test_water_at_a_suction() -> None:
    """At no suction the mix is saturated; it gives water up with suction."""
    assert MIX.water_content(0.0) == MIX.theta_s
    assert MIX.water_content(100.0) < MIX.water_content(50.0) < MIX.theta_s


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"theta_r": 0.9}, "mix 'mix': needs 0 <= theta_r < theta_s < 1"),
        ({"theta_s": 1.0}, "mix 'mix': needs 0 <= theta_r < theta_s < 1"),
        ({"theta_s": 0.19}, "mix 'mix': needs 0 <= theta_r < theta_s < 1"),
        ({"lower_limit": 0.80}, "mix 'mix': needs theta_r <= lower_limit < theta_s"),
        ({"n": 1.0}, "mix 'mix': needs alpha_per_cm above 0 and n above 1"),
        ({"lower_limit": 0.1}, "mix 'mix': needs theta_r <= lower_limit < theta_s"),
        ({"rew_mm": -1.0}, "mix 'mix': needs rew_mm of 0 or more and a bulk density"),
        ({"bulk_density_kg_l": float("nan")}, "mix 'mix': every number must be finite"),
    ],
)
def test_impossible_mixes_are_refused(change: dict[str, float], text: str) -> None:
    """A curve that cannot be is refused by name."""
    with pytest.raises(InputError) as raised:
        replace(MIX, **change)
    assert str(raised.value) == text
