"""What stands around a place: glass above it, ground and wall beside it, lamps, other pots.

The words and the figures behind them are starting defaults from memory, not verified.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import time
from typing import Annotated

from pydantic import Field, PlainValidator

from irrigate import units
from irrigate.garden.pots import Ground, Spacing
from irrigate.settings import readers, written
from irrigate.settings.entries import Entry
from irrigate.settings.fields import one_text, reading, within
from irrigate.units import patterns

USUAL_GLASS = 0.7
"""Share of the sun that a small glass or plastic house lets in, frame and dirt included [M]."""

GROUNDS: Mapping[str, Ground] = {
    "green": "green", "grass": "green", "lawn": "green", "plants": "green", "beds": "green",
    "bare": "bare", "soil": "bare", "earth": "bare", "dry grass": "bare", "gravel": "bare",
    "bark": "bare", "mulch": "bare", "decking": "bare", "wood": "bare", "sand": "bare",
    "paved": "paved", "paving": "paved", "driveway": "paved", "concrete": "paved",
    "tiles": "paved", "tile": "paved", "stone": "paved", "slabs": "paved", "brick": "paved",
    "bricks": "paved", "asphalt": "paved", "tar": "paved", "roofing": "paved",
}  # fmt: skip
SPACINGS: Mapping[str, Spacing] = {
    "close": "close", "touching": "close", "close together": "close", "together": "close",
    "crowded": "close", "apart": "apart", "some way apart": "apart", "alone": "alone",
    "single": "alone", "each alone": "alone", "far apart": "alone", "on their own": "alone",
}  # fmt: skip
DAY_AND_NIGHT = ("day and night", "always", "all day")


@dataclass(frozen=True, slots=True)
class Lamps:
    """The light that lamps give at the leaves [W m⁻²], and when they burn; None for always."""

    light_w_m2: float
    hours: tuple[time, time] | None


def glass(text: str) -> float | None:
    """Read ``yes``, ``no``, or the percentage of the sun that a glass house lets in."""
    if re.match(r"\s*[-−+.]?[0-9]", text):
        return within(units.share, 0.05, 1, "5 % to 100 %")(text)
    try:
        return USUAL_GLASS if readers.yes_or_no(text) else None
    except ValueError:
        hint = "write yes, no, or how much of the sun it lets in, as in 70 %"
        raise ValueError(f"“{text}” does not say how much sun comes in; {hint}") from None


def light(text: str) -> float:
    """Read the light of lamps at the leaves [W m⁻²]."""
    return within(units.light_w_m2, 1, 1000, "1 to 1000 W/m2 at the leaves")(text)


def burning(text: str) -> tuple[time, time] | None:
    """Read ``06:00-22:00``, or ``day and night`` as None."""
    if " ".join(text.casefold().split()) in DAY_AND_NIGHT:
        return None
    return readers.span(text)


def lamps(text: str) -> Lamps:
    """Read ``60 W/m2, 06:00-22:00``."""
    said, *hours = re.split(r"\s*,\s*|\s+from\s+", text.strip(), maxsplit=1)
    strength = light(said)
    if not hours or not hours[0]:
        raise ValueError(f"{text}: say when they burn too, as in {said}, 06:00-22:00")
    return Lamps(strength, burning(hours[0]))


_HOURS = rf"({written.TIME}{written.TO}{written.TIME}|{patterns.one_of(DAY_AND_NIGHT)})"

GlassShare = Annotated[
    float | None,
    reading(glass),
    written.words(
        "glass",
        "yes, no, or the percentage of the sun that it lets in",
        ("yes", "no", "true", "false"),
        {"type": "boolean"},
        {"type": "string", "pattern": patterns.share()},
    ),
]
GroundWord = Annotated[
    Ground,
    reading(lambda text: readers.word_of(text, GROUNDS, "ground", ("green", "bare", "paved"))),
    written.words("ground", "green, bare or paved, or a word for one of them", GROUNDS),
]
SpacingWord = Annotated[
    Spacing,
    reading(lambda text: readers.word_of(text, SPACINGS, "spacing", ("close", "apart", "alone"))),
    written.words("spacing", "close, apart or alone, or a word for one of them", SPACINGS),
]
Light = Annotated[
    float,
    reading(light),
    written.text(
        "light", "light at the leaves in W/m2", patterns.whole(patterns.light()), "60 W/m2"
    ),
]
Burning = Annotated[
    tuple[time, time] | None,
    reading(burning),
    written.text(
        "hours of lamps",
        "from when to when they burn, or day and night",
        patterns.whole(_HOURS),
        "06:00-22:00",
        "day and night",
    ),
]
LampsInWords = Annotated[
    Lamps,
    PlainValidator(lambda said: lamps(one_text(said))),
    written.text(
        "lamps",
        "light at the leaves in W/m2, a comma, and from when to when they burn",
        patterns.whole(rf"{patterns.light()}(,\s*|\s+from\s+){_HOURS}"),
        "60 W/m2, 06:00-22:00",
    ),
]


class LampsEntry(Entry):
    """Lamps over a place."""

    light: Light = Field(description="what they give at the leaves, as in 60 W/m2")
    on: Burning = Field(description="from when to when they burn, as in 06:00-22:00")
