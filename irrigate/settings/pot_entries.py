"""One pot: what grows in it, what it is, where it stands."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar

from pydantic import Discriminator, Field, PlainValidator, Tag, ValidationInfo

from irrigate.settings import fields, names
from irrigate.settings.entries import in_lines
from irrigate.settings.kind_entries import KindEntry
from irrigate.settings.place_entries import Exposure
from irrigate.settings.plant_entries import SizeEntry
from irrigate.settings.stocked_names import named
from irrigate.settings.written import Part, Written


def _pot_in_words(value: object, info: ValidationInfo) -> KindEntry | str | float:
    """Make the measures that a pot's name tells into an entry."""
    read = names.pot_in_words(value, info)
    return KindEntry.model_validate(read) if isinstance(read, Mapping) else read


PotInWords = Annotated[
    KindEntry | str | float,
    PlainValidator(_pot_in_words),
    Written("pot kind or volume", named("kinds")),
]
"""What a pot's own measures, its kind's name, or its volume [L] was told by."""


class PotEntry(Exposure):
    """One pot: its plant, its vessel, where it stands; or another that it is like."""

    rule: ClassVar[Part] = {
        **Exposure.rule,
        "anyOf": [{"required": ["like"]}, {"required": ["plant", "pot", "place"]}],
    }

    like: names.Label | None = Field(
        default=None,
        description="the number of a pot whose line holds here too, but for what stands here",
    )
    plant: names.PlantName = Field(description="what grows in it, as in pepper")
    pot: Annotated[
        Annotated[KindEntry, Tag("<lines>")] | Annotated[PotInWords, Tag("<text>")],
        Discriminator(in_lines),
    ] = Field(description="its kind or volume, as in nursery 5 gal or 19 L")
    place: names.PlaceName = Field(description="one of the places")
    name: names.Name | None = Field(default=None, description="what you call it; else by its plant")
    mix: names.MixName | None = Field(
        default=None, description="what it is filled with, as in peat and perlite"
    )
    size: (
        Annotated[
            Annotated[SizeEntry, Tag("<lines>")] | Annotated[fields.SizeWords, Tag("<text>")],
            Discriminator(in_lines),
        ]
        | None
    ) = Field(
        default=None,
        description="how large the plant is now, as in knee-high, wider than pot; else full-grown",
    )
    mulch: fields.MulchShare = Field(
        default=0.0, description="what covers the mix, as in straw; else nothing"
    )
    planted: fields.Day | None = Field(
        default=None, description="when this plant came into this pot, as in 2026-04-20"
    )
    risk: fields.Risk | None = Field(
        default=None, description="how careful to be with this pot; else as with all of them"
    )
    was: names.Label | None = Field(
        default=None, description="its old number, if you gave it a new one: what was learnt stays"
    )
    since: fields.Since | None = Field(
        default=None,
        description="since when this line holds, as in 2026-07-03 18:30; always, if the old one "
        "never did; else from when it is read",
    )
