"""How much to pour so that enough stays in a dry mix, past which part of it runs."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from irrigate.science.wetting import poured_for_l, taken_up_l

DRY = st.floats(0.0, 3.0)


@given(st.floats(0.0, 8.0), DRY, st.floats(0.01, 5.0), st.floats(0.0, 10.0))
def test_what_is_poured_for_a_need_is_what_that_need_takes(
    taken: float, air_dry: float, span: float, water: float
) -> None:
    """Both ways round it is the same water; never less than what stays, nor twice as much."""
    limit = air_dry + span
    poured = float(poured_for_l(taken, water, limit, air_dry))
    assert taken - 1e-12 <= poured <= 2.0 * taken + 1e-12
    assert float(taken_up_l(water, poured, limit, air_dry)) == pytest.approx(taken, abs=1e-9)
    if water >= limit:
        assert poured == taken


@pytest.mark.parametrize(("water", "taken"), [(1.0, 0.5), (1.0, 4.0), (2.2, 1.0)])
def test_against_the_rate_integrated(water: float, taken: float) -> None:
    """Litre by litre, by scipy: of each the mix keeps ½ when air-dry (1 L) to all from 3 L on."""

    def kept(_: float, now: np.ndarray) -> np.ndarray:
        return np.clip(0.5 + 0.5 * (now - 1.0) / 2.0, 0.5, 1.0)

    def reached(_: float, now: np.ndarray) -> float:
        return float(now[0] - water - taken)

    reached.terminal = True  # type: ignore[attr-defined]
    poured = solve_ivp(kept, (0.0, 20.0), [water], events=reached, rtol=1e-10, atol=1e-12)
    assert float(poured_for_l(taken, water, 3.0, 1.0)) == pytest.approx(
        poured.t_events[0][0], rel=1e-6
    )
