"""How the central run came to its numbers for one pot: every value that the equations were given.

Nothing is worked out differently here: the same functions are called once more, one pot and one
hour at a time, and their results are kept by name.
"""

from __future__ import annotations

from datetime import datetime

import numpy as np

from irrigate.garden.balance import PotTraits
from irrigate.garden.demand import surface_rate
from irrigate.garden.explanation import (
    BelievedPot,
    Explanation,
    HourLine,
    PlantInFull,
    SurfaceInFull,
)
from irrigate.garden.fold import Standing
from irrigate.garden.leaves import LEAST_HEIGHT_M, Climate, Leaves, leaves_of
from irrigate.garden.pots import Place, Pot
from irrigate.garden.surroundings import sun_share
from irrigate.garden.weather import Floats, HourlyWeather
from irrigate.garden.working import CentralHour, CentralRun, central_run
from irrigate.science import air
from irrigate.science.canopy import full_cover_coefficient
from irrigate.science.crop_coefficients import climate_adjusted, climate_term
from irrigate.science.hour_in_full import HourInFull, hour_in_full
from irrigate.science.hourly_site import relative_shortwave, sun_hours
from irrigate.science.lone_plant import SPARSE_REACH
from irrigate.science.missing_data import NIGHT_RATIO_ARID
from irrigate.science.surface import DAILY_WETTING, maximum_coefficient


def explained(
    standing: Standing, weather: HourlyWeather, until: datetime, pot_id: str
) -> Explanation:
    """Work the central run again and keep every number of one pot.

    Parameters
    ----------
    standing : belief and garden at the moment of the decision.
    weather : the table it rested on.
    until : the next round after it (UTC).
    pot_id : which pot; a `ValueError` if it is not in the belief.

    Raises
    ------
    ValueError : there is no weather between the two moments.
    """
    row = standing.belief.row(pot_id)
    run = central_run(standing, weather, until)
    if not run.hours:
        raise ValueError("no weather between the decision and the next round")
    pot = standing.garden.pots[row]
    place = standing.garden.place(pot.place)
    believed = _believed(run, row)
    hours = _hours(standing, weather, run, row, place)
    chosen = max(range(len(hours)), key=lambda index: hours[index].et0_mm)
    index = run.first + chosen
    canopy = standing.belief.canopy_m[row]
    plant = _plant(standing, pot, place, run.climate, index, canopy)
    here = run.climate.at(place).hour(index)
    leaves = leaves_of(pot, standing.garden, here, canopy, standing.belief.at)
    return Explanation(
        pot=pot,
        place=place,
        begins=standing.belief.at,
        until=until,
        believed=believed,
        hours=hours,
        chosen=chosen,
        sky=_sky(standing, weather, index, hours[chosen]),
        plant=plant,
        surface=_surface(pot, here, leaves, plant, believed, hours[chosen]),
        stored={name: float(values[row]) for name, values in run.summary().items()},
    )


def _believed(run: CentralRun, row: int) -> BelievedPot:
    traits: PotTraits = run.traits
    available = float(traits.available_l[row, 0])
    dry_point = float(traits.dry_point[row, 0])
    return BelievedPot(
        full_l=float(traits.capacity_l[row, 0]),
        limit_l=float(traits.limit_l[row, 0]),
        available_l=available,
        dry_point=dry_point,
        dry_l=dry_point * available,
        use_factor=float(traits.use_factor[row, 0]),
        start_l=float(run.start_l[row]),
        start_surface_mm=float(run.start_surface_mm[row]),
        evaporable_mm=float(traits.evaporable_mm[row, 0]),
        readily_mm=float(traits.readily_mm[row, 0]),
        surface_m2=float(traits.surface_m2[row, 0]),
        exposed_share=float(traits.exposed_share[row, 0]),
        cover=float(traits.cover[row, 0]),
    )


def _hours(
    standing: Standing, weather: HourlyWeather, run: CentralRun, row: int, place: Place
) -> tuple[HourLine, ...]:
    zone = standing.garden.site.time_zone
    sunlit = sun_share(place, weather.end_s, zone)
    limit = float(run.traits.limit_l[row, 0])
    available = float(run.traits.available_l[row, 0])
    begin_l, begin_surface = float(run.start_l[row]), float(run.start_surface_mm[row])
    lines = []
    for offset, hour in enumerate(run.hours):
        index = run.first + offset
        end_l, end_surface = float(hour.water_l[row]), float(hour.surface_mm[row])
        lines.append(
            HourLine(
                begins_s=hour.begins_s,
                ends_s=hour.ends_s,
                begin_l=begin_l,
                begin_surface_mm=begin_surface,
                temperature_c=float(weather.temperature_c[index]),
                vapour_pressure_kpa=float(weather.vapour_pressure_kpa[index]),
                solar_open_mj_m2=float(weather.solar_mj_m2[index]),
                sunlit=float(sunlit[index]),
                wind_open_m_s=float(weather.wind_2m_m_s[index]),
                wind_share=place.wind,
                **_moved(hour, row),
                end_l=end_l,
                end_surface_mm=end_surface,
                share_left=min(max((end_l - limit) / available, 0.0), 1.0),
            )
        )
        begin_l, begin_surface = end_l, end_surface
    return tuple(lines)


def _moved(hour: CentralHour, row: int) -> dict[str, float]:
    return {
        "et0_mm": float(hour.et0_mm[row]),
        "asked_l": float(hour.asked_l[row]),
        "stress": float(hour.stress[row]),
        "drunk_l": float(hour.transpired_l[row]),
        "dried_l": float(hour.evaporated_l[row]),
    }


def _sky(standing: Standing, weather: HourlyWeather, index: int, hour: HourLine) -> HourInFull:
    """Return the hour's reference ET at the place, in full."""
    site = standing.garden.site
    here = sun_hours(site, weather.end_s)
    ratio = relative_shortwave(here, weather.solar_mj_m2, NIGHT_RATIO_ARID, "fao56")
    return hour_in_full(
        site,
        int(weather.end_s[index]),
        temperature_c=hour.temperature_c,
        vapour_pressure_kpa=hour.vapour_pressure_kpa,
        solar_mj_m2=hour.solar_open_mj_m2 * hour.sunlit,
        wind_2m_m_s=hour.wind_open_m_s * hour.wind_share,
        pressure_kpa=float(np.asarray(air.pressure_kpa(site.elevation_m))),
        relative_shortwave=float(ratio[index]),
    )


def _plant(
    standing: Standing, pot: Pot, place: Place, climate: Climate, index: int, canopy_m: Floats
) -> PlantInFull:
    """Return the factors of `irrigate.garden.leaves.leaves_of` for one hour."""
    here = climate.at(place).hour(index)
    leaves = leaves_of(pot, standing.garden, here, canopy_m, standing.belief.at)
    wind, humidity = float(here.wind_2m_m_s[0]), float(here.humidity_min_pct[0])
    temperature, height = float(here.temperature_c[0]), float(leaves.height_m[0])
    tall = max(height, LEAST_HEIGHT_M)
    return PlantInFull(
        wind_2m_m_s=wind,
        humidity_min_pct=humidity,
        temperature_c=temperature,
        width_m=float(leaves.width_m[0]),
        height_m=height,
        climate_height_m=tall,
        climate_term=float(climate_term(wind, humidity, tall)),
        by_height=float(full_cover_coefficient(tall, wind, humidity)),
        mid_season=pot.crop.kcb_mid,
        own=float(climate_adjusted(pot.crop.kcb_mid, wind, humidity, tall)),
        slope_kpa_c=float(np.asarray(air.slope_kpa_c(temperature))),
        leaf_resistance_s_m=pot.crop.leaf_resistance_s_m,
        stomatal=float(leaves.stomatal[0]),
        full_cover=float(leaves.full_cover[0]),
        leaf_area_index=pot.crop.leaf_area_index,
        density=leaves.density,
        noon_sun_rad=float(leaves.noon_sun_rad[0]),
        shadow_m2=float(leaves.shaded_m2[0]),
        leaf_m2=float(leaves.use_m2[0]),
    )


def _surface(
    pot: Pot, climate: Climate, leaves: Leaves, plant: PlantInFull, believed: BelievedPot,
    hour: HourLine,
) -> SurfaceInFull:  # fmt: skip
    """Return the numbers of Eq 71–75 for one hour."""
    rates, slacks = surface_rate(pot, climate, leaves, believed.exposed_share)
    basal = plant.leaf_m2 / max(float(leaves.canopy_m2[0]), believed.surface_m2)
    most = float(
        maximum_coefficient(
            min(basal, 1.2), plant.wind_2m_m_s, plant.humidity_min_pct, plant.climate_height_m,
            DAILY_WETTING,
        )
    )  # fmt: skip
    slack, rate = float(slacks[0]), float(rates[0])
    threshold = (believed.evaporable_mm - believed.readily_mm) * slack
    left = believed.evaporable_mm - hour.begin_surface_mm
    return SurfaceInFull(
        basal=basal,
        most=most,
        by_energy=max(SPARSE_REACH * most - basal, 0.05) / believed.exposed_share,
        rate=rate,
        slack=slack,
        threshold_mm=threshold,
        left_mm=left,
        reduction=min(left / max(threshold, 1e-9), 1.0),
        asked_mm=hour.et0_mm * rate * believed.cover,
        lost_mm=hour.end_surface_mm - hour.begin_surface_mm,
    )
