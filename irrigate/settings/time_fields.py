"""Types of the garden file's fields that tell times: of the day, days, lengths of time, zones."""

from __future__ import annotations

import re
from datetime import date, time
from typing import Annotated
from zoneinfo import ZoneInfo, available_timezones

from irrigate import units
from irrigate.settings import readers, written
from irrigate.settings.fields import held, reading
from irrigate.settings.words import WEEKDAYS
from irrigate.units import patterns

_NOTICE = (0, 6 * 3600, "0 min to 6 h")
_LEAD = (0, 24 * 3600, "0 min to 24 h")


def _days() -> str:
    day = patterns.one_of([day[:length] for day in WEEKDAYS for length in range(2, len(day) + 1)])
    several = patterns.one_of(["weekdays", "weekday", "weekends", "weekend", "every day", "daily"])
    some = rf"({several}|{day}(\s*[-–]\s*{day})?)"
    return patterns.whole(rf"{some}(\s*,\s*{some})*")


Notice = Annotated[
    float,
    held(units.duration_s, *_NOTICE),
    written.duration("notice", _NOTICE[2], "20 min", "1 h"),
]
Lead = Annotated[
    float, held(units.duration_s, *_LEAD), written.duration("lead", _LEAD[2], "90 min", "2 h")
]
TimeOfDay = Annotated[
    time,
    reading(readers.time_of_day),
    written.text(
        "time of day", "a time of day", patterns.whole(written.TIME), "07:00", "18:30", "7 am"
    ),
]
Span = Annotated[
    tuple[time, time],
    reading(readers.span),
    written.text(
        "hours",
        "two times of day; they may pass midnight",
        patterns.whole(written.TIME + written.TO + written.TIME),
        "07:00-21:00",
        "21:30-06:30",
    ),
]
Weekdays = Annotated[
    tuple[int, ...],
    written.text(
        "days",
        "days of the week",
        _days(),
        "weekdays",
        "weekends",
        "mon-fri",
    ),
]
Day = Annotated[
    date,
    reading(readers.day),
    written.text("date", "year-month-day", patterns.whole(written.DATE), "2026-04-20"),
]
Since = Annotated[
    str,
    reading(readers.since),
    written.text(
        "since",
        f"a date, a date and a time of day, or {readers.ALWAYS}",
        patterns.whole(
            rf"({patterns.any_case(readers.ALWAYS)}|{written.DATE}((\s+|[Tt]){written.TIME})?)"
        ),
        "2026-07-03",
        "2026-07-03 18:30",
        readers.ALWAYS,
    ),
]


_ZONE = r"(UTC|[A-Za-z]+(/[A-Za-z0-9_+-]+){1,2})"


def _zone(text: str) -> str:
    if re.fullmatch(_ZONE, text):
        try:
            ZoneInfo(text)
        except (ValueError, OSError, KeyError):
            pass
        else:
            return text
    zones = sorted(available_timezones())
    city = text.replace(" ", "_").rsplit("/", 1)[-1]
    by_city = next((zone for zone in zones if zone.rsplit("/", 1)[-1] == city), None)
    hint = f"did you mean {by_city}?" if by_city else readers.did_you_mean(text, zones, most=0)
    raise ValueError(f"“{text}” is not a time zone; {hint or 'write one as in Europe/Rome'}")


TimeZone = Annotated[
    str,
    reading(_zone),
    written.text(
        "time zone",
        "a time zone, by continent and city",
        f"^{_ZONE}$",
        "Europe/Madrid",
        "America/Los_Angeles",
        "Australia/Sydney",
    ),
]
