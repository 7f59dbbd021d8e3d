"""What makes a pot thirsty sooner and what does not, from full and without rain."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.belief import LEDGER, STORED
from irrigate.garden.demand import pot_demand
from irrigate.garden.events import Given
from irrigate.garden.exposure import place_weather
from irrigate.garden.fold import fold
from irrigate.garden.outlook import full_store, look_ahead, run
from irrigate.garden.pots import Basin, Garden, Pot
from irrigate.garden.vessels import RoundBowl, RoundTaper, SquareTaper, Trough, Vessel
from irrigate.garden.weather import HourlyWeather
from tests.garden.makers import (
    HOUR,
    START,
    any_gardens,
    any_weather,
    fact,
    filled,
    standing_of,
)

MEMBERS = 12
# Crossings are found in float32, by straight lines within the hour.
SLACK_S = 120.0
MAKERS = (RoundTaper.of_volume, SquareTaper.of_volume, Trough.of_volume, RoundBowl.of_volume)


def dry(weather: HourlyWeather) -> HourlyWeather:
    """Return the weather without its rain."""
    return replace(weather, rain_mm=np.zeros(len(weather)))


def thirsty_s(
    garden: Garden, pot: Pot, weather: HourlyWeather, *, surface_dry: bool = False
) -> np.ndarray:
    """Return when each member of a pot gets thirsty from full, in this garden [s after START]."""
    standing = standing_of(replace(garden, pots=(pot,)), MEMBERS)
    ahead = look_ahead(standing, weather)
    store = full_store(ahead, standing.belief.store)
    if surface_dry:
        dried = np.broadcast_to(ahead.traits.evaporable_mm, store.water_l.shape)
        store = replace(store, surface_mm=dried.astype(np.float32))
    return run(ahead, store, START).thirsty_s[0]


def no_later(sooner: np.ndarray, later: np.ndarray) -> bool:
    """Return whether every member is thirsty no later in the first than in the second."""
    return bool(np.all(sooner <= later + SLACK_S))


@settings(max_examples=30, deadline=None)
@given(any_gardens(), any_weather(), st.floats(1.0, 2.0))
def test_more_reference_et_is_never_later(
    garden: Garden, weather: HourlyWeather, more: float
) -> None:
    """With every hour asking more, every member is thirsty no later."""
    standing = standing_of(garden, MEMBERS)
    ahead = look_ahead(standing, dry(weather))
    asking = replace(ahead.places, et0_mm=ahead.places.et0_mm * np.float32(more))
    store = full_store(ahead, standing.belief.store)
    mild, harsh = (
        run(one, store, START).thirsty_s for one in (ahead, replace(ahead, places=asking))
    )
    assert no_later(harsh, mild)


@settings(max_examples=30, deadline=None)
@given(any_gardens(most=1), any_weather(), st.floats(0.0, 0.9), st.floats(0.0, 0.9))
def test_more_sun_is_never_later(
    garden: Garden, weather: HourlyWeather, shade: float, other: float
) -> None:
    """Under more shade at its place a pot is thirsty no sooner, in the open and under glass.

    Said of shade at the place: more sun on open ground also means a clearer, colder night.
    """
    weather, found = dry(weather), []
    for less in sorted((shade, other)):
        places = tuple(replace(one, shade=less) for one in garden.places)
        found.append(thirsty_s(replace(garden, places=places), garden.pots[0], weather))
    assert no_later(found[0], found[1])


def _scaled(basin: Basin | None, times: float) -> Basin | None:
    """Return a basin of the same shape that holds so many times as much."""
    if basin is None:
        return None
    wider = times ** (2.0 / 3.0)
    return replace(basin, volume_l=basin.volume_l * times, open_m2=basin.open_m2 * wider)


@settings(max_examples=40, deadline=None)
@given(any_gardens(most=1), st.sampled_from(MAKERS), st.floats(1.0, 40.0), st.floats(1.0, 3.0),
       any_weather(), st.booleans())  # fmt: skip
def test_a_larger_pot_of_its_shape_is_never_earlier(
    garden: Garden, make: Callable[[float], Vessel], litres: float, times: float,
    weather: HourlyWeather, surface_dry: bool,
) -> None:  # fmt: skip
    """A larger pot of the same shape never dries a plant of the same size sooner.

    Precondition: its surface is dry, or the plant covers the top of either pot. A larger pot also
    has a wider top to lose water from; under a sprig in sandy soil it can lose more than it holds
    more, and be thirsty half an hour sooner. What stands below it is of the same shape as well: a
    saucer of one size is worth more to the smaller pot.
    """
    (pot,) = garden.pots
    small = replace(pot, vessel=make(litres))
    large = replace(pot, vessel=make(litres * times), basin=_scaled(pot.basin, times))
    if not surface_dry:
        across = 2.0 * float(np.sqrt(large.vessel.surface_area_m2 / np.pi))
        width = max(pot.canopy_width_m, across)
        small, large = (replace(one, canopy_width_m=width) for one in (small, large))
    sooner, later = (
        thirsty_s(garden, one, dry(weather), surface_dry=surface_dry) for one in (small, large)
    )
    assert no_later(sooner, later)


@settings(max_examples=40, deadline=None)
@given(any_gardens(most=1), st.floats(1.0, 2.0), any_weather())
def test_more_canopy_is_never_later_once_the_surface_is_dry(
    garden: Garden, wider: float, weather: HourlyWeather
) -> None:
    """A wider plant is thirsty no later.

    Its height is left alone: in humid, calm air the climate term of FAO-56 (Eq 70 and 99) is
    negative and grows with height, so that a taller plant is given a little less.

    Precondition: the surface is dry. While it is wet, a canopy that grows over it shades it, and a
    small plant's shade can save the pot more than its leaves use. Where its leaves were measured,
    more canopy bears more of them.
    """
    (pot,) = garden.pots
    leaves = None if pot.leaf_area_m2 is None else pot.leaf_area_m2 * wider**2
    grown = replace(pot, canopy_width_m=pot.canopy_width_m * wider, leaf_area_m2=leaves)
    larger, smaller = (
        thirsty_s(garden, one, dry(weather), surface_dry=True) for one in (grown, pot)
    )
    assert no_later(larger, smaller)


def used_l(garden: Garden, weather: HourlyWeather, cuts: list[datetime]) -> np.ndarray:
    """Return what each pot used in a day [pot, member], the hours cut at these moments."""
    nothing = [fact(Given("nobody's pot", 0.0), at) for at in cuts]
    standing = fold(filled(standing_of(garden, 4)), nothing, weather, START + 23 * HOUR, 4)
    assert standing is not None
    ledger = standing.belief.ledger_l
    used: np.ndarray = ledger[LEDGER.index("transpired_l")] + ledger[LEDGER.index("evaporated_l")]
    return used


@settings(max_examples=25, deadline=None)
@given(any_gardens(), any_weather())
def test_halving_the_step_changes_a_day_by_less_than_a_percent(
    garden: Garden, weather: HourlyWeather
) -> None:
    """Half-hour steps come to the same use of a day to 1 %, from full and without rain.

    Precondition: no hour asks for more than the pot holds. A thimble under a bush is dry before
    the first step ends, and how far it was wilted when that began is then a matter of the step.
    """
    weather = dry(weather)
    halves = [START + number * HOUR + timedelta(minutes=30) for number in range(23)]
    whole, cut = used_l(garden, weather, []), used_l(garden, weather, halves)
    lasts = most_asked(garden, weather) < 1.0
    assert np.all((np.abs(cut - whole) <= 0.01 * whole + 1e-9)[lasts])


def most_asked(garden: Garden, weather: HourlyWeather) -> np.ndarray:
    """Return what the leaves ask in the hour that asks most, over what is available when full."""
    standing = standing_of(garden, 4)
    demand = pot_demand(garden, weather, standing.belief.canopy_m, START)
    et0_mm = place_weather(garden, weather).et0_mm[demand.place_row, 0]
    asked = (et0_mm * demand.leaf_m2).max(axis=1, keepdims=True) * standing.traits.use_factor
    return np.asarray(asked / standing.traits.available_l)


@settings(max_examples=25, deadline=None)
@given(any_gardens(), any_weather(), st.floats(0.0, 1.0), st.floats(0.1, 12.0), st.floats(0.0, 1.0))
def test_a_watering_in_two_without_a_pause(
    garden: Garden, weather: HourlyWeather, full: float, litres: float, part: float
) -> None:
    """Two waterings at one moment come to one of both, from any state, over saucers and all."""
    standing, at = standing_of(garden, 4), START + 5 * HOUR
    lowest = standing.traits.air_dry_l
    water = lowest + full * (standing.traits.capacity_l - lowest)
    standing = replace(standing, belief=replace(standing.belief, water_l=water + 0.0 * lowest))
    beliefs = []
    for parts in ([litres], [litres * part, litres * (1.0 - part)]):
        facts = [
            fact(Given("p-1", volume, spread=0.0), at, name=f"g{number}")
            for number, volume in enumerate(parts)
        ]
        later = fold(standing, facts, weather, START + 9 * HOUR, 4)
        assert later is not None
        beliefs.append(later.belief)
    for name in STORED:
        one, other = (getattr(belief, name) for belief in beliefs)
        assert one == pytest.approx(other, rel=1e-9, abs=1e-9), name
