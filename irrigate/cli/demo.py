"""`irrigate demo`: an invented hot week in an invented garden, at full speed and offline."""

from __future__ import annotations

import textwrap
from datetime import datetime
from zoneinfo import ZoneInfo

import click

from irrigate import units
from irrigate.assemble.simulated import DEMO_DAYS, Demonstration, demonstration
from irrigate.cli.tables import table
from irrigate.cli.week_ahead import week_ahead
from irrigate.garden.actions import Tell
from irrigate.planning.truth import Tally
from irrigate.ports import Message


@click.command("demo")
def command() -> None:
    """Live through an invented hot week with twelve pots, and show what a gardener would see."""
    click.echo(
        "An invented garden of twelve pots in Calder Flat, a place that is on no map, and an\n"
        "invented week with days up to 108 °F (42 °C). The forecast for Sunday is wrong until\n"
        "late that morning. The simulated gardener reads each message, does most of what\n"
        "it says, answers roughly and not every time, and forgets one evening.\n"
    )
    zone = ZoneInfo("America/Los_Angeles")

    def shown(at: datetime, message: Message) -> None:
        click.echo(f"┌ {_when(at.astimezone(zone))}  to {message.person.name}’s phone")
        click.echo(f"│ {message.title}")
        for line in message.body.splitlines():
            indent = "  " if line.startswith(" ") else ""
            for piece in textwrap.wrap(
                line.strip(), 74, initial_indent=indent, subsequent_indent=2 * indent
            ):
                click.echo(f"│ {piece}")
        click.echo("└")

    def answered(at: datetime, text: str) -> None:
        click.echo(f"  {_when(at.astimezone(zone))}  {text}\n")

    told = demonstration(shown, answered)
    click.echo("\nThe week ahead, as it stands at the end; without watering, counting on no rain\n")
    click.echo(week_ahead(told.thought))
    click.echo(f"\n{_compared(told.ours, told.daily, told.garden.manner.us_units)}\n")
    click.echo(_counted(told))


def _when(local: datetime) -> str:
    """Say a moment as the demo's gardener has it on the phone."""
    half = "am" if local.hour < 12 else "pm"
    return f"{local:%a %d %b} {local.hour % 12 or 12}:{local:%M} {half}"


def _compared(ours: Tally, daily: Tally, us_units: bool) -> str:
    """Return the comparison with the same dose every morning, summed over the pots."""

    def row(name: str, one: Tally) -> tuple[str, ...]:
        return (
            name,
            f"{one.thirsty_h.sum():.0f} h",
            f"{one.too_wet_h.sum():.0f} h",
            units.say_volume(float(one.given_l.sum()), us_units=us_units),
            units.say_volume(float(one.drained_l.sum()), us_units=us_units),
        )

    headings = ("over the week, all pots", "thirsty", "too wet", "water given", "of it drained")
    rows = [
        row("as advised", ours),
        row("half a can each, every morning", daily),
    ]
    return table(headings, rows)


def _counted(told: Demonstration) -> str:
    tells = [action for action in told.actions if isinstance(action, Tell)]
    warnings = sum(tell.occasion == "warning" for tell in tells)
    between = "1 warning" if warnings == 1 else f"{warnings} warnings"
    return (
        f"{len(tells)} messages in {DEMO_DAYS} days ({len(tells) - warnings} for rounds, {between} "
        f"in between): {len(told.walked)} acted on, of which {len(told.unanswered)} without an "
        f"answer; {len(told.missed)} forgotten."
    )
