"""The garden as it is described: places, pots, rounds and people, all frozen."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, time
from typing import Literal

from irrigate.garden.crops import Crop
from irrigate.garden.media import Medium
from irrigate.garden.vessels import Vessel

Ground = Literal["green", "bare", "paved"]
Spacing = Literal["close", "apart", "alone"]
Wall = Literal["plastic", "glazed", "clay", "fabric", "wood", "metal"]
Colour = Literal["black", "dark", "light"]
Setting = Literal["standing", "hanging", "sunk"]
BasinKind = Literal["saucer", "outer pot", "reservoir"]


@dataclass(frozen=True, slots=True)
class Place:
    """Where pots stand, and what that does to the weather they get.

    Parameters
    ----------
    name : the gardener's own name for it.
    shade : share of the sun taken away by cloth, trees or buildings [0–1].
    sun_from, sun_until : local time between which direct sun reaches the place; None for all day.
    wind : wind at the pots as a share of the wind on open ground [0–1.5].
    rain : share of the rain that reaches the pots [0–1]; 0 under a roof.
    glass : share of the sun that a glass or plastic house lets in [0–1]; None in the open. Under
        it there is no rain, still air, and no net loss of heat to the sky.
    ground : what the surroundings are: watered plants, bare or dry ground, or paving. The drier
        they are, the more heat a plant on its own gets from the side.
    sunny_wall : a wall behind the pots throws sun and warmth back at them.
    spacing : how close the pots stand: canopies touching, some way apart, or each on its own.
    lamps_w_m2 : light that lamps give at the plants [W m⁻²], and the local hours they burn.
    """

    name: str
    shade: float = 0.0
    sun_from: time | None = None
    sun_until: time | None = None
    wind: float = 0.5
    rain: float = 1.0
    glass: float | None = None
    ground: Ground = "bare"
    sunny_wall: bool = False
    spacing: Spacing = "apart"
    lamps_w_m2: float = 0.0
    lamps_from: time | None = None
    lamps_until: time | None = None


@dataclass(frozen=True, slots=True)
class Basin:
    """What stands or hangs under the mix and keeps the water that drains.

    Parameters
    ----------
    kind : a saucer, a sealed outer pot, or the reservoir of a pot that waters itself.
    volume_l : what it holds before it runs over [L].
    open_m2 : its water surface that lies open to the air [m²].
    """

    kind: BasinKind
    volume_l: float
    open_m2: float = 0.0


@dataclass(frozen=True, slots=True)
class ProbePoints:
    """The bare numbers of a probe in one pot: in its mix air-dry, and just after it drained."""

    dry: float
    wet: float


@dataclass(frozen=True, slots=True)
class Pot:
    """One container with its plant, mix and place.

    Parameters
    ----------
    id, vessel_id, plant_id : minted identities; they survive renaming and moving.
    label : the number painted on the pot, as a string.
    name : what the gardener calls it.
    canopy_width_m, canopy_height_m : the plant's size now [m].
    planted : when this plant came into the pot, if known.
    mulch : share of the surface's evaporation that a mulch takes away [0–1].
    risk : chance of getting thirsty before the next round that is accepted [0–1].
    walk : place in the order of walking.
    since : when the row's last change came about: an ISO date or date and time in the garden's
        zone, or "always" for a correction; None for "when it was read".
    wall, colour : what the vessel is made of, and how dark it is where that was said.
    setting : whether it stands, hangs, or is sunk into the ground up to its rim.
    basin : what keeps the drained water below it, if anything does.
    leaf_area_m2 : one side of all leaves at this size [m²], where it was measured; else the crop
        tells how dense they are.
    repotted : when the plant came into this vessel with its old root ball, if that is known.
    root_ball : share of the mix that roots held then, where it was said [0–1].
    rain_catch : rain caught against what falls on the opening [–]; None for the crop's own.
    probe : the two points of the probe that is read in it, if it shows bare numbers.
    """

    id: str
    vessel_id: str
    plant_id: str
    label: str
    name: str
    crop: Crop
    medium: Medium
    vessel: Vessel
    place: str
    canopy_width_m: float
    canopy_height_m: float
    planted: date | None = None
    mulch: float = 0.0
    risk: float = 0.2
    walk: int = 0
    since: str | None = None
    wall: Wall = "plastic"
    colour: Colour | None = None
    setting: Setting = "standing"
    basin: Basin | None = None
    leaf_area_m2: float | None = None
    repotted: date | None = None
    root_ball: float | None = None
    rain_catch: float | None = None
    probe: ProbePoints | None = None

    @property
    def group(self) -> str:
        """Pots of one group share a part of what is learnt: same plant, mix and place."""
        return f"{self.crop.name}|{self.medium.name}|{self.place}"

    @property
    def leaf_area_index(self) -> float:
        """Leaf area over the ground that the canopy covers [m² m⁻²]: measured, or the crop's."""
        if self.leaf_area_m2 is None:
            return self.crop.leaf_area_index
        return self.leaf_area_m2 / (0.25 * math.pi * self.canopy_width_m**2)


@dataclass(frozen=True, slots=True)
class RoundTime:
    """A time of day, in the garden's own zone, when somebody is there to water."""

    at: time
    weekdays: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)  # Monday is 0


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who can act: the names of the ways to reach them, and the hours they can."""

    name: str
    reach: tuple[str, ...] = ("console",)
    can_act: tuple[tuple[time, time], ...] = ((time(7), time(21)),)


@dataclass(frozen=True, slots=True)
class Manner:
    """How the gardener waters and reads: units and measures at the edges.

    Parameters
    ----------
    us_units : print °F, inches and gallons instead of °C, millimetres and litres.
    can_l : what one can holds [L].
    hose_l_s : flow of the hose [L s⁻¹], if it was measured.
    quiet : local times between which nothing is said unless a plant would be lost.
    notice_min : how long before a round its message comes [min].
    lead_h : how long before a pot is thirsty somebody must know, to act [h].
    keeps_rounds : share of the rounds that are walked when nothing is answered [0–1].
    at_most_l : the most that is carried at one round [L], if that is limited.
    water_salt_ds_m : salt of the water given, as its electrical conductivity [dS m⁻¹], if known.
    """

    us_units: bool = False
    can_l: float = 9.0
    hose_l_s: float | None = None
    quiet: tuple[time, time] = (time(21, 30), time(6, 30))
    notice_min: int = 30
    lead_h: float = 2.0
    keeps_rounds: float = 0.8
    water_salt_ds_m: float | None = None
    at_most_l: float | None = None


@dataclass(frozen=True, slots=True)
class Site:
    """Where the garden lies."""

    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    time_zone: str


@dataclass(frozen=True, slots=True)
class Garden:
    """Everything the gardener described, at one moment."""

    name: str
    site: Site
    places: tuple[Place, ...]
    pots: tuple[Pot, ...]
    rounds: tuple[RoundTime, ...]
    people: tuple[Person, ...]
    manner: Manner

    def place(self, name: str) -> Place:
        """Return the place called ``name``; a `KeyError` if there is none."""
        for place in self.places:
            if place.name == name:
                return place
        raise KeyError(name)

    def pot(self, pot_id: str) -> Pot:
        """Return the pot with this id; a `KeyError` if there is none."""
        for pot in self.pots:
            if pot.id == pot_id:
                return pot
        raise KeyError(pot_id)

    def labelled(self, label: str) -> Pot | None:
        """Return the pot with this label, or None."""
        return next((pot for pot in self.pots if pot.label == label), None)
