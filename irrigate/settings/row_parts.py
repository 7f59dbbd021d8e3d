"""What the words of a pot's line may mean: its plant, kind, place, size, mix and the rest."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from irrigate.errors import InputError
from irrigate.settings import catalogue
from irrigate.settings.kind_words import KindFound, kind_of, known_kind
from irrigate.settings.readers import did_you_mean, size_in_words
from irrigate.settings.words import HEIGHTS_M, MULCHES, WIDTHS_OF_POT
from irrigate.settings.written import DATE
from irrigate.units.reading import FRACTIONS

Row = Mapping[str, str | Mapping[str, str]]
"""A pot's entries, as the garden file has them."""

Meaning = str | Mapping[str, str] | KindFound

SLOTS = (
    "plant", "pot", "place", "mix", "name", "size", "mulch", "covered", "planted", "repotted",
    "saucer", "outer pot", "reservoir", "stands", "wall", "colour", "leaf area", "rain catch",
    "probe", "like", "risk",
)  # fmt: skip
MOST_WORDS = 9
"""No name or size is longer."""

_PREFIX = re.compile(rf"(?P<slot>{'|'.join(SLOTS)})\s*[:=]\s*(?P<value>.+)", re.IGNORECASE)
_IN_WORDS = {
    "like": re.compile(r"(?:like|same as|as)(?: pot)? (\w[\w.-]*)", re.IGNORECASE),
    "planted": re.compile(r"(?:planted |since )?([0-9]{4}-[0-9]{1,2}-[0-9]{1,2})", re.IGNORECASE),
    "name": re.compile(r"(?:called|named) (.+)", re.IGNORECASE),
    "risk": re.compile(r"risk ([0-9]{1,2} ?%)", re.IGNORECASE),
    "repotted": re.compile(rf"repotted ({DATE}(?: from .+)?)", re.IGNORECASE),
    "reservoir": re.compile(r"([0-9.]+ ?\w+) reservoir", re.IGNORECASE),
    "stands": re.compile(r"(hanging|sunk|on the ground)", re.IGNORECASE),
}
_MULCH = re.compile(
    r"(?P<bare>mulch(?:ed)?)|(?:mulch(?:ed)?(?: with| of)?) (?P<after>.+)|(?P<before>.+) mulch",
    re.IGNORECASE,
)
_UNIT = '(?:cm|m|in|inch|inches|ft|feet|foot|l|litres?|liters?|gal|gallons?|qt|"|″)'
_SAUCER = re.compile(
    rf"(?:(?:in|with|on) )?(?:an? )?(?:(?P<size>[0-9.½¼¾]+ ?{_UNIT}) )?(?:saucer|drip tray)",
    re.IGNORECASE,
)
_LEAD = re.compile(r"^(?:on|in|at|by)(?: the)? ", re.IGNORECASE)
_LENGTH = rf"[0-9{''.join(FRACTIONS)}][^a-z]*(?:cm|m|in|inch|inches|ft|feet|foot|\"|')"
_MEASURED = re.compile(rf"(?P<length>{_LENGTH}) (?P<what>wide|across|tall|high)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class AtHand:
    """The names that a line may use besides the catalogue's."""

    places: Sequence[str] = ()
    own_kinds: Sequence[str] = ()
    kinds_in_use: Sequence[str] = ()
    own_plants: Sequence[str] = ()
    own_mixes: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """Some words of the line, and what they could mean in each slot."""

    text: str
    slots: dict[str, Meaning]


def pieces(part: str, at_hand: AtHand) -> Iterator[Piece]:
    """Yield what a part says; words that run on without commas are parted where they can be."""
    rest = part
    while rest:
        piece = _longest_known(rest, at_hand) or _shortest_new(rest, at_hand)
        if piece is None:
            raise InputError(f"“{rest}” is not understood; {hint(rest, at_hand)}")
        yield piece
        rest = rest[len(piece.text) :].strip()


def _longest_known(rest: str, at_hand: AtHand) -> Piece | None:
    """Return the most words from the beginning that mean something known."""
    words = rest.split(" ")
    for count in range(min(len(words), MOST_WORDS), 0, -1):
        text = " ".join(words[:count])
        slots = choices(text, at_hand)
        if slots and not is_new_kind(slots):
            return Piece(text, slots)
    return None


def _shortest_new(rest: str, at_hand: AtHand) -> Piece | None:
    """Return the fewest words from the beginning that can be a pot of a kind not known yet."""
    words = rest.split(" ")
    for count in range(1, min(len(words), MOST_WORDS) + 1):
        if words[count : count + 1] and words[count].casefold() in ("by", "x", "×"):
            continue  # the second side of a box is still to come
        text = " ".join(words[:count])
        slots = choices(text, at_hand)
        if slots:
            return Piece(text, slots)
    return None


def is_new_kind(slots: Mapping[str, Meaning]) -> bool:
    """Return whether the only meaning found is a kind of pot that is not known yet."""
    kind = slots.get("pot")
    return isinstance(kind, KindFound) and bool(kind.measures)


def choices(text: str, at_hand: AtHand) -> dict[str, Meaning]:
    """Return every slot that a text fits, and its value there."""
    prefixed = _PREFIX.fullmatch(text)
    if prefixed:
        slot, value = prefixed["slot"].casefold(), prefixed["value"]
        if slot == "pot":
            return {"pot": _kind(value, at_hand) or KindFound(value)}
        return {slot: size_of(value) or value if slot == "size" else value}
    size = size_of(text)
    if size is not None:
        return {"size": size}
    saucer = _SAUCER.fullmatch(text)
    if saucer:
        return {"saucer": saucer["size"] or "yes"}
    found: dict[str, Meaning] = {}
    for slot, pattern in _IN_WORDS.items():
        said = pattern.fullmatch(text)
        if said:
            return {slot: said[1]}
    for way in dict.fromkeys((text, _LEAD.sub("", text))):
        found |= {slot: value for slot, value in _named(way, at_hand).items() if slot not in found}
    kind = _kind(text, at_hand)
    if kind and not (kind.measures and found):
        found["pot"] = kind
    return found


def _named(text: str, at_hand: AtHand) -> dict[str, str]:
    """Return the slots in which a text is a known name."""
    own = {
        "place": at_hand.places,
        "plant": at_hand.own_plants,
        "mix": at_hand.own_mixes,
    }
    found = {
        slot: name
        for slot, names in own.items()
        for name in names
        if name.casefold() == text.casefold()
    }
    for slot, shelf in (("plant", catalogue.crops()), ("mix", catalogue.media())):
        stocked = shelf.find(text)
        if stocked is not None:
            found.setdefault(slot, stocked)
    mulch = _mulch(text)
    return found | {"mulch": mulch} if mulch else found


def _mulch(text: str) -> str | None:
    """Return what a mulch is made of, or how much it covers."""
    found = _MULCH.fullmatch(text)
    said = text if found is None else found["after"] or found["before"] or "yes"
    word = said.casefold()
    if word in MULCHES and (found or word == "straw"):
        return word
    return word if found and re.fullmatch("[0-9]{1,3} ?%", word) else None


def _kind(text: str, at_hand: AtHand) -> KindFound | None:
    known = known_kind(text, at_hand.own_kinds, at_hand.kinds_in_use)
    if known is not None or not re.search("[0-9]", text):
        return known
    try:
        return kind_of(text, at_hand.own_kinds, at_hand.kinds_in_use)
    except ValueError:
        return None


def size_of(text: str) -> str | Mapping[str, str] | None:
    """Return a plant's size as the file has it, or None where the words are no size."""
    tidy = _in_full(" ".join(text.split()))
    measured = {found["what"].casefold(): found["length"] for found in _MEASURED.finditer(tidy)}
    if measured and not re.sub(r"[\s,]|\band\b|\bby\b", "", _MEASURED.sub("", tidy)):
        names = {"wide": "wide", "across": "wide", "tall": "tall", "high": "tall"}
        return {names[what]: length.strip() for what, length in measured.items()}
    for words in (
        tidy,
        re.sub(r"(?<=high) (?!,)", ", ", tidy, count=1),
        re.sub(r"(?<=pot) (?!,)", ", ", tidy, count=1),
    ):
        try:
            size_in_words(words)
        except ValueError:
            continue
        return words.casefold()
    return None


def _in_full(text: str) -> str:
    """Complete widths that leave the pot out: “wider” is wider than the pot."""
    text = re.sub(r"\b(wider|narrower)(?! than)", r"\1 than pot", text, flags=re.IGNORECASE)
    times = r"\b((?:twice |three times )?as wide)(?! as)"
    return re.sub(times, r"\1 as pot", text, flags=re.IGNORECASE)


def hint(text: str, at_hand: AtHand) -> str:
    """Suggest what may have been meant, and let a pot's name say what it lacks."""
    try:
        kind_of(text, at_hand.own_kinds, at_hand.kinds_in_use)
    except ValueError as wrong:
        lacking = str(wrong).partition("; ")[2]
        if lacking.startswith(("which one", "there is")):
            return lacking
    sizes = (*HEIGHTS_M, *WIDTHS_OF_POT, "seedling")
    shelves = (catalogue.crops(), catalogue.media(), catalogue.kinds())
    spellings = (spelling for shelf in shelves for spelling in shelf.spellings)
    own = (*at_hand.places, *at_hand.own_kinds, *at_hand.own_plants, *at_hand.own_mixes)
    known = (*own, *sizes, *spellings)
    for words in dict.fromkeys((text, text.split(" ")[0])):
        near = did_you_mean(words, known, most=0)
        if near:
            return near
    places = f"; places are {', '.join(at_hand.places)}" if at_hand.places else ""
    return f"it is no plant, pot kind, size, place or mix known here{places}"
