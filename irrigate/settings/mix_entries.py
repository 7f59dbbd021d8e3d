"""A mix of the gardener's own."""

from __future__ import annotations

from typing import Any, ClassVar

from pydantic import Field, ValidatorFunctionWrapHandler, field_validator, model_validator

from irrigate.settings import fields, names
from irrigate.settings.entries import Entry
from irrigate.settings.written import Part

MEASURED_INSTEAD = (
    ("holds", "theta_r"),
    ("holds", "alpha_per_cm"),
    ("wilts at", "theta_r"),
    ("wilts at", "alpha_per_cm"),
    ("wilts at", "lower_limit"),
)
"""What is measured of a mix, and the numbers of its curve that follow from it."""


class MixEntry(Entry):
    """A mix of the gardener's own: how it differs from a known one, or what went into it."""

    rule: ClassVar[Part] = {
        "oneOf": [{"required": ["like"]}, {"required": ["mix"]}],
        "not": {"anyOf": [{"required": [*pair]} for pair in MEASURED_INSTEAD]},
        "if": {"required": ["measured in"]},
        "then": {"required": ["holds"]},
    }

    like: names.CatalogueMix | None = Field(
        default=None, description="the mix it resembles, as in potting mix"
    )
    mix: dict[names.CatalogueMix, fields.Parts] | None = Field(
        default=None,
        description="parts by volume, as in {peat and perlite: 2, compost: 1}",
        json_schema_extra={"minProperties": 2},
    )
    holds: fields.Held | None = Field(
        default=None,
        description="how much of its volume is water when soaked and drained, as in 52 %",
    )
    wilts_at: fields.Held | None = Field(
        default=None,
        alias="wilts at",
        description="how much of its volume is water when plants in it wilt, as in 18 %",
    )
    measured_in: fields.Length | None = Field(
        default=None,
        alias="measured in",
        description="how deep the mix was in the pot where “holds” was measured; else 20 cm",
    )
    theta_r: fields.Number | None = Field(
        default=None, description="residual water content of its curve, share of the volume"
    )
    theta_s: fields.Number | None = Field(
        default=None, description="water content when saturated, share of the volume"
    )
    alpha_per_cm: fields.Number | None = Field(
        default=None, description="van Genuchten's alpha, per cm of suction"
    )
    n: fields.Number | None = Field(default=None, description="van Genuchten's n, above 1")
    lower_limit: fields.Number | None = Field(
        default=None, description="water content at which plants get no more, share of the volume"
    )
    rew_mm: fields.Number | None = Field(
        default=None, description="water that evaporates freely from its wet surface, in mm"
    )
    bulk_density_kg_l: fields.Number | None = Field(
        default=None, description="its weight when dry, in kg per litre"
    )
    rewet_below: fields.Number | None = Field(
        default=None, description="water content below which water runs past it"
    )
    mineral: fields.YesNo | None = Field(
        default=None, description="whether it is mostly mineral soil"
    )

    @field_validator("mix", mode="wrap")
    @classmethod
    def _different_parts(cls, said: Any, read: ValidatorFunctionWrapHandler) -> Any:
        parts = read(said)
        if parts is None:  # nothing was written: that is told elsewhere
            return None
        if len(parts) < len(said):  # two spellings that lead to one
            raise ValueError("the same mix stands there twice; add its parts up")
        if len(parts) < 2:
            raise ValueError("a mix has two parts or more; for one alone, write “like”")
        return parts

    @model_validator(mode="after")
    def _told_one_way(self) -> MixEntry:
        if (self.like is None) == (self.mix is None):
            raise ValueError(
                "write “like”, the mix it resembles, or “mix”, the parts it is made of: one of them"
            )
        told = {
            field.alias or name
            for name, field in type(self).model_fields.items()
            if getattr(self, name) is not None
        }
        for measured, instead in MEASURED_INSTEAD:
            if {measured, instead} <= told:
                raise ValueError(f"“{measured}” settles {instead}; take one of the two out")
        if "measured in" in told and "holds" not in told:
            raise ValueError("“measured in” says where “holds” was measured; write “holds” too")
        return self
