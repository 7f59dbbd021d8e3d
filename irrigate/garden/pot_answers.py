"""What is said of single pots: water given, what was felt and seen, and what was done to them."""

from __future__ import annotations

import re
from difflib import get_close_matches

from irrigate import units
from irrigate.errors import AnswerError
from irrigate.garden.answer_context import ROUND_REACH, Change, Context, Told
from irrigate.garden.events import Body, Drained, Finger, Given, TillRan, Weighed, Wilting
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.probing import probe_said
from irrigate.garden.ran_words import amount_last
from irrigate.garden.tending import tended

FEELS = {"still wet": "wet", "wet": "wet", "moist": "moist", "damp": "moist", "dry": "dry"}
VOLUME_SPREAD = {"can": 0.15, "hose": 0.2, "measured": 0.05}


def read_pots(words: list[str], context: Context) -> list[Told]:
    """Read labels followed by what is so of them; where two readings fit, neither is taken."""
    trouble: Exception | None = None
    fits: list[tuple[int, list[Told]]] = []
    for count in range(1, len(words)):
        if words[count - 1].lower() == "and":
            continue
        try:
            pots = named_pots(words[:count], context.garden)
        except AnswerError as wrong:
            trouble = trouble or wrong
            break
        try:
            said: list[Told] = [
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
        pot = named_pots(words, context.garden)[0]
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


def named_pots(words: list[str], garden: Garden) -> list[Pot]:
    """Return the pots of some labels ("and" between them is passed over).

    Raises
    ------
    AnswerError : a label is unknown, or there is none.
    """
    found = []
    for word in words:
        if word.lower() == "and":
            continue
        pot = garden.labelled(word) or garden.labelled(word.removesuffix(":"))
        if pot is None:
            labels = [other.label for other in garden.pots]
            # Between numbers nothing is near: 9 is not what somebody meant by 99.
            near = [] if word.isdigit() else get_close_matches(word, labels, n=1)
            hint = f"; did you mean {near[0]}?" if near else f"; there are {', '.join(labels)}"
            raise AnswerError(f"there is no pot {word}{hint}")
        found.append(pot)
    if not found:
        raise AnswerError("say which pots")
    return found


def _about(pot: Pot, rest: str, context: Context) -> Body | Change:
    rest = re.sub(r"^(had|got|took|feels|felt|is|was) ", "", rest, flags=re.IGNORECASE)
    rest = amount_last(rest)
    words = rest.lower()
    done = tended(pot, rest)
    if done is not None:
        return done
    if words in FEELS:
        return Finger(pot.id, FEELS[words])  # type: ignore[arg-type]
    if words in {"wilting", "wilted", "hanging", "drooping", "limp"}:
        return Wilting(pot.id)
    if words.startswith("till it ran"):
        return _till_ran(pot, words.removeprefix("till it ran").strip(), context)
    if words.startswith("weighs "):
        return Weighed(pot.id, units.mass_kg(rest[7:]))
    if words.startswith("probe "):
        return probe_said(re.sub(r"^(reads|shows|says|is) ", "", rest[6:]), pot)
    if words.startswith("drained") or words.endswith(" drained"):
        return _drained(pot, re.sub(r"\bdrained\b", "", rest, flags=re.IGNORECASE).strip(), context)
    volume = _volume(pot, rest, context)
    how = "hose" if "hose" in words else "can" if "can" in words else "measured"
    return Given(pot.id, volume, how, VOLUME_SPREAD[how], _round_of(pot, context))


def _volume(pot: Pot, text: str, context: Context) -> float:
    """Read the litres that one pot was given; what cannot be is refused."""
    manner = context.garden.manner
    if not units.begins_with_number(text) and not re.match(r"(an?|half|quarter|one|two)\b", text):
        raise AnswerError(
            f"“{text}” is not understood; after a pot's number say an amount (2 qt, 2 L, ½ can), "
            "till it ran, wet, moist, dry, wilting, fed, cut back, unwell, paused and the like"
        )
    volume = units.volume_l(text, can_l=manner.can_l, hose_l_s=manner.hose_l_s)
    most = 2.0 * pot.vessel.volume_l
    if not 0.0 < volume <= most:
        said = units.say_volume(most, us_units=manner.us_units)
        raise AnswerError(f"pot {pot.label} cannot have had that much; at most {said}")
    return volume


def _drained(pot: Pot, rest: str, context: Context) -> Body:
    """Read what ran out below: an amount, or nothing."""
    if rest.lower() in {"nothing", "none"} or re.fullmatch(r"0(\.0*)? ?\w*", rest):
        return Drained(pot.id, 0.0)
    if not rest:
        raise AnswerError(f"how much ran out? say for example: {pot.label} drained 0.5 L")
    return Drained(pot.id, _volume(pot, rest, context))


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
