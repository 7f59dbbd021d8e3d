"""What `irrigate check` says of each pot, and of the mixes in them."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from irrigate.cli.check_garden import INDENT, WIDTH
from irrigate.garden.media import USUAL_HEIGHT_M
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.priors import HOME_FILL
from irrigate.settings.makings import COVERED
from irrigate.settings.values import Settings
from irrigate.units import in_percent, say_length, say_volume


def pot_lines(pot: Pot, settings: Settings, *, sources: bool) -> Iterator[str]:
    """Yield the lines about one pot; with ``sources`` also where its figures come from."""
    reading = settings.readings[pot.label]
    us_units = settings.garden.manner.us_units
    for_plant = say_volume(available_at_home_l(pot), us_units=us_units)
    called = pot.crop.name if pot.name == pot.crop.name else f"{pot.name} ({pot.crop.name})"
    plant = [f"{called}, {pot.place}", reading.size, *_more(pot, settings.risk)]
    yield from _wrapped(f"{pot.label:>4}  ", plant)
    full = f"when full, about {for_plant} for the plant"
    yield from _wrapped(INDENT, [reading.vessel, *reading.more, reading.mix, full])
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


def mix_lines(garden: Garden) -> Iterator[str]:
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
    if 0 < pot.mulch < COVERED:
        yield f"mulch saves {in_percent(pot.mulch)}"
    if pot.risk != usual_risk:
        yield f"risk {in_percent(pot.risk)}"
    if pot.planted:
        yield f"planted {pot.planted:%Y-%m-%d}"


def _wrapped(first: str, clauses: list[str]) -> list[str]:
    """Join clauses into lines that a terminal shows unbroken."""
    # A number stays with its percent sign.
    whole = "; ".join(clauses).replace(" %", "\u00a0%")
    lines = textwrap.wrap(whole, WIDTH, initial_indent=first, subsequent_indent=INDENT + "  ")
    return [line.replace("\u00a0%", " %") for line in lines]
