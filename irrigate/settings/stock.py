"""Plants, mixes and vessels by name: the file's own entries, and after them the catalogue's."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any

from irrigate import units
from irrigate.garden.crops import Crop
from irrigate.garden.media import Medium
from irrigate.garden.pots import Wall
from irrigate.garden.vessels import RoundTaper, Vessel
from irrigate.settings import catalogue
from irrigate.settings.faults import Faults
from irrigate.settings.kind_entries import KindEntry
from irrigate.settings.own_mixes import own_mixes
from irrigate.settings.plant_entries import PlantEntry
from irrigate.settings.schema import GardenEntry
from irrigate.settings.shapes import vessel_of
from irrigate.settings.vessel_fields import HANGING, wall_in

PLASTIC = "plastic wall"
OWN_PLANT = "the garden file, after "
"""How the source of a plant of the gardener's own begins."""
NOTABLE = 0.1
"""A pot whose litres differ by more than this share from the gallons of its name is remarked on."""


@dataclass(frozen=True, slots=True)
class VesselRead:
    """A vessel, how the file's words for it were understood, and what about that may surprise."""

    vessel: Vessel
    said: str
    source: str
    assumed: tuple[str, ...] = ()
    surprises: tuple[str, ...] = ()
    wall: Wall = "plastic"
    hangs: bool = False


@dataclass(frozen=True, slots=True)
class Stock:
    """The file's own plants, mixes and pot kinds; the catalogue's are at hand behind them."""

    plants: dict[str, Crop]
    mixes: dict[str, Medium]
    kinds: dict[str, KindEntry]

    def plant(self, name: str) -> Crop:
        """Return the plant called ``name``."""
        own = self.plants.get(name)
        return own if own is not None else catalogue.crops()[name].value

    def mix(self, name: str) -> Medium:
        """Return the mix called ``name``."""
        own = self.mixes.get(name)
        return own if own is not None else catalogue.media()[name].value

    def vessel_read(self, pot: KindEntry | str | float, raw: Any, us_units: bool) -> VesselRead:
        """Return the vessel that a pot's entry names, measures, or gives the volume of."""
        if isinstance(pot, KindEntry):
            called = raw if isinstance(raw, str) else "a pot by its measures"
            return _measured(pot, called, us_units)
        if isinstance(pot, str):
            if pot in self.kinds:
                return _measured(self.kinds[pot], pot, us_units)
            return _stocked(pot, us_units)
        return _of_volume(pot, str(raw), us_units)


def stock_of(entry: GardenEntry, faults: Faults) -> Stock:
    """Make the file's own entries; what cannot be goes to ``faults``."""
    plants = {name: _own_plant(name, said) for name, said in entry.plants.items()}
    return Stock(plants, own_mixes(entry.mixes, faults), dict(entry.kinds))


def _own_plant(name: str, said: PlantEntry) -> Crop:
    like = catalogue.crops()[said.like].value
    renamed = {"tall": "height_m", "wide": "width_m"}
    given = said.model_dump(exclude={"like"}, exclude_none=True)
    source = f"{OWN_PLANT}{like.name} ({like.source})"
    fields = {renamed.get(field, field): value for field, value in given.items()}
    return replace(like, name=name, source=source, **fields)


def _measured(kind: KindEntry, called: str, us_units: bool) -> VesselRead:
    measured = kind.measured
    vessel = vessel_of(measured)
    volume = units.say_volume(vessel.volume_l, us_units=us_units)
    wall = kind.wall or wall_in(called)
    assumed = (*measured.assumed, *([] if wall else [PLASTIC]))
    source = "the garden file"
    if measured.assumed:
        source += "; usual proportions, not verified, for the rest"
    said = f"{called}, {volume} to the rim"
    return VesselRead(vessel, said, source, assumed, wall=wall or "plastic", hangs=_hangs(called))


def _stocked(name: str, us_units: bool) -> VesselRead:
    entry = catalogue.kinds()[name]
    vessel = entry.value.vessel
    volume = units.say_volume(vessel.volume_l, us_units=us_units)
    tag = entry.tags.get("volume_l") or entry.tags["height_m"]
    source = tag[1:].strip() or "default, not verified"
    surprises: tuple[str, ...] = ()
    named = re.search(r"([0-9]+) gal\b", name)
    if named:
        by_name = float(named[1]) * units.US_GALLON_L
        if abs(vessel.volume_l / by_name - 1) > NOTABLE:
            read, other = _both(vessel.volume_l), _both(by_name)
            surprises = (f"{name} is a trade size of {read}, not of {other}.",)
    assumed = ("shape", "height") if "volume_l" in entry.tags else ()
    said = f"{name}, {volume} to the rim"
    return VesselRead(
        vessel, said, source, assumed, surprises, wall=entry.value.wall, hangs=_hangs(name)
    )


def _hangs(name: str) -> bool:
    return HANGING in name.casefold().split()


def _of_volume(volume_l: float, written: str, us_units: bool) -> VesselRead:
    volume = units.say_volume(volume_l, us_units=us_units)
    surprises: tuple[str, ...] = ()
    trade = catalogue.kinds().find(f"nursery {' '.join(written.split()).removesuffix(' pot')}")
    if trade is not None:
        read, other = _both(volume_l), _both(catalogue.kinds()[trade].value.vessel.volume_l)
        surprises = (f"{written} is read as {read}; for the trade size of {other}, say {trade}.",)
    source = "the garden file; usual proportions, not verified, for the rest"
    assumed = ("shape", "height", PLASTIC)
    vessel = RoundTaper.of_volume(volume_l)
    return VesselRead(vessel, f"round, {volume} to the rim", source, assumed, surprises)


def _both(volume_l: float) -> str:
    """Say a pot's volume in both units, finer than for water: it is a reading to be checked."""
    return f"{volume_l:.1f} L ({volume_l / units.US_GALLON_L:.1f} gal)"
