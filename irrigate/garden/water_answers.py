"""What is said of water given to one pot: on its mix, into its reservoir, or slowly.

7 2 L | 7 1 can | 7 20 s hose | 7 till it ran | 7 till it ran twice | 7 till it ran 2 L
7 reservoir filled | 7 reservoir took 4 L (and is full) | 7 reservoir 4 L (as much was poured)
7 2 L over 3 h | 7 drip 2 L/h for 3 h (ending now; with “at 7:10” beginning then)
"""

from __future__ import annotations

import re
from datetime import timedelta

from irrigate import units
from irrigate.errors import AnswerError
from irrigate.garden.answer_context import ROUND_REACH, Context, Told
from irrigate.garden.events import Body, Drained, Given, Tended, TillRan
from irrigate.garden.pots import Pot

# Relative sd of the litres said. An emitter's flow differs by as much from its label. From memory.
VOLUME_SPREAD = {"can": 0.15, "hose": 0.2, "measured": 0.05, "emitter": 0.1}
# Longer than this nobody remembers as one watering.
LONGEST_H = 48.0

SLOWLY = re.compile(r"(?:drip(?:ped)? )?(?P<much>.+?) over (?P<long>.+)", re.IGNORECASE)
FLOW = re.compile(
    r"(?:drip(?:ped)? )?(?P<flow>[^ ]+ ?[a-z]+(?: ?/ ?| per )(?:h|hour)|[^ ]+ ?gph|[^ ]+ ?lph)"
    r" (?:for )?(?P<long>.+)",
    re.IGNORECASE,
)
RESERVOIR = re.compile(
    r"reservoir (?P<done>filled|full|took|topped up)?(?: ?with)? ?(?P<much>.*)", re.IGNORECASE
)


def watered(pot: Pot, rest: str, context: Context) -> Told | None:
    """Return the water that one pot was given, or None if the words are about something else.

    Raises
    ------
    AnswerError : the words begin like water given, but lack what it needs.
    ValueError : a quantity that is none.
    """
    words = rest.lower()
    if words.startswith("till it ran"):
        return None, _till_ran(pot, words.removeprefix("till it ran").strip(), context)
    if words.startswith("drained") or words.endswith(" drained"):
        rest = re.sub(r"\bdrained\b", "", rest, flags=re.IGNORECASE).strip()
        return None, _drained(pot, rest, context)
    if words.startswith("reservoir"):
        return None, _into_reservoir(pot, rest, context)
    slow = SLOWLY.fullmatch(rest)
    if slow is not None:
        return _slowly(pot, _volume(pot, slow["much"], context), slow["long"], context)
    by_flow = FLOW.fullmatch(rest)
    if by_flow is not None:
        return _by_flow(pot, by_flow["flow"], by_flow["long"], context)
    if re.match(r"drip", words):
        us_units = context.garden.manner.us_units
        flow, much = ("½ gph", "1½ gal") if us_units else ("2 L/h", "6 L")
        raise AnswerError(
            "what the emitter gives in an hour is not known here; say its flow, as in "
            f"{pot.label} drip {flow} for 3 h, or how much it was: {pot.label} {much} over 3 h"
        )
    if not _is_amount(rest):
        return None
    how = "hose" if "hose" in words else "can" if "can" in words else "measured"
    volume = _volume(pot, rest, context)
    return None, Given(pot.id, volume, how, VOLUME_SPREAD[how], round_of(pot, context))


def has_reservoir(pot: Pot) -> bool:
    """Return whether a pot waters itself from a reservoir."""
    return pot.basin is not None and pot.basin.kind == "reservoir"


def filled(pot: Pot, round_key: str | None, volume_l: float | None = None) -> Tended:
    """Return that a reservoir was filled to its brim."""
    return Tended(pot.id, "reservoir filled", volume_l, round_key)


def round_of(pot: Pot, context: Context) -> str | None:
    """Return the round that a watering belongs to: the last, if it is near and asked for it."""
    if context.told is None:
        return None
    told, at = context.told
    near = abs(context.now - at) <= ROUND_REACH / 2
    asked = pot.id in told.water_l or pot.id in told.feel_l
    return told.round_key if near and asked else None


# --- on the mix ----------------------------------------------------------------------------
def _is_amount(text: str) -> bool:
    return units.begins_with_number(text) or bool(re.match(r"(an?|half|quarter|one|two)\b", text))


def _volume(pot: Pot, text: str, context: Context) -> float:
    """Read the litres that one pot was given; what cannot be is refused."""
    manner = context.garden.manner
    if not _is_amount(text):
        raise AnswerError(f"“{text}” is not an amount: say 2 qt, 2 L, or ½ can")
    volume = units.volume_l(text, can_l=manner.can_l, hose_l_s=manner.hose_l_s)
    return _possible(pot, volume, context)


def _possible(pot: Pot, volume_l: float, context: Context) -> float:
    most = 2.0 * pot.vessel.volume_l + (pot.basin.volume_l if pot.basin else 0.0)
    if not 0.0 < volume_l <= most:
        said = units.say_volume(most, us_units=context.garden.manner.us_units)
        raise AnswerError(f"pot {pot.label} cannot have had that much; at most {said}")
    return volume_l


def _till_ran(pot: Pot, rest: str, context: Context) -> Body:
    twice = rest.startswith("twice")
    rest = rest.removeprefix("twice").strip()
    volume = _volume(pot, rest, context) if rest else None
    return TillRan(pot.id, volume, twice, round_of(pot, context))


def _drained(pot: Pot, rest: str, context: Context) -> Body:
    """Read what ran out below: an amount, or nothing."""
    if rest.lower() in {"nothing", "none"} or re.fullmatch(r"0(\.0*)? ?\w*", rest):
        return Drained(pot.id, 0.0)
    if not rest:
        raise AnswerError(f"how much ran out? say for example: {pot.label} drained 0.5 L")
    return Drained(pot.id, _volume(pot, rest, context))


# --- below it ------------------------------------------------------------------------------
def _into_reservoir(pot: Pot, rest: str, context: Context) -> Body:
    if not has_reservoir(pot):
        holds, given = ("1 gal", "2 qt") if context.garden.manner.us_units else ("4 L", "2 L")
        raise AnswerError(
            f"pot {pot.label} has no reservoir in the garden file; write it into its row "
            f"(reservoir: {holds}), or say what went on the mix: {pot.label} {given}"
        )
    read = RESERVOIR.fullmatch(rest)
    if read is None or not (read["done"] or read["much"]):
        raise AnswerError(f"say for example: {pot.label} reservoir filled")
    volume = _volume(pot, read["much"], context) if read["much"] else None
    key = round_of(pot, context)
    if read["done"] or volume is None:
        return filled(pot, key, volume)
    how = "can" if "can" in read["much"].lower() else "measured"
    return Given(pot.id, volume, "reservoir", VOLUME_SPREAD[how], key)


# --- slowly --------------------------------------------------------------------------------
def _slowly(pot: Pot, volume_l: float, long: str, context: Context) -> Told:
    hours = _hours(long)
    body = Given(
        pot.id, volume_l, "emitter", VOLUME_SPREAD["emitter"], round_of(pot, context), hours
    )
    return context.now - timedelta(hours=hours), body


def _by_flow(pot: Pot, flow: str, long: str, context: Context) -> Told:
    spelled = re.sub(r" ?gph$", " gal/h", flow, flags=re.IGNORECASE)
    spelled = re.sub(r" ?lph$", " L/h", spelled, flags=re.IGNORECASE)
    litres = units.flow_l_s(spelled) * 3600.0 * _hours(long)
    return _slowly(pot, _possible(pot, litres, context), long, context)


def _hours(text: str) -> float:
    hours = units.duration_s(text) / 3600.0
    if not 0.0 < hours <= LONGEST_H:
        raise AnswerError(
            f"{text} is no time for one watering; say more than 0 and at most {LONGEST_H:.0f} h"
        )
    return hours
