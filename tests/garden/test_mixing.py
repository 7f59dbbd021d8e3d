"""Mixes of a gardener's own: what holds for any parts and any two measured numbers."""

from __future__ import annotations

import doctest
import itertools
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.errors import InputError
from irrigate.garden import mixing
from irrigate.garden.media import Medium
from irrigate.garden.mixing import LEAST_AIR, LEAST_AVAILABLE, as_measured, mixed_by_volume
from irrigate.settings import catalogue

STOCKED = [entry.value for entry in catalogue.media().entries.values()]
PEAT, PERLITE = (catalogue.media()[name].value for name in ("peat", "perlite"))
LINEAR = ("theta_r", "theta_s", "lower_limit", "rew_mm", "bulk_density_kg_l", "rewet_below")
CURVE = ("theta_r", "theta_s", "alpha_per_cm", "n")
MISFIT_AT_A_SUCTION, MISFIT_IN_A_POT = 0.06, 0.025  # as the docstring of mixed_by_volume says

media = st.builds(
    lambda r, p, a, n, limit, rew: Medium("m", r, r + p, a, n, r + limit * p, rew, 0.3),
    st.floats(0.0, 0.2),
    st.floats(0.3, 0.7),
    st.floats(0.02, 2.0),
    st.floats(1.15, 2.5),
    st.floats(0.0, 0.6),
    st.floats(0.0, 12.0),
)
volumes = st.floats(0.01, 1000.0)


@given(st.lists(st.tuples(media, volumes), min_size=1, max_size=5))
def test_a_mix_lies_between_its_parts(parts: list[tuple[Medium, float]]) -> None:
    """Porosity, limits, free evaporation and density of a mix are never outside those of parts."""
    mix = mixed_by_volume("mix", parts)
    for field in LINEAR:
        values = [getattr(medium, field) for medium, _ in parts]
        assert min(values) - 1e-12 <= getattr(mix, field) <= max(values) + 1e-12, field


@given(media, st.lists(volumes, min_size=1, max_size=5))
def test_parts_of_one_medium_are_that_medium(medium: Medium, amounts: list[float]) -> None:
    """Whatever the parts, a medium mixed with itself is itself."""
    mix = mixed_by_volume("m", [(medium, amount) for amount in amounts])
    for field in (*LINEAR, *CURVE):
        assert getattr(mix, field) == pytest.approx(getattr(medium, field), rel=1e-9), field


@given(media, media, volumes, volumes, st.floats(0.1, 10.0))
def test_only_proportions_count(
    one: Medium, other: Medium, some: float, more: float, scale: float
) -> None:
    """Neither the measure that parts are counted in nor their order changes what is held."""
    mix = mixed_by_volume("mix", [(one, some), (other, more)])
    again = mixed_by_volume("mix", [(other, scale * more), (one, scale * some)])
    for suction_cm in (0.0, 5.0, 20.0, 100.0):
        assert again.water_content(suction_cm) == pytest.approx(
            mix.water_content(suction_cm), abs=1e-5
        )


@pytest.mark.parametrize("share", [0.25, 0.5, 0.75])
def test_any_two_of_the_catalogue_keep_to_their_mean(share: float) -> None:
    """The one fitted curve misses the parts' mean by no more than the function's docstring says."""
    for one, other in itertools.combinations(STOCKED, 2):
        mix = mixed_by_volume("mix", [(one, share), (other, 1.0 - share)])
        for suction_cm in (0.0, 0.5, 1.0, 2.0, 4.0, 10.0, 30.0, 50.0, 100.0):
            mean = share * one.water_content(suction_cm) + (1 - share) * other.water_content(
                suction_cm
            )
            assert abs(mix.water_content(suction_cm) - mean) <= MISFIT_AT_A_SUCTION
        for height_m in (0.1, 0.2, 0.4):
            held = [medium.held_in_straight_pot(height_m) for medium in (one, other)]
            mean = share * held[0] + (1.0 - share) * held[1]
            found = mix.held_in_straight_pot(height_m)
            assert abs(found - mean) <= MISFIT_IN_A_POT, (one.name, other.name)
            assert min(held) - MISFIT_IN_A_POT <= found <= max(held) + MISFIT_IN_A_POT


def test_mostly_mineral() -> None:
    """A mix counts as mineral where more than half of it is."""
    loam = catalogue.media()["loam"].value
    assert mixed_by_volume("mix", [(loam, 2.0), (PEAT, 1.0)]).mineral
    assert not mixed_by_volume("mix", [(loam, 1.0), (PEAT, 1.0)]).mineral


@pytest.mark.parametrize(
    ("parts", "text"),
    [
        ([], "mix 'mine': needs at least one part"),
        ([(PEAT, 1.0), (PERLITE, 0.0)], "mix 'mine': every part must be more than 0"),
        ([(PEAT, float("inf"))], "mix 'mine': every part must be more than 0"),
    ],
)
def test_impossible_parts_are_refused(parts: list[tuple[Medium, float]], text: str) -> None:
    """Nothing, none of something, and no end of it are no mix."""
    with pytest.raises(InputError) as raised:
        mixed_by_volume("mine", parts)
    assert str(raised.value) == text


@given(
    st.sampled_from(STOCKED),
    st.floats(0.0, 1.0),
    st.floats(0.0, 0.5),
    st.floats(0.05, 0.6),
)
def test_measured_numbers_are_met(base: Medium, full: float, dry: float, height_m: float) -> None:
    """A mix told by two numbers has both, to a millionth, in the pot they were measured in."""
    wilted = 0.02 + dry * (base.theta_s - 0.1)
    lowest, highest = wilted + LEAST_AVAILABLE + 1e-9, base.theta_s - LEAST_AIR - 1e-9
    held = lowest + full * (highest - lowest)
    mix = as_measured(base, held=held, wilted=wilted, height_m=height_m)
    assert mix.held_in_straight_pot(height_m) == pytest.approx(held, abs=1e-6)
    assert mix.lower_limit == wilted
    assert (mix.theta_s, mix.n) == (base.theta_s, base.n)


@given(media, st.floats(0.05, 0.4))
def test_its_own_numbers_change_nothing(base: Medium, height_m: float) -> None:
    """A mix that was measured to be as the one it resembles is that one."""
    held = base.held_in_straight_pot(height_m)
    if not base.lower_limit + LEAST_AVAILABLE <= held <= base.theta_s - LEAST_AIR:
        with pytest.raises(InputError):
            as_measured(base, height_m=height_m)
        return
    mix = as_measured(base, height_m=height_m)
    for suction_cm in (1.0, 10.0, 100.0):
        assert mix.water_content(suction_cm) == pytest.approx(
            base.water_content(suction_cm), abs=1e-6
        )


@pytest.mark.parametrize(
    ("held", "wilted", "height_m", "text"),
    [
        (
            0.75,
            0.2,
            0.2,
            (
                "mix 'perlite': cannot hold 75 % after draining: it has pores for 70 %, and some "
                "of that is air; choose a mix with more pores"
            ),
        ),
        (
            0.3,
            0.35,
            0.2,
            (
                "mix 'perlite': holds 30 % after draining and wilts at 35 %: nothing is left for "
                "plants between the two"
            ),
        ),
        (0.3, 0.1, 0.0, "mix 'perlite': the pot it was measured in needs a height above 0"),
    ],
)
def test_impossible_measurements_are_refused(
    held: float, wilted: float, height_m: float, text: str
) -> None:
    """Two numbers that no mix of these pores can have are refused, with what they clash with."""
    with pytest.raises(InputError) as raised:
        as_measured(PERLITE, held=held, wilted=wilted, height_m=height_m)
    assert str(raised.value) == text


def test_a_curve_too_gentle_to_drain_so_far_is_refused() -> None:
    """With n near 1 a pot stays wet at any scale; that is said, not met by a number of no sense."""
    gentle = Medium("gentle", 0.0, 0.8, 0.1, 1.005, 0.0, 8.0, 0.3)
    with pytest.raises(InputError, match=r"its curve with n 1.005 cannot drain to 10 %"):
        as_measured(gentle, held=0.1)


@given(media)
def test_what_suction_gives_up(medium: Medium) -> None:
    """Easily available and buffering water are what lies between 1, 5 and 10 kPa of the curve.

    Definition: De Boodt & Verdonck 1972, Acta Hort. 26:37 (from memory); 1 kPa as 10 cm.
    """
    at_1, at_5, at_10 = (medium.water_content(suction) for suction in (10.0, 50.0, 100.0))
    assert medium.easily_available_water == pytest.approx(at_1 - at_5)
    assert medium.buffering_water == pytest.approx(at_5 - at_10)


def test_a_mix_with_no_lower_limit_can_be_measured() -> None:
    """A base that plants empty wholly takes a measured wilting point too."""
    empty = replace(PERLITE, theta_r=0.0, lower_limit=0.0)
    assert as_measured(empty, held=0.4, wilted=0.1).lower_limit == 0.1


def test_examples_in_docstrings() -> None:
    """The examples in the docstrings are right."""
    found = doctest.testmod(mixing)
    assert found.attempted > 0
    assert found.failed == 0
