"""Where on the globe the equations are asked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from irrigate.errors import InputError


class Position(Protocol):
    """Anything that knows where it lies; the garden's own site is one."""

    @property
    def latitude_deg(self) -> float:
        """Latitude, north positive [degrees]."""

    @property
    def longitude_deg(self) -> float:
        """Longitude, east positive [degrees]."""

    @property
    def elevation_m(self) -> float:
        """Elevation above sea level [m]."""


@dataclass(frozen=True, slots=True)
class Site:
    """A position by latitude (north positive), longitude (east positive) and elevation.

    Valid range: latitude -90 to 90, longitude -180 to 180 degrees, elevation -450 to 6000 m
    (the shore of the Dead Sea to above the highest settlement).
    """

    latitude_deg: float
    longitude_deg: float
    elevation_m: float

    def __post_init__(self) -> None:
        """Refuse a place that is not on the globe."""
        for name, value, low, high in (
            ("latitude", self.latitude_deg, -90.0, 90.0),
            ("longitude", self.longitude_deg, -180.0, 180.0),
            ("elevation", self.elevation_m, -450.0, 6000.0),
        ):
            if not low <= value <= high:  # NaN fails too
                unit = "m" if name == "elevation" else "degrees"
                raise InputError(
                    f"{name} {value:g} is not between {low:g} and {high:g} {unit}"
                    + ("; west of Greenwich is negative" if name == "longitude" else "")
                )
