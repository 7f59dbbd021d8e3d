"""What published measurements say of mixes of two media, and that ours go the same way."""

from __future__ import annotations

import pytest

from irrigate.garden.mixing import mixed_by_volume
from irrigate.settings import catalogue

CORE_M = 0.076


@pytest.mark.parametrize("base", ["peat", "coir"])
def test_perlite_gives_air_and_takes_water(base: str) -> None:
    """More perlite in peat: less porosity, less water held, more air (Londra 2010, abstract).

    HortScience 45:1106, for peat, peat and perlite 75/25 and 50/50, and perlite. For peat and coir
    on eight mixes the abstract of Water 2018, 10:722 says the same of water and large pores.
    Abstracts only, so the direction is all that is asked for; a core of 7.6 cm is assumed.
    """
    fibre, perlite = (catalogue.media()[name].value for name in (base, "perlite"))
    mixes = [
        fibre,
        *(mixed_by_volume("mix", [(fibre, 100.0 - part), (perlite, part)]) for part in (25, 50)),
        perlite,
    ]
    porosity = [mix.theta_s for mix in mixes]
    held = [mix.held_in_straight_pot(CORE_M) for mix in mixes]
    air = [whole - water for whole, water in zip(porosity, held, strict=True)]
    assert porosity == sorted(porosity, reverse=True)
    assert held == sorted(held, reverse=True)
    assert air == sorted(air)


def test_most_water_is_given_up_within_70_cm() -> None:
    """Between two waterings the suction stays within 70 cm of water (Londra 2010, abstract).

    So does our half-and-half mix: of what plants can take from it after draining in a core of
    7.6 cm, more than half is gone at 70 cm.
    """
    peat, perlite = (catalogue.media()[name].value for name in ("peat", "perlite"))
    mix = mixed_by_volume("mix", [(peat, 1.0), (perlite, 1.0)])
    held = mix.held_in_straight_pot(CORE_M)
    assert held - mix.water_content(70.0) > 0.5 * (held - mix.lower_limit)
