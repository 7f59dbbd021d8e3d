"""A probe's two points for one pot: what it shows in its dry mix, and just after it drained."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import Discriminator, Field, PlainValidator, Tag, model_validator

from irrigate.garden.pots import ProbePoints
from irrigate.settings import fields, readers, written
from irrigate.settings.entries import Entry, in_lines
from irrigate.units import patterns

SAME = "the probe shows the same dry and wet: measure both points anew"
_TEXT = re.compile(
    r"(?P<dry>\S+)\s+dry\s*(?:,|and)\s*(?P<wet>\S+)\s+wet"
    r"|(?:dry\s+)(?P<dry_after>\S+?)\s*(?:,|and)\s*wet\s+(?P<wet_after>\S+)",
    re.IGNORECASE,
)
_NUMBER = r"[-−+]?([0-9]{1,9}(\.[0-9]{0,12})?|\.[0-9]{1,12})"
_DRY, _WET = "[dD][rR][yY]", "[wW][eE][tT]"
_AND = r"\s*(,|[aA][nN][dD])\s*"


class ProbeEntry(Entry):
    """The two points of a probe in this pot's own mix."""

    dry: fields.Number = Field(description="what it shows in the mix when that is air-dry")
    wet: fields.Number = Field(
        description="what it shows in this pot an hour after it was watered till it ran"
    )

    @model_validator(mode="after")
    def _apart(self) -> ProbeEntry:
        if self.dry == self.wet:
            raise ValueError(SAME)
        return self


def in_words(text: str) -> ProbePoints:
    """Read ``830 dry, 420 wet``, in either order of word and number."""
    found = _TEXT.fullmatch(text.strip())
    if found is None:
        raise ValueError(f"{text} is not two points of a probe; write 830 dry, 420 wet")
    dry, wet = (readers.number(found[name] or found[f"{name}_after"]) for name in ("dry", "wet"))
    if dry == wet:
        raise ValueError(SAME)
    return ProbePoints(dry, wet)


ProbeWords = Annotated[
    ProbePoints,
    PlainValidator(lambda said: in_words(fields.one_text(said))),
    written.text(
        "probe in words",
        "what the probe shows in dry mix, and just after it drained",
        patterns.whole(
            rf"({_NUMBER}\s+{_DRY}{_AND}{_NUMBER}\s+{_WET}|{_DRY}\s+{_NUMBER}{_AND}{_WET}\s+{_NUMBER})"
        ),
        "830 dry, 420 wet",
    ),
]
Probe = Annotated[
    Annotated[ProbeEntry, Tag("<lines>")] | Annotated[ProbeWords, Tag("<text>")],
    Discriminator(in_lines),
]


def points(said: ProbeEntry | ProbePoints | None) -> ProbePoints | None:
    """Return the points, however they were written."""
    return ProbePoints(said.dry, said.wet) if isinstance(said, ProbeEntry) else said
