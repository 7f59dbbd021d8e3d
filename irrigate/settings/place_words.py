"""A place in plain words, made into the entries of the garden file.

The numbers behind the words are starting defaults from memory, not verified: sun hours by the
clock, and how much of the sun is kept off where there is “shade”. What is written in the file can
be changed there to what was seen.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from irrigate.settings.readers import did_you_mean, span

WORDS: Mapping[str, Mapping[str, str]] = {
    "full sun": {},
    "all day sun": {},
    "morning sun": {"sun": "06:00-13:00"},
    "afternoon sun": {"sun": "13:00-21:00"},
    "half shade": {"shade": "40 %"},
    "shade": {"shade": "70 %"},
    "open": {"wind": "open"},
    "windy": {"wind": "open"},
    "yard": {"wind": "yard"},
    "sheltered": {"wind": "sheltered"},
    "under a roof": {"roof": "yes"},
    "roof": {"roof": "yes"},
}
"""What may be said of a place; in a yard's wind and a full day's sun nothing need be."""

SAID = "full sun, morning sun, afternoon sun, half shade or shade; open, yard or sheltered; roof"


def place_of(text: str) -> tuple[str, dict[str, str]]:
    """Read ``driveway: full sun, open`` as a place's name and its entries."""
    name, colon, words = text.partition(":")
    if not colon:
        name, _, words = text.partition(",")
    name = " ".join(name.split())
    if not name:
        raise ValueError("a place needs a name, as in driveway: full sun, open")
    run_on = next((said for said in WORDS if name.casefold().endswith(f" {said}")), None)
    if run_on and not colon:
        place = name[: -len(run_on)].strip()
        raise ValueError(f"a colon ends the place's name: write {place}: {run_on}")
    return name, exposure_of(words)


def exposure_of(text: str) -> dict[str, str]:
    """Read ``morning sun, sheltered, under a roof`` as entries; a `ValueError` says what may be."""
    found: dict[str, str] = {}
    for part in (" ".join(piece.split()) for piece in re.split(r"[,;+]|\band\b", text)):
        for key, value in _entries(part).items() if part else ():
            if key in found:
                raise ValueError(f"“{part}” says “{key}” a second time; keep one")
            found[key] = value
    return found


def _entries(part: str) -> Mapping[str, str]:
    """Return what one word or two say."""
    word = part.casefold()
    word = re.sub(r"^(?:in|in the|under|under the) (?=roof|shade)", "", word)
    if word in WORDS:
        return WORDS[word]
    shade = re.fullmatch(r"(?:shade )?([0-9]{1,3} ?%)(?: (?:of )?shade)?", word)
    if shade:
        return {"shade": shade[1]}
    sun = re.fullmatch(r"sun (.+)", word)
    if sun and re.search("[0-9]", word):
        begin, end = span(sun[1])
        return {"sun": f"{begin:%H:%M}-{end:%H:%M}"}
    hint = did_you_mean(part, WORDS, most=0) or f"say {SAID}"
    raise ValueError(f"“{part}” is not understood of a place; {hint}")
