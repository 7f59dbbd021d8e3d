"""What people call their pots, led to a kind of the catalogue or made into one of their own.

``5 gallon nursery pot`` and ``#5`` are the catalogue's ``nursery 5 gal``; ``12 in terracotta`` is
its ``clay pot 30 cm``; ``blue pot 45 cm`` is in no catalogue, and is described by its own name.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from functools import cache

from irrigate import units
from irrigate.settings import catalogue

ALIKE = 0.04
"""A size this near to a stocked one is meant to be it: 12 in is 30.5 cm."""

_UNITS = r"gallons?|gal|litres?|liters?|l|cm|inch(?:es)?|in|\"|″|ft|feet|foot|m"
_AMOUNT = r"[0-9]+(?:\.[0-9]+)?"
_QUANTITY = re.compile(rf"(?P<amount>{_AMOUNT})[\s-]*(?P<unit>{_UNITS})(?![a-z0-9])", re.IGNORECASE)
_TRADE = re.compile(r"(?:#|\btrade|\bnumber)\s*#?\s*([0-9]+)\b", re.IGNORECASE)
_SIDES = re.compile(
    rf"(?P<long>{_AMOUNT})\s*(?P<unit>{_UNITS})?\s*(?:by|×|x)\s*"
    rf"(?P<short>{_AMOUNT}\s*(?P<its>{_UNITS}))(?![a-z0-9])",
    re.IGNORECASE,
)
_FILLERS = frozenset(("pot", "container", "a", "an", "the", "of", "size", "sized", "in"))
_LONG = frozenset(("box", "trough", "bed", "rail", "windowbox"))
_TRAILING = re.compile(r"(?:\s+(?:in|an?|the|of))+$", re.IGNORECASE)
_NURSERY = "nursery"


@dataclass(frozen=True, slots=True)
class KindFound:
    """A kind of pot by the name the file is to use; ``measures`` only where it is a new one."""

    name: str
    measures: Mapping[str, str] = field(default_factory=dict)
    said: str = ""


@dataclass(frozen=True, slots=True)
class _Parsed:
    words: frozenset[str]
    dimension: str = ""
    amount: float = 0.0
    gallons: bool = False

    def is_like(self, other: _Parsed) -> bool:
        """Return whether both name the same thing in the same size.

        Gallons of a nursery pot are not litres: one of 19 L holds them, one of 5 gal does not.
        """
        return (
            self.words == other.words
            and self.gallons == other.gallons
            and self.dimension == other.dimension
            and abs(self.amount - other.amount) <= ALIKE * other.amount
        )


def kind_of(text: str, own: Iterable[str] = (), in_use: Iterable[str] = ()) -> KindFound:
    """Return the kind that ``text`` means; a `ValueError` that says what it could be.

    Parameters
    ----------
    text : what the gardener calls the pot.
    own : names of kinds that the garden describes itself.
    in_use : kinds that the garden is known to use; a part of a name is enough for them.
    """
    mine = list(own)
    known = known_kind(text, mine, in_use)
    if known is not None:
        return known
    tidy = " ".join(text.split())
    return _of_its_own(tidy, _parsed(tidy), mine)


def known_kind(text: str, own: Iterable[str] = (), in_use: Iterable[str] = ()) -> KindFound | None:
    """Return the kind that ``text`` means among those known, or a bare volume; else None."""
    tidy = " ".join(text.split())
    mine = {name.casefold(): name for name in own}
    if tidy.casefold() in mine:
        return KindFound(mine[tidy.casefold()])
    stocked = catalogue.kinds().find(tidy)
    if stocked is not None:
        return KindFound(stocked)
    parsed = _parsed(tidy)
    if not parsed.words and parsed.dimension == "volume":
        return KindFound(_TRAILING.sub("", tidy))
    alike = [name for spelt, name in _stocked() if parsed.is_like(spelt)]
    if alike and (parsed.words or parsed.dimension == "trade" or "pot" in tidy.casefold()):
        return KindFound(alike[0], said=f"{tidy} is read as {alike[0]}")
    used = [name for name in dict.fromkeys(in_use) if _is_part(parsed, _parsed(name))]
    if len(used) == 1 and parsed.words:
        return KindFound(used[0], said=f"{tidy} is read as {used[0]}")
    return None


def kinds_with(text: str) -> list[str]:
    """Return the catalogue's kinds in whose names, or other names, all these letters occur.

    A number must occur whole: 5 is not in 15.
    """
    pieces = [
        rf"(?<![0-9]){piece}(?![0-9])" if piece.isdecimal() else re.escape(piece)
        for piece in text.casefold().split()
    ]
    shelf = catalogue.kinds()
    found = [
        name
        for spelling, name in shelf.spellings.items()
        if all(re.search(piece, spelling) for piece in pieces)
    ]
    return [name for name in shelf.entries if name in found]


def measures_of(text: str) -> dict[str, str]:
    """Read ``round 38 cm, height 35 cm`` or ``38 cm across, 35 cm high`` as a kind's measures."""
    spoken = {
        "across": "round", "diameter": "round", "deep": "height", "high": "height",
        "tall": "height", "at base": "base", "at the base": "base",
    }  # fmt: skip
    named = (
        "round",
        "square",
        "trough",
        "bowl",
        "base",
        "height",
        "headspace",
        "volume",
        "wall",
        "open bottom",
    )
    words = "|".join((*sorted(spoken, key=len, reverse=True), *named))
    found: dict[str, str] = {}
    for part in (piece for piece in re.split(r"[,;]", text) if piece.strip()):
        first = re.fullmatch(rf"\s*({words})\s*[:=]?\s+(.+)", part, re.IGNORECASE)
        last = re.fullmatch(rf"\s*(.+?)\s+({words})\s*", part, re.IGNORECASE)
        if first:
            key, value = first[1], first[2]
        elif last:
            key, value = last[2], last[1]
        elif _parsed(part).dimension == "volume":
            key, value = "volume", part
        else:
            hint = "write as in round 38 cm, height 35 cm, or 40 L"
            raise ValueError(f"“{part.strip()}” is not a measure of a pot; {hint}")
        key = spoken.get(key.casefold(), key.casefold())
        if key in found:
            raise ValueError(f"{key} stands there twice; keep one")
        found[key] = " ".join(value.split())
    if not found:
        raise ValueError("write as in round 38 cm, height 35 cm, or 40 L")
    return found


def _of_its_own(tidy: str, parsed: _Parsed, own: Iterable[str]) -> KindFound:
    """Return a new kind made from its name's own size; a `ValueError` where that cannot be."""
    shelf = catalogue.kinds()
    meant = _misspelled(tidy, (*shelf.spellings, *own))
    if meant:
        meant = shelf.spellings.get(meant, meant)
        raise ValueError(f"“{tidy}” is not a pot kind known here; did you mean {meant}?")
    in_litres = parsed.dimension == "volume" and not parsed.gallons
    if parsed.dimension == "trade" or (_NURSERY in parsed.words and not in_litres):
        sizes = ", ".join(name for name in shelf.entries if name.startswith(_NURSERY))
        raise ValueError(f"“{tidy}” is not a trade size known here; there is {sizes}")
    sides = _SIDES.search(tidy)
    if sides:
        measures = f"{sides['long']} {sides['unit'] or sides['its']} by {sides['short']}"
        return KindFound(tidy, {"trough": measures}, f"{tidy} is taken as {measures}")
    if parsed.words and parsed.dimension == "volume":
        return KindFound(tidy, {"volume": _size(tidy)}, f"{tidy} is taken to hold {_size(tidy)}")
    if parsed.words and parsed.dimension == "length" and not parsed.words & _LONG:
        shape = next((word for word in ("square", "bowl") if word in parsed.words), "round")
        return KindFound(tidy, {shape: _size(tidy)}, f"{tidy} is taken as {shape}, {_size(tidy)}")
    raise ValueError(f"“{tidy}” is not a pot kind known here; {_hint(tidy, parsed)}")


def _misspelled(tidy: str, known: Iterable[str]) -> str | None:
    """Return the known name of the same size whose words are the nearest, if they are near."""
    by_words = {_bare(name): name for name in known if _size(name) == _size(tidy)}
    near = get_close_matches(_bare(tidy), by_words, n=1, cutoff=0.65)
    return by_words[near[0]] if near and _bare(tidy) else None


def _bare(text: str) -> str:
    """Return a pot's name without its size and without the word pot."""
    return " ".join(re.sub(r"\bpots?\b", " ", _QUANTITY.sub(" ", text.casefold())).split())


def _hint(tidy: str, parsed: _Parsed) -> str:
    partly = [name for spelt, name in _stocked() if parsed.words and parsed.words <= spelt.words]
    names = list(dict.fromkeys(partly))
    if names:
        return f"which one of {', '.join(names[:8])}?"
    if parsed.dimension == "length" and not parsed.words:
        return f"say what it is too, as in clay pot {tidy}"
    return "say its size with it, as in blue tub 40 L"


@cache
def _stocked() -> tuple[tuple[_Parsed, str], ...]:
    return tuple((_parsed(spelt), name) for spelt, name in catalogue.kinds().spellings.items())


def _parsed(text: str) -> _Parsed:
    """Part a pot's name into its words, order and fillers forgotten, and its size."""
    lowered = re.sub(r"terra[ -]?cotta", "clay", text.casefold())
    trade = _TRADE.search(lowered)
    if trade:
        words = _words(lowered[: trade.start()] + " " + lowered[trade.end() :])
        return _Parsed(words - {_NURSERY, "trade"}, "trade", float(trade[1]))
    found = _QUANTITY.search(lowered)
    if found is None:
        return _Parsed(_words(lowered))
    words = _words(_QUANTITY.sub(" ", lowered))
    size = _size(lowered)
    if found["unit"][0] in "gl":
        return _Parsed(words, "volume", units.volume_l(size), found["unit"][0] == "g")
    return _Parsed(words, "length", units.length_m(size))


def _words(text: str) -> frozenset[str]:
    found = re.findall(r"[^\W_]+", text)
    return frozenset(word.removesuffix("s") for word in found) - _FILLERS


def _size(text: str) -> str:
    """Return the size in a pot's name as a quantity with its unit, or nothing."""
    found = _QUANTITY.search(text)
    if found is None:
        return ""
    short = {"g": "gal", "l": "L", "i": "in", '"': "in", "″": "in", "f": "ft", "c": "cm", "m": "m"}
    return f"{found['amount']} {short[found['unit'][0].casefold()]}"


def _is_part(said: _Parsed, whole: _Parsed) -> bool:
    """Return whether what was said is a part of a kind's name and does not contradict its size."""
    if not said.words <= whole.words:
        return False
    return not said.dimension or replace(said, words=whole.words).is_like(whole)
