"""A pot told in one line: ``7 pepper, nursery 5 gal, knee-high wider than pot, driveway``.

The pot's number comes first, the rest in any order. Each part is held against everything it could
be; what it is follows once the parts that can be one thing only have been put in their place. What
stays open is asked back, never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from irrigate.errors import InputError
from irrigate.settings.kind_words import KindFound
from irrigate.settings.readers import did_you_mean, size_in_words
from irrigate.settings.row_parts import SLOTS, AtHand, Piece, Row, choices, is_new_kind, pieces

MOST_AT_ONCE = 100
LONGEST_LINE = 400

_NUMBER = re.compile(
    r"(?:pot )?(?P<first>\w*[0-9]\w*)(?:\s*[-–]\s*(?P<last>[0-9]+))?[.:)]?(?=\s|$)"
)


@dataclass(frozen=True, slots=True)
class Told:
    """What one line told: rows by label, kinds that it named first, and readings to be sure of."""

    rows: tuple[tuple[str, Row], ...]
    kinds: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()


def told_in(
    line: str, at_hand: AtHand, taken: Sequence[str] = (), place_before: str | None = None
) -> Told:
    """Return the pots that a line tells of; an `InputError` says what was not understood.

    Parameters
    ----------
    line : the pot's number, or several as in 8-12, and the rest in any order after commas.
    at_hand : the garden's own names.
    taken : labels that other pots have; a line without a number gets the next free one.
    place_before : where the line before stood: whoever walks from pot to pot stays there until
        another place is named.
    """
    if len(line) > LONGEST_LINE:
        raise InputError(
            f"one line tells of one pot; this one is longer than {LONGEST_LINE} letters"
        )
    parts = [" ".join(part.split()) for part in line.split(",") if part.strip()]
    if not parts:
        raise InputError("write as in 7 pepper, nursery 5 gal, knee-high, driveway")
    labels: tuple[str, ...] = ()
    if not _is_known_whole(parts[0], at_hand):
        labels, parts[0] = _numbered(parts[0])
    labels = labels or (_next_free(taken),)
    twice = [label for label in labels if label.casefold() in {one.casefold() for one in taken}]
    if twice:
        raise InputError(f"there is a pot {twice[0]} already; give this one another number")
    row, kind = _settled([piece for part in parts if part for piece in pieces(part, at_hand)])
    like = row.get("like")
    if isinstance(like, str) and like not in taken:
        others = did_you_mean(like, taken) or "name one that is told already"
        raise InputError(f"there is no pot {like} yet; {others}")
    usual_place = at_hand.places[0] if len(at_hand.places) == 1 else place_before
    if usual_place and "place" not in row and "like" not in row:
        row["place"] = usual_place
    _need_enough(row)
    in_order = {slot: row[slot] for slot in SLOTS if slot in row}
    kinds = {kind.name: kind.measures} if kind and kind.measures else {}
    said = (kind.said,) if kind and kind.said else ()
    return Told(tuple((label, in_order) for label in labels), kinds, said)


def labels_in(text: str) -> tuple[str, ...]:
    """Return the labels that ``7``, ``7a`` or ``8-12`` stands for."""
    several = re.fullmatch(r"([0-9]{1,6})\s*[-–]\s*([0-9]{1,6})", text.strip())
    if several is None:
        return (text.strip(),)
    first, last = int(several[1]), int(several[2])
    if not first < last < first + MOST_AT_ONCE:
        raise InputError(
            f"{text.strip()}: write the lower number first, and at most {MOST_AT_ONCE} pots"
        )
    return tuple(str(number) for number in range(first, last + 1))


def _numbered(part: str) -> tuple[tuple[str, ...], str]:
    """Take the pot's number off the line's first part."""
    found = _NUMBER.match(part)
    if found is None:
        return (), part
    text = found["first"] if found["last"] is None else f"{found['first']}-{found['last']}"
    return labels_in(text), part[found.end() :].strip()


def _is_known_whole(part: str, at_hand: AtHand) -> bool:
    """Return whether a part means something as it stands: “5 gal bucket” has no pot's number."""
    slots = choices(part, at_hand)
    return bool(slots) and not is_new_kind(slots)


def _next_free(taken: Sequence[str]) -> str:
    return str(
        max((int(label) for label in taken if re.fullmatch("[0-9]{1,9}", label)), default=0) + 1
    )


def _settled(
    said: Sequence[Piece],
) -> tuple[dict[str, str | Mapping[str, str]], KindFound | None]:
    """Give every piece its slot: first those that fit one only, then what that leaves to others."""
    row: dict[str, str | Mapping[str, str]] = {}
    kind: KindFound | None = None
    waiting = list(said)
    while waiting:
        waiting.sort(key=lambda piece: len(_open(piece, row)))
        piece = waiting.pop(0)
        slots = _open(piece, row)
        if not slots:
            raise InputError(f"“{piece.text}” comes on top of {_said_before(piece, row)}; keep one")
        if len(slots) > 1 and sum(one.text == piece.text for one in waiting) < len(slots) - 1:
            may = " or ".join(f"the {slot}" for slot in slots)
            hint = " or ".join(f"{slot}: {piece.text}" for slot in slots)
            raise InputError(f"“{piece.text}” may be {may}; write {hint}")
        value = piece.slots[slots[0]]
        if isinstance(value, KindFound):
            kind, value = value, value.name
        row[slots[0]] = _joined(row.get(slots[0]), value)
    return row, kind


def _open(piece: Piece, row: Row) -> list[str]:
    """Return the slots still open to a piece; height and width may come one by one."""
    return [
        slot
        for slot, value in piece.slots.items()
        if slot not in row or (slot == "size" and _joinable(row[slot], value))
    ]


def _joinable(first: object, second: object) -> bool:
    if isinstance(first, Mapping) and isinstance(second, Mapping):
        return not set(first) & set(second)
    if isinstance(first, str) and isinstance(second, str):
        try:
            size_in_words(f"{first}, {second}")
        except ValueError:
            return False
        return True
    return False


def _joined(
    first: str | Mapping[str, str] | None, second: str | Mapping[str, str]
) -> str | Mapping[str, str]:
    if first is None:
        return second
    if isinstance(first, Mapping) and isinstance(second, Mapping):
        return {**first, **second}
    return f"{first}, {second}"


def _said_before(piece: Piece, row: Row) -> str:
    slot = next(iter(piece.slots))
    return f"{slot}: {row[slot]}" if isinstance(row.get(slot), str) else f"the {slot}"


def _need_enough(row: Row) -> None:
    missing = [slot for slot in ("plant", "pot", "place") if slot not in row]
    if missing and "like" not in row:
        said = {"plant": "what grows in it", "pot": "what pot it is", "place": "where it stands"}
        raise InputError(f"say {' and '.join(said[slot] for slot in missing)} too")
