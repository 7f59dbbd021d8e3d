"""Which reports of a record are held out: foretold and scored, and not learnt from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from irrigate.garden.draws import uniforms
from irrigate.garden.events import Given, TillRan
from irrigate.garden.foretelling import FORESEEN, KIND, foreseeable
from irrigate.garden.pot_answers import VOLUME_SPREAD
from irrigate.service.replaying import Event

HELD_KINDS = tuple(dict.fromkeys(KIND[kind] for kind in FORESEEN))
"""What reports can be held out by, as words."""


@dataclass(frozen=True, slots=True)
class HoldOut:
    """Reports of these kinds, and this share of all reports besides [0–1]."""

    kinds: frozenset[str] = frozenset()
    share: float = 0.0

    def holds(self, event: Event) -> bool:
        """Return whether a report is held out.

        By a draw that hangs on what is reported of which pot and when, and on nothing else: the
        same reports are held out every time, whatever other reports there are.
        """
        body = event.body
        if not (isinstance(body, FORESEEN) and foreseeable(body)):
            return False
        drawn = float(uniforms(("held out", event.name), 1)[0])
        return KIND[type(body)] in self.kinds or drawn < self.share


NOTHING_HELD = HoldOut()


def parted(events: Iterable[Event], hold_out: HoldOut) -> tuple[list[Event], list[Event]]:
    """Return what is learnt from, and the reports that are held out.

    Litres till it ran are water too: where they are held out, that water was still given, and the
    belief is told so, without that it ran or what that says of the pot.
    """
    told, held = [], []
    for event in events:
        if not hold_out.holds(event):
            told.append(event)
            continue
        held.append(event)
        if isinstance(event.body, TillRan) and event.body.volume_l is not None:
            water = Given("", event.body.volume_l, "measured", VOLUME_SPREAD["measured"])
            told.append(replace(event, body=water, called=f"{event.name} as water"))
    return told, held
