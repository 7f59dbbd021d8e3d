"""The words around the week ahead: how fresh the weather is, and one pot day by day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from irrigate import units
from irrigate.assemble.reading import Look, SkyNews
from irrigate.cli.tables import table
from irrigate.cli.week_ahead import WIDTH, chance_words, said_ahead, thirsty
from irrigate.garden.balance import missing_l, share_available
from irrigate.garden.day_by_day import day_by_day, evenings
from irrigate.garden.outlook import HORIZON_H
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.rounds import next_rounds
from irrigate.service.thinking import Thought
from irrigate.service.wording import called, clock

# An hour is told some minutes after it ended, and fetched once an hour: this is later than that.
STALE = timedelta(hours=4)
DAYS = 7
FIRST_LOOK = """\
This is a first look: nothing is known of your pots yet, so the water in them may be anything
from nearly dry to just watered. Start the service (irrigate run), and water everything once till
it runs; from then on it knows."""


def header(found: Look) -> Iterator[str]:
    """Yield the lines that say what is shown, from when, and what it rests on."""
    garden, now = found.thought.standing.garden, found.thought.now
    local = now.astimezone(ZoneInfo(garden.site.time_zone))
    yield f"{garden.name}, {local:%A} {local.day} {local:%B}, {clock(garden, now)}"
    if found.first:
        yield FIRST_LOOK
    yield from _sky(garden, found.sky, now)
    if found.waiting:
        answers = "1 answer waits" if found.waiting == 1 else f"{found.waiting} answers wait"
        yield f"{answers} for the service to take in; not counted here."
    yield from found.remarks
    yield "Without watering, and counting on no rain. Thirsty: the plant begins to hold back."


def _sky(garden: Garden, sky: SkyNews, now: datetime) -> Iterator[str]:
    told = "no hour gone by was told yet"
    if sky.told_until is not None:
        until = said_ahead_or_past(garden, sky.told_until, now)
        told = f"told up to {until} ({ago(now - sky.told_until)})"
    forecast = "no forecast"
    if sky.forecast_from is not None:
        forecast = f"forecast of {said_ahead_or_past(garden, sky.forecast_from, now)}"
        forecast += f" ({ago(now - sky.forecast_from)})"
    yield f"Weather: {sky.source}, {told}; {forecast}."
    if sky.told_until is None or now - sky.told_until > STALE:
        yield "The weather is stale: is the service running, and does it reach its source?"
    end = now + timedelta(hours=HORIZON_H)
    reach = sky.forecast_until or sky.told_until
    # The last day or so of a forecast fetched some hours ago is always missing.
    if sky.too_old:
        yield "The forecast is too old to go by: recent days stand in for what comes."
    elif reach is not None and reach < end - timedelta(days=1):
        beyond = said_ahead_or_past(garden, reach, now)
        yield f"Beyond {beyond} no weather is known: recent days stand in."
    if sky.sun_estimated:
        yield "Sun estimated: the forecast tells no radiation."
    if sky.attribution:
        yield f"{sky.attribution}."


def said_ahead_or_past(garden: Garden, at: datetime, now: datetime) -> str:
    """Say a moment near now: the time alone on the same day, with the date otherwise."""
    zone = ZoneInfo(garden.site.time_zone)
    local = at.astimezone(zone)
    same = local.date() == now.astimezone(zone).date()
    return clock(garden, at) if same else f"{local:%a} {local.day} {local:%b} {clock(garden, at)}"


def ago(age: timedelta) -> str:
    """Say how long ago something was."""
    minutes = age.total_seconds() / 60.0
    if minutes < 1.5:
        return "just now"
    if minutes < 90:
        return f"{minutes:.0f} min ago"
    if minutes < 48 * 60:
        return f"{minutes / 60:.0f} h ago"
    return f"{minutes / 1440:.0f} days ago"


def one_pot(thought: Thought, pot: Pot) -> str:
    """Return one pot's state and its days."""
    garden, now = thought.standing.garden, thought.now
    row = thought.standing.belief.row(pot.id)
    us_units = garden.manner.us_units
    store, traits = thought.standing.belief.water_l, thought.standing.traits
    shares = np.quantile(share_available(store, traits)[row], (0.1, 0.5, 0.9))
    lacking = float(np.median(missing_l(store, traits)[row]))
    following = next_rounds(garden, now, 1)[0]
    chance = float(thought.as_is.chance_before(following)[row])
    ends = evenings(garden, now, DAYS)
    days = day_by_day(thought.ahead, thought.as_is, row, ends)
    rows = [
        (
            said_ahead(garden, day.ends, now, exact=True),
            f"{units.say_rain(day.et0_mm, us_units=us_units)}",
            units.say_volume(day.asked_l, us_units=us_units),
            *(units.in_percent(share) for share in _by_likeliness(day.share_left)),
            chance_words(day.chance_thirsty),
        )
        for day in days
    ]
    headings = ("until", "ET0", "plant asks", "then left", "between", "and", "thirsty by then?")
    low, middle, high = (units.in_percent(float(share)) for share in shares)
    by = said_ahead(garden, following, now, exact=True)
    missing = units.say_volume(lacking, us_units=us_units)
    lines = [f"{called(pot)}, {pot.place}"]
    lines.append(f"Left: probably {middle}, between {low} and {high}; missing {missing}.")
    lines.extend(_below(thought, pot, row))
    lines.append(f"Thirsty by {by}, the next round: {chance_words(chance)}.")
    lines.append(when(thought, row))
    lines.append(table(headings, rows, width=WIDTH))
    lines.append("ET0: what grass would use here since the line above, as a depth of water.")
    return "\n".join(lines)


def _below(thought: Thought, pot: Pot, row: int) -> Iterator[str]:
    """Say what stands below a pot, where something can."""
    if pot.basin is None:
        return
    us_units = thought.standing.garden.manner.us_units
    there = units.say_volume(
        float(np.median(thought.standing.belief.below_l[row])), us_units=us_units
    )
    holds = units.say_volume(pot.basin.volume_l, us_units=us_units)
    yield f"In its {pot.basin.kind}: probably {there} of the {holds} that it holds."


def _by_likeliness(quantiles: tuple[float, float, float]) -> tuple[float, float, float]:
    low, middle, high = quantiles
    return middle, low, high


def when(thought: Thought, row: int) -> str:
    """Say when a pot will be thirsty, as a sentence."""
    garden, now = thought.standing.garden, thought.now
    early, middle, late = (thirsty(thought, row, level) for level in (0.1, 0.5, 0.9))
    if early is None:
        return "Not within the week."
    first, last = said_ahead(garden, early, now), said_ahead(garden, late, now)
    between = f"between {first} and {last}"
    if middle is None:
        return f"Perhaps within the week, not before {first}."
    if middle <= now:
        return "Probably thirsty now." if last == "now" else f"Probably thirsty now, {between}."
    return f"Probably {said_ahead(garden, middle, now)}, {between}."
