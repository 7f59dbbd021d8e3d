"""Pots' labels and their changes: what only the whole list can show to be wrong."""

from __future__ import annotations

from typing import Any

from irrigate.settings.faults import Faults


def note_labels(raw: Any, faults: Faults) -> None:
    """Find labels that sound alike, and renamings or likenesses that cannot be meant."""
    pots = raw.get("pots")
    if not isinstance(pots, dict):
        return
    by_sound: dict[str, str] = {}
    for label in pots:
        first = by_sound.setdefault(label.casefold(), label)
        if first != label:
            what = f"sounds like pot {first}; give one of them another number"
            faults.note(("pots", label), what, at_key=True)
    _note_renamings(pots, faults)
    for label, what in faults.likeness.wrong:
        faults.note(("pots", label, "like"), what)


def _note_renamings(pots: dict[str, Any], faults: Faults) -> None:
    renamed: dict[str, str] = {}
    for label, said in pots.items():
        was = said.get("was") if isinstance(said, dict) else None
        if not isinstance(was, str):
            continue
        if was == label:
            what = f"pot {label} was {was} and still is; take the line out"
        elif was in renamed:
            what = f"pot {renamed[was]} was {was} too; only one of them can have been"
        elif was in pots and not _was_another(pots[was]):
            what = f"there is a pot {was} still; take the line out, or say what that pot was"
        else:
            renamed[was] = label
            continue
        faults.note(("pots", label, "was"), what)


def _was_another(said: Any) -> bool:
    return isinstance(said, dict) and isinstance(said.get("was"), str)
