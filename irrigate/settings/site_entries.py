"""Where the garden lies, and where the weather there is measured."""

from __future__ import annotations

from pydantic import Field

from irrigate.settings import fields, names, time_fields
from irrigate.settings.entries import Entry


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
