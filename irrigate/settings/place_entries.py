"""What a place, or one pot's spot in it, does to the weather."""

from __future__ import annotations

from typing import Any, ClassVar

from pydantic import Field, field_validator

from irrigate.settings import fields
from irrigate.settings.entries import Entry
from irrigate.settings.written import Part


class Exposure(Entry):
    """What a place, or one pot in it, does to the weather."""

    rule: ClassVar[Part] = {"not": {"required": ["roof", "rain"]}}

    shade: fields.Share | None = Field(
        default=None, description="how much of the sun cloth, trees or buildings take away; else 0"
    )
    sun: fields.Span | None = Field(
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
