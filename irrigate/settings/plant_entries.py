"""A plant: one of the gardener's own, and how large one is now."""

from __future__ import annotations

from pydantic import Field

from irrigate.settings import fields, names
from irrigate.settings.entries import Entry


class PlantEntry(Entry):
    """A plant of the gardener's own, told by how it differs from a known one."""

    like: names.CataloguePlant = Field(description="the plant it resembles, as in pepper")
    tall: fields.Canopy | None = Field(default=None, description="its height when full-grown")
    wide: fields.Canopy | None = Field(default=None, description="its width when full-grown")
    likes: fields.Likes | None = Field(
        default=None, description="even: never quite dry; dry-between: dry between waterings"
    )
    fruiting: fields.YesNo | None = Field(
        default=None, description="whether it drops flowers or fruit when it runs short"
    )
    bare_stem: fields.Stem | None = Field(
        default=None,
        alias="bare stem",
        description="how much of its height is trunk below the crown, as in 40 %",
    )
    bears_c: fields.Cold | None = Field(
        default=None,
        alias="stands cold to",
        description="the coldest night that it comes through, as in -2 °C or 28 F",
    )


class SizeEntry(Entry):
    """How large the plant is now."""

    wide: fields.Canopy | None = Field(default=None, description="how wide the plant is now")
    tall: fields.Canopy | None = Field(default=None, description="how tall the plant is now")
