"""The many ways to say that a pot was watered until it ran, turned into one before it is read.

till it ran | until it ran out below | ran                      → till it ran
till it ran twice | ran twice | ran, waited, ran again          → till it ran twice
till it ran, 3 L | took 3 L till it ran                         → till it ran 3 L
"""

from __future__ import annotations

import re

from irrigate import units

ONCE, TWICE = "till it ran", "till it ran twice"

_RAN = r"(?:(?:till|until) it )?(?<!rain )ran(?: out| through)?(?: below)?"
_THEN = r"[,;]?\s+(?:and )?(?:then )?"
_WAITED = rf"(?:i )?(?:waited|let it (?:soak|rest)|soaked)(?: a bit| a while)?{_THEN}"
_AGAIN = rf"{_RAN}(?: again| a second time)?"
_RAN_AGAIN = re.compile(rf"\b{_RAN}{_THEN}{_WAITED}(?:it )?{_AGAIN}", re.IGNORECASE)
_RAN_TWICE = re.compile(
    rf"\b{_RAN}(?:,? twice|,? two times|{_THEN}(?:it )?ran again)", re.IGNORECASE
)
_UNTIL = re.compile(r"\b(?:till|until) it (?:ran|runs)(?: out| through)?(?: below)?", re.IGNORECASE)
_TOOK = re.compile(rf"(?:it )?(?:took )?(.+?) ({TWICE}|{ONCE})", re.IGNORECASE)


def in_one_way(text: str) -> str:
    """Return an answer with every way to say so put in one."""
    return _UNTIL.sub(ONCE, _RAN_TWICE.sub(TWICE, _RAN_AGAIN.sub(TWICE, text)))


def goes_on(before: str, piece: str) -> bool:
    """Return whether a piece behind a comma is the amount that the piece before it lacks.

    A bare quantity is never a statement by itself: a pot's number comes before an amount.
    """
    if not re.search(r"\bran(?: twice)?$", before, re.IGNORECASE):
        return False
    amount = re.sub(r"^(?:it )?(?:took|about|with) ", "", piece, flags=re.IGNORECASE)
    if len(re.findall(r"[0-9.]+(?:/[0-9]+)?", amount)) > 1:
        return False
    try:
        return units.volume_l(amount, can_l=1.0, hose_l_s=1.0) >= 0.0
    except ValueError:
        return False


def amount_last(rest: str) -> str:
    """Return what is said of a pot with its amount behind the words, where it stood before them."""
    if rest.lower() in {"ran", "ran out", "ran out below"}:
        return ONCE
    found = _TOOK.fullmatch(rest)
    if found:
        return f"{found[2]} {found[1]}"
    return re.sub(
        rf"^({TWICE}|{ONCE}) (?:it )?(?:took|about|with) ", r"\1 ", rest, flags=re.IGNORECASE
    )
