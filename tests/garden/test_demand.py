"""What the air asks of a pot's surface: Eq 71 over its exposed part, and the energy for it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from irrigate.garden.demand import pot_demand, surface_rate
from irrigate.garden.exposure import place_weather
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.traits import DRYING_SHARE, exposed_share
from irrigate.garden.weather import HourlyWeather
from tests.garden.makers import START, a_garden, a_pot, any_gardens, any_weather, summer
from tests.garden.test_leaves import STANDARD, of


def rate(pot: Pot, few: float, *, basal: float) -> tuple[float, float]:
    """Return Ke/few and the slack of a pot whose leaves use so much per area of their canopy."""
    leaves = of(pot)
    area = max(float(leaves.canopy_m2[0]), pot.vessel.surface_area_m2)
    found = surface_rate(pot, STANDARD, replace(leaves, use_m2=np.array([basal * area])), few)
    return float(found.rate[0]), float(found.slack[0])


@pytest.mark.parametrize(
    ("few", "basal", "expected", "slack"),
    [
        # Kc max 1.1 of surfaces wetted daily (Eq 72 with 1.1); bare: all of it, twice over.
        (1.0, 0.0, 1.1, 0.5),
        # 2 × 1.1 − 1.0 = 1.2 for the pot, and at most 1.1 on the exposed part.
        (0.5, 1.0, 1.1, 1.1 / 2.4),
        # Kc max is Kcb + 0.05 there, capped at 1.25; 2 × 1.25 − 2.0 = 0.5 over 0.8 binds.
        (0.8, 2.0, 0.5 / 0.8, 1.0),
        # A plant that draws on twice its ground leaves no energy: the least that is let pass.
        (0.5, 2.6, 0.1, 1.0),
    ],
)
def test_energy_for_the_surface_by_hand(
    few: float, basal: float, expected: float, slack: float
) -> None:
    """Eq 71: the energy of a lone plant's reach (Eq 98: twice Kc max), and Kc max of the wet part.

    At minimum humidity 45 % and wind 2 m/s, where the climate term of Eq 72 is nothing.
    """
    found = rate(a_pot("1"), few, basal=basal)
    assert found == pytest.approx((expected, slack), rel=1e-9)


@settings(max_examples=25)
@given(any_gardens(), any_weather(3))
def test_what_is_asked_keeps_its_bounds(garden: Garden, weather: HourlyWeather) -> None:
    """Litres and millimetres are never negative, slack is a share, and no wet part passes Kc max.

    Kc max is at most 1.3 in a windy, dry climate for plants to 3 m (Eq 72), and a bit above here.
    """
    sizes = np.array([(pot.canopy_width_m, pot.canopy_height_m) for pot in garden.pots])
    asked = pot_demand(garden, weather, sizes, START)
    assert np.all(asked.leaf_m2 >= 0.0)
    assert np.all((asked.evaporation > 0.0) & (asked.evaporation <= 1.6))
    assert np.all((asked.slack > 0.0) & (asked.slack <= 1.0))


@given(any_gardens())
def test_leaves_over_the_mix_leave_it_the_drying_of_the_air(garden: Garden) -> None:
    """Under the densest leaves three tenths of the surface's drying are left, bare all of it.

    The drying power of the air alone makes 0.28 to 0.31 of ETo in FAO-56's Examples 17, 18 and 20.
    """
    sizes = np.array([(pot.canopy_width_m, pot.canopy_height_m) for pot in garden.pots])
    few = exposed_share(garden, sizes, START)
    assert np.all((few >= 0.3) & (few <= 1.0))
    assert exposed_share(garden, 0.0 * sizes, START) == pytest.approx(np.ones_like(few))


def test_the_drying_power_of_the_air_in_the_examples() -> None:
    """By the air come 1.75 of 5.72, 1.07 of 3.88 and 1.39 of 4.56 mm (Examples 17, 18 and 20)."""
    shares = np.array([1.75 / 5.72, 1.07 / 3.88, 1.39 / 4.56])
    assert float(shares.mean()) == pytest.approx(DRYING_SHARE, abs=0.01)


def test_a_part_of_an_hour_asks_for_its_part() -> None:
    """A quarter of an hour asks for a quarter of it, of leaves, surface, rain and all."""
    garden, weather = a_garden(), summer(2, START)
    weather = replace(weather, rain_mm=np.full(len(weather), 2.0))
    sizes = np.array([(0.5, 0.5)])
    asked, places = pot_demand(garden, weather, sizes, START), place_weather(garden, weather)
    whole, part = (asked.at(places, 20, length) for length in (1.0, 0.25))
    for name in ("transpiration_l", "evaporation_mm", "et0_mm", "rain_mm", "caught_mm"):
        found, all_of_it = (np.asarray(getattr(one, name)) for one in (part, whole))
        assert found == pytest.approx(0.25 * all_of_it), name
    assert np.array_equal(part.surface_slack, whole.surface_slack)
