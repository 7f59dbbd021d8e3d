"""Pots named on the command line, by the number painted on them."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from irrigate.errors import InputError
from irrigate.garden.pots import Garden, Pot


def named_pots(garden: Garden, words: Sequence[str]) -> tuple[Pot, ...]:
    """Return the pots that words name, each once; an `InputError` with near ones if there is none.

    A label, or the pot's name where only one pot has it.
    """
    return tuple(dict.fromkeys(_named(garden, word) for word in words))


def _named(garden: Garden, word: str) -> Pot:
    said = word.strip().casefold()
    for pot in garden.pots:
        if pot.label.casefold() == said:
            return pot
    same = [pot for pot in garden.pots if pot.name.casefold() == said]
    if len(same) == 1:
        return same[0]
    if same:
        raise InputError(
            f"{len(same)} pots are called {word}: say which, {_listed([p.label for p in same])}"
        )
    labels = [pot.label for pot in garden.pots]
    near = get_close_matches(word.strip(), labels, n=3, cutoff=0.5)
    hint = f"did you mean {' or '.join(near)}?" if near else f"there are {_listed(labels)}"
    raise InputError(f"there is no pot {word}; {hint}")


def _listed(labels: Sequence[str]) -> str:
    return ", ".join(labels)
