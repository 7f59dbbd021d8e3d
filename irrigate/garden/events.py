"""What happened: the vocabulary of facts that the journal keeps and the fold reads.

A fact is never edited. A later fact may supersede an earlier one by naming it; a `Retracted`
takes it back altogether. Facts are ordered by (valid_at, recorded_at, id).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from irrigate.garden.actions import Action
from irrigate.garden.pots import Garden
from irrigate.garden.weather_facts import Fared as Fared
from irrigate.garden.weather_facts import Forecast as Forecast
from irrigate.garden.weather_facts import ForecastMembers as ForecastMembers
from irrigate.garden.weather_facts import ForecastScored as ForecastScored
from irrigate.garden.weather_facts import RainAtPots as RainAtPots
from irrigate.garden.weather_facts import RainSaid as RainSaid
from irrigate.garden.weather_facts import WeatherHours as WeatherHours

Feel = Literal["wet", "moist", "dry"]
Outcome = Literal["all", "all but", "only", "none", "stopped after"]


# --- the garden ----------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class PotSeen:
    """A label of the garden file met for the first time, and the identities minted for it."""

    label: str
    pot_id: str
    vessel_id: str
    plant_id: str


@dataclass(frozen=True, slots=True)
class GardenVersion:
    """The whole garden from ``valid_at`` on; ``digest`` is that of the file's text."""

    garden: Garden
    digest: str


@dataclass(frozen=True, slots=True)
class Planted:
    """A new plant in the pot; what was learnt of thirst starts afresh."""

    pot_id: str


@dataclass(frozen=True, slots=True)
class CanopyMeasured:
    """How wide and tall the plant is [m]."""

    pot_id: str
    width_m: float
    height_m: float


@dataclass(frozen=True, slots=True)
class Resized:
    """The plant became smaller (or larger) at once: its width and height times ``factor``."""

    pot_id: str
    factor: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class Marked:
    """A mark set on a pot or taken off: paused ones are not spoken of, unwell ones not learnt."""

    pot_id: str
    mark: Literal["paused", "unwell"]
    on: bool


@dataclass(frozen=True, slots=True)
class Tended:
    """Something done to a pot that is not water on its mix.

    "saucer emptied" and "reservoir filled" change its water; the rest is kept for the record.
    ``volume_l`` is what the reservoir took until it was full, where that was said [L];
    ``round_key`` the round that the filling belongs to, if any.
    """

    pot_id: str
    what: str
    volume_l: float | None = None
    round_key: str | None = None


# --- water and what was seen of it ---------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Given:
    """Water given to a pot [L, gross]; ``spread`` is the relative sd of the amount.

    ``over_h`` is how long it took from ``valid_at`` on [h]: 0 for a can, hours for an emitter.
    ``how`` is "reservoir" where it went into the reservoir below instead of on the mix.
    """

    pot_id: str
    volume_l: float
    how: str = "can"
    spread: float = 0.15
    round_key: str | None = None
    over_h: float = 0.0


@dataclass(frozen=True, slots=True)
class TillRan:
    """Watered until it ran out below; ``twice`` when it was left to soak and run again."""

    pot_id: str
    volume_l: float | None = None
    twice: bool = False
    round_key: str | None = None


@dataclass(frozen=True, slots=True)
class Weighed:
    """The whole pot on a scale [kg]; ``anew`` when its zero is another one than before.

    A first weight on another scale, or on one that was tared, tells nothing of the water; those
    that follow do.
    """

    pot_id: str
    mass_kg: float
    anew: bool = False


@dataclass(frozen=True, slots=True)
class Finger:
    """How the mix felt at the second knuckle."""

    pot_id: str
    feel: Feel


@dataclass(frozen=True, slots=True)
class Wilting:
    """The plant hung its leaves."""

    pot_id: str


@dataclass(frozen=True, slots=True)
class Probe:
    """Water content read by a probe [m³ m⁻³]."""

    pot_id: str
    theta: float


@dataclass(frozen=True, slots=True)
class ProbeRaw:
    """The bare number that a probe showed, and its two points for this pot at that time.

    ``dry`` is what it shows in the mix when that is air-dry, ``wet`` in the pot just drained.
    """

    pot_id: str
    reading: float
    dry: float
    wet: float

    @property
    def share(self) -> float:
        """How far from air-dry (0) to just drained (1) it stands, whichever way it counts."""
        return (self.reading - self.dry) / (self.wet - self.dry)


@dataclass(frozen=True, slots=True)
class Drained:
    """What ran out below at the last watering, caught and measured [L]."""

    pot_id: str
    volume_l: float


@dataclass(frozen=True, slots=True)
class Foretold:
    """What the belief before an answer said of it; made once, when the answer came.

    Parameters
    ----------
    of : id of the answer's fact.
    pot_id : of which pot.
    kind : "ran", "weighed", "finger", "probe", "wilting" or "drained".
    quantiles : of an amount in the unit of the answer, at `irrigate.garden.scoring.LEVELS`.
    chances : of a word: dry, moist, wet; or of wilting alone.
    unit_l : water in the pot per unit of the amount [L].
    sign : 1 where more of it is more water in the pot, -1 where it is less.
    hour_l : what the pot uses in an hour of sun [L h⁻¹]; None where it used nothing that day.
    late : the answer came when later ones had been taken in.
    """

    of: str
    pot_id: str
    kind: str
    quantiles: tuple[float, ...] = ()
    chances: tuple[float, ...] = ()
    unit_l: float = 1.0
    sign: int = 1
    hour_l: float | None = None
    late: bool = False


# --- rounds and messages -------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class RoundTold:
    """What a round's message asked for: litres by pot id, surely or only if felt dry.

    ``below_l`` is the part of them that was to go into reservoirs; ``order`` the pots to water as
    they were listed, where that was not in walking order.
    """

    round_key: str
    water_l: Mapping[str, float]
    feel_l: Mapping[str, float]
    till_ran: bool = False
    below_l: Mapping[str, float] = field(default_factory=dict)
    order: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RoundAnswered:
    """What somebody said of a round as a whole, and the pots that were done by it.

    The water itself stands in `Given` and `TillRan` facts; pots that were to be felt have none,
    and got water where a finger would have found them dry.
    """

    round_key: str
    outcome: Outcome
    pot_ids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Decided:
    """An action as it was thought, before anything was done; ``text`` is what a person reads."""

    action: Action
    text: str = ""


@dataclass(frozen=True, slots=True)
class Claimed:
    """The right to do one thing, taken once, before doing it (an alert, a round's message)."""

    key: str


@dataclass(frozen=True, slots=True)
class Delivered:
    """What became of a message for one person."""

    key: str
    person: str
    ok: bool
    attempt: int
    detail: str = ""


# --- bookkeeping ---------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Heard:
    """A person's own words, kept as they came; ``key`` makes a repeat harmless."""

    key: str
    text: str


@dataclass(frozen=True, slots=True)
class Refused:
    """Something that could not be taken as a fact, and why."""

    what: str
    why: str


@dataclass(frozen=True, slots=True)
class Retracted:
    """The fact named by ``supersedes`` is taken back."""

    why: str = ""


@dataclass(frozen=True, slots=True)
class Unknown:
    """A kind this release does not know, kept as it was written."""

    kind: str
    payload: str


Body = (
    WeatherHours | Forecast | ForecastMembers | ForecastScored | RainAtPots
    | PotSeen | GardenVersion | Planted | CanopyMeasured | Resized | Marked | Tended
    | Given | TillRan | Weighed | Finger | Wilting | Probe | ProbeRaw | Drained | Foretold
    | RoundTold | RoundAnswered | Decided | Claimed | Delivered
    | Heard | Refused | Retracted | Unknown
)  # fmt: skip

BODIES: tuple[type[Body], ...] = (
    WeatherHours, Forecast, ForecastMembers, ForecastScored, RainAtPots,
    PotSeen, GardenVersion, Planted, CanopyMeasured, Resized, Marked, Tended,
    Given, TillRan, Weighed, Finger, Wilting, Probe, ProbeRaw, Drained, Foretold,
    RoundTold, RoundAnswered, Decided, Claimed, Delivered,
    Heard, Refused, Retracted,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact with its two times.

    Parameters
    ----------
    id : unique; a repeat of the same id is the same fact.
    valid_at : when it was so in the garden (UTC); the fold goes by this.
    recorded_at : when we came to know it (UTC); skill goes by this.
    body : what was so.
    who, channel : who said it, and by what way it came.
    confidence : 0–1, how sure the teller is.
    supersedes : id of the fact that this one corrects, if any.
    """

    id: str
    valid_at: datetime
    recorded_at: datetime
    body: Body
    who: str = "irrigate"
    channel: str = "service"
    confidence: float = 1.0
    supersedes: str | None = None

    @property
    def order(self) -> tuple[datetime, datetime, str]:
        """The place of the fact in the total order."""
        return (self.valid_at, self.recorded_at, self.id)


def standing(facts: list[Fact]) -> list[Fact]:
    """Return the facts that still stand, in order: the superseded and the takings-back left out.

    A fact may be superseded by one that is itself superseded: then the first stands again
    only if the second was taken back, so the chain is followed from the latest backwards.
    """
    gone: set[str] = set()
    taken_back: set[str] = set()
    for fact in sorted(facts, key=lambda one: (one.recorded_at, one.id), reverse=True):
        # A correction that was corrected itself still stands in the place of what it corrected.
        if fact.supersedes is not None and fact.id not in taken_back:
            gone.add(fact.supersedes)
            if isinstance(fact.body, Retracted):
                taken_back.add(fact.supersedes)
    kept = [fact for fact in facts if fact.id not in gone and not isinstance(fact.body, Retracted)]
    return sorted(kept, key=lambda fact: fact.order)
