"""`irrigate outlook`: the week ahead for all pots, or day by day for some, beside the service."""

from __future__ import annotations

import json
import os
import textwrap
from pathlib import Path

import click

from irrigate.cli.garden_option import garden_option
from irrigate.cli.run import MEMBERS
from irrigate.cli.state_option import StateFolder, state_option


@click.command("outlook")
@click.argument("pots", nargs=-1, metavar="[POT]...")
@garden_option
@state_option
@click.option("--json", "as_json", is_flag=True, help="Print JSON: SI units, times in UTC.")
@click.option("--members", type=click.IntRange(8, 1000), default=MEMBERS, hidden=True)
def command(
    pots: tuple[str, ...], garden: Path, state: StateFolder, as_json: bool, members: int
) -> None:
    """Show how full every pot is, and when it will probably be thirsty, for a week ahead.

    Reads the service's record, running or stopped, and changes nothing. Where there is no record
    yet, it fetches the weather once and gives a first look from the garden file alone. With POT,
    by its number, that pot day by day.
    """
    from irrigate.assemble.reading import look, system_clock
    from irrigate.cli.cautions_ahead import cautions_ahead
    from irrigate.cli.outlook_json import as_plain
    from irrigate.cli.outlook_text import header, one_pot
    from irrigate.cli.pot_argument import named_pots
    from irrigate.cli.week_ahead import WIDTH, week_ahead

    found = look(garden, state.path, system_clock().now(), members, os.environ)
    wanted = named_pots(found.thought.standing.garden, pots)
    if as_json:
        click.echo(
            json.dumps(as_plain(found, wanted), ensure_ascii=False, allow_nan=False, indent=1)
        )
        return
    for line in header(found):
        click.echo(textwrap.fill(line, WIDTH))
    if not wanted:
        click.echo(f"\n{week_ahead(found.thought)}")
        for line in cautions_ahead(found.thought):
            click.echo(textwrap.fill(line, WIDTH))
    for pot in wanted:
        click.echo(f"\n{one_pot(found.thought, pot)}")
