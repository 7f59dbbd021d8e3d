"""`irrigate skill`: how well answers were foretold, from the service's record."""

from __future__ import annotations

import json
from datetime import date, datetime
from datetime import time as time_of_day
from pathlib import Path
from zoneinfo import ZoneInfo

import click

from irrigate.cli.state_option import StateFolder, state_option
from irrigate.errors import InputError


@click.command("skill")
@click.argument("pot", required=False)
@click.option("--since", "since_said", metavar="DATE",
              help="Only answers from this day on, such as 2026-07-12.")  # fmt: skip
@click.option("--csv", "csv_file", type=click.Path(path_type=Path, dir_okay=False),
              help="Write every answer and what was foretold of it into a file.")  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="Print JSON: SI units, times in UTC.")
@state_option
def command(
    pot: str | None,
    since_said: str | None,
    csv_file: Path | None,
    as_json: bool,
    state: StateFolder,
) -> None:
    """Show how what you found compares with what was foretold of it, for all pots or for POT.

    What was foretold is noted when an answer comes, from the belief before it, and never worked
    out again.
    """
    from irrigate.assemble.reading import open_journal, system_clock
    from irrigate.cli.pot_argument import named_pots
    from irrigate.cli.skill_rows import as_csv, as_plain
    from irrigate.cli.skill_text import skill_lines
    from irrigate.service.as_known import AsKnown, garden_at
    from irrigate.service.skill import EVER, skill

    with open_journal(state.journal) as journal:
        view = AsKnown(journal, journal.position())
        garden = garden_at(view, system_clock().now())
        wanted = named_pots(garden, [pot])[0] if pot is not None else None
        since = EVER if since_said is None else day_said(since_said, garden.site.time_zone)
        found = skill(view, garden, since)
    if wanted is not None:
        found = found.only(wanted.id)
    if csv_file is not None:
        try:
            csv_file.write_text(as_csv(found), encoding="utf-8", newline="")
        except OSError as wrong:
            raise InputError(f"{csv_file} cannot be written: {wrong.strerror}") from None
        click.echo(f"written: {csv_file}", err=as_json)
    if as_json:
        click.echo(json.dumps(as_plain(found), ensure_ascii=False, allow_nan=False, indent=1))
    elif csv_file is None:
        for line in skill_lines(found, wanted, None if since_said is None else since):
            click.echo(line)


def day_said(text: str, time_zone: str) -> datetime:
    """Return the beginning of a day by the garden's clock."""
    try:
        day = date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(f"--since {text!r} is not a date; write one such as 2026-07-12") from None
    return datetime.combine(day, time_of_day(0), ZoneInfo(time_zone))
