"""How the central run came to its numbers for one pot: every value that the equations were given.

Nothing is worked out differently here: the same functions are called once more, one pot and one
hour at a time, and their results are kept by name.
"""

from __future__ import annotations

from datetime import datetime

import numpy as np

from irrigate.garden.believed import Standing
from irrigate.garden.explanation import Explanation, HourLine
from irrigate.garden.moved_so_far import moved_so_far
from irrigate.garden.place_in_full import place_in_full
from irrigate.garden.plant_in_full import plant_in_full
from irrigate.garden.pot_in_full import PotInFull, pot_in_full
from irrigate.garden.pots import Place
from irrigate.garden.surface_in_full import surface_in_full
from irrigate.garden.surroundings import solar_mj_m2, wind_m_s
from irrigate.garden.water import Array
from irrigate.garden.weather import HourlyWeather
from irrigate.garden.working import CentralHour, CentralRun, central_run


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
    garden, belief = standing.garden, standing.belief
    row = belief.row(pot_id)
    run = central_run(standing, weather, until)
    if not run.hours:
        raise ValueError("no weather between the decision and the next round")
    pot = garden.pots[row]
    place = garden.place(pot.place)
    believed = pot_in_full(pot, row, standing.known, run.traits, run.start, belief, garden.manner)
    hours = _hours(standing, weather, run, row, place, believed)
    chosen = max(range(len(hours)), key=lambda index: hours[index].et0_mm)
    index = run.first + chosen
    climate, canopy = run.climate.at(place).hour(index), belief.canopy_m[row]
    return Explanation(
        pot=pot,
        place=place,
        begins=belief.at,
        until=until,
        believed=believed,
        so_far=moved_so_far(belief, row),
        hours=hours,
        chosen=chosen,
        at_place=place_in_full(garden.site, place, weather, index),
        plant=plant_in_full(pot, garden, climate, canopy, belief.at),
        surface=surface_in_full(
            pot, garden, climate, canopy, belief.at, believed.exposed_share,
            believed.evaporable_mm - believed.readily_mm,
        ),
        stored={name: float(values[row]) for name, values in run.summary().items()},
    )  # fmt: skip


def _hours(
    standing: Standing, weather: HourlyWeather, run: CentralRun, row: int, place: Place,
    believed: PotInFull,
) -> tuple[HourLine, ...]:  # fmt: skip
    zone = standing.garden.site.time_zone
    solar = solar_mj_m2(place, weather.solar_mj_m2, weather.end_s, zone)
    wind = wind_m_s(place, weather.wind_2m_m_s)
    lines = []
    for offset, hour in enumerate(run.hours):
        index = run.first + offset
        moved = _moved(hour, row)
        available = (moved["end_l"] - believed.limit_l) / believed.available_l
        lines.append(
            HourLine(
                begins_s=hour.begins_s,
                ends_s=hour.ends_s,
                temperature_c=float(weather.temperature_c[index]),
                vapour_pressure_kpa=float(weather.vapour_pressure_kpa[index]),
                solar_open_mj_m2=float(weather.solar_mj_m2[index]),
                solar_mj_m2=float(solar[index]),
                wind_open_m_s=float(weather.wind_2m_m_s[index]),
                wind_m_s=float(wind[index]),
                stress=min(moved["reach_l"] / believed.dry_l, 1.0),
                share_left=min(max(available, 0.0), 1.0),
                **moved,
            )
        )
    return tuple(lines)


def _moved(hour: CentralHour, row: int) -> dict[str, float]:
    """Return the water of one pot before, during and after an hour, by the names of a line."""
    pots = hour.before.water_l.shape

    def number(values: Array | float) -> float:
        return float(np.broadcast_to(values, pots)[row, 0])

    before, flows, after = hour.before, hour.flows, hour.after
    return {
        "et0_mm": float(hour.et0_mm[row]),
        "asked_l": float(hour.asked_l[row]),
        "reach_l": float(hour.reach_l[row]),
        "begin_l": number(before.water_l),
        "begin_surface_mm": number(before.surface_mm),
        "begin_below_l": number(before.below_l),
        "strain": number(before.strain),
        "back_l": number(flows.back_l),
        "dried_l": number(flows.dried_l),
        "stood_l": number(flows.stood_l),
        "breathed_l": number(flows.breathed_l),
        "drunk_l": number(flows.transpired_l),
        "end_l": number(after.water_l),
        "end_surface_mm": number(after.surface_mm),
        "end_below_l": number(after.below_l),
    }
