"""The command `irrigate check`: what the garden file says, as it was understood."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from pathlib import Path

import click

from irrigate.cli.garden_option import garden_argument
from irrigate.garden.media import USUAL_HEIGHT_M
from irrigate.garden.pots import Garden, Place, Pot, RoundTime
from irrigate.garden.priors import HOME_FILL
from irrigate.settings.garden_file import read_settings
from irrigate.settings.readers import ALWAYS
from irrigate.settings.values import Settings
from irrigate.settings.words import WEEKDAYS
from irrigate.units import in_percent, say_length, say_volume

WIDTH = 100
INDENT = " " * 6

FOOT_M = 0.3048


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
    yield from _about(settings)
    yield ""
    for pot in settings.garden.pots:
        yield from _pot(pot, settings, sources=sources)
    if sources:
        yield from _mixes(settings.garden)
    history = [*_renamed(settings), *_since(settings.garden)]
    if history:
        yield ""
        yield from history
    if settings.remarks:
        yield ""
        yield "To be sure of:"
        yield from (f"  {remark}" for remark in settings.remarks)
    yield ""
    yield "What is usual or assumed was not said: where it is wrong, put it into the file."
    if not sources:
        yield "Most of it is from memory, not verified; --sources tells where figures come from."


# --- the garden ----------------------------------------------------------------------------
def _about(settings: Settings) -> Iterator[str]:
    garden = settings.garden
    site, us_units = garden.site, garden.manner.us_units
    # A hill is told in whole feet or metres, and never in inches.
    height = f"{site.elevation_m / FOOT_M:.0f} ft" if us_units else f"{site.elevation_m:.0f} m"
    where = f"{_degrees(site.latitude_deg, 'N', 'S')} {_degrees(site.longitude_deg, 'E', 'W')}"
    pots, places = _count(len(garden.pots), "pot"), _count(len(garden.places), "place")
    yield f"{garden.name}: {pots} in {places}"
    yield f"Site: {where}, {height} above the sea, {site.time_zone}"
    yield f"Rounds: {', '.join(_round(one) for one in garden.rounds)}"
    yield from _manner(settings)
    yield from (f"Place {_place(place, settings)}" for place in garden.places)
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
    yield _clauses(usual(can, "can"), hose, usual(source, "weather"))


def _place(place: Place, settings: Settings) -> str:
    def usual(text: str, key: str) -> str:
        return f"{text} (usual)" if ("places", place.name, key) in settings.unsaid else text

    said = [
        usual(f"shade {in_percent(place.shade)}", "shade"),
        usual(f"wind {in_percent(place.wind)} of open", "wind"),
    ]
    if place.sun_from is not None and place.sun_until is not None:
        said.append(f"sun {place.sun_from:%H:%M}-{place.sun_until:%H:%M}")
    if place.rain != 1:
        said.append(f"rain {in_percent(place.rain)}")
    return f"{place.name}: {', '.join(said)}"


# --- the pots ------------------------------------------------------------------------------
def _pot(pot: Pot, settings: Settings, *, sources: bool) -> Iterator[str]:
    reading = settings.readings[pot.label]
    us_units = settings.garden.manner.us_units
    for_plant = say_volume(available_at_home_l(pot), us_units=us_units)
    called = pot.crop.name if pot.name == pot.crop.name else f"{pot.name} ({pot.crop.name})"
    plant = [f"{called}, {pot.place}", reading.size, *_more(pot, settings.risk)]
    yield from _wrapped(f"{pot.label:>4}  ", plant)
    full = f"when full, about {for_plant} for the plant"
    yield from _wrapped(INDENT, [reading.vessel, reading.mix, full])
    if reading.assumed:
        assumed = [f"{', '.join(one.what)} ({one.whence})" for one in reading.assumed]
        yield from _wrapped(f"{INDENT}assumed: ", assumed)
    if sources:
        held = say_volume(pot.medium.held_l(pot.vessel), us_units=us_units)
        available = say_volume(pot.medium.available_l(pot.vessel), us_units=us_units)
        share = in_percent(HOME_FILL)
        yield (
            f"{INDENT}water: soaked in a laboratory it would hold {held}, {available} of it for"
            f" the plant; at home about {share} of that"
        )
        yield from (f"{INDENT}{source}" for source in reading.sources)


def available_at_home_l(pot: Pot) -> float:
    """Return the water a plant can take from the pot when full, as it fills at home [L].

    The centre of what is believed of a pot before anything is known of it.
    """
    return HOME_FILL * pot.medium.available_l(pot.vessel)


def _mixes(garden: Garden) -> Iterator[str]:
    """Say of each mix in use what would be measured of it, all in one pot to be compared."""
    media = {pot.medium.name: pot.medium for pot in garden.pots}
    height = say_length(USUAL_HEIGHT_M, us_units=garden.manner.us_units)
    yield ""
    yield (
        f"Mixes, by share of their volume, in a straight pot filled {height} high"
        " (easily available: from 1 to 5 kPa):"
    )
    for name, medium in media.items():
        held = medium.held_in_straight_pot()
        said = [
            f"holds {in_percent(held)} after draining",
            f"air {in_percent(medium.theta_s - held)}",
            f"easily available {in_percent(medium.easily_available_water)}",
            f"wilts at {in_percent(medium.lower_limit)}",
        ]
        yield from _wrapped(f"  {name}: ", said)


def _more(pot: Pot, usual_risk: float) -> Iterator[str]:
    if pot.mulch:
        yield f"mulch saves {in_percent(pot.mulch)}"
    if pot.risk != usual_risk:
        yield f"risk {in_percent(pot.risk)}"
    if pot.planted:
        yield f"planted {pot.planted:%Y-%m-%d}"


def _renamed(settings: Settings) -> Iterator[str]:
    for old, new in settings.renamed:
        yield f"Pot {new} was {old}: it keeps what was learnt."


def _since(garden: Garden) -> Iterator[str]:
    for pot in garden.pots:
        if pot.since == ALWAYS:
            yield f"Pot {pot.label}: its line holds always; what it said before was a mistake."
        elif pot.since is not None:
            yield f"Pot {pot.label}: its line holds since {pot.since.replace('T', ' ')}."


# --- words ---------------------------------------------------------------------------------
def _clauses(*clauses: str) -> str:
    return "; ".join(clauses)


def _wrapped(first: str, clauses: list[str]) -> list[str]:
    """Join clauses into lines that a terminal shows unbroken."""
    return textwrap.wrap(
        "; ".join(clauses), WIDTH, initial_indent=first, subsequent_indent=INDENT + "  "
    )


def _round(one: RoundTime) -> str:
    if len(one.weekdays) == len(WEEKDAYS):
        return f"{one.at:%H:%M}"
    return f"{one.at:%H:%M} ({' '.join(WEEKDAYS[day][:3] for day in one.weekdays)})"


def _degrees(value: float, positive: str, negative: str) -> str:
    return f"{abs(value):g}° {positive if value >= 0 else negative}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
