"""Belief as a fold over facts: the same code live, in replay and after a restart.

`fold` takes a belief at one moment, the facts and the weather since, and gives the belief at a
later moment. It never edits a belief in place, and it gives the same bits from any checkpoint.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from irrigate.garden.believed import Standing
from irrigate.garden.events import (
    CanopyMeasured,
    Drained,
    Fact,
    Finger,
    GardenVersion,
    Given,
    Marked,
    Planted,
    Probe,
    ProbeRaw,
    Resized,
    RoundTold,
    Tended,
    Weighed,
    Wilting,
)
from irrigate.garden.passage import WATERED, Passage, Told
from irrigate.garden.watering import portions
from irrigate.garden.weather import HOUR_S, HourlyWeather

FOLDED = (
    GardenVersion, Planted, CanopyMeasured, Resized, Marked, Tended, *WATERED,
    RoundTold, Finger, Weighed, Wilting, Probe, ProbeRaw, Drained,
)  # fmt: skip
"""Kinds of fact that change a belief. (Reports of rain change the weather it is stepped with.)"""


def fold(
    start: Standing | None,
    facts: Sequence[Fact],
    weather: HourlyWeather,
    until: datetime,
    members: int,
) -> Standing | None:
    """Bring a belief up to a later moment.

    Parameters
    ----------
    start : where to start; None before the first garden version.
    facts : facts that stand, in order; those after ``start.belief.at`` and not after ``until``
        are applied. Answers to rounds are looked for among all of them.
    weather : hour by hour without gaps or NaN, from `LEAD` before the start to ``until`` (an
        hour begun counts whole).
    until : the moment wanted (UTC).
    members : size of the ensemble, for a first garden.

    Returns
    -------
    The belief at ``until``; None while there is no garden or no weather. Without a start, a
    garden older than the weather is believed in from the first hour of the weather on.

    Raises
    ------
    ValueError : the weather does not reach far enough.
    """
    after = start.belief.at if start else None
    begins = int(weather.end_s[0]) - HOUR_S if len(weather) else None
    if start is None and (begins is None or begins > until.timestamp()):
        return None
    passage = Passage(start, Told.by(facts), weather, members)
    # Of the many that are at hand few are new: the others need not even be put in order.
    due = (fact for fact in facts if after is None or fact.valid_at > after or _lasts(fact))
    parted = (part for fact in due if isinstance(fact.body, FOLDED) for part in portions(fact))
    for fact in sorted(parted, key=lambda part: part.order):
        if fact.valid_at <= until and (after is None or fact.valid_at > after):
            passage.take(fact)
    return passage.finish(until)


def _lasts(fact: Fact) -> bool:
    """Return whether a fact goes on after its moment."""
    return isinstance(fact.body, Given) and fact.body.over_h > 0.0
