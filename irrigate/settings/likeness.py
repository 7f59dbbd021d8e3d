"""A pot told by another's row: ``like: 7`` takes that row, and what the row itself says changes it.

The rows are filled in before they are checked, so that a pot is checked as it will be. What is
wrong in a borrowed value is told once, where it was written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from irrigate.settings.nodes import Path
from irrigate.settings.readers import did_you_mean

NEVER_LENT = frozenset(("like", "was", "since"))
"""Keys that are about one pot's own history."""

DISPLACED: Mapping[str, frozenset[str]] = {
    "roof": frozenset(("rain",)),
    "rain": frozenset(("roof",)),
    "plant": frozenset(("name", "leaf area")),
    "mix": frozenset(("probe",)),
    "saucer": frozenset(("outer pot", "reservoir")),
    "outer pot": frozenset(("saucer", "reservoir")),
    "reservoir": frozenset(("saucer", "outer pot")),
    "covered": frozenset(("mulch",)),
    "mulch": frozenset(("covered",)),
    "colour": frozenset(("color",)),
    "color": frozenset(("colour",)),
    "pot": frozenset(("wall", "colour", "color", "outer pot", "reservoir")),
}
"""What a row's own key takes the place of besides itself: another word for the same, or what was
said of another plant or of another pot."""


@dataclass(frozen=True, slots=True)
class Likeness:
    """The rows filled in, and where their values were written.

    Parameters
    ----------
    rows : by label; a row that is no mapping stays as it was.
    lenders : by label and key, the label of the row in which a borrowed value was written.
    roots : by label of a pot that borrows, the pot at the end of its chain.
    broken : labels whose chain leads nowhere; they are filled in as far as it goes.
    wrong : (label, what is wrong with its ``like``).
    """

    rows: dict[str, Any]
    lenders: dict[str, dict[str, str]]
    roots: dict[str, str]
    broken: frozenset[str]
    wrong: tuple[tuple[str, str], ...]

    def borrowed(self, path: Path) -> bool:
        """Return whether what is at a path was taken over from another pot's row."""
        return len(path) > 2 and path[0] == "pots" and str(path[2]) in self._lent_to(path[1])

    def written(self, path: Path) -> Path:
        """Return the path at which a value was written; its own, unless it was borrowed."""
        if not self.borrowed(path):
            return path
        return ("pots", self._lent_to(path[1])[str(path[2])], *path[2:])

    def lacking(self, path: Path) -> Path | None:
        """Return the path of the row to blame for a missing key, None if its ``like`` is broken."""
        if len(path) != 3 or path[0] != "pots":
            return path
        label = str(path[1])
        return None if label in self.broken else ("pots", self.roots.get(label, label), path[2])

    def _lent_to(self, label: str | int) -> dict[str, str]:
        return self.lenders.get(str(label), {})


def likened(pots: object) -> Likeness:
    """Fill in every row that is like another, through chains, in whatever order they stand."""
    filling = _Filling(pots if isinstance(pots, dict) else {})
    for label in filling.pots:
        filling.settle(label)
    # The order of the file is the order of walking.
    rows = {label: filling.rows[label] for label in filling.pots}
    return Likeness(
        rows, filling.lenders, filling.roots, frozenset(filling.broken), tuple(filling.wrong)
    )


class _Filling:
    """The rows that are filled in so far."""

    def __init__(self, pots: dict[str, Any]) -> None:
        self.pots = pots
        self.rows: dict[str, Any] = {}
        self.lenders: dict[str, dict[str, str]] = {}
        self.roots: dict[str, str] = {}
        self.broken: set[str] = set()
        self.wrong: list[tuple[str, str]] = []

    def settle(self, label: str) -> None:
        """Fill in the row of a label, and before it those that it leads to."""
        trail: list[str] = []
        while label not in self.rows:
            trail.append(label)
            like = _like(self.pots[label])
            if like is None:
                break
            if like in self.pots and like not in trail:
                label = like
                continue
            self.broken.add(label)
            if like:
                self.wrong.append((label, self._why_not(like, trail)))
            break
        for one in reversed(trail):
            self._fill(one)

    def _why_not(self, like: str, trail: list[str]) -> str:
        """Say why the last pot of a trail cannot be like that."""
        if like not in self.pots:
            return f"there is no pot {like}; {did_you_mean(like, self.pots)}".removesuffix("; ")
        ring = trail[trail.index(like) :]
        if len(ring) == 1:
            return f"pot {like} cannot be like itself; name another, or take the line out"
        links = ", ".join(f"{one} is like {_like(self.pots[one])}" for one in ring)
        return f"the pots go round in a ring ({links}): describe one of them by itself"

    def _fill(self, label: str) -> None:
        row = self.pots[label]
        self.rows[label] = row
        like = _like(row)
        if like is None or label in self.broken:
            return
        if like in self.broken:
            self.broken.add(label)
        self.roots[label] = self.roots.get(like, like)
        lender = self.rows[like]
        if not isinstance(lender, dict):
            self.broken.add(label)
            return
        kept_out = NEVER_LENT.union(row, *(DISPLACED.get(key, ()) for key in row))
        lent = {key: value for key, value in lender.items() if key not in kept_out}
        origins = self.lenders.get(like, {})
        self.rows[label] = lent | row
        self.lenders[label] = {key: origins.get(key, like) for key in lent}


def _like(row: Any) -> str | None:
    """Return the label that a row names; empty where it names none that could be a label."""
    if not isinstance(row, dict) or "like" not in row:
        return None
    return row["like"] if isinstance(row["like"], str) else ""
