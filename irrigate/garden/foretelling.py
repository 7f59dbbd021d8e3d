"""What the belief before an answer says that the answer will be."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from irrigate.garden.balance import missing_l, share_available, step
from irrigate.garden.believed import Standing
from irrigate.garden.demand import pot_demand
from irrigate.garden.events import (
    Body,
    Drained,
    Fact,
    Feel,
    Finger,
    Foretold,
    Probe,
    ProbeRaw,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.garden.exposure import place_weather
from irrigate.garden.observations import (
    DRAINED_L,
    DRAINED_SHARE,
    PROBE_SD,
    SCALE_KG,
    SCALE_SHARE,
    raw_sd,
    share_from_air_dry,
    wilting_chance,
)
from irrigate.garden.on_pot import EARLY_HOUR
from irrigate.garden.scoring import hour_of_sun_l, quantiles_of
from irrigate.garden.touch import LAPSE, finger_likelihood
from irrigate.garden.watering import RAN_L, RAN_SHARE, chance_full, room_below
from irrigate.garden.weather import HOUR_S, Floats, HourlyWeather

Foreseen = TillRan | Weighed | Finger | Probe | ProbeRaw | Wilting | Drained
FORESEEN = (TillRan, Weighed, Finger, Probe, ProbeRaw, Wilting, Drained)
"""Kinds of answer that something is foretold of."""

KIND = {
    TillRan: "ran", Weighed: "weighed", Finger: "finger", Probe: "probe", ProbeRaw: "probe",
    Wilting: "wilting", Drained: "drained",
}  # fmt: skip
"""What they are called in the record and in tables."""

# Into how many parts the room is cut for litres that run past the mix.
PAST_PARTS = 6
DAY_H = 24
LEAD = timedelta(hours=54)
WORDS: tuple[Feel, ...] = ("dry", "moist", "wet")


def foreseeable(body: Body) -> bool:
    """Return whether something can be foretold of an answer.

    Litres till it ran, if it has any; a weight, but for the first on a scale with another zero.
    """
    match body:
        case TillRan(volume_l=volume):
            return volume is not None
        case Weighed(anew=anew):
            return not anew
    return isinstance(body, FORESEEN)


def said_of(body: Body) -> float | str:
    """Return what an answer says, as it is scored; a `TypeError` if it is no such answer."""
    match body:
        case TillRan(volume_l=float() as amount) | Drained(volume_l=amount):
            return amount
        case Weighed(mass_kg=amount) | Probe(theta=amount) | ProbeRaw(reading=amount):
            return amount
        case Finger(feel=feel):
            return feel
        case Wilting():
            return "wilting"
    raise TypeError(f"nothing is foretold of {body}")


def foretold(
    current: Standing, fact: Fact, hours_l: tuple[float | None, ...], *, late: bool
) -> Foretold:  # fmt: skip
    """Return what the belief says of an answer, its own noise included and strays left out.

    Parameters
    ----------
    current : belief and garden before the answer, at its moment.
    fact : the answer, of a pot that is there; what it says is not looked at, only its kind.
    hours_l : what each pot uses in an hour of sun, see `hours_of_sun`.
    late : later answers had been taken in already.
    """
    body = fact.body
    if not isinstance(body, FORESEEN):
        raise TypeError(f"nothing is foretold of {body}")
    row = current.belief.row(body.pot_id)
    told = Foretold(fact.id, body.pot_id, KIND[type(body)], hour_l=hours_l[row], late=late)
    match body:
        case Finger():
            return replace(told, chances=_by_touch(current, row))
        case Wilting():
            return replace(told, chances=(_hangs(current, row, fact.valid_at),))
        case TillRan(twice=twice):
            parts = litres_till_ran(current, row, twice=twice)
            return replace(told, quantiles=_amounts(*parts), sign=-1)
        case Weighed():
            belief = current.belief
            mass = belief.empty_kg[row] + belief.water_l[row] + belief.below_l[row]
            return replace(told, quantiles=_amounts(mass, np.hypot(SCALE_KG, SCALE_SHARE * mass)))
        case Drained():
            past = current.belief.past_l[row]
            return replace(
                told, quantiles=_amounts(past, np.hypot(DRAINED_L, DRAINED_SHARE * past))
            )
        case Probe():
            filled_l = current.garden.pots[row].vessel.filled_volume_l
            theta = current.belief.water_l[row] / filled_l
            widths = np.full_like(theta, PROBE_SD)
            return replace(told, quantiles=_amounts(theta, widths), unit_l=filled_l)
        case ProbeRaw():
            return _raw(current, row, body, told)


def _amounts(values: Floats, sd: Floats, weights: Floats | None = None) -> tuple[float, ...]:
    """Return the quantiles of an amount, by the widths that it will be weighed with."""
    # Nobody tells less than nothing. Five figures: finer than they are known, and short to keep.
    return tuple(float(f"{max(one, 0.0):.5g}") for one in quantiles_of(values, sd, weights))


def _raw(current: Standing, row: int, body: ProbeRaw, told: Foretold) -> Foretold:
    """Return what a probe will show between its two points for this pot."""
    share = share_from_air_dry(current.belief, current.traits, row)
    span = body.wet - body.dry
    sd = np.array([raw_sd(min(max(float(one), 0.0), 1.0)) for one in share]) * abs(span)
    room = current.traits.capacity_l[row] - current.traits.air_dry_l[row]
    return replace(
        told, quantiles=_amounts(body.dry + share * span, sd),
        unit_l=float(np.mean(room)) / abs(span), sign=1 if span > 0.0 else -1,
    )  # fmt: skip


def litres_till_ran(
    current: Standing, row: int, *, twice: bool
) -> tuple[Floats, Floats, Floats]:  # fmt: skip
    """Return what a right answer would say of the litres, as parts of a mixture of normals.

    What `irrigate.garden.watering.litres_fit` weighs by, told beforehand and without strays:
    value, sd [L] and weight of each part. A member that will be full took what it lacked; water
    that ran past it is spread over `PAST_PARTS` equal parts of that. A reservoir is filled as well.
    """
    water, traits = current.belief.water_l, current.traits
    room = np.asarray(missing_l(water, traits)[row], dtype=np.float64)
    share = np.asarray(share_available(water, traits)[row], dtype=np.float64)
    full = chance_full(share, twice=twice)
    parts = (np.arange(PAST_PARTS) + 0.5)[:, np.newaxis] / PAST_PARTS
    values = np.concatenate([room, (parts * room).ravel()])
    values = values + np.tile(room_below(current, row), PAST_PARTS + 1)
    past = np.broadcast_to((1.0 - full) / PAST_PARTS, (PAST_PARTS, room.size)).ravel()
    width = np.concatenate([np.zeros_like(room), np.tile(room, PAST_PARTS)]) / PAST_PARTS
    sd = np.sqrt(RAN_L**2 + (RAN_SHARE * values) ** 2 + width**2 / 12.0)
    return values, sd, np.concatenate([full, past])


def _by_touch(current: Standing, row: int) -> tuple[float, ...]:
    share = share_available(current.belief.water_l, current.traits)[row]
    by_word = [float(finger_likelihood(word, share).mean()) for word in WORDS]
    return tuple(max((chance - LAPSE / 3.0) / (1.0 - LAPSE), 0.0) for chance in by_word)


def _hangs(current: Standing, row: int, at: datetime) -> float:
    early = at.astimezone(ZoneInfo(current.garden.site.time_zone)).hour < EARLY_HOUR
    share = share_available(current.belief.water_l, current.traits)[row]
    chance = float(wilting_chance(np.asarray(share, dtype=np.float64), early=early).mean())
    return (chance - LAPSE) / (1.0 - LAPSE)


def hours_of_sun(current: Standing, weather: HourlyWeather) -> tuple[float | None, ...]:
    """Return what each pot uses in an hour that counts, by the day that ends now [L h⁻¹].

    Parameters
    ----------
    current : the belief now.
    weather : hour by hour, from more than a day before; with less of it, None for all pots.

    Notes
    -----
    Every pot is stepped through the last 24 hours from full, each member with its own thirst and
    without rain: what it would have used if it had been watered the day before. The hours are
    weighted by the reference ET of the pot's place (`irrigate.garden.scoring.hour_of_sun_l`).
    """
    belief, garden, traits = current.belief, current.garden, current.traits
    now_s = int(belief.at.timestamp())
    near = weather.between(now_s - int(LEAD.total_seconds()), now_s + HOUR_S - 1)
    if len(near) < DAY_H:
        return (None,) * len(garden.pots)
    near = replace(near, rain_mm=np.zeros_like(near.rain_mm))
    places = place_weather(garden, near)
    demand = pot_demand(garden, near, belief.canopy_m, belief.at)
    full = np.broadcast_to(traits.capacity_l, belief.water_l.shape).astype(np.float64)
    nothing = np.zeros_like(full)
    store = belief.store.put(
        water_l=full, surface_mm=nothing, below_l=nothing, stood_h=nothing, strain=nothing
    )
    et0, used = [], []
    for hour in range(len(near) - DAY_H, len(near)):
        store, flows = step(store, traits, demand.at(places, hour, 1.0))
        et0.append(places.et0_mm[demand.place_row, 0, hour])
        used.append(np.mean(flows.transpired_l + flows.evaporated_l, axis=1))
    by_hour, use = np.array(et0), np.array(used)
    return tuple(hour_of_sun_l(by_hour[:, row], use[:, row]) for row in range(len(garden.pots)))
