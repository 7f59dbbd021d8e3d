"""Who is who among the pots: labels may change, identities stay.

A label is what the gardener paints on a pot and writes in the garden file. Behind it stand three
identities, minted when it is first seen: of the pot as a place in the garden's books, of the vessel
with its mix (what is learnt of capacity follows it), and of the plant (what is learnt of thirst).
"""

from __future__ import annotations

import base64
import hashlib
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import count

from irrigate.errors import InputError
from irrigate.garden.events import PotSeen
from irrigate.garden.pots import Garden

PREFIXES: Mapping[str, str] = {"pot": "p-", "vessel": "v-", "plant": "g-"}
_ID_BYTES = 5  # 40 bits: eight letters and digits, and a check that none is given twice


@dataclass(frozen=True, slots=True)
class Identified:
    """A garden whose pots have identities, and what is new about them.

    Parameters
    ----------
    garden : the same garden, ids filled in.
    seen : facts to be journaled with this version: labels new or given to a known pot.
    added, gone : labels of pots that were not in the version before, and of those that were and
        are no more; if there are both, they may be the same pots, and somebody has to be asked.
    """

    garden: Garden
    seen: tuple[PotSeen, ...]
    added: tuple[str, ...]
    gone: tuple[str, ...]


def identified(
    garden: Garden,
    known: Sequence[PotSeen],
    previous_labels: Collection[str],
    renamed: Iterable[tuple[str, str]],
    now: datetime,
) -> Identified:
    """Fill in the identities of a garden's pots.

    A label of the version before keeps its identities. A renamed pot takes its own along to its
    new label. Any other label is a new pot, even if an earlier pot bore it once.

    Parameters
    ----------
    garden : as the file describes it; ids in it are not looked at.
    known : every `PotSeen` so far, in order.
    previous_labels : labels of the version before; empty if there was none.
    renamed : (old label, new label); a pair that was carried out at an earlier reading, and is
        still in the file, does nothing.
    now : when this version was met (UTC); part of what new ids are minted from.

    Returns
    -------
    Identified : or an `InputError`, for a label used twice or a renaming that cannot be.
    """
    labels = [pot.label for pot in garden.pots]
    _refuse_repeats(labels, "pot {} is described twice: give one of them another number")
    bearers = {seen.label: seen for seen in known if seen.label in set(previous_labels)}
    origins = _origins(labels, bearers, known, tuple(renamed))

    taken = {one for seen in known for one in (seen.pot_id, seen.vessel_id, seen.plant_id)}
    seen: list[PotSeen] = []
    pots = []
    for pot in garden.pots:
        old = bearers[origins[pot.label]] if pot.label in origins else None
        mine = replace(old, label=pot.label) if old else minted(garden.name, pot.label, now, taken)
        if mine != old:
            seen.append(mine)
        pots.append(replace(pot, id=mine.pot_id, vessel_id=mine.vessel_id, plant_id=mine.plant_id))
    return Identified(
        garden=replace(garden, pots=tuple(pots)),
        seen=tuple(seen),
        added=tuple(label for label in labels if label not in origins),
        gone=tuple(label for label in bearers if label not in origins.values()),
    )


def _origins(
    labels: Sequence[str],
    bearers: Mapping[str, PotSeen],
    known: Sequence[PotSeen],
    renamed: tuple[tuple[str, str], ...],
) -> dict[str, str]:
    """Return, for each label whose pot was there before, under which label it was."""
    _refuse_repeats([new for _, new in renamed], "pot {} cannot have been two pots before")
    # Without a version before there is nothing to rename: a file may outlive its journal.
    due = [pair for pair in renamed if bearers and not _carried_out(*pair, bearers, known)]
    _refuse_repeats([old for old, _ in due], "two pots cannot both have been pot {}: take one out")
    for old, new in due:
        if old not in bearers:
            raise InputError(
                f"pot {new} says it was pot {old}, but there was no pot {old} before this change: "
                "write the number that it had, or take that line out"
            )
    moved = {old for old, _ in due}
    origins = {label: label for label in labels if label in bearers and label not in moved}
    origins |= {new: old for old, new in due}
    return {new: old for new, old in origins.items() if new in set(labels)}


def _carried_out(
    old: str, new: str, bearers: Mapping[str, PotSeen], known: Sequence[PotSeen]
) -> bool:
    """Return whether the pot that now bears the new label once bore the old one."""
    pot_id = bearers[new].pot_id if new in bearers else None
    return any(seen.label == old and seen.pot_id == pot_id for seen in known)


def minted(garden_name: str, label: str, now: datetime, taken: set[str]) -> PotSeen:
    """Return new identities for a label, none of them given before.

    Parameters
    ----------
    garden_name, label, now : what they are minted from.
    taken : identities given so far; the new ones are added to it.
    """
    ids = {}
    for what, prefix in PREFIXES.items():
        tries = (_id(prefix, garden_name, label, now, number) for number in count())
        ids[what] = next(one for one in tries if one not in taken)
        taken.add(ids[what])
    return PotSeen(label, ids["pot"], ids["vessel"], ids["plant"])


def _id(prefix: str, garden_name: str, label: str, now: datetime, number: int) -> str:
    moment = now.astimezone(UTC).isoformat(timespec="microseconds")
    digest = hashlib.blake2b(digest_size=_ID_BYTES)
    for part in (prefix, garden_name, label, moment, str(number)):
        content = part.encode("utf-8", errors="surrogatepass")
        digest.update(len(content).to_bytes(8, "little") + content)
    return prefix + base64.b32encode(digest.digest()).decode("ascii").lower()


def _refuse_repeats(labels: Sequence[str], text: str) -> None:
    for label, times in Counter(labels).items():
        if times > 1:
            raise InputError(text.format(label))
