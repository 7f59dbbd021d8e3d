"""Water on its way into a mix, against scipy's solution of the same rates, and its bounds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from irrigate.science.wetting import (
    LEAST_TAKEN,
    caught_by_leaves_mm,
    sucked_up_l,
    taken_up_l,
)

litres = st.floats(0.0, 30.0)
spans = st.floats(0.05, 20.0)


@given(st.floats(0.0, 5.0), spans, st.floats(0.0, 1.0), st.floats(0.0, 15.0))
def test_what_a_dry_mix_takes_up_by_scipy(
    dry: float, span: float, wetness: float, volume: float
) -> None:
    """The closed form is scipy's solution of dW/dV = 1 − ½ (limit − W)/(limit − dry), then 1."""
    repels, start = dry + span, dry + wetness * span

    def share(_: float, water: np.ndarray) -> np.ndarray:
        return 1.0 - (1.0 - LEAST_TAKEN) * np.clip((repels - water) / span, 0.0, 1.0)

    solved = solve_ivp(share, (0.0, volume), [start], rtol=1e-9, atol=1e-12, max_step=0.2 * span)
    expected = solved.y[0, -1] - start if volume > 0.0 else 0.0
    found = float(taken_up_l(start, volume, repels, dry))
    assert found == pytest.approx(expected, rel=1e-5, abs=1e-9)


@given(litres, litres, litres, st.floats(0.0, 10.0), st.floats(0.0, 1.0))
def test_halves_add_up(water: float, volume: float, repels: float, dry: float, part: float) -> None:
    """Poured in two, a mix takes what it takes at once; between half of it and all."""
    whole = float(taken_up_l(water, volume, repels, dry))
    first = float(taken_up_l(water, volume * part, repels, dry))
    second = float(taken_up_l(water + first, volume * (1.0 - part), repels, dry))
    assert first + second == pytest.approx(whole, rel=1e-9, abs=1e-12)
    assert LEAST_TAKEN * volume * (1.0 - 1e-12) <= whole <= volume
    if water >= repels:
        assert whole == volume


@given(litres, spans, spans, litres)
def test_wetter_takes_more(dry: float, span: float, volume: float, more: float) -> None:
    """Of the same water a wetter mix lets less run past."""
    drier, wetter = (float(taken_up_l(dry + one, volume, dry + span, dry)) for one in (0.0, more))
    assert wetter >= drier * (1.0 - 1e-12)


@given(litres, spans, st.floats(0.01, 3.0), st.floats(0.01, 12.0))
def test_what_a_base_sucks_up_by_scipy(
    standing: float, missing: float, rate: float, hours: float
) -> None:
    """The closed form is scipy's solution of dW/dt = rate (missing − W), up to what stands."""
    solved = solve_ivp(lambda _, up: rate * (missing - up), (0.0, hours), [0.0],
                       rtol=1e-9, atol=1e-12)  # fmt: skip
    expected = min(standing, float(solved.y[0, -1]))
    assert float(sucked_up_l(standing, missing, rate, hours)) == pytest.approx(expected, rel=1e-6)


@given(st.lists(st.sampled_from([0.0, 0.0, 0.2, 0.9, 4.0, 20.0]), min_size=1, max_size=40),
       st.floats(0.1, 2.0), st.integers(1, 12))  # fmt: skip
def test_leaves_catch_what_they_hold(rain: list[float], holds: float, hours: int) -> None:
    """No more than falls, the first of it first, and in so many hours no more than they hold."""
    fallen = np.array(rain)
    caught = caught_by_leaves_mm(fallen, holds, hours)
    assert np.all((caught >= 0.0) & (caught <= fallen))
    for begin in range(fallen.size):
        within = slice(begin, begin + hours)
        assert caught[within].sum() <= holds + 1e-9
    first = int(np.argmax(fallen > 0.0))
    assert caught[first] == min(fallen[first], holds)


@given(st.integers(0, 20))
def test_an_hour_of_rain_does_not_hang_on_where_the_table_begins(cut: int) -> None:
    """With the hours before it at hand, an hour's catch has the same bits from any start."""
    fallen = np.round(np.random.Generator(np.random.Philox(key=3)).exponential(0.7, 40), 1)
    whole = caught_by_leaves_mm(fallen, 1.3, 6)
    part = caught_by_leaves_mm(fallen[cut:], 1.3, 6)
    assert np.array_equal(part[5:], whole[cut + 5 :])
