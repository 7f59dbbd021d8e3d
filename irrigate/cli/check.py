"""The command `irrigate check`: what the garden file says, as it was understood."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from irrigate.cli.check_garden import about
from irrigate.cli.check_pots import mix_lines, pot_lines
from irrigate.cli.garden_option import garden_argument
from irrigate.garden.pots import Garden
from irrigate.settings.garden_file import read_settings
from irrigate.settings.readers import ALWAYS
from irrigate.settings.values import Settings


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
    yield from about(settings)
    yield ""
    for pot in settings.garden.pots:
        yield from pot_lines(pot, settings, sources=sources)
    if sources:
        yield from mix_lines(settings.garden)
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


def _renamed(settings: Settings) -> Iterator[str]:
    for old, new in settings.renamed:
        yield f"Pot {new} was {old}: it keeps what was learnt."


def _since(garden: Garden) -> Iterator[str]:
    for pot in garden.pots:
        if pot.since == ALWAYS:
            yield f"Pot {pot.label}: its line holds always; what it said before was a mistake."
        elif pot.since is not None:
            yield f"Pot {pot.label}: its line holds since {pot.since.replace('T', ' ')}."
