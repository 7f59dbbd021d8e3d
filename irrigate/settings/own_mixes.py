"""The mixes that a garden file describes, made from the catalogue's."""

from __future__ import annotations

from dataclasses import fields, replace

from irrigate.errors import InputError
from irrigate.garden.media import USUAL_HEIGHT_M, Medium
from irrigate.garden.mixing import as_measured, mixed_by_volume
from irrigate.settings import catalogue
from irrigate.settings.faults import Faults
from irrigate.settings.mix_entries import MixEntry

APPROXIMATE = "an approximation, as fine parts fill the gaps of coarse ones"


def own_mixes(entries: dict[str, MixEntry], faults: Faults) -> dict[str, Medium]:
    """Return the file's own mixes; what cannot be goes to ``faults``."""
    mixes: dict[str, Medium] = {}
    for name, said in entries.items():
        base = mixes[name] = _base(name, said)
        try:
            mixes[name] = _measured(_changed(base, said), said)
        except InputError as wrong:
            faults.note(("mixes", name), str(wrong).removeprefix(f"mix {name!r}: "), at_key=True)
    return mixes


def _base(name: str, said: MixEntry) -> Medium:
    """Return what the mix resembles or is made of, under its own name."""
    media = catalogue.media()
    if said.like is not None:
        like = media[said.like].value
        source = f"the garden file, after {like.name} ({like.source})"
        return replace(like, name=name, source=source)
    parts = [(media[part].value, volume) for part, volume in (said.mix or {}).items()]
    mixed = mixed_by_volume(name, parts)
    listed = ", ".join(f"{volume:g} {medium.name}" for medium, volume in parts)
    source = f"the garden file, {listed} by volume ({mixed.source}); {APPROXIMATE}"
    return replace(mixed, source=source)


def _changed(base: Medium, said: MixEntry) -> Medium:
    """Return the mix with the numbers of the curve that the file gives."""
    own = {field.name for field in fields(Medium)}
    return replace(base, **said.model_dump(include=own, exclude_none=True))


def _measured(medium: Medium, said: MixEntry) -> Medium:
    """Return the mix made to hold what was measured, if anything was."""
    if said.holds is None and said.wilts_at is None:
        return medium
    height_m = USUAL_HEIGHT_M if said.measured_in is None else said.measured_in
    return as_measured(medium, held=said.holds, wilted=said.wilts_at, height_m=height_m)
