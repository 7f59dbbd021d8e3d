"""What somebody said that changes the garden file: made as an edit of its text, comments kept."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from irrigate.garden.answers import Change
from irrigate.settings.edits import Edit, SetAtTop, SetInPot, TakeOutPot, apply_edits, proposed

# A plant that was just put in is small, whatever stood there before.
YOUNG = "seedling"


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
    edits = [edit for at, change in changes for edit in _edits(change, at.astimezone(zone))]
    proposal = proposed(path, edits)
    apply_edits(path, edits, proposal.digest)
    return proposal.difference


def _edits(change: Change, since: datetime) -> list[Edit]:
    if not change.label:
        return [SetAtTop(change.key, change.value)]
    if change.key == "out":
        return [TakeOutPot(change.label)]
    edits: list[Edit] = [SetInPot(change.label, change.key, change.value)]
    if change.key == "plant":
        edits.append(SetInPot(change.label, "size", YOUNG))
        edits.append(SetInPot(change.label, "planted", f"{since:%Y-%m-%d}"))
    return [*edits, SetInPot(change.label, "since", f"{since:%Y-%m-%d %H:%M}")]
