"""What a place, or one pot's spot in it, does to the weather."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import Discriminator, Field, Tag, field_validator

from irrigate.settings import fields, time_fields
from irrigate.settings.entries import Entry, in_lines
from irrigate.settings.surroundings import (
    GlassShare,
    GroundWord,
    LampsEntry,
    LampsInWords,
    SpacingWord,
)
from irrigate.settings.written import Part, not_both

ONE_WORD_ON_RAIN: Part = {"not": {"required": ["roof", "rain"]}}


class Exposure(Entry):
    """What a place, or one pot in it, does to the weather."""

    shade: fields.Share | None = Field(
        default=None, description="how much of the sun cloth, trees or buildings take away; else 0"
    )
    sun: time_fields.Span | None = Field(
        default=None, description="from when to when direct sun gets there; else all day"
    )
    wind: fields.Wind | None = Field(
        default=None, description="how windy it is: sheltered, yard or open; else yard"
    )
    roof: fields.YesNo | None = Field(
        default=None, description="whether a roof keeps the rain away; else no"
    )
    rain: fields.Share | None = Field(
        default=None, description="how much of the rain gets there; else all of it"
    )

    @field_validator("rain")
    @classmethod
    def _one_word_on_rain(cls, value: float | None, info: Any) -> float | None:
        if value is not None and info.data.get("roof") is not None:
            raise ValueError("“roof” says it already; take one of the two out")
        return value


class PlaceEntry(Exposure):
    """A place where pots stand."""

    rule: ClassVar[Part] = {
        "allOf": [ONE_WORD_ON_RAIN, *not_both(("glass", "roof"), ("glass", "rain"))]
    }

    glass: GlassShare | None = Field(
        default=None,
        description="yes in a glass or plastic house, or how much sun it lets in, as in 70 %; "
        "no rain falls there",
    )
    ground: GroundWord | None = Field(
        default=None,
        description="what is around the pots: green (watered plants), bare or paved; else bare",
    )
    sunny_wall: fields.YesNo | None = Field(
        default=None,
        alias="sunny wall",
        description="whether a sunny wall behind the pots throws warmth at them; else no",
    )
    pots_stand: SpacingWord | None = Field(
        default=None,
        alias="pots stand",
        description="how near to each other: close, when leaves touch, apart or alone; else apart",
    )
    lamps: (
        Annotated[
            Annotated[LampsEntry, Tag("<lines>")] | Annotated[LampsInWords, Tag("<text>")],
            Discriminator(in_lines),
        ]
        | None
    ) = Field(default=None, description="light of lamps at the leaves, as in 60 W/m2, 06:00-22:00")

    @field_validator("glass")
    @classmethod
    def _no_rain_under_glass(cls, value: float | None, info: Any) -> float | None:
        told = next((key for key in ("roof", "rain") if info.data.get(key)), None)
        if value is not None and told:
            raise ValueError(f"keeps all rain away by itself; take it or “{told}” out")
        return value
