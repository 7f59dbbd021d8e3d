"""`irrigate log`: hand in what was done or seen, in the gardener's own words."""

from __future__ import annotations

import getpass
import sys
import uuid
from pathlib import Path

import click

from irrigate.cli.garden_option import garden_option
from irrigate.cli.state_option import StateFolder, state_option


@click.command("log", context_settings={"ignore_unknown_options": True})
@click.argument("words", nargs=-1, required=True)
@garden_option
@state_option
@click.option("--who", metavar="NAME", help="Who says it [default: the name you are logged in by].")
def command(words: tuple[str, ...], garden: Path, state: StateFolder, who: str | None) -> None:
    """Log waterings and what was seen, in your own words.

    \b
      irrigate log all                    everything the last message asked for
      irrigate log all but 7 12
      irrigate log none
      irrigate log 7 "2 L"                or 7 "1 can", 3 5 "20 s hose"
      irrigate log 7 till it ran 3 L      or 7 "ran, waited, ran again"
      irrigate log 7 still wet            or moist, dry, wilting
      irrigate log 7 drained 0.5 L        or weighs 9 kg, probe 35 %, probe 610
      irrigate log rain 12 mm
      irrigate log 7 fed                  or cut back, unwell, paused, now 60 x 80 cm, …
      irrigate log 7 moved to porch       written into the garden file, like
      irrigate log 7 replanted with basil, 7 repotted into nursery 7 gal, 7 taken out
      irrigate log hose bucket            how much your hose gives, asked for
      irrigate log 3 "2 L" at 7:10
      irrigate log undo                   takes back the last thing you said
      irrigate log undo 7                 takes back the last thing said of pot 7
    """  # noqa: D301 - \\b is click's mark for lines that are not to be wrapped
    from irrigate.assemble.answering import hand_in

    if [word.lower() for word in words] == ["hose", "bucket"] and sys.stdin.isatty():
        words = ("hose", _bucket())
    key = uuid.uuid4().hex
    click.echo(hand_in(" ".join(words), who or _login(), key, garden, state.path))


def _login() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return "somebody"


def _bucket() -> str:
    """Ask for the bucket test."""
    click.echo("Hold the hose into a bucket whose size you know, opened as you do when watering.")
    size = click.prompt("How much does the bucket hold (for example 10 L or 3 gal)")
    seconds = click.prompt("How many seconds did it take to fill", type=click.FloatRange(1, 3600))
    return f"{size} in {seconds:g} s"
