"""What a pot is made of, how it stands, what is below it, and what became of its plant.

From a pot's entries to the values of `irrigate.garden.pots.Pot`, with the words in which `check`
says how each was understood.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from irrigate import units
from irrigate.garden.pots import ProbePoints
from irrigate.settings.basins import (
    BasinRead,
    outer_pot_around,
    reservoir_below,
    saucer_under,
)
from irrigate.settings.pot_entries import PotEntry
from irrigate.settings.probe_fields import points
from irrigate.settings.stock import Stock, VesselRead
from irrigate.settings.values import Assumed
from irrigate.settings.vessel_fields import HANGING

COVERED = 1.0
"""Share of the surface's evaporation that a closed sheet or a lid takes away: from memory."""

Note = Callable[[str, str], None]
"""Takes a key of the pot's row, and what is wrong with it."""


@dataclass(frozen=True, slots=True)
class Makings:
    """Values for fields of a `Pot`, the words for them, and what of them was assumed."""

    values: dict[str, Any]
    said: tuple[str, ...]
    assumed: tuple[Assumed, ...]


def makings_of(
    said: PotEntry, vessel: VesselRead, stock: Stock, us_units: bool, note: Note
) -> Makings:
    """Return what a pot's row tells besides plant, mix, place and size; faults go to ``note``."""
    basin = _basin(said, vessel, us_units, note)
    colour = said.colour or said.color
    setting = said.stands or (HANGING if vessel.hangs else "standing")
    values: dict[str, Any] = {
        "wall": said.wall or vessel.wall,
        "colour": colour,
        "setting": setting,
        "basin": basin.basin if basin else None,
        "leaf_area_m2": said.leaf_area,
        "rain_catch": said.rain_catch,
        "mulch": COVERED if said.covered else said.mulch,
        "repotted": said.repotted.day if said.repotted else None,
        "root_ball": _root_ball(said, vessel, stock),
        "probe": points(said.probe),
    }
    words = [
        *_of_the_vessel(values["wall"], vessel, colour, setting),
        *([basin.said] if basin else []),
        *_of_the_plant(values, us_units),
        *(["mix covered"] if said.covered else []),
        *_of_the_probe(values["probe"]),
    ]
    assumed = []
    if basin and basin.assumed:
        assumed.append(Assumed(basin.assumed, "as they usually are"))
    if said.repotted and values["root_ball"] is None:
        assumed.append(Assumed(("how much of the mix its roots held",), "not said out of what"))
    return Makings(values, tuple(words), tuple(assumed))


def _basin(said: PotEntry, vessel: VesselRead, us_units: bool, note: Note) -> BasinRead | None:
    for key, read in (("saucer", saucer_under), ("outer pot", outer_pot_around)):
        below = said.saucer if key == "saucer" else said.outer_pot
        if below is not None:
            try:
                return read(vessel.vessel, below, us_units)
            except ValueError as wrong:
                note(key, str(wrong))
    return reservoir_below(said.reservoir, us_units) if said.reservoir else None


def _root_ball(said: PotEntry, vessel: VesselRead, stock: Stock) -> float | None:
    """Return the share of the mix that the old vessel's makes up [0–1], if it was told."""
    if said.repotted is None or said.repotted.old is None:
        return None
    old = stock.vessel_read(said.repotted.old, said.repotted.words, us_units=False).vessel
    return min(old.filled_volume_l / vessel.vessel.filled_volume_l, 1.0)


def _of_the_vessel(wall: str, vessel: VesselRead, colour: str | None, setting: str) -> list[str]:
    words = []
    if wall != vessel.wall or (wall != "plastic" and wall not in vessel.said):
        words.append(f"{'wooden' if wall == 'wood' else wall} wall")
    if colour:
        words.append(f"{colour} outside")
    if setting != "standing" and setting not in vessel.said:
        words.append("sunk into the ground" if setting == "sunk" else setting)
    if vessel.hangs and setting == "standing":
        words.append("on the ground")
    if vessel.vessel.base_suction_m > 0:
        words.append("open to the soil below")
    return words


def _of_the_probe(probe: ProbePoints | None) -> list[str]:
    return [] if probe is None else [f"probe {probe.dry:g} dry, {probe.wet:g} just drained"]


def _of_the_plant(values: dict[str, Any], us_units: bool) -> list[str]:
    words = []
    if values["leaf_area_m2"] is not None:
        words.append(f"leaves of {units.say_area(values['leaf_area_m2'], us_units=us_units)}")
    if values["repotted"] is not None:
        roots = values["root_ball"]
        held = "" if roots is None else f", its roots then in {units.in_percent(roots)} of the mix"
        words.append(f"repotted {values['repotted']:%Y-%m-%d}{held}")
    if values["rain_catch"] is not None:
        words.append(f"catches {units.in_percent(values['rain_catch'])} of the rain on its opening")
    return words
