"""Where the garden lies, and where its weather comes from."""

from __future__ import annotations

from pydantic import Field

from irrigate.settings import fields, names, time_fields
from irrigate.settings.entries import Entry, in_lines


class SiteEntry(Entry):
    """Where the garden lies."""

    latitude: fields.Latitude = Field(description="degrees, as in 38.6, south below zero")
    longitude: fields.Longitude = Field(description="degrees, as in -121.3, west below zero")
    elevation: fields.Elevation = Field(description="height above the sea, as in 30 m or 100 ft")
    time_zone: time_fields.TimeZone = Field(alias="time zone", description="as in Europe/Rome")


class CsvWeatherEntry(Entry):
    """Weather out of a station's table."""

    csv: names.Name = Field(description="the table's file, as in station.csv")
    wind_height: fields.SensorHeight = Field(
        default=2.0, alias="wind height", description="how high its wind sensor is; else 2 m"
    )


class ProviderEntry(Entry):
    """Weather from a provider, with more than its forecast."""

    source: names.Provider = Field(
        default="open-meteo", alias="from", description="who tells it; else open-meteo"
    )
    ensemble: fields.YesNo = Field(
        default=False,
        description="whether to ask for the provider's ensemble, too: a few dozen forecasts that"
        " differ, which tell how sure it is; else no",
    )


def provided(value: object) -> str:
    """Tell the ways of writing where weather comes from apart."""
    if isinstance(value, dict) and "csv" not in value and {"from", "ensemble"} & value.keys():
        return "<provider>"
    return "<provider>" if isinstance(value, ProviderEntry) else in_lines(value)
