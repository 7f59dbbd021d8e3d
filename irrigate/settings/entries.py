"""The parts of a garden file: what each entry may hold, and what it is for.

A description is what a person reads when the entry is missing, and in an editor beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    PlainValidator,
    Tag,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    field_validator,
    model_validator,
)

from irrigate.settings import fields, names, readers
from irrigate.settings.shapes import SHAPES, Measured, vessel_of
from irrigate.settings.stocked_names import named
from irrigate.settings.written import OrCommas, Part, Written


class Entry(BaseModel):
    """What every part of the file has in common: no unknown names, nothing changed later.

    ``rule`` is what a JSON schema can say of entries together.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)
    rule: ClassVar[Part] = {}


def listed(value: object) -> object:
    """Let one text stand for a list of one, or of what its commas part."""
    if isinstance(value, str):
        return [part.strip() for part in value.split(",")]
    return value


def blank(value: object) -> object:
    """Let a name with nothing below it stand for an entry with nothing said."""
    return {} if value is None else value


def in_lines(value: object) -> str:
    """Tell the two ways of writing apart; angle brackets keep the tags out of messages."""
    return "<lines>" if isinstance(value, dict | BaseModel) else "<text>"


# --- where and when ------------------------------------------------------------------------
class SiteEntry(Entry):
    """Where the garden lies."""

    latitude: fields.Latitude = Field(description="degrees, as in 38.6, south below zero")
    longitude: fields.Longitude = Field(description="degrees, as in -121.3, west below zero")
    elevation: fields.Elevation = Field(description="height above the sea, as in 30 m or 100 ft")
    time_zone: fields.TimeZone = Field(alias="time zone", description="as in Europe/Rome")


class RoundEntry(Entry):
    """A time of day when somebody is there to water."""

    at: fields.TimeOfDay = Field(description="a time of day, as in 07:00")
    on: Annotated[tuple[int, ...], OrCommas(fields.Weekdays)] = Field(
        default=(0, 1, 2, 3, 4, 5, 6),
        description="the days of this round, as in [mon, tue] or weekends; else every day",
    )

    @field_validator("on", mode="before")
    @classmethod
    def _days(cls, value: object) -> object:
        words = listed(value)
        if not isinstance(words, list) or not words:
            raise ValueError("write days, as in [mon, tue] or weekdays")
        days = {day for word in words for day in readers.weekdays(fields.one_text(word))}
        return tuple(sorted(days))


def round_in_short(value: object) -> object:
    """Let a time of day stand for a round on every day."""
    return {"at": value} if isinstance(value, str) else value


class PersonEntry(Entry):
    """Somebody who can act."""

    name: names.Name = Field(description="what the person is called")
    reach: Annotated[
        tuple[names.KnownWay, ...], BeforeValidator(listed), OrCommas(names.KnownWay)
    ] = Field(
        default=("console",),
        description="how to reach them, by the ways' names as in [phone]; else on the console",
    )
    hours: Annotated[
        tuple[fields.Span, ...] | None, BeforeValidator(listed), OrCommas(fields.Span)
    ] = Field(
        default=None,
        description="when they can act, as in [07:00-09:00, 17:00-21:00]; else 07:00-21:00",
    )


# --- places, pot kinds, mixes, plants ------------------------------------------------------
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


class KindEntry(Entry):
    """A pot by its inside measures or its volume."""

    rule: ClassVar[Part] = {
        "oneOf": [
            *({"required": [shape], "not": {"required": ["volume"]}} for shape in SHAPES),
            {"required": ["volume"], "maxProperties": 1},
        ]
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

    @property
    def measured(self) -> Measured:
        """The measures as `vessel_of` takes them."""
        return Measured(
            self.round, self.square, self.trough, self.bowl,
            self.base, self.height, self.headspace, self.volume,
        )  # fmt: skip

    @model_validator(mode="after")
    def _can_be_built(self) -> KindEntry:
        vessel_of(self.measured)
        return self


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


# --- pots ----------------------------------------------------------------------------------
class SizeEntry(Entry):
    """How large the plant is now."""

    wide: fields.Canopy | None = Field(default=None, description="how wide the plant is now")
    tall: fields.Canopy | None = Field(default=None, description="how tall the plant is now")


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


# --- the service's own ---------------------------------------------------------------------
class CsvWeatherEntry(Entry):
    """Weather out of a station's table."""

    csv: names.Name = Field(description="the table's file, as in station.csv")
    wind_height: fields.SensorHeight = Field(
        default=2.0, alias="wind height", description="how high its wind sensor is; else 2 m"
    )
