"""What an edit comes down to: put, take out, rename; and what each means for the plain values.

The text is changed elsewhere. What is said here, on dicts in their order, is what the changed text
has to read back as.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

from irrigate.errors import InputError
from irrigate.settings.quoting import Value, said
from irrigate.settings.readers import did_you_mean

KeyPath: TypeAlias = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Put:
    """Write a value under a key; a new key stands behind the key ``after``, or last."""

    path: KeyPath
    value: Value
    after: str | None = None


@dataclass(frozen=True, slots=True)
class TakeOut:
    """Take a key out, with its value."""

    path: KeyPath


@dataclass(frozen=True, slots=True)
class Rename:
    """Give a key another name, in its place."""

    path: KeyPath
    to: str


Step: TypeAlias = Put | TakeOut | Rename


def carried_out(tree: dict[str, Any], step: Step) -> dict[str, Any]:
    """Return the values after a step; an `InputError` where it has nothing to take hold of."""
    return _inside(tree, step.path[:-1], (), step)


def called(path: KeyPath) -> str:
    """Say which entry a path means, in the file's own words."""
    if path[:1] == ("pots",) and len(path) > 1:
        return ", ".join((f"pot {path[1]}", *path[2:]))
    return ", ".join(path) or "the file"


def in_order(tree: Any) -> Any:
    """Return a tree in which two mappings are equal only in the same order."""
    if isinstance(tree, dict):
        return tuple((key, in_order(value)) for key, value in tree.items())
    return [in_order(item) for item in tree] if isinstance(tree, list) else tree


def _inside(tree: Any, way: KeyPath, gone: KeyPath, step: Step) -> dict[str, Any]:
    """Carry the step out where the rest of its way leads."""
    if tree is None and isinstance(step, Put):
        tree = {}
    if not isinstance(tree, dict):
        raise InputError(f"{called(gone)} is not made of lines with names: change it by hand")
    if not way:
        return _at_end(tree, step)
    key = way[0]
    if key not in tree:
        raise InputError(f"there is no {_sort(gone, key)}; {did_you_mean(key, tree)}")
    return {**tree, key: _inside(tree[key], way[1:], (*gone, key), step)}


def _at_end(tree: dict[str, Any], step: Step) -> dict[str, Any]:
    key = step.path[-1]
    if isinstance(step, Put):
        if key in tree:
            return {**tree, key: _laid_over(tree[key], said(step.value))}
        return _with_new(tree, key, said(step.value), step.after)
    if key not in tree:
        if len(step.path) == 2:
            raise InputError(f"there is no {_sort(step.path[:-1], key)}; {did_you_mean(key, tree)}")
        raise InputError(f"{called(step.path[:-1])} has no “{key}”: there is nothing to take out")
    if isinstance(step, TakeOut):
        if len(tree) == 1 and len(step.path) == 1:
            raise InputError(f"{key} is all that there is in the file; it stays")
        return {name: value for name, value in tree.items() if name != key}
    if step.to != key and step.to in tree:
        raise InputError(f"there is a {_sort(step.path[:-1], step.to)} already: take another name")
    return {step.to if name == key else name: value for name, value in tree.items()}


def _laid_over(old: Any, new: Any) -> Any:
    """Return the new value, the keys that the old one had in their old order."""
    if not (isinstance(old, dict) and old and isinstance(new, dict) and new):
        return new
    kept = {key: _laid_over(old[key], new[key]) for key in old if key in new}
    return {**kept, **new, **kept}


def _with_new(tree: dict[str, Any], key: str, value: Any, after: str | None) -> dict[str, Any]:
    if after is None or after not in tree:
        return {**tree, key: value}
    changed: dict[str, Any] = {}
    for name, old in tree.items():
        changed[name] = old
        if name == after:
            changed[key] = value
    return changed


def _sort(gone: KeyPath, key: str) -> str:
    kinds = {"pots": "pot", "places": "place", "mixes": "mix", "plants": "plant"}
    kind = kinds.get(gone[0]) if len(gone) == 1 else None
    return f"{kind} {key}" if kind else f"“{key}”"
