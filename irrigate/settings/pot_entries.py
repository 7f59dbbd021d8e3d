"""One pot: what grows in it, what it is, where it stands."""

from __future__ import annotations

from itertools import combinations
from typing import Annotated, Any, ClassVar

from pydantic import Discriminator, Field, PlainValidator, Tag, field_validator

from irrigate.settings import fields, names, probe_fields, time_fields
from irrigate.settings.basins import OuterPot, Reservoir, Saucer
from irrigate.settings.entries import in_lines
from irrigate.settings.kind_entries import KindEntry, kind_or_volume
from irrigate.settings.place_entries import ONE_WORD_ON_RAIN, Exposure
from irrigate.settings.plant_entries import SizeEntry
from irrigate.settings.repotting import Repotted
from irrigate.settings.stocked_names import named
from irrigate.settings.vessel_fields import (
    ColourWord,
    LeafArea,
    RainCaught,
    SettingWord,
    WallWord,
)
from irrigate.settings.written import Part, Written, not_both

BASINS = ("saucer", "outer pot", "reservoir")
"""What may keep the water that drains: one of them."""


PotInWords = Annotated[
    KindEntry | str | float,
    PlainValidator(kind_or_volume),
    Written("pot kind or volume", named("kinds")),
]
"""What a pot's own measures, its kind's name, or its volume [L] was told by."""


class PotEntry(Exposure):
    """One pot: its plant, its vessel, where it stands; or another that it is like."""

    rule: ClassVar[Part] = {
        "anyOf": [{"required": ["like"]}, {"required": ["plant", "pot", "place"]}],
        "allOf": [
            ONE_WORD_ON_RAIN,
            {"not": {"required": ["colour", "color"]}},
            *not_both(*combinations(BASINS, 2), ("covered", "mulch")),
        ],
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
    covered: fields.YesNo | None = Field(
        default=None, description="whether a sheet or a lid lies over the mix; else no"
    )
    planted: time_fields.Day | None = Field(
        default=None, description="when this plant came into this pot, as in 2026-04-20"
    )
    repotted: Repotted | None = Field(
        default=None,
        description="when it came into this pot with its roots, and out of what, as in 2026-05-01 "
        "from nursery 1 gal",
    )
    leaf_area: LeafArea | None = Field(
        default=None,
        alias="leaf area",
        description="one side of all its leaves, if it was measured, as in 0.6 m2; else by size",
    )
    saucer: Saucer | None = Field(
        default=None, description="what it stands in: yes, its width, or what it holds; else none"
    )
    outer_pot: OuterPot | None = Field(
        default=None,
        alias="outer pot",
        description="a closed pot that it stands in: yes, or its volume, as in 12 L; else none",
    )
    reservoir: Reservoir | None = Field(
        default=None, description="what is below the mix of a pot that waters itself, as in 6 L"
    )
    stands: SettingWord | None = Field(
        default=None, description="on the ground, hanging or sunk into it; else as its kind does"
    )
    wall: WallWord | None = Field(
        default=None,
        description="what it is made of: plastic, glazed, clay, fabric, wood or metal; else as its "
        "kind is",
    )
    colour: ColourWord | None = Field(
        default=None, description="how dark it is: black, dark or light; else as usual"
    )
    color: ColourWord | None = Field(default=None, description="the same as colour")
    rain_catch: RainCaught | None = Field(
        default=None,
        alias="rain catch",
        description="rain caught with its leaves on, of what falls on its opening, as in 60 % or "
        "1.5 times; else as the plant does",
    )
    probe: probe_fields.Probe | None = Field(
        default=None,
        description="the two points of a probe that shows bare numbers: in this mix air-dry, and "
        "in this pot an hour after it ran, as in 830 dry, 420 wet",
    )
    risk: fields.Risk | None = Field(
        default=None, description="how careful to be with this pot; else as with all of them"
    )
    was: names.Label | None = Field(
        default=None, description="its old number, if you gave it a new one: what was learnt stays"
    )
    since: time_fields.Since | None = Field(
        default=None,
        description="since when this line holds, as in 2026-07-03 18:30; always, if the old one "
        "never did; else from when it is read",
    )

    @field_validator("outer_pot", "reservoir")
    @classmethod
    def _one_basin(cls, value: Any, info: Any) -> Any:
        before = ("saucer", "outer_pot")
        told = next((key for key in before if info.data.get(key) and key != info.field_name), None)
        if value is not None and told:
            called = told.replace("_", " ")
            raise ValueError(f"“{called}” keeps the drained water already; take one of the two out")
        return value

    @field_validator("covered")
    @classmethod
    def _one_cover(cls, value: bool | None, info: Any) -> bool | None:
        if value and info.data.get("mulch"):
            raise ValueError("“mulch” says what lies on the mix; take one of the two out")
        return value

    @field_validator("color")
    @classmethod
    def _one_colour(cls, value: Any, info: Any) -> Any:
        if value is not None and info.data.get("colour"):
            raise ValueError("“colour” says it already; take one of the two out")
        return value
