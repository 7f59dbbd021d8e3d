"""Salt in the water: the published rule, its ceiling, and where it asks for nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.science.salinity import (
    LEACHING_CEILING,
    NOT_SALTY_DS_M,
    leaching_requirement,
)

salts = st.floats(0.0, 12.0)


def test_maize_in_fao_29() -> None:
    """FAO-29 Rev. 1 (Ayers & Westcot 1985), Eq 9: water of 1.2 and soil of 2.5 dS/m ask for 0.10.

    Its example goes on to 800 mm / (1 − 0.10) = 890 mm. Example and figures from memory: they are
    cut to two digits (0.106, 895 mm).
    """
    share = float(leaching_requirement(1.2, 2.5))
    assert share == pytest.approx(0.10, abs=0.01)
    assert 800.0 / (1.0 - share) == pytest.approx(890.0, abs=6.0)


@given(salts, st.floats(0.5, 8.0), st.floats(1.0, 3.0))
def test_saltier_water_asks_for_more_up_to_the_ceiling(
    water: float, bears: float, more: float
) -> None:
    """It rises with the water's salt, falls with what the crop bears, and has a ceiling of 15 %.

    The ceiling: leaching fraction below 15 % in container nurseries (EDIS EP529).
    """
    share = float(leaching_requirement(water, bears))
    assert 0.0 <= share <= LEACHING_CEILING
    assert float(leaching_requirement(water * more, bears)) >= share
    assert float(leaching_requirement(water, bears * more)) <= share
    assert (share == 0.0) == (water < NOT_SALTY_DS_M)


def test_water_saltier_than_the_crop_bears_is_no_trap() -> None:
    """Where the rule divides by nothing or less, the ceiling stands; no water washes that out."""
    assert float(leaching_requirement(7.5, 1.5)) == LEACHING_CEILING
    assert float(leaching_requirement(9.0, 1.5)) == LEACHING_CEILING
