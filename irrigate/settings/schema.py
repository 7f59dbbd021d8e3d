"""The garden file's shape as a whole; its parts are in the `*_entries` modules beside it."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Discriminator, Field, Tag, field_validator

from irrigate.settings import fields, names, time_fields
from irrigate.settings.entries import Entry, blank, listed
from irrigate.settings.kind_entries import KindEntry
from irrigate.settings.mix_entries import MixEntry
from irrigate.settings.people_entries import PersonEntry, RoundEntry, round_in_short
from irrigate.settings.place_entries import PlaceEntry
from irrigate.settings.plant_entries import PlantEntry
from irrigate.settings.pot_entries import PotEntry
from irrigate.settings.site_entries import CsvWeatherEntry, ProviderEntry, SiteEntry, provided
from irrigate.settings.written import OrCommas, OrElse

__all__ = ["MOST_POTS", "MOST_ROUNDS", "GardenEntry", "PotEntry"]

MOST_ROUNDS = 6
MOST_POTS = 500


class GardenEntry(Entry):
    """The garden file."""

    garden: names.Name = Field(default="the garden", description="what you call the garden")
    site: SiteEntry = Field(description="where the garden lies: latitude, longitude, elevation …")
    units: fields.UsUnits | None = Field(
        default=None, description="what messages are written in: US or metric; else metric"
    )
    can: fields.CanVolume | None = Field(
        default=None, description="what one can holds, filled as you fill it"
    )
    hose: fields.Flow | None = Field(
        default=None, description="how fast your hose fills a bucket: doses are then in seconds"
    )
    at_most: fields.Effort | None = Field(
        default=None,
        alias="at most",
        description="the most water you can bring at one round, as in 6 cans; the most endangered "
        "pots then come first",
    )
    water_salt: fields.WaterSalt | None = Field(
        default=None,
        alias="water salt",
        description="how salty your water is by its EC, as in 0.9 dS/m or 900 uS/cm",
    )
    rounds: list[
        Annotated[RoundEntry, BeforeValidator(round_in_short), OrElse(time_fields.TimeOfDay)]
    ] = Field(
        description="the times you come round to water, as in [07:00, 18:30]",
        json_schema_extra={"minItems": 1},
    )
    quiet: time_fields.Span | None = Field(
        default=None,
        description="when nothing is said unless a plant would be lost; else 21:30-06:30",
    )
    notice: time_fields.Notice | None = Field(
        default=None, description="how long before a round its message comes; else 30 min"
    )
    lead: time_fields.Lead | None = Field(
        default=None, description="how long before a pot is thirsty you must know; else 2 h"
    )
    keeps_rounds: fields.Habit | None = Field(
        default=None,
        alias="keeps rounds",
        description="how many of the rounds are walked when nobody answers; else 80 %",
    )
    risk: fields.Risk | None = Field(
        default=None,
        description="how careful to be: the chance of thirst before the next round; else 20 %",
    )
    mix: names.MixName | None = Field(
        default=None, description="what pots are filled with that name no mix; else potting mix"
    )
    people: list[PersonEntry] = Field(default_factory=list, description="who can act, and when")
    reach: Annotated[tuple[names.Way, ...] | None, BeforeValidator(listed), OrCommas(names.Way)] = (
        Field(
            default=None,
            description="the ways to reach people, as in [phone]; addresses stand elsewhere",
        )
    )
    weather: (
        Annotated[
            Annotated[CsvWeatherEntry, Tag("<lines>")]
            | Annotated[ProviderEntry, Tag("<provider>")]
            | Annotated[names.Provider, Tag("<text>")],
            Discriminator(provided),
        ]
        | None
    ) = Field(
        default=None,
        description="where the weather comes from: open-meteo, or your own station's table",
    )
    places: dict[
        names.Name, Annotated[PlaceEntry, BeforeValidator(blank), OrElse({"type": "null"})]
    ] = Field(description="where pots stand, as in driveway: {shade: 0 %, wind: open}")
    mixes: dict[names.Name, MixEntry] = Field(default_factory=dict, description="mixes of your own")
    plants: dict[names.Name, PlantEntry] = Field(
        default_factory=dict, description="plants of your own"
    )
    kinds: dict[names.Name, KindEntry] = Field(
        default_factory=dict, alias="pot kinds", description="pots of your own, by their measures"
    )
    pots: dict[names.Label, PotEntry] = Field(
        description="a number for every pot, and what is in it",
        json_schema_extra={"minProperties": 1, "maxProperties": MOST_POTS},
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
