"""Between rounds: when a pot that was left out deserves a message of its own, and when not."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime, timedelta

import numpy as np

from irrigate.garden.actions import Hold, Line, Tell
from irrigate.garden.balance import share_available
from irrigate.garden.outlook import Outlook
from irrigate.garden.pots import Garden
from irrigate.garden.rounds import able, can_act_later, is_quiet, round_key

# A warning says "will now get thirsty", not "might": more likely than not.
LIKELY = 0.5
# Thirsty only so shortly before the round is soon enough watered there.
NEAR_ROUND = timedelta(hours=1)
# Down to this share of its available water a plant is not only thirsty but about to be lost.
LOST_SHARE = 0.05


def warning(
    garden: Garden,
    lines: tuple[Line, ...],
    as_is: Outlook,
    now: datetime,
    until: datetime,
    known: Collection[str],
) -> Tell | Hold | None:
    """Return a warning to send now, one that is held and why, or nothing.

    Parameters
    ----------
    garden : people, quiet hours and lead time.
    lines : today's verdicts, judged from now until the next round.
    as_is : the run they were judged by.
    now, until : this moment and the next round (UTC).
    known : ids of pots that the last round's message asked to water or feel, or named as ones
        that will not last, or that were warned of since.

    Notes
    -----
    Not sooner than need be: as long as somebody can still act later and in good time, the
    weather may yet turn. Grouped: the pots due now take along those that would be due later.
    """
    concerned = tuple(
        line
        for line in lines
        if line.pot_id not in known
        and line.chance_thirsty > LIKELY
        and (line.thirsty_at[1] or until) < until - NEAR_ROUND
    )
    if not concerned:
        return None
    soonest = min(line.thirsty_at[1] or until for line in concerned)
    act_by = soonest - timedelta(hours=garden.manner.lead_h)
    key = f"warning {now:%Y-%m-%dT%H:%MZ} before {round_key(until)}"
    ends = about_to_be_lost(garden, as_is, until)
    lost = tuple(line for line in concerned if line.pot_id in ends)
    if is_quiet(garden, now) and not lost:
        return Hold(key, "quiet hours", None, concerned)
    if is_quiet(garden, now):
        people = tuple(person.name for person in garden.people)
        return Tell(key, "warning", people, now, until, lost, urgent=True)
    if can_act_later(garden, now, act_by):
        return Hold(key, "somebody can still act later, in good time", act_by, concerned)
    ready = able(garden, now)
    if not ready:
        return Hold(key, "nobody can act now", None, concerned)
    return Tell(key, "warning", tuple(person.name for person in ready), now, until, concerned)


def about_to_be_lost(garden: Garden, as_is: Outlook, until: datetime) -> frozenset[str]:
    """Return the ids of pots more likely than not at the end of their water before ``until``."""
    share = share_available(as_is.water_at(until), as_is.traits)
    ending = np.mean(share < LOST_SHARE, axis=1) > LIKELY
    return frozenset(pot.id for pot, ends in zip(garden.pots, ending, strict=True) if ends)
