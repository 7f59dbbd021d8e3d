"""From a checked garden file to the frozen pots: their plants, mixes, vessels and sizes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from irrigate import units
from irrigate.garden.pots import Place, Pot
from irrigate.settings.exposure import exposed, says_something
from irrigate.settings.faults import Faults
from irrigate.settings.makings import Makings, makings_of
from irrigate.settings.nodes import Path
from irrigate.settings.plant_entries import SizeEntry
from irrigate.settings.readers import Size
from irrigate.settings.schema import GardenEntry
from irrigate.settings.sizes import FULL_GROWN, LARGEST_M, Canopy, canopy, leaves_bare
from irrigate.settings.stock import PLASTIC, Stock, VesselRead, stock_of
from irrigate.settings.values import Assumed, PotReading

USUAL_MIX = "potting mix"
USUAL_RISK = 0.2


@dataclass(slots=True)
class ResolvedPots:
    """Pots in walking order, their places, and what is to be said about them."""

    pots: list[Pot] = field(default_factory=list)
    places: dict[str, Place] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)
    readings: dict[str, PotReading] = field(default_factory=dict)


def resolve_pots(
    entry: GardenEntry,
    raw: dict[str, Any],
    places: dict[str, Place],
    us_units: bool,
    faults: Faults,
) -> ResolvedPots:
    """Return every pot of the file; what cannot be goes to ``faults``."""
    walk = {label: step for step, label in enumerate(entry.pots)}
    resolver = _Resolver(entry, raw, stock_of(entry, faults), us_units, faults, walk)
    done = ResolvedPots(places=dict(places))
    surprises: dict[str, list[str]] = {}
    for label, said in entry.pots.items():
        vessel = resolver.vessel(label)
        size = resolver.size(label, vessel)
        place = places[said.place]
        if says_something(said):
            place = exposed(place, said, f"{place.name} (pot {label})")
            done.places[place.name] = place
        resolver.refuse_rain_under_glass(label, place)
        makings = resolver.makings(label, vessel)
        pot = resolver.pot(label, vessel, size, place, makings)
        done.pots.append(pot)
        done.readings[label] = resolver.reading(pot, vessel, size, makings)
        for surprise in vessel.surprises:
            surprises.setdefault(surprise, []).append(label)
    for text, labels in surprises.items():
        said_of = _pots(labels)
        done.remarks.append(f"{said_of[0].upper()}{said_of[1:]}: {text}")
    done.remarks += _assumptions(entry, done)
    return done


@dataclass(frozen=True, slots=True)
class _Resolver:
    """What the pots of one file have in common, and how each is made."""

    entry: GardenEntry
    raw: dict[str, Any]
    stock: Stock
    us_units: bool
    faults: Faults
    walk: dict[str, int]

    def vessel(self, label: str) -> VesselRead:
        """Return the vessel of the pot, and how its words were understood."""
        written = self.raw["pots"][label]["pot"]
        return self.stock.vessel_read(self.entry.pots[label].pot, written, self.us_units)

    def size(self, label: str, vessel: VesselRead) -> Canopy:
        """Return the size of the plant; one beyond belief goes to the faults."""
        entry = self.entry.pots[label]
        said = entry.size
        if isinstance(said, SizeEntry):
            said = Size(said.wide, said.tall)
        size = canopy(said, self.stock.plant(entry.plant), vessel.vessel)
        if max(size.width_m, size.height_m) > LARGEST_M:
            wide = units.say_length(size.width_m, us_units=self.us_units)
            what = f"makes the plant {wide} wide; at most 4 m (13 ft)"
            at: Path = ("pots", label, "size")
            if self.faults.likeness.borrowed(at):  # it fits the pot it was written for
                at = ("pots", label, "like")
            self.faults.note(at, what)
        return size

    def refuse_rain_under_glass(self, label: str, place: Place) -> None:
        """Refuse a row that lets rain onto a pot that stands under glass."""
        said = self.entry.pots[label]
        if place.glass is not None and (said.rain or said.roof is False):
            key = "rain" if said.rain else "roof"
            what = f"no rain falls under the glass of “{said.place}”; take the line out"
            self.faults.note(("pots", label, key), what)

    def makings(self, label: str, vessel: VesselRead) -> Makings:
        """Return what the row tells besides plant, mix, place and size."""

        def note(key: str, what: str) -> None:
            self.faults.note(("pots", label, key), what)

        return makings_of(self.entry.pots[label], vessel, self.stock, self.us_units, note)

    def pot(
        self, label: str, vessel: VesselRead, size: Canopy, place: Place, makings: Makings
    ) -> Pot:
        """Return the pot, its identities left empty."""
        said = self.entry.pots[label]
        crop = self.stock.plant(said.plant)
        risk = usual_risk(self.entry) if said.risk is None else said.risk
        return Pot(
            id="",
            vessel_id="",
            plant_id="",
            label=label,
            name=said.name or crop.name,
            crop=crop,
            medium=self.stock.mix(said.mix or self.entry.mix or USUAL_MIX),
            vessel=vessel.vessel,
            place=place.name,
            canopy_width_m=size.width_m,
            canopy_height_m=size.height_m,
            planted=said.planted,
            risk=risk,
            walk=self.walk[label],
            since=said.since,
            **makings.values,
        )

    def reading(self, pot: Pot, vessel: VesselRead, size: Canopy, makings: Makings) -> PotReading:
        """Return how the pot was understood."""
        said = self.entry.pots[pot.label]
        width = units.say_length(pot.canopy_width_m, us_units=self.us_units)
        height = units.say_length(pot.canopy_height_m, us_units=self.us_units)
        words = self.raw["pots"][pot.label].get("size")
        so_said = f" ({words})" if isinstance(words, str) else ""
        assumed = []
        if said.mix is None and self.entry.mix is None:
            assumed.append(Assumed((pot.medium.name,), "the usual mix"))
        of_pot = [one for one in vessel.assumed if not (said.wall and one == PLASTIC)]
        if of_pot:
            assumed.append(
                Assumed((f"pot's {', '.join(of_pot)}",), "as pots of that size usually are")
            )
        if size.assumed:
            assumed.append(Assumed(size.assumed, size.whence))
        return PotReading(
            label=pot.label,
            vessel=vessel.said,
            mix=pot.medium.name,
            size=f"{width} wide, {height} tall{so_said}",
            more=makings.said,
            assumed=(*assumed, *makings.assumed),
            sources=(
                f"pot: {vessel.source}",
                f"mix: {pot.medium.source}",
                f"plant: {pot.crop.source}",
            ),
        )


def usual_risk(entry: GardenEntry) -> float:
    """Return the risk that is accepted for pots that say nothing of it [0–1]."""
    return USUAL_RISK if entry.risk is None else entry.risk


def _assumptions(entry: GardenEntry, done: ResolvedPots) -> list[str]:
    """Say once what was assumed of which pots."""
    said = []
    no_mix = [label for label, pot in entry.pots.items() if pot.mix is None]
    if no_mix and entry.mix is None:
        said.append(f"No mix is given for {_pots(no_mix)}: taken as {USUAL_MIX}.")
    no_size = [
        label
        for label, read in done.readings.items()
        if any(assumed.what == FULL_GROWN for assumed in read.assumed)
    ]
    if no_size:
        said.append(f"No size is given for {_pots(no_size)}: taken as full-grown.")
    bare = [pot.label for pot in done.pots if leaves_bare(pot.canopy_width_m, pot.vessel)]
    if bare:
        said.append(
            f"What grows in {_pots(bare)} covers less than a quarter of it. If that is the size of "
            "one plant of several, say how large they are together, as in “shin-high, as wide as "
            "pot”."
        )
    return said


def _pots(labels: Iterable[str]) -> str:
    """Name pots in a sentence, the first few where there are many."""
    names = list(labels)
    if len(names) > 8:
        return f"pots {', '.join(names[:6])} and {len(names) - 6} more"
    return f"pot {names[0]}" if len(names) == 1 else f"pots {', '.join(names)}"
