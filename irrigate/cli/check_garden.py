"""What `irrigate check` says of the garden itself: its site, manner, places, plants, people."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from irrigate.garden.pots import Garden, Place, RoundTime
from irrigate.settings.stock import OWN_PLANT
from irrigate.settings.values import Settings
from irrigate.settings.words import WEEKDAYS
from irrigate.units import in_percent, say_temperature, say_volume

WIDTH = 100
INDENT = " " * 6
FOOT_M = 0.3048


def about(settings: Settings) -> Iterator[str]:
    """Yield the lines about the garden as a whole."""
    garden, unsaid = settings.garden, settings.unsaid
    site, us_units = garden.site, garden.manner.us_units
    # A hill is told in whole feet or metres, and never in inches.
    height = f"{site.elevation_m / FOOT_M:.0f} ft" if us_units else f"{site.elevation_m:.0f} m"
    where = f"{_degrees(site.latitude_deg, 'N', 'S')} {_degrees(site.longitude_deg, 'E', 'W')}"
    pots, places = _count(len(garden.pots), "pot"), _count(len(garden.places), "place")
    yield f"{garden.name}: {pots} in {places}"
    yield f"Site: {where}, {height} above the sea, {site.time_zone}"
    yield f"Rounds: {', '.join(_round(one) for one in garden.rounds)}"
    yield from _manner(settings)
    for place in garden.places:
        yield from textwrap.wrap(
            f"Place {_place(place, settings)}", WIDTH, subsequent_indent=INDENT
        )
    if any(("places", one.name, key) in unsaid for one in garden.places for key in _STILL_USUAL):
        yield "Where a place does not tell: bare ground around, pots apart (usual)"
    yield from _own_plants(garden)
    for person in garden.people:
        hours = ", ".join(f"{begin:%H:%M}-{end:%H:%M}" for begin, end in person.can_act)
        yield f"{person.name}: by {', '.join(person.reach)}; can act {hours}"


def _manner(settings: Settings) -> Iterator[str]:
    """Say how it will behave, and what of that is usual rather than said."""
    manner, unsaid = settings.garden.manner, settings.unsaid

    def usual(text: str, key: str) -> str:
        return f"{text} (usual)" if (key,) in unsaid else text

    begin, end = manner.quiet
    yield _clauses(
        "Messages: " + usual(f"{manner.notice_min} min before a round", "notice"),
        usual(f"{manner.lead_h:g} h before thirst between rounds", "lead"),
        usual(f"quiet {begin:%H:%M}-{end:%H:%M}", "quiet"),
    )
    risk = in_percent(settings.risk)
    walked = f"rounds walked when nobody answers {in_percent(manner.keeps_rounds)}"
    yield _clauses(usual(f"Risk taken: {risk}", "risk"), usual(walked, "keeps_rounds"))
    can = f"Water: a can of {say_volume(manner.can_l, us_units=manner.us_units)}"
    hose = "hose not timed" if manner.hose_l_s is None else "hose timed"
    weather = settings.service.weather
    source = f"weather from {weather.provider if weather.csv is None else weather.csv.name}"
    source += " and its ensemble" if weather.ensemble else ""
    salt = manner.water_salt_ds_m
    salted = [] if salt is None else [f"salt in it {salt:.2g} dS/m"]
    most = manner.at_most_l
    limited = [] if most is None else [
        f"at most {say_volume(most, us_units=manner.us_units)} at a round"
    ]  # fmt: skip
    yield _clauses(usual(can, "can"), *limited, *salted, hose, usual(source, "weather"))


def _place(place: Place, settings: Settings) -> str:
    def usual(text: str, key: str) -> str:
        return f"{text} (usual)" if ("places", place.name, key) in settings.unsaid else text

    # What a pot says of its own spot is about sun, wind and rain; the rest is its place's.
    whole = place.name.rpartition(" (pot ")[0] or place.name

    def told(key: str) -> bool:
        return ("places", whole, key) not in settings.unsaid

    said = [
        usual(f"shade {in_percent(place.shade)}", "shade"),
        usual(f"wind {in_percent(place.wind)} of open", "wind"),
    ]
    if place.glass is not None:  # no wind gets in, whatever was said of it
        said[1:] = [f"under glass that lets in {in_percent(place.glass)} of the sun, and no rain"]
    if place.sun_from is not None and place.sun_until is not None:
        said.append(f"sun {place.sun_from:%H:%M}-{place.sun_until:%H:%M}")
    if place.rain != 1:
        said.append(f"rain {in_percent(place.rain)}")
    if told("ground"):
        said.append(f"{_GROUNDS[place.ground]} around")
    if place.sunny_wall:
        said.append("a sunny wall behind")
    if told("pots_stand"):
        said.append(_SPACINGS[place.spacing])
    if place.lamps_w_m2 > 0:
        said.append(f"lamps of {place.lamps_w_m2:g} W/m2 {_burning(place)}")
    return f"{place.name}: {', '.join(said)}"


_STILL_USUAL = ("ground", "pots_stand")
_GROUNDS = {"green": "green", "bare": "bare ground", "paved": "paving"}
_SPACINGS = {"close": "pots touching", "apart": "pots apart", "alone": "pots alone"}


def _burning(place: Place) -> str:
    if place.lamps_from is None or place.lamps_until is None:
        return "day and night"
    return f"{place.lamps_from:%H:%M}-{place.lamps_until:%H:%M}"


def _own_plants(garden: Garden) -> Iterator[str]:
    """Say of the file's own plants what cannot be seen in a pot's line."""
    own = {pot.crop.name: pot.crop for pot in garden.pots if pot.crop.source.startswith(OWN_PLANT)}
    for name, crop in own.items():
        coldest = say_temperature(crop.bears_c, us_units=garden.manner.us_units)
        stem = f"bare stem {in_percent(crop.bare_stem)}, " if crop.bare_stem else ""
        yield f"Plant {name}: {stem}stands cold to {coldest}"


def _clauses(*clauses: str) -> str:
    return "; ".join(clauses)


def _round(one: RoundTime) -> str:
    if len(one.weekdays) == len(WEEKDAYS):
        return f"{one.at:%H:%M}"
    return f"{one.at:%H:%M} ({' '.join(WEEKDAYS[day][:3] for day in one.weekdays)})"


def _degrees(value: float, positive: str, negative: str) -> str:
    return f"{abs(value):g}° {positive if value >= 0 else negative}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
