"""From a checked garden file to the frozen garden: places, people, rounds and manner."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from irrigate import units
from irrigate.garden.pots import Garden, Manner, Person, RoundTime, Site
from irrigate.settings import readers
from irrigate.settings.exposure import place_of
from irrigate.settings.faults import Faults
from irrigate.settings.resolve_pots import resolve_pots
from irrigate.settings.schema import GardenEntry
from irrigate.settings.site_entries import CsvWeatherEntry, ProviderEntry
from irrigate.settings.values import PotReading, ServiceSettings, WeatherChoice

FARTHEST_FROM_SUN_H = 3.5
"""No inhabited time zone strays farther from its longitude than western China, by 3.1 h."""


@dataclass(slots=True)
class Resolved:
    """The parts of `Settings` that follow from the file's entries."""

    garden: Garden
    renamed: tuple[tuple[str, str], ...]
    service: ServiceSettings
    remarks: list[str] = field(default_factory=list)
    readings: dict[str, PotReading] = field(default_factory=dict)


def resolve(entry: GardenEntry, raw: dict[str, Any], folder: Path, faults: Faults) -> Resolved:
    """Return the garden that the entries describe; what cannot be goes to ``faults``.

    ``raw`` is the file as written, for the words that numbers were made of; ``folder`` is where
    the file lies.
    """
    remarks: list[str] = []
    site = _site(entry, faults)
    manner = _manner(entry, remarks, faults)
    places = {name: place_of(name, said) for name, said in entry.places.items()}
    pots = resolve_pots(entry, raw, places, manner.us_units, faults)
    garden = Garden(
        name=entry.garden,
        site=site,
        places=tuple(pots.places.values()),
        pots=tuple(pots.pots),
        rounds=tuple(RoundTime(said.at, said.on) for said in entry.rounds),
        people=_people(entry, remarks),
        manner=manner,
    )
    renamed = tuple((said.was, label) for label, said in entry.pots.items() if said.was)
    service = ServiceSettings(_weather(entry, folder), _ways(entry, garden))
    return Resolved(garden, renamed, service, remarks + pots.remarks, pots.readings)


def _site(entry: GardenEntry, faults: Faults) -> Site:
    said = entry.site
    zone = ZoneInfo(said.time_zone)
    if _hours_from_sun(said.longitude, zone) > FARTHEST_FROM_SUN_H:
        mirrored = -said.longitude
        hint = (
            f"did you mean {mirrored:g}?"
            if _hours_from_sun(mirrored, zone) <= FARTHEST_FROM_SUN_H
            else "check both"
        )
        what = f"{said.longitude:g} does not lie in the time zone {said.time_zone}; {hint}"
        faults.note(("site", "longitude"), what)
    return Site(said.latitude, said.longitude, said.elevation, said.time_zone)


def _hours_from_sun(longitude_deg: float, zone: ZoneInfo) -> float:
    """Return how far the zone's clock is from the sun's, winter or summer, the nearer."""
    apart = []
    for month in (1, 7):
        offset = datetime(2024, month, 1, 12, tzinfo=zone).utcoffset()
        hours = 0.0 if offset is None else offset.total_seconds() / 3600
        apart.append(abs((hours - longitude_deg / 15 + 12) % 24 - 12))
    return min(apart)


def _manner(entry: GardenEntry, remarks: list[str], faults: Faults) -> Manner:
    usual = Manner()
    us_units = usual.us_units if entry.units is None else entry.units
    if entry.can is None and entry.hose is None:
        can = units.say_volume(usual.can_l, us_units=us_units)
        remarks.append(f"No can is described: one can is taken as {can}.")
    return Manner(
        us_units=us_units,
        can_l=entry.can if entry.can is not None else usual.can_l,
        hose_l_s=entry.hose,
        quiet=entry.quiet or usual.quiet,
        notice_min=usual.notice_min if entry.notice is None else round(entry.notice / 60),
        lead_h=usual.lead_h if entry.lead is None else entry.lead / 3600,
        keeps_rounds=entry.keeps_rounds or usual.keeps_rounds,
        water_salt_ds_m=entry.water_salt,
        at_most_l=_effort_l(entry, faults),
    )


def _effort_l(entry: GardenEntry, faults: Faults) -> float | None:
    """Return the litres that one round may take; a time without a hose goes to ``faults``."""
    if entry.at_most is None:
        return None
    can_l = entry.can if entry.can is not None else Manner().can_l
    try:
        return readers.effort_l(entry.at_most, can_l=can_l, hose_l_s=entry.hose)
    except ValueError as wrong:
        faults.note(("at most",), str(wrong))
        return None


def _people(entry: GardenEntry, remarks: list[str]) -> tuple[Person, ...]:
    if not entry.people:
        usual = Person("gardener")
        begin, end = usual.can_act[0]
        hours = f"{begin:%H:%M} to {end:%H:%M}"
        remarks.append(f"No people are named: messages go to the console, for action {hours}.")
        return (usual,)
    usual_hours = Person("").can_act
    return tuple(Person(said.name, said.reach, said.hours or usual_hours) for said in entry.people)


def _ways(entry: GardenEntry, garden: Garden) -> tuple[str, ...]:
    """Return the ways to reach people: the file's own list, else those that people have."""
    if entry.reach is not None:
        return entry.reach
    return tuple(dict.fromkeys(way for person in garden.people for way in person.reach))


def _weather(entry: GardenEntry, folder: Path) -> WeatherChoice:
    said = entry.weather
    if isinstance(said, CsvWeatherEntry):
        return WeatherChoice("csv", folder / said.csv, said.wind_height)
    if isinstance(said, ProviderEntry):
        return WeatherChoice(said.source, ensemble=said.ensemble)
    return WeatherChoice(said) if said else WeatherChoice()
