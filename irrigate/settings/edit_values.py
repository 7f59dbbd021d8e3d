"""The edits that there are: what shall be different in a garden file, as plain values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, Protocol

from irrigate.errors import InputError
from irrigate.settings.quoting import Value, number_or_text
from irrigate.settings.readers import did_you_mean
from irrigate.settings.schema import GardenEntry
from irrigate.settings.steps import KeyPath, Put, Rename, Step, TakeOut, called

FORBIDDEN = frozenset(("reach", "people", "lines", "weather"))
"""What is not changed from the page: who is told what, where weather comes from, what opens."""

FORBIDDEN_IN_ENTRIES = frozenset(("line", "driver", "dry-run"))
"""The same, inside of any entry."""


class Edit(Protocol):
    """One thing to be different."""

    @property
    def about(self) -> str:
        """Which entry it is about, in the gardener's words."""

    def steps(self, tree: Mapping[str, Any], /) -> list[Step]:
        """Return what has to be done to a file that says ``tree``."""


@dataclass(frozen=True, slots=True)
class _InEntry:
    """Something about one key of a named entry."""

    heading: ClassVar[str]
    label: str
    key: str

    @property
    def about(self) -> str:
        """Which entry it is about."""
        return called(self.path)

    @property
    def path(self) -> KeyPath:
        """The way to the key."""
        return (self.heading, self.label, self.key)


@dataclass(frozen=True, slots=True)
class _SetInEntry(_InEntry):
    """Set one key of a named entry."""

    value: Value

    def steps(self, _tree: Mapping[str, Any], /) -> list[Step]:
        """Put the value under its key."""
        return [Put(self.path, self.value)]


@dataclass(frozen=True, slots=True)
class _RemoveFromEntry(_InEntry):
    """Take one key out of a named entry."""

    def steps(self, _tree: Mapping[str, Any], /) -> list[Step]:
        """Take the key out."""
        return [TakeOut(self.path)]


class SetInPot(_SetInEntry):
    """Set a key of a pot's row: ``SetInPot("7", "mulch", "straw")``."""

    heading = "pots"


class SetInPlace(_SetInEntry):
    """Set a key of a place."""

    heading = "places"


class SetInMix(_SetInEntry):
    """Set a key of a mix."""

    heading = "mixes"


class RemoveFromPot(_RemoveFromEntry):
    """Take a key out of a pot's row."""

    heading = "pots"


class RemoveFromPlace(_RemoveFromEntry):
    """Take a key out of a place."""

    heading = "places"


class RemoveFromMix(_RemoveFromEntry):
    """Take a key out of a mix."""

    heading = "mixes"


@dataclass(frozen=True, slots=True)
class AddPot:
    """Add a pot's row: last, or behind the pot ``after`` in the walk."""

    label: str
    entry: Mapping[str, Value]
    after: str | None = None

    @property
    def about(self) -> str:
        """Which entry it is about."""
        return f"pot {self.label}"

    def steps(self, tree: Mapping[str, Any]) -> list[Step]:
        """Put the row among the others."""
        pots = _pots(tree)
        if self.label in pots:
            raise InputError(f"there is a pot {self.label} already; give this one another number")
        if self.after is not None and self.after not in pots:
            hint = did_you_mean(self.after, pots)
            raise InputError(f"there is no pot {self.after} to stand behind; {hint}")
        return [Put(("pots", self.label), self.entry, self.after)]


@dataclass(frozen=True, slots=True)
class TakeOutPot:
    """Take a pot's row out."""

    label: str

    @property
    def about(self) -> str:
        """Which entry it is about."""
        return f"pot {self.label}"

    def steps(self, tree: Mapping[str, Any]) -> list[Step]:
        """Take the row out, unless it is the last."""
        if list(_pots(tree)) == [self.label]:
            raise InputError(f"pot {self.label} is the only one; a garden has at least one pot")
        return [TakeOut(("pots", self.label))]


@dataclass(frozen=True, slots=True)
class RenamePot:
    """Give a pot another number; its row then says what it ``was``, so that it stays itself.

    ``known_as`` is the number that the service knows it by, if that is not the one in the file:
    a pot renamed twice before it was met was still the first.
    """

    label: str
    to: str
    known_as: str | None = None

    @property
    def about(self) -> str:
        """Which entry it is about."""
        return f"pot {self.label}"

    def steps(self, tree: Mapping[str, Any]) -> list[Step]:
        """Rename the row, say what it was, and follow it where other rows name it."""
        pots = _pots(tree)
        if self.label == self.to:
            raise InputError(f"pot {self.label} has that number already")
        steps: list[Step] = [Rename(("pots", self.label), self.to)]
        row, was = pots.get(self.label), self.known_as or self.label
        if was != self.to:
            steps.append(Put(("pots", self.to, "was"), number_or_text(was)))
        elif isinstance(row, Mapping) and "was" in row:
            steps.append(TakeOut(("pots", self.to, "was")))
        steps += [
            Put(("pots", label, "like"), number_or_text(self.to))
            for label, other in pots.items()
            if label != self.label
            and isinstance(other, Mapping)
            and other.get("like") == self.label
        ]
        return steps


@dataclass(frozen=True, slots=True)
class SetAtTop:
    """Set a key of the garden itself: ``SetAtTop("hose", "10 L in 40 s")``."""

    key: str
    value: Value

    @property
    def about(self) -> str:
        """Which entry it is about."""
        return self.key

    def steps(self, tree: Mapping[str, Any]) -> list[Step]:
        """Put the value under its key; a new key stands where its kind usually does."""
        return [Put((self.key,), self.value, _usual_neighbour(self.key, tree))]


@dataclass(frozen=True, slots=True)
class RemoveAtTop:
    """Take a key of the garden itself out."""

    key: str

    @property
    def about(self) -> str:
        """Which entry it is about."""
        return self.key

    def steps(self, _tree: Mapping[str, Any], /) -> list[Step]:
        """Take the key out."""
        return [TakeOut((self.key,))]


def refuse_forbidden(step: Step) -> None:
    """Refuse, with an `InputError`, what only a person at the file itself may change."""
    keys = {*step.path[:1], *step.path[2:]}  # the second is a name that the gardener gave
    if isinstance(step, Put):
        keys.update(_keys_within(step.value))
    refused = sorted(keys & FORBIDDEN_IN_ENTRIES or {step.path[0]} & FORBIDDEN)
    if refused:
        raise InputError(
            f"“{refused[0]}” is not changed from the page, for safety: open the file and change it "
            "there; nothing was written"
        )


def _usual_neighbour(key: str, tree: Mapping[str, Any]) -> str | None:
    """Return which of the keys that are there comes before ``key`` as the file is documented."""
    order = [field.alias or name for name, field in GardenEntry.model_fields.items()]
    earlier = order[: order.index(key)] if key in order else []
    return next((name for name in reversed(earlier) if name in tree), None)


def _pots(tree: Mapping[str, Any]) -> Mapping[str, Any]:
    pots = tree.get("pots")
    if not isinstance(pots, Mapping):
        raise InputError("there is no list of pots in the file")
    return pots


def _keys_within(value: Value) -> list[str]:
    if isinstance(value, Mapping):
        return [*value, *(key for inside in value.values() for key in _keys_within(inside))]
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [key for inside in value for key in _keys_within(inside)]
    return []
