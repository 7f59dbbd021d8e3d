"""The week ahead: the same physics as the fold, one weather for all pots, thirst in good order."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.believed import Standing
from irrigate.garden.exposure import place_weather
from irrigate.garden.fold import fold
from irrigate.garden.forecast_errors import weather_members
from irrigate.garden.outlook import Ahead, Outlook, full_store, look_ahead, run
from irrigate.garden.pots import Garden
from irrigate.garden.weather import HourlyWeather
from irrigate.garden.working import central_run
from tests.garden.makers import (
    DAY,
    HOUR,
    START,
    a_garden,
    any_gardens,
    any_weather,
    standing_of,
    summer,
    three_pots,
)
from tests.garden.scalar_pot import Kind, Water, an_hour

MEMBERS = 6


def without_errors(ahead: Ahead, garden: Garden, weather: HourlyWeather) -> Ahead:
    """Return the same hours with the weather itself for every member, rain and all."""
    places = place_weather(garden, weather)
    first = int(np.searchsorted(weather.end_s, ahead.end_s[0]))
    single = [
        np.repeat(getattr(places, name)[:, :, first : first + ahead.end_s.size], MEMBERS, axis=1)
        for name in ("et0_mm", "rain_mm", "caught_mm")
    ]
    return replace(ahead, places=type(places)(*(array.astype(np.float32) for array in single)))


@settings(max_examples=25, deadline=None)
@given(any_gardens(settled=True), any_weather(), st.integers(0, 59))
def test_the_outlook_is_the_fold(garden: Garden, weather: HourlyWeather, minute: int) -> None:
    """With the same weather, running ahead gives what stepping the fold gives, in float32.

    Precondition: no plant is settling in. The run lets leaves grow with the days, but keeps roots
    and the shade on the surface as they are now.
    """
    begun = fold(standing_of(garden, MEMBERS), [], weather, START + timedelta(minutes=minute), 0)
    assert begun is not None
    ahead = without_errors(look_ahead(begun, weather, 72), garden, weather)
    view = run(ahead, begun.belief.store, begun.belief.at)
    for hours in (7, 31, 66):
        at = START + hours * HOUR
        later = fold(begun, [], weather, at, 0)
        assert later is not None
        scale = later.traits.capacity_l.max()
        assert view.water_at(at) == pytest.approx(later.belief.water_l, abs=2e-5 * scale)


@settings(max_examples=15, deadline=None)
@given(any_gardens(most=1), any_weather(), st.sampled_from([0.1, 0.35, 0.7, 1.0]),
       st.sampled_from([0.0, 0.6, 0.9]), st.sampled_from([0.0, 0.7]))  # fmt: skip
def test_an_hour_by_hand(
    garden: Garden, weather: HourlyWeather, full: float, dried: float, strained: float
) -> None:
    """A second writing of the equations, in plain Python, agrees to 1e-5 of the pot for 30 hours.

    A midnight lies among them: what grows, spreads its roots or sheds its leaves has done so.
    """
    (pot,) = garden.pots
    standing = standing_of(garden, 1)
    traits, belief = standing.traits, standing.belief
    names = ("capacity_l", "dry_point", "use_factor", "evaporable_mm", "readily_mm")
    kind = Kind(*(float(getattr(traits, name)[0, 0]) for name in names))
    water = traits.air_dry_l + full * (traits.capacity_l - traits.air_dry_l)
    belief = replace(belief, water_l=water, surface_mm=dried * traits.evaporable_mm,
                     below_l=dried * traits.basin_l,
                     strain=np.full_like(water, strained))  # fmt: skip
    standing = replace(standing, belief=belief)
    begun = (belief.water_l, belief.surface_mm, belief.below_l, belief.strain)
    by_hand = Water(*(float(array[0, 0]) for array in begun))
    first = int(np.searchsorted(weather.end_s, START.timestamp(), side="right"))
    for number in range(30):
        by_hand = an_hour(by_hand, kind, garden, pot, START.date(), weather, first + number)
        if (number + 1) % 6:
            continue
        later = fold(standing, [], weather, START + (number + 1) * HOUR, 1)
        assert later is not None
        found = later.belief
        scale = 1e-5 * kind.capacity_l
        assert float(found.water_l[0, 0]) == pytest.approx(by_hand.stored_l, abs=scale), number
        assert float(found.below_l[0, 0]) == pytest.approx(by_hand.below_l, abs=scale), number
        assert float(found.strain[0, 0]) == pytest.approx(by_hand.strain, abs=1e-4), number
        assert float(found.surface_mm[0, 0]) == pytest.approx(
            by_hand.surface_mm, abs=1e-5 * max(kind.evaporable_mm, 1.0)
        ), number


# --- one weather for all -------------------------------------------------------------------
def test_member_k_sees_one_weather_for_all_pots() -> None:
    """Pots at one place share each member's weather; another pot beside them changes nothing."""
    garden = three_pots()
    weather = summer()
    ahead = look_ahead(standing_of(garden, MEMBERS), weather)
    assert ahead.places.et0_mm.shape == (3, MEMBERS, 96)
    alone = look_ahead(standing_of(a_garden(garden.pots[1]), MEMBERS), weather)
    assert np.array_equal(ahead.places.et0_mm, alone.places.et0_mm)
    wide = look_ahead(standing_of(garden, 4 * MEMBERS), weather)
    assert np.array_equal(wide.places.et0_mm[:, :MEMBERS], ahead.places.et0_mm)


def test_errors_grow_and_spare_the_past() -> None:
    """Hours gone by are the same for all members; those to come differ, the more the further."""
    weather = summer()
    table = weather_members(weather, int(START.timestamp()), 200)
    gone = weather.end_s <= START.timestamp()
    spread = table.temperature_c.std(axis=0)
    # A sum of float32 has rounding of its own; equal members differ by none of it.
    assert np.all(np.ptp(table.temperature_c[:, gone], axis=0) == 0.0)
    assert np.all(np.ptp(table.solar_mj_m2[:, gone], axis=0) == 0.0)
    coming = spread[~gone]
    assert coming[:6].mean() < coming[-24:].mean()
    assert 0.5 < coming[:6].mean() < 1.2
    assert np.all(table.rain_mm[:, ~gone] == 0.0), "rain nobody has confirmed counts as none"
    for name in ("vapour_pressure_kpa", "solar_mj_m2", "wind_2m_m_s"):
        assert np.all(getattr(table, name) >= 0.0), name


# --- thirst --------------------------------------------------------------------------------
def viewed(standing: Standing, weather: HourlyWeather, *, full: bool = True) -> Outlook:
    """Run the week ahead, from full or as it is."""
    ahead = look_ahead(standing, weather)
    store = full_store(ahead, standing.belief.store) if full else standing.belief.store
    return run(ahead, store, standing.belief.at)


@settings(max_examples=20, deadline=None)
@given(any_gardens(), any_weather())
def test_more_risk_never_means_earlier(garden: Garden, weather: HourlyWeather) -> None:
    """Quantiles of the dry-out rise with the level, and chances with the moment."""
    view = viewed(standing_of(garden, 16), weather, full=False)
    for row in range(len(garden.pots)):
        moments = [view.thirsty_quantile(row, level) for level in (0.05, 0.2, 0.5, 0.8, 1.0)]
        seconds = [np.inf if one is None else one.timestamp() for one in moments]
        assert seconds == sorted(seconds)
        assert all(one is None or one >= view.start for one in moments)
    chances = np.array([view.chance_before(START + hours * HOUR) for hours in (1, 12, 48, 96)])
    assert np.all(np.diff(chances, axis=0) >= 0.0)
    quantiles = view.share_quantiles((0.1, 0.5, 0.9))
    assert np.all(np.diff(quantiles, axis=0) >= 0.0)


def test_the_moment_of_thirst_is_on_the_line() -> None:
    """At the moment of thirst the water is at the dry point, within the hour's straight line."""
    view = viewed(standing_of(three_pots(), 16), summer())
    dry = view.traits.limit_l + view.traits.dry_point * view.traits.available_l
    found = 0
    for row, member in np.argwhere(np.isfinite(view.thirsty_s)):
        at = START + timedelta(seconds=float(view.thirsty_s[row, member]))
        level = float(view.water_at(at)[row, member])
        assert level == pytest.approx(float(dry[row, member]), rel=2e-4)
        found += 1
    assert found > 10


def test_it_starts_and_stops_where_it_is_told() -> None:
    """A run may begin at a later minute and end at the next round; its first moment is 0."""
    standing = standing_of(three_pots(), MEMBERS)
    ahead = look_ahead(standing, summer())
    start = START + timedelta(hours=5, minutes=25)
    view = run(ahead, standing.belief.store, start, start + timedelta(hours=3))
    assert view.moments_s == pytest.approx([0.0, 2100.0, 5700.0, 9300.0, 12900.0])
    assert view.water_l.shape == (5, 3, MEMBERS)


def test_no_weather_ahead_is_an_error() -> None:
    """A week ahead without an hour of weather is refused in plain words."""
    with pytest.raises(ValueError, match="no weather after 2026-07-10 00:00 UTC"):
        look_ahead(standing_of(three_pots()), summer(4, START - 4 * DAY))


def test_the_central_run_is_equal_to_the_last_bit_when_made_again() -> None:
    """The working of one decision, made twice, has the same bits; and stops at the round."""
    standing = standing_of(three_pots(), 16)
    until = START + timedelta(hours=13, minutes=30)
    one, other = (central_run(standing, summer(), until) for _ in range(2))
    for name, values in one.summary().items():
        assert np.array_equal(values, other.summary()[name]), name
    assert one.hours[-1].ends_s == until.timestamp()
    assert len(one.hours) == 14
    used = one.summary()
    left = used["central_water_l"] - used["central_transpired_l"] - used["central_evaporated_l"]
    assert used["central_water_at_next_round_l"] == pytest.approx(left)
