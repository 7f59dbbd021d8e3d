"""The command `irrigate init`: from a few answers to a garden file that is in order."""

from __future__ import annotations

import os
import shlex
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import click

from irrigate.cli.asking import Question, Terminal, asked, by_default, given
from irrigate.cli.garden_option import garden_argument, garden_path
from irrigate.cli.init_answers import START, questions, words_for
from irrigate.cli.time_zones import machine_zone
from irrigate.errors import InputError
from irrigate.settings.new_file import refuse_to_overwrite, write_new
from irrigate.settings.pot_table import PotTable, read_pot_table, with_pots
from irrigate.settings.writing import NewGarden, faults_of, garden_text

Answers = Mapping[str, Sequence[str]]


@click.command("init")
@garden_argument
@click.option("--where", help="Where it lies, as a map says it: 38.61 N, 121.3 W.")
@click.option("--latitude", help="Degrees, south below zero; instead of --where.")
@click.option("--longitude", help="Degrees, west below zero; instead of --where.")
@click.option("--elevation", help="Height above the sea, as in 30 m or 100 ft [default: 0 m].")
@click.option("--time-zone", help="As in Europe/Rome [default: this computer's, if it fits].")
@click.option("--units", help="US or metric [default: by the time zone's country].")
@click.option("--can", help="What one can holds, as in 9 L or 2 gal.")
@click.option("--rounds", help="When you come round to water [default: 07:00, 18:30].")
@click.option("--name", help="What the garden is called.")
@click.option("--person", help="What you are called.")
@click.option("--reach", help="Ways to reach you, as in phone, mail [default: console].")
@click.option("--place", multiple=True, help="As in “driveway: full sun, open”; once for each.")
@click.option("--mix", help="What fills most pots [default: potting mix].")
@click.option("--kind", multiple=True, help="As in “black tub: round 38 cm, height 35 cm”.")
@click.option("--pot", multiple=True, help="As in “7 pepper, nursery 5 gal, knee-high, driveway”.")
@click.option(
    "--pots",
    type=click.Path(path_type=Path),
    metavar="POTS.csv",
    help="A table of pots out of a spreadsheet: number, plant, pot kind, size, place …",
)
@click.option("--yes", is_flag=True, help="Ask nothing: take the default of what is not said.")
@click.option("--force", is_flag=True, help="Write over a file, and keep the old one as .bak.")
def command(garden: Path, pots: Path | None, yes: bool, force: bool, **options: object) -> None:
    """Write a first garden file from a few answers, or from options alone.

    Every question has a default where one can be guessed, and says why it is asked. Pots are told
    one a line, or come out of a table (--pots); both can be changed in the file later.
    """
    if not force:
        refuse_to_overwrite(garden)
    answers = _answers(options)
    terminal = None if yes else _terminal()
    draft, remarks = _settled(answers, pots, yes=yes, terminal=terminal)
    if wrong := faults_of(draft):
        raise InputError("\n".join(fault.what for fault in wrong))
    kept = write_new(garden, garden_text(draft), force=force)
    for line in _farewell(garden, draft, remarks, kept):
        click.echo(line)


def _answers(options: Mapping[str, object]) -> Answers:
    """Return what the options say, by their names; latitude and longitude make one answer."""
    answers: dict[str, Sequence[str]] = {}
    for name, value in options.items():
        if isinstance(value, str):
            answers[f"--{name.replace('_', '-')}"] = (value,)
        elif isinstance(value, tuple) and value:
            answers[f"--{name}"] = value
    latitude, longitude = answers.pop("--latitude", None), answers.pop("--longitude", None)
    if (latitude is None) != (longitude is None):
        raise InputError("--latitude and --longitude belong together; give both, or --where")
    if latitude and longitude:
        if "--where" in answers:
            raise InputError("--where says it already; leave --latitude and --longitude out")
        answers["--where"] = (f"{latitude[0]}, {longitude[0]}",)
    return answers


def _terminal() -> Terminal | None:
    """Return the person at the keyboard, or None if there is nobody to ask."""
    if not sys.stdin.isatty():
        return None
    with suppress(ImportError):
        import readline  # noqa: F401  # lets a line be edited and called back

    def read_line(prompt: str) -> str:
        try:
            return input(prompt)
        except KeyboardInterrupt:
            raise click.Abort from None

    return Terminal(read_line, click.echo)


def _settled(
    answers: Answers, pots: Path | None, *, yes: bool, terminal: Terminal | None
) -> tuple[NewGarden, list[str]]:
    """Return the garden after every question was answered, and what to be sure of in it."""
    every = questions(machine_zone(os.environ))
    open_ones = [one for one in every if not _passed_over(one, answers, pots)]
    if terminal is None:
        _refuse_unanswered(open_ones, answers, yes=yes)
    if pots is None:
        draft = _through(every, open_ones, answers, terminal)
        return draft, _guesses(draft, answers, terminal)
    lists = {option: answers[option] for option in ("--place", "--kind") if option in answers}
    draft = _through(every, [], lists, terminal)
    table = read_pot_table(pots, draft if "--place" in lists else replace(draft, places=()))
    draft, remarks = _with_table(_through(every, open_ones, answers, terminal), table, terminal)
    return draft, [*_guesses(draft, answers, terminal), *remarks]


def _guesses(draft: NewGarden, answers: Answers, terminal: Terminal | None) -> list[str]:
    """Say so where a time zone was taken that neither the gardener nor the machine named."""
    named = "--time-zone" in answers or draft.time_zone == machine_zone(os.environ)
    if terminal is not None or named:
        return []
    return [f"The time zone is that of the nearest city, {draft.time_zone}: --time-zone says else."]


def _passed_over(question: Question[NewGarden], answers: Answers, pots: Path | None) -> bool:
    """Return whether a list need not be asked for, since the pots are told already."""
    if pots is not None and "--pot" in answers:
        raise InputError("--pots and --pot: give one of the two")
    if pots is not None:
        return question.option in ("--place", "--kind", "--pot")
    return question.option == "--kind" and "--pot" in answers


def _refuse_unanswered(
    open_ones: Sequence[Question[NewGarden]], answers: Answers, *, yes: bool
) -> None:
    """Name the options without which there is no garden, where nobody can be asked."""
    lacking = [one for one in open_ones if one.option not in answers]
    needed = [one.option for one in lacking if one.default(START) is None and not one.many]
    if yes and needed:
        raise InputError(f"{', '.join(needed)}: has no default; please give it")
    if not yes and lacking:
        named = ", ".join(one.option for one in lacking)
        but = f" of all but {', '.join(needed)}" if needed else ""
        raise InputError(
            f"there is no terminal to ask in, and these are not given: {named}. "
            f"Give them, or --yes to take the defaults{but}"
        )


def _through(
    every: Sequence[Question[NewGarden]],
    open_ones: Sequence[Question[NewGarden]],
    answers: Answers,
    terminal: Terminal | None,
) -> NewGarden:
    """Answer the questions in their order: by option, else by asking, else by default."""
    draft = START
    for question in every:
        if question.option in answers:
            draft = given(question, draft, answers[question.option])
        elif question not in open_ones:
            continue
        elif terminal is not None:
            draft = asked(question, draft, terminal)
        else:
            draft = by_default(question, draft)
    return draft


def _with_table(
    draft: NewGarden, table: PotTable, terminal: Terminal | None
) -> tuple[NewGarden, list[str]]:
    """Put the table's pots into the garden, and describe the places that it named."""
    described = [] if draft.places is START.places else [name for name, _ in draft.places]
    unsaid = [name for name in table.places if name not in described]
    remarks = list(table.remarks)
    if terminal is not None:
        for name in unsaid:
            draft = asked(words_for(name), draft, terminal)
    elif unsaid:
        remarks.append(f"Taken to be in full sun and a yard's wind: {', '.join(unsaid)}.")
    if draft.places is START.places:
        draft = replace(draft, places=())
    return with_pots(draft, table), remarks


def _farewell(
    garden: Path, draft: NewGarden, remarks: Sequence[str], kept: Path | None
) -> Iterator[str]:
    """Yield what was written, what to be sure of, and what comes next."""
    pots, places = _count(len(draft.pots), "pot"), _count(len(draft.places), "place")
    yield f"\nWritten: {garden}, {pots if draft.pots else 'one example pot'} in {places}."
    if kept is not None:
        yield f"The old one is kept as {kept}."
    yield from (f"  {remark}" for remark in remarks)
    if not draft.pots:
        yield "Put your own pots in the place of the example: one line a pot."
    usual = garden_path() == garden
    where = "" if usual else f" {shlex.quote(str(garden))}"
    option = "" if usual else f" --garden{where}"
    yield "Next:"
    steps = {
        f"irrigate check{where}": "how every pot was understood",
        f"irrigate outlook{option}": "the week ahead, from this hour's weather",
        f"irrigate run{option}": _on_running(draft.reach),
    }
    widest = max(len(step) for step in steps)
    yield from (f"  {step:<{widest}}   {what}" for step, what in steps.items())


def _on_running(reach: Sequence[str]) -> str:
    """Say what `run` does, or where the addresses go that it needs first."""
    variables = [
        f"IRRIGATE_REACH_{way.upper().replace('-', '_')}=…" for way in reach if way != "console"
    ]
    if not variables:
        return "watches over them, and speaks up before each round"
    return f"the service; put your address into the environment first: {' '.join(variables)}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
