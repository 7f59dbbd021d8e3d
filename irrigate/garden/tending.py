"""What is done to a pot besides watering it, in the gardener's words.

    7 fed | 7 saucer emptied | 7 outer pot emptied | 7 emitter blocked | 7 emitter cleared
    7 unwell | 7 well again | 7 paused | 7 resumed
    7 cut back | 7 cut back by a third | 7 stripped | 7 now 60 x 80 cm
    7 replanted | 7 replanted with basil | 7 repotted into nursery 7 gal | 7 moved to porch
    7 taken out
    hose 10 L in 40 s

Some are facts; others change how the garden is described, and belong into the garden file.
"""

from __future__ import annotations

import re

from irrigate import units
from irrigate.errors import AnswerError
from irrigate.garden.answer_context import Change
from irrigate.garden.events import (
    Body,
    CanopyMeasured,
    Marked,
    Planted,
    Resized,
    Tended,
)
from irrigate.garden.pots import Pot

TENDED = {
    "fed": "fed",
    "saucer emptied": "saucer emptied",
    "saucer empty": "saucer emptied",
    "saucer poured away": "saucer emptied",
    "outer pot emptied": "saucer emptied",
    "outer pot empty": "saucer emptied",
    "emitter blocked": "emitter blocked",
    "emitter cleared": "emitter cleared",
}
MARKED = {
    "unwell": ("unwell", True),
    "well again": ("unwell", False),
    "well": ("unwell", False),
    "paused": ("paused", True),
    "resumed": ("paused", False),
    "unpaused": ("paused", False),
}
# Cut back without saying by how much: by half in width and height. A storm takes half of the
# leaves, which is as if the plant were 0.7 as wide. Both from memory.
CUT_BACK, STRIPPED = 0.5, 0.7
SIZE = re.compile(r"(?:now |is |grew to )?(\S.*?)\s*(?:x|by|×)\s*(\S.*)", re.IGNORECASE)
WIDE_TALL = re.compile(
    r"(?:now |is |grew to )?(\S.*?) wide(?: and|,)? (\S.*?) (?:tall|high)", re.IGNORECASE
)
LARGEST_M = 6.0


def tended(pot: Pot, rest: str) -> Body | Change | None:
    """Return what was done to a pot, or None if the words are about something else.

    Raises
    ------
    AnswerError : the words begin like something done, but lack what it needs.
    """
    words = rest.lower()
    if words in TENDED:
        return Tended(pot.id, TENDED[words])
    if words in MARKED:
        mark, on = MARKED[words]
        return Marked(pot.id, mark, on)  # type: ignore[arg-type]
    if words.startswith("cut back"):
        return _cut_back(pot, rest[len("cut back") :].strip())
    if words in {"stripped", "storm-stripped", "storm stripped"}:
        return Resized(pot.id, STRIPPED, "stripped")
    if words == "replanted":
        return Planted(pot.id)
    if words == "taken out":
        return Change(pot.label, "out")
    return _described(pot, rest) or _measured(pot, rest)


def _cut_back(pot: Pot, rest: str) -> Body:
    if not rest:
        return Resized(pot.id, CUT_BACK, "cut back")
    if rest.lower().startswith("to "):
        size = _measured(pot, rest[3:])
        if size is None:
            raise AnswerError("cut back to what size? say for example: cut back to 30 x 40 cm")
        return size
    by = rest.lower().removeprefix("by ").strip()
    share = {"half": 0.5, "a half": 0.5, "a third": 1 / 3, "a quarter": 0.25}.get(by)
    try:
        share = units.share(by) if share is None else share
    except ValueError:
        share = 0.0
    if not 0.0 < share < 1.0:
        raise AnswerError("cut back by how much? say for example: cut back by a third, or by 30 %")
    return Resized(pot.id, 1.0 - share, "cut back")


def _described(pot: Pot, rest: str) -> Change | None:
    """Read what changes the pot's row in the garden file."""
    for begins, key, example in (
        ("replanted with ", "plant", "replanted with basil"),
        ("repotted into ", "pot", "repotted into nursery 7 gal"),
        ("repotted in ", "pot", "repotted into nursery 7 gal"),
        ("moved to ", "place", "moved to porch"),
    ):
        if rest.lower().startswith(begins):
            value = rest[len(begins) :].strip()
            return Change(pot.label, key, value)
        if rest.lower() == begins.strip() or rest.lower() == begins.split()[0]:
            raise AnswerError(f"say the rest of it, for example: {pot.label} {example}")
    return None


def _measured(pot: Pot, rest: str) -> Body | None:
    """Read a size: width and height, the unit once or twice."""
    found = WIDE_TALL.fullmatch(rest) or SIZE.fullmatch(rest)
    if found is None:
        return None
    width, height = found[1], found[2]
    unit = re.sub(r"^[\d.,½¼¾/ ]+", "", height)
    try:
        width_m = units.length_m(width if re.search(r"[^\d.½¼¾/ ]", width) else f"{width} {unit}")
        height_m = units.length_m(height)
    except ValueError as wrong:
        raise AnswerError(f"{wrong}; say for example: now 60 x 80 cm (wide x tall)") from None
    if not (0.0 < width_m <= LARGEST_M and 0.0 < height_m <= LARGEST_M):
        raise AnswerError("a plant in a pot is between 1 cm and 6 m (20 ft) wide and tall")
    return CanopyMeasured(pot.id, round(width_m, 3), round(height_m, 3))


def hose_measured(rest: str) -> Change:
    """Read how long the hose took to fill a known volume: ``10 L in 40 s``.

    Raises
    ------
    AnswerError : one of the two is missing or cannot be.
    """
    words = re.sub(r"^bucket\b", "", rest, flags=re.IGNORECASE).strip()
    try:
        flow = units.flow_l_s(words)
    except ValueError:
        raise AnswerError(
            "fill a bucket, count the seconds, and say for example: hose 10 L in 40 s"
        ) from None
    if not 0.005 <= flow <= 2.0:
        raise AnswerError(f"a hose gives between 0.005 and 2 L a second; {rest} is {flow:.3g} L/s")
    return Change("", "hose", words)
