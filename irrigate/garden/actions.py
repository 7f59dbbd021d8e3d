"""What is to be done: inert, printable values, each with its reason in numbers.

An action is written to the journal before anything is carried out, and `explain` prints the
very object that was carried out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar, Literal

Verdict = Literal["water", "feel", "leave"]
Occasion = Literal["round", "warning", "notice"]
Sought = Literal["feel", "litres", "weigh"]
CautionKind = Literal[
    "cold night", "standing water", "dry mix", "hot pot", "heavy", "hot hours"
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """The verdict on one pot at one moment.

    Parameters
    ----------
    pot_id : which pot.
    verdict : water it, feel it first, or leave it.
    dose_l : gross litres to give (for ``feel``: if it is dry); 0 to leave.
    passes : in how many passes the mix can take it.
    chance_thirsty : probability of passing the dry point before the next round [0–1].
    chance_even_full : the same, if it were full at this round [0–1].
    risk : the chance that is accepted [0–1].
    thirsty_at : 10, 50 and 90 % quantiles of the dry-out time (UTC), None past the outlook.
    share_left : 10, 50 and 90 % quantiles of available water now [0–1].
    reasons : further numbers that decided, by name with the unit in it.
    below_l : the part of the dose that goes into the reservoir of a pot that waters itself [L].
    """

    pot_id: str
    verdict: Verdict
    dose_l: float
    passes: int
    chance_thirsty: float
    chance_even_full: float
    risk: float
    thirsty_at: tuple[datetime | None, datetime | None, datetime | None]
    share_left: tuple[float, float, float]
    reasons: Mapping[str, float]
    below_l: float = 0.0


@dataclass(frozen=True, slots=True)
class Caution:
    """Something besides water that a round should know of.

    Parameters
    ----------
    kind : what it is (`irrigate.garden.cautions`).
    pot_ids : the pots concerned, in walking order; none where it concerns the people.
    air_c : the coldest or hottest hour that makes it so [°C], where it is weather.
    each_kg : what each of the pots weighs when it is full [kg], where it is weight.
    """

    kind: CautionKind
    pot_ids: tuple[str, ...] = ()
    air_c: float | None = None
    each_kg: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Tell:
    """Say something to somebody, once.

    Parameters
    ----------
    key : claimed in the journal before the message goes; the same key is never told twice.
    occasion : a round's message, a warning between rounds, or a notice about the tool itself.
    people : names of those it goes to.
    at : the moment it is for: the round's time, or the moment of the warning (UTC).
    until : the next round (UTC), up to which the lines look.
    lines : the verdicts, in walking order.
    highest_c, rain_mm : warmest hour and rain expected until the next round.
    till_ran : the first evening: water everything till it runs, twice.
    urgent : may break quiet hours.
    guesses : nothing is known of the pots yet; the first soaking is still to come.
    weather_age_h : how long ago the last hour ended that a source has told of [h].
    notice : the text of a notice; empty for the others.
    cautions : what else the round should know.
    """

    key: str
    occasion: Occasion
    people: tuple[str, ...]
    at: datetime
    until: datetime
    lines: tuple[Line, ...] = ()
    highest_c: float | None = None
    rain_mm: float | None = None
    till_ran: bool = False
    urgent: bool = False
    notice: str = ""
    weather_age_h: float | None = None
    guesses: bool = False
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class Hold:
    """Something was about to be said and is not: why, and until when (UTC)."""

    key: str
    why: str
    until: datetime | None
    lines: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True)
class Ask:
    """One question a day, in the day's first message: the one that would teach the garden most.

    Parameters
    ----------
    key : of the question; it goes with the message of the round.
    people : names of those it goes to.
    at, until : the round of that message, and the next one (UTC).
    pot_id : which pot.
    sought : how wet it feels, how many litres it takes till it runs, or what it weighs.
    settles : of the rounds of a week, over all pots, how many would be judged wrongly without the
        answer and rightly with it [–].
    reasons : further numbers that decided, by name with the unit in it.
    """

    lines: ClassVar[tuple[Line, ...]] = ()
    occasion: ClassVar[Literal["question"]] = "question"

    key: str
    people: tuple[str, ...]
    at: datetime
    until: datetime
    pot_id: str
    sought: Sought
    settles: float
    reasons: Mapping[str, float]


Action = Tell | Hold | Ask
