"""What a plant feels of its water, hour by hour: thirst, wilting, roots without air."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from irrigate.garden.belief import FELT
from irrigate.garden.believed import Standing
from irrigate.garden.fold import fold
from irrigate.garden.hours_felt import felt, too_wet
from irrigate.garden.pots import Basin, Garden
from irrigate.garden.weather import HourlyWeather
from tests.garden.makers import (
    DAY,
    HOUR,
    START,
    a_garden,
    a_pot,
    any_gardens,
    any_weather,
    filled,
    standing_of,
    summer,
)

MEMBERS = 4
COOL = {"solar_mj_m2": 0.0, "vapour_pressure_kpa": 2.0, "wind_2m_m_s": 0.0, "temperature_c": 18.0}


def at_share(standing: Standing, *shares: float) -> Standing:
    """Return the same with the members at these shares of available water, in every pot."""
    traits = standing.traits
    water = traits.limit_l + np.array(shares) * traits.available_l
    return replace(standing, belief=replace(standing.belief, water_l=water))


def hours(standing: Standing, days: int, **weather: float) -> np.ndarray:
    """Return the hours felt after so many days [3, pot]."""
    later = fold(standing, [], summer(8, **weather), START + days * DAY, MEMBERS)
    assert later is not None
    felt_h: np.ndarray = later.belief.felt_h
    return felt_h


def test_chances_are_shares_of_the_members() -> None:
    """Of four members one is thirsty, one wilting as well, two neither: ½ thirsty, ¼ wilting."""
    standing = at_share(standing_of(a_garden(), MEMBERS), 0.05, 0.12, 0.95, 0.95)
    thirsty, wilting, wet = felt(standing.belief.store, standing.traits)[:, 0]
    assert (thirsty, wilting) == (0.5, 0.25)
    assert wet == 0.0


def test_too_little_air() -> None:
    """Less than a tenth of air is too wet (common practice: roots want 10 % of the volume)."""
    pot = a_pot("1")
    standing = standing_of(a_garden(pot), MEMBERS)
    pores_l = pot.medium.theta_s * pot.vessel.filled_volume_l
    tenth_l = 0.10 * pot.vessel.filled_volume_l
    water = pores_l - tenth_l + np.array([[-0.01, 0.01, 0.3, -1.0]])
    store = replace(standing.belief, water_l=water).store
    assert too_wet(store, standing.traits)[0].tolist() == [False, True, True, False]


def test_water_that_stands_for_more_than_a_day() -> None:
    """In a saucer it drowns the lowest roots after 24 hours; in a reservoir it is meant to stand.

    A day: common practice, no source.
    """
    basins = (Basin("saucer", 3.0), Basin("outer pot", 3.0), Basin("reservoir", 3.0), None)
    garden = a_garden(*(a_pot(str(row), basin=basin) for row, basin in enumerate(basins)))
    standing = filled(standing_of(garden, MEMBERS))
    below = np.broadcast_to(0.9 * standing.known.basin_l, (4, MEMBERS)).copy()
    standing = replace(standing, belief=replace(standing.belief, below_l=below))
    already = felt(standing.belief.store, standing.traits)[2]
    one, two = (hours(standing, days, **COOL)[2] - 24.0 * days * already for days in (1, 2))
    assert one == pytest.approx(np.zeros(4), abs=1e-9)
    assert two == pytest.approx(np.array([24.0, 24.0, 0.0, 0.0]), abs=1e-9)


def test_hours_are_counted_as_long_as_they_last() -> None:
    """A pot at its limit is thirsty and wilting for every hour that it stands so, and not wet."""
    garden = a_garden(a_pot("1"), a_pot("2"))
    dry = at_share(standing_of(garden, MEMBERS), *[0.0] * MEMBERS)
    assert hours(dry, 2, **COOL) == pytest.approx(np.array([[48.0] * 2, [48.0] * 2, [0.0] * 2]))
    later = fold(dry, [], summer(8, **COOL), START + 1.25 * HOUR, MEMBERS)
    assert later is not None
    assert later.belief.felt_h[0] == pytest.approx([1.25, 1.25])


@settings(max_examples=20)
@given(any_gardens(), any_weather())
def test_no_more_hours_than_there_were(garden: Garden, weather: HourlyWeather) -> None:
    """Each is at most the time that went by, and whoever wilts is thirsty."""
    later = fold(standing_of(garden, MEMBERS), [], weather, START + 2 * DAY, MEMBERS)
    assert later is not None
    thirsty, wilting, wet = later.belief.felt_h
    assert len(FELT) == 3
    for one in (thirsty, wilting, wet):
        assert np.all((one >= 0.0) & (one <= 48.0 + 1e-9))
    # The dry point of every member lies above the share at which leaves hang (0.15 at least).
    assert np.all(wilting <= thirsty + 1e-9)
