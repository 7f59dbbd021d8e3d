"""Weather from the grid points of the US National Weather Service: a forecast for 2.5 km squares.

By its own documentation (weather-gov.github.io/api/gridpoints) each value holds for an interval
of ISO 8601, beginning and length, over which equal hours were merged, and each layer names its
unit; null means that nothing applies. So a value is that of every hour in its interval; an amount
of rain is that of the whole interval, laid evenly over it (how amounts are merged is not
documented: they come by six hours). Wind is at 10 m, brought to 2 m by FAO-56 Eq 47.

There is no radiation: it is estimated from the sky's cover. Nor is there an account of hours gone
by: all is forecast.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.errors import WeatherError
from irrigate.garden.pots import Site
from irrigate.garden.weather import Floats, HourlyWeather, Origin
from irrigate.outside.weather.forecast_only import Told, check_age, fetched
from irrigate.outside.weather.intervals import (
    DEPTH,
    SHARE,
    SPEED,
    TEMPERATURE,
    Convert,
    Layer,
    LayerError,
    layer_of,
)
from irrigate.outside.weather.json_over_http import JsonOverHttp
from irrigate.outside.weather.json_parts import check_place, inside, moment
from irrigate.ports import Fetched
from irrigate.science.air import (
    saturation_vapour_pressure_kpa,
    vapour_pressure_from_hourly_rh_kpa,
    wind_at_2m_m_s,
)

BASE_URL = "https://api.weather.gov"
ATTRIBUTION = "Weather data by the US National Weather Service (public domain)"
WHO = "the National Weather Service"
USER_AGENT = "irrigate (home garden; {contact})"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A layer that is read: their name and ours, its units, and its limits in our own unit."""

    theirs: str
    called: str
    units: Mapping[str, Convert]
    low: float
    high: float


LAYERS = {
    "t_c": Wanted("temperature", "temperature", TEMPERATURE, -60.0, 60.0),
    "rh_pct": Wanted("relativeHumidity", "humidity", SHARE, 1.0, 105.0),
    "t_dew_c": Wanted("dewpoint", "dew point", TEMPERATURE, -80.0, 40.0),
    "wind_m_s": Wanted("windSpeed", "wind", SPEED, 0.0, 75.0),
    "cover_pct": Wanted("skyCover", "clouds", SHARE, 0.0, 100.0),
    "rain_mm": Wanted("quantitativePrecipitation", "rain", DEPTH, 0.0, 1000.0),
    "chance_pct": Wanted("probabilityOfPrecipitation", "chance of rain", SHARE, 0.0, 100.0),
}
_GRID_ID, _MOST_GRID = re.compile(r"[A-Z]{3}"), 100_000


class NationalWeatherService:
    """Its forecast for a garden in the United States. Implements `ports.WeatherSource`.

    Parameters
    ----------
    contact : an address or a page by which whoever asks can be reached; the service wants one.
    base_url : of the service.
    session : how to ask; the default tries politely, and gives up within minutes.
    """

    name = "nws"

    def __init__(
        self, contact: str, base_url: str = BASE_URL, *, session: JsonOverHttp | None = None
    ) -> None:
        self._base_url = base_url
        agent = USER_AGENT.format(contact=contact)
        self._session = session if session is not None else JsonOverHttp(user_agent=agent)
        self._grid: tuple[str, str] | None = None  # the place asked about, and its grid's URL

    def fetch(self, site: Site, now: datetime) -> Fetched:
        """Return the hours that the grid tells, or raise `WeatherError`."""
        place = f"{_trimmed(site.latitude_deg)},{_trimmed(site.longitude_deg)}"
        if self._grid is None or self._grid[0] != place:
            told = self._session.get(f"{self._base_url}/points/{place}", {}, now)
            self._grid = (place, f"{self._base_url}/gridpoints/{_grid_path(told)}")
        try:
            return understood(self._session.get(self._grid[1], {}, now), site, now)
        except WeatherError:
            # Grids are drawn anew from time to time: the next time it is asked which one it is.
            self._grid = None
            raise


def _trimmed(degrees: float) -> str:
    """Return a hundredth of a degree, without the zeros that the service redirects for."""
    return f"{round(degrees, 2):g}"


def _grid_path(answer: object) -> str:
    told = inside(answer, "properties", WHO)
    office, x, y = told.get("gridId"), told.get("gridX"), told.get("gridY")
    numbers = all(type(one) is int and 0 <= one < _MOST_GRID for one in (x, y))
    if not isinstance(office, str) or not _GRID_ID.fullmatch(office) or not numbers:
        raise WeatherError(f"{WHO} does not say which grid point this is")
    return f"{office}/{x},{y}"


def understood(answer: object, site: Site, now: datetime) -> Fetched:
    """Return what an answer says, or raise `WeatherError` with what is wrong with it.

    Parameters
    ----------
    answer : the JSON as Python has it: an object, one hopes.
    site : the place that was asked about.
    now : the present moment.
    """
    told = inside(answer, "properties", WHO)
    _check_place(inside(answer, "geometry", WHO), site)
    made_at, remarks = check_age(moment(told.get("updateTime")), now, WHO)
    layers = {name: _layer(told, name, remarks) for name in LAYERS}
    temperature = layers["t_c"]
    if temperature is None:
        raise WeatherError(f"{WHO} tells no temperature for this place")
    end_s = temperature.hour_ends()
    hours = _hours(end_s, layers)
    cover = _by_hour(layers["cover_pct"], end_s) / 100.0
    whose = Told(NationalWeatherService.name, WHO, ATTRIBUTION, made_at)
    return fetched(whose, hours, cover, site, now, remarks)


def _check_place(geometry: Mapping[Any, Any], site: Site) -> None:
    """Look at one corner of the grid's square."""
    told = geometry.get("coordinates")
    while isinstance(told, list) and told and isinstance(told[0], list):
        told = told[0]
    longitude, latitude = told[:2] if isinstance(told, list) and len(told) >= 2 else (None, None)
    check_place(site, WHO, longitude=longitude, latitude=latitude)


def _layer(told: Mapping[Any, Any], name: str, remarks: list[str]) -> Layer | None:
    """Return a layer in our unit, or None with a remark if there is none."""
    wanted = LAYERS[name]
    try:
        layer = layer_of(told.get(wanted.theirs), wanted.units)
    except LayerError as fault:
        raise WeatherError(f"{WHO}'s {wanted.theirs} cannot be used: {fault}") from fault
    if layer is None:
        if name not in ("t_dew_c", "chance_pct"):
            remarks.append(f"{WHO} tells no {wanted.called} for this place")
        return None
    kept, strange = layer.within(wanted.low, wanted.high)
    if strange:
        remarks.append(
            f"{WHO}'s {wanted.theirs}: {strange} values outside {wanted.low:g} to"
            f" {wanted.high:g}, taken as missing"
        )
    return kept


def _hours(end_s: NDArray[np.int64], layers: Mapping[str, Layer | None]) -> HourlyWeather:
    column = {name: _by_hour(layer, end_s) for name, layer in layers.items()}
    by_humidity = vapour_pressure_from_hourly_rh_kpa(
        column["t_c"], np.minimum(column["rh_pct"], 100.0)
    )
    by_dew = saturation_vapour_pressure_kpa(column["t_dew_c"])
    rain = layers["rain_mm"]
    rain_mm = np.full(end_s.size, np.nan) if rain is None else rain.shared_out(end_s)
    return HourlyWeather(
        end_s=end_s,
        temperature_c=column["t_c"],
        vapour_pressure_kpa=np.where(np.isnan(by_humidity), by_dew, by_humidity),
        solar_mj_m2=np.full(end_s.size, np.nan),
        wind_2m_m_s=np.asarray(wind_at_2m_m_s(column["wind_m_s"], 10.0)),
        rain_mm=rain_mm,
        rain_chance=column["chance_pct"] / 100.0,
        origin=np.full(end_s.size, Origin.FORECAST, dtype=np.uint8),
        filled=np.zeros(end_s.size, dtype=np.uint8),
    )


def _by_hour(layer: Layer | None, end_s: NDArray[np.int64]) -> Floats:
    return np.full(end_s.size, np.nan) if layer is None else layer.by_hour(end_s)
