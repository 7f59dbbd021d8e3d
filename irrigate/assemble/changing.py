"""What somebody said that changes the garden file: made as an edit of its text, comments kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from irrigate.errors import GardenFileError
from irrigate.garden.answers import Change
from irrigate.garden.pots import Pot
from irrigate.settings.edits import (
    Edit,
    RemoveFromPot,
    SetAtTop,
    SetInPot,
    TakeOutPot,
    apply_edits,
    proposed,
)
from irrigate.settings.garden_file import read_settings
from irrigate.settings.nodes import plain, read_tree
from irrigate.settings.shapes import LARGEST_L, SMALLEST_L
from irrigate.settings.source import read_source
from irrigate.units import US_GALLON_L

# A plant that was just put in is small, whatever stood there before.
YOUNG = "seedling"
OF_THE_OLD_PLANT = ("leaf area", "repotted")
"""Keys of a row that tell of a plant which no longer grows there."""
OF_THE_OLD_POT = ("wall", "colour", "color", "outer pot", "reservoir", "probe")
"""Keys of a row that tell of a vessel which the plant is no longer in."""


def change_garden(changes: Sequence[tuple[datetime, Change]], path: Path, time_zone: str) -> str:
    """Write changes into the garden file and return what is different now.

    Parameters
    ----------
    changes : with the moment from which each holds.
    path : the garden file.
    time_zone : the garden's own, in which a moment is written.

    Raises
    ------
    InputError : the result would not be a garden, or somebody else wrote it meanwhile.
    """
    zone = ZoneInfo(time_zone)
    before = _Before.of(path)
    edits = [edit for at, change in changes for edit in _edits(change, at.astimezone(zone), before)]
    proposal = proposed(path, edits)
    apply_edits(path, edits, proposal.digest)
    return proposal.difference


@dataclass(frozen=True, slots=True)
class _Before:
    """The rows as they are written, and the pots that they describe; none where it is at fault."""

    rows: Mapping[str, Any]
    pots: Mapping[str, Pot]
    us_units: bool = False

    @classmethod
    def of(cls, path: Path) -> _Before:
        """Read the garden file."""
        try:
            garden = read_settings(path).garden
        except GardenFileError:  # whoever applies the edits says what is wrong with it
            return cls({}, {})
        rows = plain(read_tree(read_source(path))).get("pots", {})
        return cls(rows, {pot.label: pot for pot in garden.pots}, garden.manner.us_units)

    def taken_out(self, label: str, keys: Sequence[str]) -> list[Edit]:
        """Return what takes those keys out that stand in the row."""
        row = self.rows.get(label)
        return [RemoveFromPot(label, key) for key in keys if isinstance(row, dict) and key in row]

    def holding(self, label: str) -> str | None:
        """Say what the pot held, in the gardener's own unit."""
        pot = self.pots.get(label)
        if pot is None or not SMALLEST_L <= pot.vessel.volume_l <= LARGEST_L:
            return None
        litres = pot.vessel.volume_l
        return f"{litres / US_GALLON_L:.1f} gal" if self.us_units else f"{litres:.1f} L"


def _edits(change: Change, since: datetime, before: _Before) -> list[Edit]:
    if not change.label:
        return [SetAtTop(change.key, change.value)]
    if change.key == "out":
        return [TakeOutPot(change.label)]
    edits: list[Edit] = [SetInPot(change.label, change.key, change.value)]
    if change.key == "plant":
        edits.append(SetInPot(change.label, "size", YOUNG))
        edits.append(SetInPot(change.label, "planted", f"{since:%Y-%m-%d}"))
        edits += before.taken_out(change.label, OF_THE_OLD_PLANT)
    if change.key == "pot":
        old = before.holding(change.label)
        out_of = f" from {old}" if old else ""
        edits.append(SetInPot(change.label, "repotted", f"{since:%Y-%m-%d}{out_of}"))
        edits += before.taken_out(change.label, OF_THE_OLD_POT)
    return [*edits, SetInPot(change.label, "since", f"{since:%Y-%m-%d %H:%M}")]
