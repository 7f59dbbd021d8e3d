"""A pot kind of the gardener's own, or one pot's own measures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from pydantic import Field, ValidationInfo, model_validator

from irrigate.settings import fields, names
from irrigate.settings.entries import Entry
from irrigate.settings.shapes import SHAPES, Measured, vessel_of
from irrigate.settings.vessel_fields import WallWord
from irrigate.settings.written import Part, not_both

_MEASURES = (*SHAPES, "base", "height", "headspace")


class KindEntry(Entry):
    """A pot by its inside measures or its volume."""

    rule: ClassVar[Part] = {
        "oneOf": [
            *({"required": [shape], "not": {"required": ["volume"]}} for shape in SHAPES),
            {
                "required": ["volume"],
                "not": {"anyOf": [{"required": [measure]} for measure in _MEASURES]},
            },
        ],
        "allOf": not_both(
            *(("open bottom", key) for key in (*SHAPES, "volume") if key != "trough")
        ),
    }

    round: fields.Length | None = Field(
        default=None, description="inside width of a round pot at the rim"
    )
    square: fields.Length | None = Field(
        default=None, description="inside width of a square pot at the rim"
    )
    trough: fields.Sides | None = Field(
        default=None, description="inside length and width of a long box at the rim"
    )
    bowl: fields.Length | None = Field(
        default=None, description="inside width of a bowl or hanging basket at the rim"
    )
    base: fields.Sides | None = Field(
        default=None, description="the same measure at the bottom; else a fifth less"
    )
    height: fields.Length | None = Field(
        default=None, description="inside height; else as pots usually have it"
    )
    headspace: fields.Headspace | None = Field(
        default=None, description="from the rim down to the mix; else as pots usually have it"
    )
    volume: fields.PotVolume | None = Field(
        default=None, description="what it holds to the rim, if nothing was measured"
    )
    wall: WallWord | None = Field(
        default=None,
        description="what it is made of: plastic, glazed, clay, fabric, wood or metal; else as its "
        "name says",
    )
    open_bottom: fields.YesNo | None = Field(
        default=None,
        alias="open bottom",
        description="whether a bed stands on soil and drains into it; else no",
    )

    @property
    def measured(self) -> Measured:
        """The measures as `vessel_of` takes them."""
        return Measured(
            self.round, self.square, self.trough, self.bowl,
            self.base, self.height, self.headspace, self.volume, bool(self.open_bottom),
        )  # fmt: skip

    @model_validator(mode="after")
    def _can_be_built(self) -> KindEntry:
        vessel_of(self.measured)
        return self


def kind_or_volume(value: object, info: ValidationInfo) -> KindEntry | str | float:
    """Return the name of a kind of pot, its volume [L], or the measures that its name tells."""
    read = names.pot_in_words(value, info)
    return KindEntry.model_validate(read) if isinstance(read, Mapping) else read
