"""What is said of single pots: water given, what was felt and seen, and what was done to them."""

from __future__ import annotations

import re
from difflib import get_close_matches

from irrigate import units
from irrigate.errors import AnswerError
from irrigate.garden.answer_context import Context, Told
from irrigate.garden.events import Finger, Weighed, Wilting
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.probing import probe_said
from irrigate.garden.ran_words import amount_last
from irrigate.garden.tending import tended
from irrigate.garden.water_answers import VOLUME_SPREAD as VOLUME_SPREAD
from irrigate.garden.water_answers import filled, has_reservoir, round_of, watered

FEELS = {"still wet": "wet", "wet": "wet", "moist": "moist", "damp": "moist", "dry": "dry"}


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
            said = [_about(pot, " ".join(words[count:]), context) for pot in pots]
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


def _about(pot: Pot, rest: str, context: Context) -> Told:
    rest = re.sub(r"^(had|got|took|feels|felt|is|was) ", "", rest, flags=re.IGNORECASE)
    rest = amount_last(rest)
    words = rest.lower()
    done = tended(pot, rest)
    if done is not None:
        return None, done
    if words in FEELS:
        return None, Finger(pot.id, FEELS[words])  # type: ignore[arg-type]
    if words in {"wilting", "wilted", "hanging", "drooping", "limp"}:
        return None, Wilting(pot.id)
    if words.startswith("weighs "):
        return None, Weighed(pot.id, units.mass_kg(rest[7:]))
    if words.startswith("probe "):
        return None, probe_said(re.sub(r"^(reads|shows|says|is) ", "", rest[6:]), pot)
    given = watered(pot, rest, context)
    if given is not None:
        return given
    raise AnswerError(
        f"“{rest}” is not understood; after a pot's number say an amount (2 qt, 2 L, ½ can), "
        "till it ran, wet, moist, dry, wilting, fed, cut back, unwell, paused and the like"
    )


def told_of_all(rest: str, context: Context) -> list[Told] | None:
    """Read what was done to every pot that it can be done to; None if it is about a round."""
    pots = context.garden.pots
    words = rest.lower()
    if re.fullmatch(r"reservoirs? (filled|full)", words):
        with_one = [pot for pot in pots if has_reservoir(pot)]
        if not with_one:
            raise AnswerError("no pot has a reservoir in the garden file")
        return [(None, filled(pot, round_of(pot, context))) for pot in with_one]
    if re.fullmatch(r"saucers? (emptied|empty)", words):
        rest = "saucer emptied"
        pots = tuple(pot for pot in pots if stands_in_water(pot)) or pots
    done = [tended(pot, rest) for pot in pots]
    return [(None, one) for one in done if one is not None] if all(done) else None


def stands_in_water(pot: Pot) -> bool:
    """Return whether drained water is kept below a pot where it does not belong."""
    return pot.basin is not None and not has_reservoir(pot)
