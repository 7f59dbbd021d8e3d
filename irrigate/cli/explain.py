"""`irrigate explain`: the last decision on a pot, and the working behind it."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import click

from irrigate.cli.run import MEMBERS
from irrigate.cli.state_option import StateFolder, state_option
from irrigate.errors import InputError


@click.command("explain")
@click.argument("pot")
@click.option("--at", "at_said", metavar="TIME", help="The last decision by this time, such as"
              " 2026-07-12T07:00 by the garden's clock [default: now].")  # fmt: skip
@state_option
@click.option("--members", type=click.IntRange(8, 1000), default=MEMBERS, hidden=True)
def command(pot: str, at_said: str | None, state: StateFolder, members: int) -> None:
    """Say why POT, by its number, was to be watered, felt or left, as far as the equations.

    Shows the decision as it was stored, works it out again from what was known at that moment,
    and says whether every number comes out the same.
    """
    from irrigate.assemble.reading import open_journal, system_clock
    from irrigate.cli.explain_text import decision_explained, without_decision
    from irrigate.cli.pot_argument import named_pots
    from irrigate.service.as_known import decision_on, garden_at

    now = system_clock().now()
    with open_journal(state.journal) as journal:
        garden = garden_at(journal, now)
        at = now
        if at_said is not None:
            at = min(moment_said(at_said, garden.site.time_zone), now)
            garden = garden_at(journal, at)
        wanted = named_pots(garden, [pot])[0]
        decided = decision_on(journal, wanted.id, at)
        if decided is None:
            lines = without_decision(journal, wanted.id, at, members)
        else:
            lines = decision_explained(journal, wanted.id, decided, members)
        for line in lines:
            click.echo(line)


def moment_said(text: str, time_zone: str) -> datetime:
    """Return the moment that a text says, by the garden's clock where it names no offset."""
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        raise InputError(
            f"--at {text!r} is not a time; write one such as 2026-07-12T07:00"
        ) from None
    if "T" not in text and " " not in text.strip():
        raise InputError(f"--at {text!r} is a date; add the time, as in {text.strip()}T07:00")
    return moment if moment.tzinfo is not None else moment.replace(tzinfo=ZoneInfo(time_zone))
