"""The command `irrigate check`: what the garden file says, as it was understood."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from irrigate.cli.garden_option import garden_argument
from irrigate.garden.pots import Garden, Place, Pot, RoundTime
from irrigate.settings.garden_file import read_settings
from irrigate.settings.values import PotReading, Settings
from irrigate.settings.words import WEEKDAYS
from irrigate.units import in_percent, say_length, say_volume


@click.command("check")
@garden_argument
@click.option("--sources", is_flag=True, help="Say of every pot where its figures come from.")
def command(garden: Path, sources: bool) -> None:
    """Read the garden file and say how every pot was understood, or everything that is wrong."""
    settings = read_settings(garden)
    for line in report(settings, sources=sources):
        click.echo(line)
    click.echo(f"\n{garden} is in order.")


def report(settings: Settings, *, sources: bool = False) -> Iterator[str]:
    """Yield the lines that tell a gardener what the file was understood to say."""
    yield from _about(settings.garden)
    yield ""
    for pot in settings.garden.pots:
        yield from _pot(pot, settings, sources=sources)
    if settings.renamed:
        yield ""
        yield from (
            f"Pot {new} was {old}: it keeps what was learnt." for old, new in settings.renamed
        )
    if settings.remarks:
        yield ""
        yield "To be sure of:"
        yield from (f"  {remark}" for remark in settings.remarks)


def _about(garden: Garden) -> Iterator[str]:
    site, us_units = garden.site, garden.manner.us_units
    height = say_length(site.elevation_m, us_units=us_units)
    where = f"{_degrees(site.latitude_deg, 'N', 'S')} {_degrees(site.longitude_deg, 'E', 'W')}"
    pots, places = _count(len(garden.pots), "pot"), _count(len(garden.places), "place")
    yield f"{garden.name}: {pots} in {places}"
    yield f"Site: {where}, {height} above the sea, {site.time_zone}"
    yield f"Rounds: {', '.join(_round(one) for one in garden.rounds)}"
    yield from (f"Place {_place(place)}" for place in garden.places)
    for person in garden.people:
        hours = ", ".join(f"{begin:%H:%M}-{end:%H:%M}" for begin, end in person.can_act)
        yield f"{person.name}: by {', '.join(person.reach)}; can act {hours}"


def _pot(pot: Pot, settings: Settings, *, sources: bool) -> Iterator[str]:
    reading = settings.readings[pot.label]
    us_units = settings.garden.manner.us_units
    held = say_volume(pot.medium.held_l(pot.vessel), us_units=us_units)
    available = say_volume(pot.medium.available_l(pot.vessel), us_units=us_units)
    called = pot.crop.name if pot.name == pot.crop.name else f"{pot.name} ({pot.crop.name})"
    yield f"{pot.label:>4}  {called}, {pot.place}"
    yield f"      {reading.vessel}; {reading.mix}"
    yield f"      full after draining it holds {held}, of which {available} for the plant"
    yield f"      {reading.size}{_more(pot)}"
    yield from _origins(reading, sources=sources)


def _more(pot: Pot) -> str:
    said = f"; mulch saves {in_percent(pot.mulch)} of what the surface loses" if pot.mulch else ""
    return f"{said}; planted {pot.planted:%Y-%m-%d}" if pot.planted else said


def _origins(reading: PotReading, *, sources: bool) -> Iterator[str]:
    if reading.assumed:
        yield f"      not said, so assumed: {', '.join(reading.assumed)}"
    if sources:
        yield from (f"      {source}" for source in reading.sources)


def _place(place: Place) -> str:
    said = f"{place.name}: shade {in_percent(place.shade)}, wind {in_percent(place.wind)} of open"
    if place.sun_from is not None and place.sun_until is not None:
        said += f", sun {place.sun_from:%H:%M}-{place.sun_until:%H:%M}"
    return said if place.rain == 1 else f"{said}, rain {in_percent(place.rain)}"


def _round(one: RoundTime) -> str:
    if len(one.weekdays) == len(WEEKDAYS):
        return f"{one.at:%H:%M}"
    return f"{one.at:%H:%M} ({' '.join(WEEKDAYS[day][:3] for day in one.weekdays)})"


def _degrees(value: float, positive: str, negative: str) -> str:
    return f"{abs(value):g}° {positive if value >= 0 else negative}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
