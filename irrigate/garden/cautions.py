"""What follows from the water and the weather besides watering: cold, heat, standing water, weight.

Each rule is a threshold with its source beside it. Which of them were said already today, and in
what words, is the service's business.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from irrigate.garden.actions import Caution, Line
from irrigate.garden.believed import Standing
from irrigate.garden.doses import LIKELY_DRY
from irrigate.garden.hours_felt import STANDS_TOO_LONG_H
from irrigate.garden.pots import Garden, Place, Pot
from irrigate.garden.rounds import DAY, at_local, local_day
from irrigate.garden.surroundings import sun_share
from irrigate.garden.vessels import Trough
from irrigate.garden.water import Store
from irrigate.garden.weather import HOUR_S, HourlyWeather

# More likely than not.
LIKELY = 0.5

# In air of a Tennessee summer the mix in black 11 L pots was above 38 °C a fifth of the time, in
# white ones a thirtieth (Witcher and others 2020, Agronomy 10:484, abstract); six hours a day at
# 42 °C stop growth and kill, at 35 °C they do not (Martin, Ingram & Nell 1989, J. Arboric. 15:272,
# abstract). That air above 35 °C and such a sun (some 400 W/m²) are enough for that: from memory.
HOT_AIR_C, HOT_SUN_MJ = 35.0, 1.5

# The mean of an hour hides its coldest minutes, and leaves under a clear sky are colder than the
# air at 2 m. An unheated house keeps off a little. Both from memory.
COLDER_C, GLASS_KEEPS_C = 1.0, 2.0
FREEZES_C = 0.0
NIGHT = (time(18), time(9))

# Less than this in a saucer is gone before it does harm. From memory.
LEAST_STANDING_L = 0.1

# A British leaflet on lifting takes 16 kg, held close at the waist, for the most that nearly all
# women can lift safely (HSE INDG143; the number from memory).
HEAVY_KG = 16.0

# Water can wait where it is so hot at the round itself. From memory.
HOT_HOUR_C = 35.0


def cautions(
    standing: Standing, store: Store, lines: Sequence[Line], moved: Collection[str],
    weather: HourlyWeather, at: datetime, until: datetime,
) -> tuple[Caution, ...]:  # fmt: skip
    """Return what a round should know besides its doses, most pressing first.

    Parameters
    ----------
    standing : garden and belief.
    store : the water at the round [pot, member].
    lines : its verdicts; only their pots are spoken of.
    moved : ids of pots that it will ask to be carried elsewhere for other reasons.
    weather : hour by hour without gaps, over the round and the night after it.
    at, until : this round and the next (UTC).
    """
    garden = standing.garden
    pots = [garden.pot(line.pot_id) for line in lines]
    cold = cold_night(garden, pots, weather, at)
    away = {*moved, *(cold.pot_ids if cold else ())}
    found = (
        cold,
        standing_water(standing, pots, store),
        dry_mix(lines),
        hot_pots(garden, pots, weather, at, until),
        heavy(standing, [pot for pot in pots if pot.id in away and _can_move(pot)]),
        hot_hours(weather, at),
    )
    return tuple(one for one in found if one is not None)


# --- what follows from the weather ---------------------------------------------------------
def coming_night(garden: Garden, at: datetime) -> tuple[datetime, datetime]:
    """Return the beginning and the end of the night that comes after a moment, or in which it is.

    Both UTC; by the garden's clock from 18:00 to 9:00.
    """
    zone = ZoneInfo(garden.site.time_zone)
    dusk, dawn = NIGHT
    today = local_day(at, zone)
    for day in (today - DAY, today):
        begins, ends = at_local(day, dusk, zone), at_local(day + DAY, dawn, zone)
        # In its last hours the worst of a night is over: the next one is meant.
        if at < ends - timedelta(hours=4):
            return max(at, begins), ends
    raise ValueError(f"no night after {at}")


def cold_night(
    garden: Garden, pots: Sequence[Pot], weather: HourlyWeather, at: datetime
) -> Caution | None:
    """Return the pots whose plants do not come through the coming night where they stand."""
    begins, ends = coming_night(garden, at)
    coldest = _coldest_c(weather, begins, ends)
    if coldest is None:
        return None
    suffering = [pot.id for pot in pots if coldest < _bears_c(pot, garden.place(pot.place))]
    return Caution("cold night", tuple(suffering), air_c=coldest) if suffering else None


def _bears_c(pot: Pot, place: Place) -> float:
    """Return the coldest hour outside that a plant comes through at its place [°C]."""
    if place.lamps_w_m2 > 0.0:
        return -np.inf  # lamps burn indoors
    kept = GLASS_KEEPS_C if place.glass is not None else 0.0
    return pot.crop.bears_c + COLDER_C - kept


def hot_pots(
    garden: Garden, pots: Sequence[Pot], weather: HourlyWeather, at: datetime, until: datetime
) -> Caution | None:
    """Return the dark pots whose sunny side will get too hot for roots before the next round.

    Only where the colour was said; not where other pots, an outer pot or the ground shade it.
    """
    hours = _between(weather, at, until)
    hot = hours.select(hours.temperature_c > HOT_AIR_C)
    if not len(hot):
        return None
    zone, found = garden.site.time_zone, []
    for pot in pots:
        place = garden.place(pot.place)
        sun = hot.solar_mj_m2 * sun_share(place, hot.end_s, zone)
        if _heats_up(pot, place) and bool((sun >= HOT_SUN_MJ).any()):
            found.append(pot.id)
    warmest = float(hot.temperature_c.max())
    return Caution("hot pot", tuple(found), air_c=warmest) if found else None


def _heats_up(pot: Pot, place: Place) -> bool:
    shaded = place.spacing == "close" or pot.setting == "sunk"
    jacketed = pot.basin is not None and pot.basin.kind == "outer pot"
    return pot.colour in ("black", "dark") and not shaded and not jacketed


def hot_hours(weather: HourlyWeather, at: datetime) -> Caution | None:
    """Return whether it will be too hot for people at the round itself."""
    now = _between(weather, at, at + timedelta(hours=1))
    if not len(now) or float(now.temperature_c[0]) < HOT_HOUR_C:
        return None
    return Caution("hot hours", air_c=float(now.temperature_c[0]))


def _coldest_c(weather: HourlyWeather, begins: datetime, ends: datetime) -> float | None:
    hours = _between(weather, begins, ends)
    return float(hours.temperature_c.min()) if len(hours) else None


def _between(weather: HourlyWeather, begins: datetime, ends: datetime) -> HourlyWeather:
    """Return the hours that a span touches."""
    return weather.between(int(begins.timestamp()), int(ends.timestamp()) + HOUR_S - 1)


# --- what follows from the water -----------------------------------------------------------
def standing_water(standing: Standing, pots: Sequence[Pot], store: Store) -> Caution | None:
    """Return the pots under which water has probably stood for more than a day.

    Roots drown in it and mosquitoes breed: common practice, no source. A reservoir is meant to
    hold water.
    """
    too_long = (store.stood_h > STANDS_TOO_LONG_H) & (store.below_l >= LEAST_STANDING_L)
    chance = too_long.mean(axis=1)
    found = [
        pot.id
        for pot in pots
        if pot.basin is not None
        and pot.basin.kind != "reservoir"
        and chance[standing.belief.row(pot.id)] > LIKELY
    ]
    return Caution("standing water", tuple(found)) if found else None


def dry_mix(lines: Sequence[Line]) -> Caution | None:
    """Return the pots to be watered whose mix is probably too dry to take water at once."""
    found = [
        line.pot_id
        for line in lines
        if line.verdict == "water"
        and line.passes > 1
        and line.reasons.get("chance_too_dry_to_take_it", 0.0) > LIKELY_DRY
    ]
    return Caution("dry mix", tuple(found)) if found else None


# --- what follows from carrying ------------------------------------------------------------
def heavy(standing: Standing, pots: Sequence[Pot]) -> Caution | None:
    """Return those of some pots that are too heavy to carry when they are full, and how heavy."""
    weighed = [(pot.id, full_kg(standing, pot)) for pot in pots]
    found = [(pot_id, mass) for pot_id, mass in weighed if mass > HEAVY_KG]
    if not found:
        return None
    return Caution(
        "heavy",
        tuple(pot_id for pot_id, _ in found),
        each_kg=tuple(round(mass, 1) for _, mass in found),
    )


def full_kg(standing: Standing, pot: Pot) -> float:
    """Return what a pot weighs when its mix, and any reservoir, is full [kg]; 1 L is 1 kg."""
    row = standing.belief.row(pot.id)
    mass = standing.belief.empty_kg[row] + standing.traits.capacity_l[row]
    return float(np.median(mass) + standing.traits.fills_l[row, 0])


def _can_move(pot: Pot) -> bool:
    bed = isinstance(pot.vessel, Trough) and pot.vessel.open_base
    return pot.setting != "sunk" and not bed
