"""What was said of the sun, wind and rain at a place or at one pot, put into the place."""

from __future__ import annotations

from dataclasses import replace

from irrigate.garden.pots import Place
from irrigate.settings.place_entries import Exposure, PlaceEntry
from irrigate.settings.surroundings import Lamps, LampsEntry


def place_of(name: str, said: PlaceEntry) -> Place:
    """Return a place as it was described; what was not said is as usual."""
    usual = exposed(Place(name), said)
    lamps = said.lamps
    if isinstance(lamps, LampsEntry):
        lamps = Lamps(lamps.light, lamps.on)
    lamps_from, lamps_until = (lamps and lamps.hours) or (None, None)
    return replace(
        usual,
        glass=said.glass,
        ground=said.ground or usual.ground,
        sunny_wall=bool(said.sunny_wall),
        spacing=said.pots_stand or usual.spacing,
        lamps_w_m2=lamps.light_w_m2 if lamps else 0.0,
        lamps_from=lamps_from,
        lamps_until=lamps_until,
    )


def exposed(place: Place, said: Exposure, name: str | None = None) -> Place:
    """Return the place with what was said put in, under a name of its own if one is given."""
    sun_from, sun_until = said.sun or (place.sun_from, place.sun_until)
    rain = place.rain if said.rain is None else said.rain
    if said.roof is not None:
        rain = 0.0 if said.roof else 1.0
    return replace(
        place,
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
