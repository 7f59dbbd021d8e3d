"""Answers in the documented shapes of two services that tell a forecast only.

The grid's after weather-gov.github.io/api/gridpoints and the service's OpenAPI description: layers
of values with intervals of ISO 8601, each layer with its unit. Locationforecast's after
api.met.no/doc/ForecastJSON and its data model: instants at a stamp, spans of 1 and 6 hours from it.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from irrigate.garden.pots import Site

HOUR = timedelta(hours=1)


def temperature_at(at: datetime) -> float:
    """Return a summer's temperature by the hour of the day [°C]."""
    warm = {6: 19.0, 9: 24.0, 12: 27.0, 15: 29.0, 18: 31.0, 21: 30.0}
    return warm.get(at.hour // 3 * 3, 22.0) + 0.1 * (at.hour % 3)


def point(office: str = "RAH", x: int = 33, y: int = 55) -> dict[str, Any]:
    """Return what is told of a place: which grid point it is."""
    grid = f"https://api.weather.gov/gridpoints/{office}/{x},{y}"
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-79.79, 36.07]},
        "properties": {
            "cwa": office,
            "gridId": office,
            "gridX": x,
            "gridY": y,
            "forecastGridData": grid,
            "forecastHourly": grid + "/forecast/hourly",
            "timeZone": "America/New_York",
        },
    }


def layer(uom: str, *values: tuple[datetime, str, float | None]) -> dict[str, Any]:
    """Return one layer: its unit, and from when for how long it has which value."""
    return {
        "uom": uom,
        "values": [
            {"validTime": f"{at:%Y-%m-%dT%H:%M:%S}+00:00/{length}", "value": value}
            for at, length, value in values
        ],
    }


def grid(site: Site, now: datetime, days: int = 7) -> dict[str, Any]:
    """Return a grid point's layers from two hours before now on."""
    first = now.replace(minute=0, second=0, microsecond=0) - 2 * HOUR
    hours = [first + number * HOUR for number in range(24 * days)]
    square = [site.longitude_deg - 0.01, site.latitude_deg - 0.01]
    return {
        "type": "Feature",
        "geometry": {"type": "Polygon", "coordinates": [[square, square]]},
        "properties": {
            "updateTime": f"{first:%Y-%m-%dT%H:%M:%S}+00:00",
            "validTimes": f"{first:%Y-%m-%dT%H:%M:%S}+00:00/P{days}D",
            "elevation": {"unitCode": "wmoUnit:m", "value": site.elevation_m},
            "gridId": "RAH",
            "temperature": layer(
                "wmoUnit:degC", *((at, "PT1H", temperature_at(at)) for at in hours)
            ),
            "dewpoint": layer("wmoUnit:degC", *((at, "PT1H", 18.0) for at in hours)),
            "relativeHumidity": layer(
                "wmoUnit:percent", *((at, "PT2H", 60.0) for at in hours[::2])
            ),
            "windSpeed": layer("wmoUnit:km_h-1", *((at, "PT3H", 11.52) for at in hours[::3])),
            "skyCover": layer("wmoUnit:percent", *((at, "PT6H", 35.0) for at in hours[::6])),
            "quantitativePrecipitation": layer(
                "wmoUnit:mm",
                *((at, "PT6H", 3.0 if n == 4 else 0.0) for n, at in enumerate(hours[::6])),
            ),
            "probabilityOfPrecipitation": layer(
                "wmoUnit:percent", (first, f"P{days}D", 40.0)
            ),
            "weather": {"values": [{"validTime": f"{first:%Y-%m-%dT%H}:00:00+00:00/P1D",
                                    "value": []}]},
            "ceilingHeight": {"values": []},
        },
    }  # fmt: skip


def locationforecast(site: Site, now: datetime, hourly: int = 54) -> dict[str, Any]:
    """Return a compact forecast: hour by hour at first, then every six hours."""
    first = now.replace(minute=0, second=0, microsecond=0)
    stamps = [first + number * HOUR for number in range(hourly)]
    later = stamps[-1] + HOUR
    while later.hour % 6:
        stamps.append(later)
        later += HOUR
    stamps += [later + 6 * number * HOUR for number in range(29)]
    units = {
        "air_pressure_at_sea_level": "hPa",
        "air_temperature": "celsius",
        "cloud_area_fraction": "%",
        "precipitation_amount": "mm",
        "relative_humidity": "%",
        "wind_from_direction": "degrees",
        "wind_speed": "m/s",
    }
    return {
        "type": "Feature",
        "geometry": {
            "type": "Point",
            "coordinates": [round(site.longitude_deg, 2), round(site.latitude_deg, 2), 272],
        },
        "properties": {
            "meta": {"updated_at": f"{first - HOUR:%Y-%m-%dT%H:%M:%SZ}", "units": units},
            "timeseries": [_stamp(at, at < later) for at in stamps],
        },
    }


def _stamp(at: datetime, hourly: bool) -> dict[str, Any]:
    span: dict[str, Any] = {
        "summary": {"symbol_code": "rain"},
        "details": {"precipitation_amount": 0.0},
    }
    data: dict[str, Any] = {
        "instant": {
            "details": {
                "air_pressure_at_sea_level": 1013.2,
                "air_temperature": temperature_at(at),
                "cloud_area_fraction": 35.0,
                "relative_humidity": 60.0,
                "wind_from_direction": 220.0,
                "wind_speed": 3.2,
            }
        },
        "next_6_hours": span,
        "next_12_hours": {"summary": {"symbol_code": "cloudy"}, "details": {}},
    }
    if hourly:
        data["next_1_hours"] = span
    return {"time": f"{at:%Y-%m-%dT%H:%M:%SZ}", "data": data}
