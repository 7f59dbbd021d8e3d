"""When somebody comes round to water, and who can act."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field, field_validator

from irrigate.settings import fields, names, readers, time_fields
from irrigate.settings.entries import Entry, listed
from irrigate.settings.written import OrCommas


class RoundEntry(Entry):
    """A time of day when somebody is there to water."""

    at: time_fields.TimeOfDay = Field(description="a time of day, as in 07:00")
    on: Annotated[tuple[int, ...], OrCommas(time_fields.Weekdays)] = Field(
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
        tuple[time_fields.Span, ...] | None, BeforeValidator(listed), OrCommas(time_fields.Span)
    ] = Field(
        default=None,
        description="when they can act, as in [07:00-09:00, 17:00-21:00]; else 07:00-21:00",
    )
