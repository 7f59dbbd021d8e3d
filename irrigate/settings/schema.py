"""The garden file's shape: which entries there are, what each may hold, and what it is for.

A description is what a person reads when the entry is missing.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    field_validator,
    model_validator,
)

from irrigate.settings import fields, names, readers
from irrigate.settings.shapes import Measured, vessel_of

MOST_ROUNDS = 6
MOST_POTS = 500


class Entry(BaseModel):
    """What every part of the file has in common: no unknown names, nothing changed later."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


def _listed(value: object) -> object:
    """Let one text stand for a list of one, or of what its commas part."""
    if isinstance(value, str):
        return [part.strip() for part in value.split(",")]
    return value


def _blank(value: object) -> object:
    """Let a name with nothing below it stand for an entry with nothing said."""
    return {} if value is None else value


def _in_lines(value: object) -> str:
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
    on: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)

    @field_validator("on", mode="before")
    @classmethod
    def _days(cls, value: object) -> object:
        words = _listed(value)
        if not isinstance(words, list) or not words:
            raise ValueError("write days, as in [mon, tue] or weekdays")
        days = {day for word in words for day in readers.weekdays(fields.one_text(word))}
        return tuple(sorted(days))


def _round(value: object) -> object:
    return {"at": value} if isinstance(value, str) else value


class PersonEntry(Entry):
    """Somebody who can act."""

    name: names.Name = Field(description="what the person is called")
    reach: Annotated[tuple[names.KnownWay, ...], BeforeValidator(_listed)] = ("console",)
    hours: Annotated[tuple[fields.Span, ...] | None, BeforeValidator(_listed)] = None


# --- places, pot kinds, mixes, plants ------------------------------------------------------
class Exposure(Entry):
    """What a place, or one pot in it, does to the weather."""

    shade: fields.Share | None = None
    sun: fields.Span | None = None
    wind: fields.Wind | None = None
    roof: fields.YesNo | None = None
    rain: fields.Share | None = None

    @field_validator("rain")
    @classmethod
    def _one_word_on_rain(cls, value: float | None, info: Any) -> float | None:
        if value is not None and info.data.get("roof") is not None:
            raise ValueError("“roof” says it already; take one of the two out")
        return value


class KindEntry(Entry):
    """A pot by its inside measures or its volume."""

    round: fields.Length | None = None
    square: fields.Length | None = None
    trough: fields.Sides | None = None
    bowl: fields.Length | None = None
    base: fields.Sides | None = None
    height: fields.Length | None = None
    headspace: fields.Headspace | None = None
    volume: fields.PotVolume | None = None

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


class MixEntry(Entry):
    """A mix of the gardener's own, told by how it differs from a known one."""

    like: names.CatalogueMix = Field(description="the mix it resembles, as in potting mix")
    theta_r: fields.Number | None = None
    theta_s: fields.Number | None = None
    alpha_per_cm: fields.Number | None = None
    n: fields.Number | None = None
    lower_limit: fields.Number | None = None
    rew_mm: fields.Number | None = None
    bulk_density_kg_l: fields.Number | None = None
    rewet_below: fields.Number | None = None
    mineral: fields.YesNo | None = None


class PlantEntry(Entry):
    """A plant of the gardener's own, told by how it differs from a known one."""

    like: names.CataloguePlant = Field(description="the plant it resembles, as in pepper")
    tall: fields.Canopy | None = None
    wide: fields.Canopy | None = None
    likes: fields.Likes | None = None
    fruiting: fields.YesNo | None = None


# --- pots ----------------------------------------------------------------------------------
class SizeEntry(Entry):
    """How large the plant is now."""

    wide: fields.Canopy | None = None
    tall: fields.Canopy | None = None


class PotEntry(Exposure):
    """One pot: its plant, its vessel, where it stands."""

    plant: names.PlantName = Field(description="what grows in it, as in pepper")
    pot: Annotated[
        Annotated[KindEntry, Tag("<lines>")] | Annotated[names.KindOrVolume, Tag("<text>")],
        Discriminator(_in_lines),
    ] = Field(description="its kind or volume, as in nursery 5 gal or 19 L")
    place: names.PlaceName = Field(description="one of the places")
    name: names.Name | None = None
    mix: names.MixName | None = None
    size: (
        Annotated[
            Annotated[SizeEntry, Tag("<lines>")] | Annotated[fields.SizeWords, Tag("<text>")],
            Discriminator(_in_lines),
        ]
        | None
    ) = None
    mulch: fields.MulchShare = 0.0
    planted: fields.Day | None = None
    risk: fields.Risk | None = None
    was: names.Label | None = None


# --- the service's own ---------------------------------------------------------------------
class CsvWeatherEntry(Entry):
    """Weather out of a station's table."""

    csv: names.Name = Field(description="the table's file, as in station.csv")
    wind_height: fields.SensorHeight = Field(default=2.0, alias="wind height")


# --- the whole file ------------------------------------------------------------------------
class GardenEntry(Entry):
    """The garden file."""

    garden: names.Name = "the garden"
    site: SiteEntry = Field(description="where the garden lies: latitude, longitude, elevation …")
    units: fields.UsUnits | None = None
    can: fields.CanVolume | None = None
    hose: fields.Flow | None = None
    rounds: list[Annotated[RoundEntry, BeforeValidator(_round)]] = Field(
        description="the times you come round to water, as in [07:00, 18:30]"
    )
    quiet: fields.Span | None = None
    notice: fields.Notice | None = None
    lead: fields.Lead | None = None
    keeps_rounds: fields.Habit | None = Field(default=None, alias="keeps rounds")
    risk: fields.Risk | None = None
    mix: names.MixName | None = None
    people: list[PersonEntry] = Field(default_factory=list)
    reach: Annotated[tuple[names.Way, ...] | None, BeforeValidator(_listed)] = None
    weather: (
        Annotated[
            Annotated[CsvWeatherEntry, Tag("<lines>")] | Annotated[names.Provider, Tag("<text>")],
            Discriminator(_in_lines),
        ]
        | None
    ) = None
    places: dict[names.Name, Annotated[Exposure, BeforeValidator(_blank)]] = Field(
        description="where pots stand, as in driveway: {shade: 0 %, wind: open}"
    )
    mixes: dict[names.Name, MixEntry] = Field(default_factory=dict)
    plants: dict[names.Name, PlantEntry] = Field(default_factory=dict)
    kinds: dict[names.Name, KindEntry] = Field(default_factory=dict, alias="pot kinds")
    pots: dict[names.Label, PotEntry] = Field(
        description="a number for every pot, and what is in it"
    )

    @field_validator("rounds")
    @classmethod
    def _sorted_rounds(cls, rounds: list[RoundEntry]) -> list[RoundEntry]:
        if not rounds:
            raise ValueError("at least one round is needed, as in [07:00, 18:30]")
        for day in range(7):
            times = [entry.at for entry in rounds if day in entry.on]
            if len(times) > MOST_ROUNDS:
                raise ValueError(f"there are {len(times)} rounds on one day; at most {MOST_ROUNDS}")
            twice = next((at for at in times if times.count(at) > 1), None)
            if twice is not None:
                raise ValueError(f"{twice:%H:%M} stands there twice; take one of the two out")
        return sorted(rounds, key=lambda entry: (entry.at, entry.on))

    @field_validator("pots", mode="before")
    @classmethod
    def _some_pots(cls, pots: object) -> object:
        if isinstance(pots, dict) and not 0 < len(pots) <= MOST_POTS:
            raise ValueError(f"there are {len(pots)} pots; a garden has 1 to {MOST_POTS}")
        return pots

    @field_validator("people")
    @classmethod
    def _different_people(cls, people: list[PersonEntry]) -> list[PersonEntry]:
        names = [person.name.casefold() for person in people]
        twice = next(
            (person.name for person in people if names.count(person.name.casefold()) > 1), None
        )
        if twice is not None:
            raise ValueError(f"“{twice}” stands there twice; tell the two apart")
        return people
