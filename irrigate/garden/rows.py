"""Single pots of a garden by themselves, and their rows put back.

What is done to one pot must not cost a copy of all the others.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any

import numpy as np

from irrigate.garden.belief import MEMBER_ARRAYS, Belief
from irrigate.garden.believed import Standing
from irrigate.garden.traits import Vitals

BY_POT = ("canopy_m", *MEMBER_ARRAYS)
"""Arrays whose first axis is the pot."""

BY_KIND = ("ledger_l", "settled_l", "felt_h", "seen_precision", "seen_pull", "round_says")
"""Arrays whose second axis is the pot."""

IDS = ("pot_ids", "plant_ids", "vessel_ids")


def only(current: Standing, row: int) -> Standing:
    """Return one pot by itself: views of its rows, which nothing may write to.

    Parameters
    ----------
    current : the whole garden.
    row : which pot.
    """
    belief, one = current.belief, slice(row, row + 1)
    parts = {name: getattr(belief, name)[one] for name in (*BY_POT, *IDS)}
    parts |= {name: getattr(belief, name)[:, one] for name in BY_KIND}
    known = Vitals(*(getattr(current.known, field.name)[one] for field in fields(Vitals)))
    garden = replace(current.garden, pots=current.garden.pots[one])
    return Standing(garden, known, replace(belief, **parts))


def merged(current: Standing, singles: Mapping[int, Standing]) -> Belief:
    """Return the belief with single pots put back into their rows.

    Parameters
    ----------
    current : the whole garden, as it was when they were taken out.
    singles : by row.

    Notes
    -----
    An array in which nothing changed stays the same object, by which a fold knows what it need
    not work out anew.
    """
    belief = current.belief
    changed: dict[str, Any] = {}
    for name in BY_POT:
        changed |= _put(belief, name, singles, first=True)
    for name in BY_KIND:
        changed |= _put(belief, name, singles, first=False)
    return replace(belief, **changed) if changed else belief


def _put(
    belief: Belief, name: str, singles: Mapping[int, Standing], *, first: bool
) -> dict[str, Any]:
    """Return one array with the rows of the singles, if any of them differs."""
    whole = getattr(belief, name)
    after = None
    for row, single in singles.items():
        place = row if first else (slice(None), row)
        part = getattr(single.belief, name)
        mine = part[0] if first else part[:, 0]
        if np.array_equal(whole[place], mine):
            continue
        after = whole.copy() if after is None else after
        after[place] = mine
    return {} if after is None else {name: after}
