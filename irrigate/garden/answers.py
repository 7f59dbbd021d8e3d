"""What people say of the garden, in their own words: one small grammar for every way in.

    all | all but 7 12 | only 3 5 | none | stopped after 9
    3 2 L | 3 5 1 can | 3 20 s hose | 3 till it ran | 3 till it ran twice | 3 till it ran 2 L
    7 still wet | 7 moist | 9 dry | 9 wilting | 9 weighs 12 kg
    rain none | rain some | rain ran through | rain 12 mm
    at 7:10          (for everything in the same line)
    undo             (takes back the last thing the same person said)

Several may stand in one text, set apart by commas, semicolons or new lines.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from datetime import time as time_of_day
from difflib import get_close_matches
from zoneinfo import ZoneInfo

from irrigate import units
from irrigate.errors import AnswerError
from irrigate.garden.events import (
    Body,
    Finger,
    Given,
    Outcome,
    RainAtPots,
    RoundAnswered,
    RoundTold,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.rounds import at_local, local_day

# An answer is about the last round's message if it comes within this time of the round.
ROUND_REACH = timedelta(hours=14)
FEELS = {"still wet": "wet", "wet": "wet", "moist": "moist", "damp": "moist", "dry": "dry"}
MASS_SPREAD = {"can": 0.15, "hose": 0.2, "measured": 0.05}


@dataclass(frozen=True, slots=True)
class Context:
    """What an answer is read against.

    Parameters
    ----------
    garden : labels, units, zone.
    told : the last round's message, and the moment of the round (UTC); None before the first.
    now : when the words were said or came in (UTC).
    """

    garden: Garden
    told: tuple[RoundTold, datetime] | None
    now: datetime


@dataclass(frozen=True, slots=True)
class Reading:
    """What was understood: bodies with the moment each is valid at, or an undo."""

    said: tuple[tuple[datetime, Body], ...]
    undo: bool = False


def read_answer(text: str, context: Context) -> Reading:
    """Read an answer.

    Parameters
    ----------
    text : the words.
    context : the garden, the round they are about, and when they were said.

    Returns
    -------
    What was understood.

    Raises
    ------
    AnswerError : something was not understood; the text says what, and what else was.
    """
    statements = _statements(text)
    if not statements:
        raise AnswerError("there is nothing in the answer; say for example: all, or: 7 2 L")
    if [statement.lower() for statement in statements] == ["undo"]:
        return Reading((), undo=True)
    at = None
    said: list[tuple[datetime | None, Body]] = []
    for statement in statements:
        moment = _moment(statement, context)
        if moment is not None:
            at = moment
            continue
        try:
            said += _read(statement, context)
        except (AnswerError, ValueError) as wrong:
            raise AnswerError(_with_the_rest(str(wrong), statement, statements)) from None
    if not said:
        raise AnswerError(f"{text!r} says when, but not what")
    return Reading(tuple((at or own or context.now, body) for own, body in said))


def _statements(text: str) -> list[str]:
    """Split a text; a piece of bare labels belongs to the statement before it."""
    pieces = [" ".join(piece.split()) for piece in re.split(r"[,;\n]+", text)]
    joined: list[str] = []
    for piece in filter(None, pieces):
        bare = re.fullmatch(r"(and )?[\w.-]+( (and )?[\w.-]+)*", piece)
        listing = joined and re.search(r"\b(but|only)\b", joined[-1].lower())
        numbers = all(re.fullmatch(r"\d+\w?|and", word) for word in piece.split())
        if bare and listing and numbers:
            joined[-1] += f" {piece}"
        else:
            joined.append(piece)
    return joined


def _with_the_rest(wrong: str, statement: str, statements: list[str]) -> str:
    others = [other for other in statements if other != statement]
    if not others:
        return f"{statement!r}: {wrong}"
    return f"{statement!r}: {wrong}; nothing was logged, though {', '.join(others)!r} is clear"


def _moment(statement: str, context: Context) -> datetime | None:
    """Read ``at 7:10``: the last such time before now, in the garden's zone."""
    found = re.fullmatch(r"at (\d{1,2})[:.](\d{2}) ?(am|pm)?", statement.lower())
    if found is None:
        return None
    hour, minute = int(found[1]), int(found[2])
    if found[3] == "pm" and hour < 12:
        hour += 12
    if found[3] == "am" and hour == 12:
        hour = 0
    if hour > 23 or minute > 59:
        raise AnswerError(f"{statement!r} is not a time of day; say for example: at 7:10")
    zone = ZoneInfo(context.garden.site.time_zone)
    today = local_day(context.now, zone)
    moment = at_local(today, time_of_day(hour, minute), zone)
    if moment > context.now:
        moment = at_local(today - timedelta(days=1), time_of_day(hour, minute), zone)
    return moment


def _read(statement: str, context: Context) -> list[tuple[datetime | None, Body]]:
    words = statement.split()
    first = words[0].lower()
    if first in {"all", "none", "only", "stopped"}:
        return _read_round(statement.lower(), words, context)
    if first == "rain":
        return [(None, _read_rain(" ".join(words[1:])))]
    return _read_pots(words, context)


# --- a round as a whole --------------------------------------------------------------------
def _read_round(
    statement: str, words: list[str], context: Context
) -> list[tuple[datetime | None, Body]]:
    if context.told is None or context.now - context.told[1] > ROUND_REACH:
        raise AnswerError(
            "there was no round lately that this could be about; name the pots: 7 2 L"
        )
    told, at = context.told
    asked = _asked(context.garden, told)
    outcome, done = _outcome(statement, words, asked, context.garden)
    valid_at = min(at, context.now)
    bodies: list[Body] = [RoundAnswered(told.round_key, outcome, tuple(pot.id for pot in done))]
    bodies += [_as_told(told, pot.id) for pot in done if pot.id in told.water_l]
    return [(valid_at, body) for body in bodies]


def _as_told(told: RoundTold, pot_id: str) -> Body:
    if told.till_ran:
        return TillRan(pot_id, twice=True, round_key=told.round_key)
    return Given(pot_id, told.water_l[pot_id], how="as told", round_key=told.round_key)


def _asked(garden: Garden, told: RoundTold) -> list[Pot]:
    """Return the pots of a round's message in walking order."""
    pots = [pot for pot in garden.pots if pot.id in told.water_l or pot.id in told.feel_l]
    return sorted(pots, key=lambda pot: pot.walk)


def _outcome(
    statement: str, words: list[str], asked: list[Pot], garden: Garden
) -> tuple[Outcome, list[Pot]]:
    if statement == "all":
        return "all", asked
    if statement == "none":
        return "none", []
    if statement.startswith("all but "):
        left = _pots(words[2:], garden)
        return "all but", [pot for pot in asked if pot not in left]
    if statement.startswith("only "):
        named = _pots(words[1:], garden)
        return "only", [pot for pot in asked if pot in named]
    if statement.startswith("stopped after "):
        last = _pots(words[2:], garden)
        if len(last) != 1:
            raise AnswerError("say after which one pot you stopped: stopped after 9")
        return "stopped after", [pot for pot in asked if pot.walk <= last[0].walk]
    raise AnswerError("say: all, all but 7 12, only 3, none, or stopped after 9")


# --- rain ----------------------------------------------------------------------------------
def _read_rain(rest: str) -> Body:
    words = rest.lower()
    if words in {"none", "no", "some", "ran through"}:
        said: Mapping[str, str] = {"no": "none"}
        return RainAtPots(said=said.get(words, words))  # type: ignore[arg-type]
    if not rest:
        raise AnswerError("say: rain none, rain some, rain ran through, or rain 12 mm")
    depth_mm = units.length_m(rest) * 1000.0
    if depth_mm > 500.0:
        raise AnswerError(f"{rest} of rain at once cannot be; more than 500 mm is not taken")
    return RainAtPots(depth_mm=round(depth_mm, 1))


# --- single pots ---------------------------------------------------------------------------
def _read_pots(words: list[str], context: Context) -> list[tuple[datetime | None, Body]]:
    """Read labels followed by what is so of them; where two readings fit, neither is taken."""
    trouble: Exception | None = None
    fits: list[tuple[int, list[tuple[datetime | None, Body]]]] = []
    for count in range(1, len(words)):
        if words[count - 1].lower() == "and":
            continue
        try:
            pots = _pots(words[:count], context.garden)
        except AnswerError as wrong:
            trouble = trouble or wrong
            break
        try:
            said: list[tuple[datetime | None, Body]] = [
                (None, _about(pot, " ".join(words[count:]), context)) for pot in pots
            ]
        except (AnswerError, ValueError) as wrong:
            trouble = wrong
        else:
            fits.append((count, said))
    if len(fits) == 1:
        return fits[0][1]
    if fits:
        raise AnswerError(_two_ways(words, fits[0][0], fits[-1][0]))
    if trouble is None:
        pot = _pots(words, context.garden)[0]
        raise AnswerError(f"what of pot {pot.label}? say for example: {pot.label} 2 L")
    raise trouble


def _two_ways(words: list[str], fewer: int, more: int) -> str:
    """Say how to write either of two readings: 3 5 ½ can is 5½ cans for 3, or ½ for 3 and 5."""
    labels = [word for word in words[:more] if word.lower() != "and"]
    apart = f"{' and '.join(labels)} {' '.join(words[more:])}"
    return (
        f"this could be about pot {words[fewer - 1]} or about pots {' and '.join(labels)}; "
        f"write “and” between pots, as in {apart}, or the amount in one number, as in 1.5"
    )


def _pots(words: list[str], garden: Garden) -> list[Pot]:
    found = []
    for word in words:
        if word.lower() == "and":
            continue
        pot = garden.labelled(word)
        if pot is None:
            labels = [other.label for other in garden.pots]
            near = get_close_matches(word, labels, n=1)
            hint = f"; did you mean {near[0]}?" if near else f"; there are {', '.join(labels)}"
            raise AnswerError(f"there is no pot {word}{hint}")
        found.append(pot)
    if not found:
        raise AnswerError("say which pots")
    return found


def _about(pot: Pot, rest: str, context: Context) -> Body:
    words = rest.lower()
    if words in FEELS:
        return Finger(pot.id, FEELS[words])  # type: ignore[arg-type]
    if words in {"wilting", "wilted", "hanging"}:
        return Wilting(pot.id)
    if words.startswith("till it ran"):
        return _till_ran(pot, words.removeprefix("till it ran").strip(), context)
    if words.startswith("weighs "):
        return Weighed(pot.id, units.mass_kg(rest[7:]))
    volume = _volume(pot, rest, context)
    how = "hose" if "hose" in words else "can" if "can" in words else "measured"
    return Given(pot.id, volume, how, MASS_SPREAD[how], _round_of(pot, context))


def _volume(pot: Pot, text: str, context: Context) -> float:
    """Read the litres that one pot was given; what cannot be is refused."""
    manner = context.garden.manner
    volume = units.volume_l(text, can_l=manner.can_l, hose_l_s=manner.hose_l_s)
    most = 2.0 * pot.vessel.volume_l
    if not 0.0 < volume <= most:
        said = units.say_volume(most, us_units=manner.us_units)
        raise AnswerError(f"pot {pot.label} cannot have had that much; at most {said}")
    return volume


def _till_ran(pot: Pot, rest: str, context: Context) -> Body:
    twice = rest.startswith("twice")
    rest = rest.removeprefix("twice").strip()
    volume = _volume(pot, rest, context) if rest else None
    return TillRan(pot.id, volume, twice, _round_of(pot, context))


def _round_of(pot: Pot, context: Context) -> str | None:
    """Return the round that a watering belongs to: the last, if it is near and asked for it."""
    if context.told is None:
        return None
    told, at = context.told
    near = abs(context.now - at) <= ROUND_REACH / 2
    asked = pot.id in told.water_l or pot.id in told.feel_l
    return told.round_key if near and asked else None
