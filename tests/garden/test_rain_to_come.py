"""Rain to come: by chance and amount, in spells, one rain for all pots; and what it wets."""

from __future__ import annotations

import numpy as np
import pytest

from irrigate.garden.exposure import place_rain
from irrigate.garden.filling import fill
from irrigate.garden.fold import fold
from irrigate.garden.in_rain import in_rain, rain_likely
from irrigate.garden.outlook import look_ahead, run
from irrigate.garden.pots import Basin
from irrigate.garden.rain_to_come import LIGHT_MM, chance_by_amount, rain_members
from irrigate.garden.weather import HourlyWeather, Origin, empty_weather
from tests.garden.makers import (
    DAY,
    SITE,
    START,
    a_garden,
    a_pot,
    filled,
    standing_of,
    summer,
    three_pots,
)

NOW_S = int(START.timestamp())


def rainy(chance: float, depth_mm: float, hours: int = 24, begins_h: int = 6) -> HourlyWeather:
    """Return a summer in which rain is forecast for some hours from START on."""
    table = summer()
    first = int(np.searchsorted(table.end_s, NOW_S, side="right")) + begins_h
    table.rain_chance[first : first + hours] = chance
    table.rain_mm[first : first + hours] = depth_mm
    table.rain_mm[first - begins_h - 10] = 7.0  # gone by
    return table


# --- what falls ----------------------------------------------------------------------------
def test_rain_gone_by_is_the_same_for_all_and_stays() -> None:
    """What was told of hours gone by is every member's; to come is a matter of chance."""
    table = rainy(0.5, 2.0)
    rain = rain_members(table, NOW_S, 100)
    gone = table.end_s <= NOW_S
    assert np.all(rain[:, gone] == table.rain_mm[gone].astype(np.float32))
    assert rain[:, gone].max() == 7.0
    assert np.ptp(rain[:, ~gone], axis=0).max() > 0.0


@pytest.mark.parametrize(("chance", "share"), [(0.0, 0.0), (1.0, 1.0)])
def test_what_is_certain_is_certain(chance: float, share: float) -> None:
    """No member is wet at no chance, and none dry at full chance."""
    table = rainy(chance, 2.0)
    wet = rain_members(table, NOW_S, 200)[:, table.end_s > NOW_S] > 0.0
    assert wet[:, 6:30].mean() == share
    assert wet[:, 40:].mean() == 0.0


def test_amounts_lie_around_the_forecast() -> None:
    """The mean of the wet is the forecast's amount; light rain where it has none."""
    heavy, traces = rainy(0.6, 4.0), rainy(0.6, 0.0)
    for table, amount in ((heavy, 4.0), (traces, LIGHT_MM)):
        hours = rain_members(table, NOW_S, 4000)[:, table.end_s > NOW_S][:, 6:30]
        assert hours[hours > 0.0].mean() == pytest.approx(amount, rel=0.1)
        assert (hours > 0.0).mean() == pytest.approx(0.6, abs=0.03)


def test_wet_hours_come_in_spells() -> None:
    """At 30 % an hour, a wet hour is followed by another far more often than by chance."""
    table = rainy(0.3, 1.0, hours=72)
    wet = rain_members(table, NOW_S, 1000)[:, table.end_s > NOW_S][:, 6:78] > 0.0
    after_wet = wet[:, 1:][wet[:, :-1]].mean()
    assert after_wet > 0.6
    dry_days = (~wet.any(axis=1)).mean()
    assert dry_days > 0.01, "some members stay dry for days; by separate hours none would"


def test_a_window_that_moved_on_meets_the_same_rain() -> None:
    """Hours still to come have the same rain an hour later; fewer members are the first of more."""
    table = rainy(0.4, 2.0)
    now = rain_members(table, NOW_S, 64)
    later = rain_members(table.select(slice(5, None)), NOW_S + 3600, 64)
    coming = table.end_s > NOW_S + 3600
    # The run-in of 72 h reaches back to another first hour: 0.9^72 of a draw is left of that.
    same = (now[:, coming] > 0) == (later[:, coming[5:]] > 0)
    assert same.mean() > 0.999
    assert np.array_equal(rain_members(table, NOW_S, 16), now[:16])


def test_where_only_amounts_are_told_chance_goes_by_them() -> None:
    """Forecast hours without a probability get one by their amount; hours gone by are certain."""
    raw = summer()
    raw.rain_chance[:] = np.nan
    raw.rain_mm[[10, 150, 151]] = [3.0, 0.1, 8.0]
    raw.origin[100:] = Origin.FORECAST
    table, _ = fill(raw, SITE, empty_weather())
    assert table.rain_chance[10] == 1.0
    assert table.rain_chance[11] == 0.0
    assert (
        0.0 < table.rain_chance[149] < 0.1 < table.rain_chance[150] < table.rain_chance[151] < 1.0
    )
    amounts = np.linspace(0.0, 20.0, 50)
    assert np.all(np.diff(chance_by_amount(amounts)) >= 0.0)
    assert np.isnan(chance_by_amount(np.array([np.nan]))[0])


# --- what it wets --------------------------------------------------------------------------
def test_without_rain_the_run_in_rain_is_the_run() -> None:
    """Where no hour has any chance, both runs are the same bits, and nothing is worth asking."""
    weather = summer()
    standing = standing_of(three_pots(), 16)
    ahead = look_ahead(standing, weather)
    until = START + 2 * DAY
    dry = run(ahead, standing.belief.store, START, until)
    wet = in_rain(standing, weather, ahead, until)
    assert np.array_equal(dry.water_l, wet.outlook.water_l)
    assert not rain_likely(weather, START, until)
    assert wet.rain_mm.max() == 0.0


def test_rain_makes_no_pot_drier_and_full_pots_too_wet() -> None:
    """Each member has at least the water it has without; pots under a roof have the same."""
    weather = rainy(0.8, 6.0, hours=10)
    standing = filled(standing_of(three_pots(), 40))
    ahead = look_ahead(standing, weather)
    until = START + DAY
    assert rain_likely(weather, START, until)
    dry = run(ahead, standing.belief.store, START, until)
    wet = in_rain(standing, weather, ahead, until)
    assert np.all(wet.outlook.water_l >= dry.water_l - 1e-4)
    assert np.all(wet.outlook.thirsty_s >= dry.thirsty_s)
    assert wet.outlook.water_l[-1, 0].mean() > dry.water_l[-1, 0].mean()
    porch = 2  # its place lets no rain in
    assert np.array_equal(wet.outlook.water_l[:, porch], dry.water_l[:, porch])


def test_thirst_is_judged_without_rain_that_nobody_confirmed() -> None:
    """However sure the forecast is, the run that decides has none of it."""
    sure, none = rainy(1.0, 20.0), rainy(0.0, 0.0)
    standing = standing_of(three_pots(), 16)
    one, other = (run(look_ahead(standing, table), standing.belief.store, START)
                  for table in (sure, none))  # fmt: skip
    assert np.array_equal(one.water_l, other.water_l)


def test_hours_too_wet_are_those_of_a_fold_in_the_same_rain() -> None:
    """A saucer that heavy rain keeps full: after a day roots drown, by run and by fold."""
    saucer = Basin("saucer", 1.0, 0.02)
    weather = rainy(1.0, 20.0, hours=48, begins_h=0)
    standing = filled(standing_of(a_garden(a_pot("1", basin=saucer)), 8))
    until = START + 2 * DAY
    wet = in_rain(standing, weather, look_ahead(standing, weather), until)
    after = fold(standing, [], weather, until, 8)
    assert after is not None
    hours = after.belief.felt_h[2] - standing.belief.felt_h[2]
    assert hours[0] > 20.0
    assert wet.too_wet_h.mean(axis=1) == pytest.approx(hours, abs=1.0)


def test_open_places_share_the_rain_of_each_member() -> None:
    """What falls on open ground in the run is each member's own rain of these hours."""
    weather = rainy(0.5, 3.0)
    standing = standing_of(three_pots(), 12)
    rain = rain_members(weather, NOW_S, 12)
    wet = in_rain(standing, weather, look_ahead(standing, weather), START + DAY)
    first = int(np.searchsorted(weather.end_s, NOW_S, side="right"))
    assert wet.rain_mm == pytest.approx(rain[:, first : first + 24].sum(axis=1), rel=1e-3)
    twins = a_garden(a_pot("1"), a_pot("2", place="terrace"), a_pot("3", place="terrace"))
    fallen, caught = place_rain(twins, rain)
    assert np.array_equal(fallen[0], fallen[1])
    assert not fallen[2].any(), "the porch lets no rain in"
    assert np.all(caught <= fallen)
