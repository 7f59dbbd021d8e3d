"""When a plant came into its vessel with its old root ball, and out of what."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import Annotated

from pydantic import PlainValidator, ValidationInfo

from irrigate.settings import readers, written
from irrigate.settings.fields import one_text
from irrigate.settings.kind_entries import KindEntry, kind_or_volume
from irrigate.units import patterns

_FROM = re.compile(r"\s*,?\s*\b(?:from|out of)\b\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Repotting:
    """The day, the old vessel as `kind_or_volume` read it (None if not said), and its words."""

    day: date
    old: KindEntry | str | float | None = None
    words: str = ""


def repotting(value: object, info: ValidationInfo) -> Repotting:
    """Read ``2026-05-01``, or ``2026-05-01 from nursery 1 gal``."""
    text = one_text(value)
    day, *old = _FROM.split(text.strip(), maxsplit=1)
    if old and not day:
        raise ValueError(f"{text}: say when too, as in 2026-05-01 from nursery 1 gal")
    if old and not old[0]:
        raise ValueError(f"{text}: say out of what, as in 2026-05-01 from nursery 1 gal")
    read = readers.day(day)
    return Repotting(read, kind_or_volume(old[0], info), old[0]) if old else Repotting(read)


Repotted = Annotated[
    Repotting,
    PlainValidator(repotting),
    written.text(
        "repotted",
        "the day, and if you know it what it was in before",
        patterns.whole(
            rf"{written.DATE}(\s*,?\s*([fF][rR][oO][mM]|[oO][uU][tT]\s+[oO][fF])\s+.+)?"
        ),
        "2026-05-01",
        "2026-05-01 from 3 L",
        "2026-05-01 from nursery 1 gal",
    ),
]
