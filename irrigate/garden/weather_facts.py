"""What is told of the weather: facts of hours gone by and to come, and how forecasts fared."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from irrigate.garden.weather import HourlyWeather

RainSaid = Literal["none", "some", "ran through"]


@dataclass(frozen=True, slots=True)
class WeatherHours:
    """Hours gone by, as one source tells them (filled, without NaN); valid from the first."""

    source: str
    hours: HourlyWeather


@dataclass(frozen=True, slots=True)
class Forecast:
    """Hours to come, as one model run tells them (filled, without NaN)."""

    source: str
    model_run: str
    hours: HourlyWeather


@dataclass(frozen=True, slots=True)
class ForecastMembers:
    """Hours to come as each member of the source's ensemble has them.

    ``content`` is by variable of `HourlyWeather`, as `irrigate.garden.member_hours` packs it.
    """

    source: str
    model_run: str
    first_end_s: int
    hour_count: int
    member_count: int
    content: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Fared:
    """Sums over the errors of one day's forecast hours, and over pairs of hours in a row."""

    hours: int = 0
    squares: float = 0.0
    pairs: int = 0
    products: float = 0.0


@dataclass(frozen=True, slots=True)
class ForecastScored:
    """How the forecasts of a day's hours fared, by variable and whole days of lead.

    Valid at the end of the day (UTC).
    """

    source: str
    errors: Mapping[str, tuple[Fared, ...]]


@dataclass(frozen=True, slots=True)
class RainAtPots:
    """What a person saw of the last rain at the pots."""

    said: RainSaid | None = None
    depth_mm: float | None = None
