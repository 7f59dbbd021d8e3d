"""What people say of the garden, in their own words: one small grammar for every way in.

    all | all but 7 12 | only 3 5 | none | stopped after 9
    3 2 L | 3 5 1 can | 3 20 s hose | 3 till it ran | 3 till it ran twice | 3 till it ran 2 L
    3 ran, waited, ran again | 3 till it ran, 2 L
    3 reservoir filled | 3 reservoir took 4 L | 3 reservoir 4 L | 3 2 L over 3 h
    3 drip 2 L/h for 3 h
    7 still wet | 7 moist | 9 dry | 9 wilting | 9 weighs 12 kg | 9 drained 0.5 L
    9 probe 35 % | 9 probe 610
    7 fed | 7 cut back | 7 now 60 x 80 cm | 7 replanted with basil | 7 moved to porch | …
    rain none | rain some | rain ran through | rain 12 mm
    hose 10 L in 40 s
    at 7:10          (for everything in the same line)
    undo             (takes back the last thing the same person said)
    undo 7           (takes back the last thing that anybody said of pot 7)

Several may stand in one text, set apart by commas, semicolons or new lines.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime, timedelta
from datetime import time as time_of_day
from zoneinfo import ZoneInfo

from irrigate import units
from irrigate.errors import AnswerError
from irrigate.garden.answer_context import ROUND_REACH, Change, Context, Reading, Told
from irrigate.garden.events import (
    Body,
    Given,
    Outcome,
    RainAtPots,
    RoundAnswered,
    RoundTold,
    TillRan,
)
from irrigate.garden.pot_answers import named_pots, read_pots, told_of_all
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.ran_words import goes_on, in_one_way
from irrigate.garden.rounds import at_local, local_day
from irrigate.garden.tending import hose_measured
from irrigate.garden.water_answers import filled, has_reservoir

__all__ = ["ROUND_REACH", "Change", "Context", "Reading", "read_answer"]


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
    if len(statements) == 1 and statements[0].lower().startswith("undo "):
        return _undo_of(statements[0].split()[1:], context.garden)
    at = None
    said: list[Told] = []
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
    timed = [(at or own or context.now, one) for own, one in said]
    return Reading(
        said=tuple((when, one) for when, one in timed if not isinstance(one, Change)),
        changes=tuple((when, one) for when, one in timed if isinstance(one, Change)),
    )


def _undo_of(words: list[str], garden: Garden) -> Reading:
    pots = named_pots(words, garden)
    if len(pots) != 1:
        raise AnswerError("take back one pot at a time: undo 7")
    return Reading((), undo=True, undo_of=pots[0].id)


def _statements(text: str) -> list[str]:
    """Split a text; a piece of bare labels belongs to the statement before it."""
    pieces = [" ".join(piece.split()) for piece in re.split(r"[,;\n]+", in_one_way(text))]
    joined: list[str] = []
    for piece in filter(None, pieces):
        bare = re.fullmatch(r"(and )?[\w.-]+( (and )?[\w.-]+)*", piece)
        listing = joined and re.search(r"\b(but|only)\b", joined[-1].lower())
        numbers = all(re.fullmatch(r"\d+\w?|and", word) for word in piece.split())
        if (bare and listing and numbers) or (joined and goes_on(joined[-1], piece)):
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


def _read(statement: str, context: Context) -> list[Told]:
    words = statement.split()
    first = words[0].lower()
    if first == "hose":
        return [(None, hose_measured(" ".join(words[1:])))]
    if first == "all" and len(words) > 1:
        done = told_of_all(" ".join(words[1:]), context)
        if done is not None:
            return done
    if first in {"all", "none", "only", "stopped"}:
        return _read_round(statement.lower(), words, context)
    if first == "rain":
        return [(None, _read_rain(" ".join(words[1:])))]
    return read_pots(words, context)


# --- a round as a whole --------------------------------------------------------------------
def _read_round(statement: str, words: list[str], context: Context) -> list[Told]:
    if context.told is None or context.now - context.told[1] > ROUND_REACH:
        raise AnswerError(
            "there was no round lately that this could be about; name the pots: 7 2 L"
        )
    told, at = context.told
    asked = _asked(context.garden, told)
    if told.order:  # as it was listed, the pots to be felt after those to water
        place = {pot_id: number for number, pot_id in enumerate(told.order)}
        asked.sort(key=lambda pot: place.get(pot.id, len(place)))
    outcome, done = _outcome(statement, words, asked, context.garden)
    valid_at = min(at, context.now)
    bodies: list[Body] = [RoundAnswered(told.round_key, outcome, tuple(pot.id for pot in done))]
    for pot in done:
        if pot.id in told.water_l:
            bodies += _as_told(told, pot)
    return [(valid_at, body) for body in bodies]


def _as_told(told: RoundTold, pot: Pot) -> list[Body]:
    """Return the water that a pot was asked to get; a reservoir is full after a round."""
    below = [filled(pot, told.round_key)] if has_reservoir(pot) else []
    if told.till_ran:
        return [TillRan(pot.id, twice=True, round_key=told.round_key), *below]
    on_top = told.water_l[pot.id] - (told.below_l.get(pot.id, 0.0) if below else 0.0)
    if on_top < 1e-6 and below:
        return [*below]
    return [Given(pot.id, on_top, how="as told", round_key=told.round_key), *below]


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
        left = named_pots(words[2:], garden)
        return "all but", [pot for pot in asked if pot not in left]
    if statement.startswith("only "):
        named = named_pots(words[1:], garden)
        return "only", [pot for pot in asked if pot in named]
    if statement.startswith("stopped after "):
        last = named_pots(words[2:], garden)
        if len(last) != 1:
            raise AnswerError("say after which one pot you stopped: stopped after 9")
        if last[0] in asked:
            return "stopped after", asked[: asked.index(last[0]) + 1]
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
