"""A belief as bytes: what a restart, or an answer that comes late, starts folding from.

A belief is rounded to float32 at midnight, so float32 on disk loses nothing.
"""

from __future__ import annotations

import io
import json
import zipfile
import zlib
from dataclasses import astuple

import numpy as np

from irrigate.garden.belief import LEDGER, MEMBER_ARRAYS, WALKED, Belief
from irrigate.garden.believed import Standing
from irrigate.garden.pots import Garden
from irrigate.garden.shared import Remembered
from irrigate.garden.traits import vitals
from irrigate.ports import Checkpoint

FORMAT = 2

SINGLES = (*(name for name in MEMBER_ARRAYS if name != "opening_balance_l"), "canopy_m")

# What reading a damaged archive raises; RuntimeError where its bytes ask for what it cannot do.
DAMAGED = (
    ValueError, KeyError, TypeError, OSError, EOFError, RuntimeError, zipfile.BadZipFile, zlib.error
)  # fmt: skip

WHOLE = ("settled_l", "felt_h", "seen_precision", "seen_pull")
"""Arrays kept in full, by pot and not by member."""


def packed(belief: Belief, position: int) -> Checkpoint:
    """Return a rounded belief as a checkpoint that has seen ``position`` facts of the journal."""
    kept = [astuple(one) for one in belief.remembered]
    names = json.dumps([belief.pot_ids, belief.plant_ids, belief.vessel_ids, kept])
    columns = {name: getattr(belief, name).astype(np.float32) for name in SINGLES}
    into = io.BytesIO()
    np.savez_compressed(
        into,
        names=np.frombuffer(names.encode(), dtype=np.uint8),
        **{name: getattr(belief, name) for name in WHOLE},
        **columns,
    )
    return Checkpoint(belief.at, position, FORMAT, into.getvalue())


def unpacked(checkpoint: Checkpoint, garden: Garden) -> Standing | None:
    """Return the belief of a checkpoint, or None if it is of another format, garden, or damaged.

    A checkpoint is a convenience: without it the fold starts further back.
    """
    if checkpoint.format != FORMAT:
        return None
    try:
        belief = _read(checkpoint)
    except DAMAGED:
        return None
    if belief.pot_ids != tuple(pot.id for pot in garden.pots):
        return None
    return Standing(garden, vitals(garden.pots), belief)


def _read(checkpoint: Checkpoint) -> Belief:
    with np.load(io.BytesIO(checkpoint.content), allow_pickle=False) as stored:
        pot_ids, plant_ids, vessel_ids, gone = json.loads(stored["names"].tobytes().decode())
        columns = {name: stored[name].astype(np.float64) for name in SINGLES}
        kept = {name: stored[name] for name in WHOLE}
    return Belief(
        at=checkpoint.valid_at,
        pot_ids=tuple(pot_ids),
        plant_ids=tuple(plant_ids),
        vessel_ids=tuple(vessel_ids),
        opening_balance_l=columns["water_l"] + columns["below_l"],
        ledger_l=np.zeros((len(LEDGER), *columns["water_l"].shape)),
        round_says=np.zeros((len(WALKED), len(pot_ids))),
        remembered=tuple(Remembered(*one) for one in gone),
        **kept,
        **columns,
    )
