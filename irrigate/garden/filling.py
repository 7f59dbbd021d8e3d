"""Weather without holes: what is missing or cannot be believed is estimated, marked and said.

The procedures are those of FAO-56 chapter 3 where it has one (Eq 48 and 50, wind of 2 m s⁻¹);
gaps of a few hours are bridged from the hours beside them.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from irrigate.garden.hour_grid import (
    BESIDE,
    BITS,
    LONGEST_GAP_H,
    OTHER_DAYS,
    HourGrid,
    Put,
    bridged,
    departing,
    extremes_of_day,
    of_other_days,
    on_one_grid,
    put,
)
from irrigate.garden.plausible import TEMPERATURE_C, VAPOUR_PRESSURE_KPA, believed, quantised
from irrigate.garden.pots import Site
from irrigate.garden.rain_to_come import chance_by_amount
from irrigate.garden.solar_day import extraterrestrial_mj_m2, spoken_hours
from irrigate.garden.weather import HOUR_S, VALUES, HourlyWeather, Origin, empty_weather
from irrigate.science.air import saturation_vapour_pressure_kpa
from irrigate.science.missing_data import (
    KRS_INTERIOR,
    WIND_2M_M_S,
    solar_from_temperature_range_mj_m2,
    vapour_pressure_from_t_min_kpa,
)
from irrigate.science.radiation import clear_sky_radiation_mj_m2

# Ra in an hour below which its share at the ground says little of the clouds [MJ m⁻² h⁻¹].
LOW_SUN_MJ_M2 = 0.3

SPOKEN = dict(zip(VALUES, ("temperature", "humidity", "radiation", "wind", "rain"), strict=True))


def fill(
    raw: HourlyWeather, site: Site, recent: HourlyWeather
) -> tuple[HourlyWeather, tuple[str, ...]]:
    """Return the hours of ``raw`` without NaN and without gaps, and what was done, in plain words.

    Parameters
    ----------
    raw : hours as a source tells them: NaN, gaps and nonsense are allowed; the ends of the hours
        must be whole hours apart.
    site : where the garden lies.
    recent : hours known from before, to borrow from; `empty_weather` if there are none.

    Each value put in is marked in ``filled``, and its hour's origin is `Origin.FILLED`. In turn:
    what cannot be believed is missing too (`believed`); what ``recent`` knows of the same hour is
    taken; gaps up to 3 h are bridged in a straight line, for radiation that of its share of Ra;
    in longer ones temperature takes the course of the same hours on the five days before (else
    the two after), moved to meet the hours beside the gap, and wind the mean of those hours;
    vapour pressure is estimated by FAO-56 Eq 48 from the lowest temperature of the day, radiation
    by Eq 50 with the interior coefficient 0.16 from its range, laid over the hours as Ra is and
    cut at the clear sky; wind is 2 m s⁻¹ where no day lends one; rain is none. The table ends at
    the first hour whose temperature nothing tells, and begins after such hours at its start.

    Departs from FAO-56, whose equations are for whole days, in using them hour by hour, and in
    taking extremes from hourly means, which are a little narrower than a day's true extremes.
    """
    if not len(raw):
        return raw, ()
    if np.any((raw.end_s - raw.end_s[0]) % HOUR_S):
        raise ValueError("hours must lie whole hours apart")
    raw, doubts = believed(quantised(raw), site)
    raw, cut = _before_a_long_gap(raw, site)
    grid = on_one_grid(raw, believed(quantised(recent), site)[0])

    done = _fill_temperature(grid)
    grid, ended = _as_far_as_temperature_goes(grid, site)
    if not grid.wanted.any():
        return empty_weather(), (*doubts, *cut, *ended)
    done = [replace(each, hours=each.hours[: grid.end_s.size]) for each in done]
    done += _fill_humidity(grid, site)
    done += _fill_radiation(grid, site)
    done += _fill_wind(grid)
    done += _fill_rain(grid)
    return _table(grid), (*doubts, *_said(done, grid, site), *cut, *ended)


# --- one grid ------------------------------------------------------------------------------
def _before_a_long_gap(raw: HourlyWeather, site: Site) -> tuple[HourlyWeather, tuple[str, ...]]:
    far = np.flatnonzero(np.diff(raw.end_s) > (LONGEST_GAP_H + 1) * HOUR_S)
    if not far.size:
        return raw, ()
    last = raw.end_s[far[0] : far[0] + 1]
    said = spoken_hours(last, site.longitude_deg).removeprefix("1 h ")
    return raw.select(slice(0, int(far[0]) + 1)), (
        f"weather ends {said}: more than {LONGEST_GAP_H // 24} days are missing after it",
    )


def _as_far_as_temperature_goes(grid: HourGrid, site: Site) -> tuple[HourGrid, tuple[str, ...]]:
    told = ~np.isnan(grid.values["temperature_c"])
    usable = np.flatnonzero(told & grid.wanted)
    if not usable.size:
        return grid.select(slice(0, 0)), ("no hour has a temperature: none can be used",)
    remarks = []
    first = int(usable[0])
    begin = int(np.argmax(grid.wanted))
    grid.wanted[:first] = False
    if first > begin:
        hours = spoken_hours(grid.end_s[begin:first], site.longitude_deg)
        remarks.append(f"weather begins after {hours} without a temperature")
    blank = np.flatnonzero(~told[first:])
    stop = first + int(blank[0]) if blank.size else told.size
    if stop < told.size:
        hours = spoken_hours(grid.end_s[stop:], site.longitude_deg)
        remarks.append(f"weather ends before {hours}: nothing tells the temperature")
    return grid.select(slice(0, stop)), tuple(remarks)


# --- one variable at a time ----------------------------------------------------------------
def _fill_temperature(grid: HourGrid) -> list[Put]:
    estimate = departing(of_other_days(grid, "temperature_c"), grid.values["temperature_c"])
    done = [
        put(grid, "temperature_c", BESIDE, bridged(grid.values["temperature_c"])),
        put(grid, "temperature_c", OTHER_DAYS, np.clip(estimate, *TEMPERATURE_C)),
    ]
    # In the steps in which it is kept, since the others are reckoned from it.
    np.round(grid.values["temperature_c"], 2, out=grid.values["temperature_c"])
    return done


def _fill_humidity(grid: HourGrid, site: Site) -> list[Put]:
    lowest_c, _ = extremes_of_day(grid, site)
    done = [
        put(grid, "vapour_pressure_kpa", BESIDE, bridged(grid.values["vapour_pressure_kpa"])),
        put(
            grid,
            "vapour_pressure_kpa",
            "estimated from the lowest temperature of the day",
            np.asarray(vapour_pressure_from_t_min_kpa(lowest_c)),
        ),
    ]
    # Never above saturation, the last digit kept being rounded down, nor beyond belief.
    saturated = np.asarray(saturation_vapour_pressure_kpa(grid.values["temperature_c"]))
    most = np.minimum(np.floor(saturated * 1000.0) / 1000.0, VAPOUR_PRESSURE_KPA[1])
    grid.values["vapour_pressure_kpa"][:] = np.minimum(grid.values["vapour_pressure_kpa"], most)
    return done


def _fill_radiation(grid: HourGrid, site: Site) -> list[Put]:
    sky = extraterrestrial_mj_m2(grid.end_s, site)
    solar = grid.values["solar_mj_m2"]
    # That a night is dark is no guess: such hours are neither marked nor spoken of.
    night = np.isnan(solar) & (sky == 0.0)
    solar[night] = 0.0
    grid.given["solar_mj_m2"][night] = True
    lowest_c, highest_c = extremes_of_day(grid, site)
    clear = np.asarray(clear_sky_radiation_mj_m2(sky, site.elevation_m))
    estimate = solar_from_temperature_range_mj_m2(highest_c, lowest_c, sky, KRS_INTERIOR)
    high = sky > LOW_SUN_MJ_M2
    share = np.where(high, solar / np.where(high, sky, 1.0), np.nan)
    return [
        put(grid, "solar_mj_m2", BESIDE, np.minimum(bridged(share), 1.0) * sky),
        put(
            grid,
            "solar_mj_m2",
            "estimated from the day's temperatures",
            np.minimum(np.asarray(estimate), clear),
        ),
    ]


def _fill_wind(grid: HourGrid) -> list[Put]:
    return [
        put(grid, "wind_2m_m_s", BESIDE, bridged(grid.values["wind_2m_m_s"])),
        put(grid, "wind_2m_m_s", OTHER_DAYS, of_other_days(grid, "wind_2m_m_s")),
        put(grid, "wind_2m_m_s", "taken as 2 m/s", np.full(grid.end_s.size, WIND_2M_M_S)),
    ]


def _fill_rain(grid: HourGrid) -> list[Put]:
    return [put(grid, "rain_mm", "taken as none", np.zeros(grid.end_s.size))]


# --- the result ----------------------------------------------------------------------------
def _table(grid: HourGrid) -> HourlyWeather:
    filled = np.zeros(grid.end_s.size, dtype=np.uint8)
    for name in VALUES:
        filled |= np.where(grid.given[name], 0, BITS[name]).astype(np.uint8)
    # Without a word on its chance, rain gone by fell, and rain to come may.
    rain_mm = grid.values["rain_mm"]
    falls = np.where(grid.origin == Origin.FORECAST, chance_by_amount(rain_mm), rain_mm > 0.0)
    chance = np.where(np.isnan(grid.rain_chance), falls, grid.rain_chance)
    whole = HourlyWeather(
        end_s=grid.end_s,
        **grid.values,
        rain_chance=np.clip(chance, 0.0, 1.0),
        origin=np.where(filled > 0, Origin.FILLED, grid.origin).astype(np.uint8),
        filled=filled,
    )
    return quantised(whole.select(grid.wanted))


def _said(done: list[Put], grid: HourGrid, site: Site) -> list[str]:
    """Return one remark for each variable and procedure, and one for hours wholly absent."""
    # By night radiation is never put in, so it does not tell whether the hour was absent.
    whole = grid.wanted.copy()
    for name in VALUES:
        if name != "solar_mj_m2":
            whole &= np.any([each.hours for each in done if each.name == name], axis=0)
    remarks = []
    if whole.any():
        hours = spoken_hours(grid.end_s[whole], site.longitude_deg)
        remarks.append(f"all weather missing {hours}, put together from hours and days beside it")
    for each in done:
        rest = each.hours & grid.wanted & ~whole
        if rest.any():
            hours = spoken_hours(grid.end_s[rest], site.longitude_deg)
            remarks.append(f"{SPOKEN[each.name]} missing {hours}, {each.how}")
    return remarks
