"""How well answers were foretold, in the gardener's words and units."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from datetime import datetime

from irrigate import units
from irrigate.cli.tables import table
from irrigate.cli.week_ahead import WIDTH
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.scoring import Tally
from irrigate.service.skill import Skill
from irrigate.service.wording import called, listed

# Fewer checks than this say nothing of how good the next one will be.
FEW = 5
NOTHING_YET = (
    "Say what a pot took till it ran, how it feels, or what it weighs (irrigate log --help); each"
    " such answer is compared with what was expected of it."
)

HOURS_OF_SUN = (
    "Hours of sun: how much too early or too late such an error would have had you water, by what"
    " the pot uses in the hours of that day, each weighted by its sun and wind; a night does not"
    " count."
)


def skill_lines(found: Skill, pot: Pot | None, since: datetime | None) -> Iterator[str]:
    """Yield what is to be read: a summary in words, and a table.

    Parameters
    ----------
    found : of one pot, if ``pot`` is given.
    pot : the pot that was asked for, or None for all.
    since : the day from which on answers count; None for all that there are.
    """
    garden, tally = found.garden, found.whole
    of = called(pot) if pot is not None else "All pots"
    from_on = "" if since is None else f" since {since.day} {since:%B %Y}"
    yield f"{of}{from_on}: {checks_words(tally)}"
    yield from _filled(_summary(found, tally))
    if not tally.checks:
        return
    rows = list(_rows(found, pot))
    if rows:
        yield ""
        headings = ("pot", "checks", "as\npredicted", "wetter", "drier", "usually\noff",
                    "hours\nof sun", "80 % band\nheld")  # fmt: skip
        yield table(headings, [_row(garden, name, one) for name, one in rows], width=WIDTH,
                    names_wrap=True)  # fmt: skip
    if tally.error_h is not None:
        yield ""
        yield textwrap.fill(HOURS_OF_SUN, WIDTH)


def checks_words(tally: Tally) -> str:
    """Say how many checks there were, and how they fell."""
    if not tally.checks:
        return "no checks yet."
    checks = "1 check" if tally.checks == 1 else f"{tally.checks} checks"
    return (
        f"{checks}: {tally.as_foretold} as predicted, {tally.wetter} wetter, {tally.drier} drier."
    )


def pot_sentence(found: Skill, pot: Pot) -> str:
    """Say in one sentence how well answers about a pot were foretold."""
    tally = found.of_pot(pot.id)
    if not tally.checks:
        return "Nothing that was found of this pot has been compared with what was expected yet."
    few = " That is too little to judge by." if tally.checks < FEW else ""
    off = ""
    if tally.error_l is not None:
        off = f" Usually {_volume(found.garden, tally.error_l)} off{_hours(tally)}."
    return f"Of this pot {checks_words(tally)}{off}{few}"


def _summary(found: Skill, tally: Tally) -> Iterator[str]:
    """Yield what the scores come to in whole sentences."""
    if not tally.checks:
        yield NOTHING_YET
    elif tally.checks < FEW:
        yield f"That is too little to judge by; from {FEW} checks on it begins to say something."
    if tally.error_l is not None:
        yield (
            f"Half of the amounts were within {_volume(found.garden, tally.error_l)}"
            f"{_cans(found.garden, tally.error_l)} of what was expected{_hours(tally)}."
        )
        yield (
            f"The range that should hold 8 of 10 amounts held {tally.inside} of {tally.amounts}."
        )
    if tally.strays:
        were = "1 answer was" if tally.strays == 1 else f"{tally.strays} answers were"
        yield f"{were} so far off as to be asked about."
    late = sum(one.foretold.late for one in found.scores)
    if late:
        came = "1 came" if late == 1 else f"{late} came"
        yield f"{came} late, when something newer of that pot was known already."
    yield from _lists(found)


def _lists(found: Skill) -> Iterator[str]:
    lists = found.list_tally()
    if lists.lists:
        told = [
            f"{count} {words}"
            for count, words in (
                (lists.right, "right"),
                (lists.felt, "felt first as asked"),
                (lists.wrong, "watered for nothing"),
                (lists.missed, "left out, and found dry"),
            )
            if count
        ]
        pots = "time that this pot was" if len(found.pots) == 1 else "pot that was"
        rounds = "1 list" if lists.lists == 1 else f"{lists.lists} lists"
        yield (
            f"{rounds} of what to water could be checked, {lists.lists_right} right. Each {pots}"
            f" checked: {listed(told, most=len(told))}."
        )
    messages = found.messages
    if messages is None:
        return
    if messages.useful or messages.needless or messages.unanswered:
        yield (
            f"Messages that asked for something: {messages.useful} useful, {messages.needless} for"
            f" nothing, {messages.unanswered} not answered."
        )


def _rows(found: Skill, pot: Pot | None) -> Iterator[tuple[str, Tally]]:
    """Yield the lines of the table: the garden, groups of like pots, and pots."""
    if pot is not None:
        return
    if len(found.garden.pots) > 1:
        yield "all pots", found.whole
    for pot_ids in found.groups().values():
        tally = found.of_group(pot_ids)
        if tally.checks:
            pots = [found.garden.pot(one) for one in pot_ids]
            labels = listed([one.label for one in pots])
            yield f"{pots[0].crop.name}, {pots[0].place} ({labels})", tally
    for one in found.garden.pots:
        tally = found.of_pot(one.id)
        if tally.checks:
            yield called(one), tally


def _row(garden: Garden, name: str, tally: Tally) -> tuple[str, ...]:
    off = "" if tally.error_l is None else _volume(garden, tally.error_l)
    hours = "" if tally.error_h is None else f"{tally.error_h:.1f}"
    held = f"{tally.inside} of {tally.amounts}" if tally.amounts else ""
    return (
        name, str(tally.checks), str(tally.as_foretold), str(tally.wetter), str(tally.drier), off,
        hours, held,
    )  # fmt: skip


def _volume(garden: Garden, volume_l: float) -> str:
    return units.say_volume(volume_l, us_units=garden.manner.us_units)


def _cans(garden: Garden, volume_l: float) -> str:
    """Say a volume in cans as well, from an eighth on."""
    can_l = garden.manner.can_l
    return f" ({units.in_cans(volume_l, can_l)})" if volume_l >= can_l / 8 else ""


def _hours(tally: Tally) -> str:
    if tally.error_h is None:
        return ""
    if tally.error_h < 0.75:
        return ", less than an hour of a summer day"
    return f", some {tally.error_h:.0f} h of a summer day".replace("some 1 h", "about an hour")


def _filled(lines: Iterator[str]) -> Iterator[str]:
    for line in lines:
        yield textwrap.fill(line, WIDTH)
