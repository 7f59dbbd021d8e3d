"""What was said of the sun, wind and rain at a place or at one pot, put into the place."""

from __future__ import annotations

from irrigate.garden.pots import Place
from irrigate.settings.place_entries import Exposure


def exposed(place: Place, said: Exposure, name: str | None = None) -> Place:
    """Return the place with what was said put in, under a name of its own if one is given."""
    sun_from, sun_until = said.sun or (place.sun_from, place.sun_until)
    rain = place.rain if said.rain is None else said.rain
    if said.roof is not None:
        rain = 0.0 if said.roof else 1.0
    return Place(
        name=name or place.name,
        shade=place.shade if said.shade is None else said.shade,
        sun_from=sun_from,
        sun_until=sun_until,
        wind=place.wind if said.wind is None else said.wind,
        rain=rain,
    )


def says_something(said: Exposure) -> bool:
    """Return whether any of it differs from the place."""
    return any(getattr(said, name) is not None for name in Exposure.model_fields)
