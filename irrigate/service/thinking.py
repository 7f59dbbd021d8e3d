"""From the belief now to actions: inert values with their reasons, and the facts that record them.

Nothing is sent here. What is to be said is decided, put into words, and handed back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from irrigate.garden.actions import Action, Ask, Caution, Hold, Line, Tell
from irrigate.garden.believed import Standing
from irrigate.garden.deciding import prospect, verdicts
from irrigate.garden.effort import in_order
from irrigate.garden.events import Decided, Fact, GardenVersion, RoundTold
from irrigate.garden.forecast_errors import Doubt
from irrigate.garden.in_rain import in_rain, rain_likely
from irrigate.garden.outlook import HORIZON_H, Ahead, Outlook, look_ahead, run
from irrigate.garden.pots import Garden
from irrigate.garden.rounds import is_last_of_day, next_rounds, round_key, rounds_between
from irrigate.garden.warning import LIKELY, warning
from irrigate.garden.weather import Floats, HourlyWeather
from irrigate.garden.working import central_run
from irrigate.ports import Journal
from irrigate.service.asking import question_with, question_words
from irrigate.service.cautioning import SPEAKS, cautions_at, not_yet_said
from irrigate.service.wording import HOPELESS, told

# A round's message that is later than this is of no more use: it was missed.
LATE = timedelta(hours=1)
# For so long a line comes at every round even when there is nothing to do; later once a week.
SHOWING_LIFE = timedelta(days=14)
SIGN_OF_LIFE = timedelta(days=7)


@dataclass(frozen=True, slots=True, eq=False)
class Thought:
    """The week ahead from one moment, and what it was judged by.

    Parameters
    ----------
    standing : belief and garden at that moment.
    weather : the table around it.
    ahead, as_is : the coming hours, and the run without watering.
    paused : ids of pots that nothing is to be said of.
    unwell : ids of pots that nothing is learnt from.
    told_s : end of the last hour gone by that a source has told of [UTC epoch s].
    doubt : how wrong the forecast may be; None for what is usual.
    """

    standing: Standing
    weather: HourlyWeather
    ahead: Ahead
    as_is: Outlook
    paused: frozenset[str] = frozenset()
    told_s: int | None = None
    doubt: Doubt | None = None
    unwell: frozenset[str] = frozenset()

    @property
    def now(self) -> datetime:
        """The moment it was thought at."""
        return self.standing.belief.at

    @property
    def weather_age_h(self) -> float | None:
        """How long ago the last hour ended that a source has told of [h]."""
        if self.told_s is None:
            return None
        return max(0.0, (self.now.timestamp() - self.told_s) / 3600.0)


@dataclass(frozen=True, slots=True)
class Decision:
    """One action, the words for it, the facts and the question that go with it."""

    action: Action
    title: str = ""
    body: str = ""
    facts: tuple[Fact, ...] = ()
    ask: Ask | None = None

    @property
    def actions(self) -> tuple[Action, ...]:
        """All that was decided."""
        return (self.action,) if self.ask is None else (self.action, self.ask)


def think(
    standing: Standing,
    weather: HourlyWeather,
    paused: frozenset[str] = frozenset(),
    told_s: int | None = None,
    doubt: Doubt | None = None,
    unwell: frozenset[str] = frozenset(),
) -> Thought:
    """Run the week ahead from now."""
    ahead = look_ahead(standing, weather, HORIZON_H, doubt)
    as_is = run(ahead, standing.belief.store, standing.belief.at)
    return Thought(standing, weather, ahead, as_is, paused, told_s, doubt, unwell)


def lines_for(thought: Thought, at: datetime, until: datetime) -> tuple[Line, ...]:
    """Judge every pot that is not paused at a moment, with the next round ``until``."""
    central = central_run(thought.standing, thought.weather, until).summary()
    central = {**central, **with_rain(thought, until)}
    view = prospect(thought.standing, thought.ahead, thought.as_is, at, until, central)
    lines = verdicts(thought.standing, view)
    return tuple(line for line in lines if line.pot_id not in thought.paused)


def with_rain(thought: Thought, until: datetime) -> dict[str, Floats]:
    """Return what the rain that may fall changes, by name and pot; nothing where none is likely.

    Thirst is judged without it. These numbers are for what is too wet, and for what may wait.
    """
    if not rain_likely(thought.weather, thought.now, until):
        return {}
    wet = in_rain(thought.standing, thought.weather, thought.ahead, until, thought.doubt)
    return {
        "too_wet_with_rain_h": wet.too_wet_h.mean(axis=1),
        "chance_thirsty_with_rain": wet.outlook.chance_before(until),
    }


# --- a round -------------------------------------------------------------------------------
def round_due(thought: Thought, journal: Journal) -> datetime | None:
    """Return the round whose message is due and not yet claimed, if any.

    Of several that passed meanwhile only the latest is told; one passed by more than an hour is
    not told at all.
    """
    garden, now = thought.standing.garden, thought.now
    notice = timedelta(minutes=garden.manner.notice_min)
    near = rounds_between(garden, now - LATE, now + notice)
    if not near or journal.claimed(round_key(near[-1])):
        return None
    return near[-1]


def decide_round(thought: Thought, at: datetime, journal: Journal) -> Decision:
    """Decide what a round's message says; held where there is nothing to say."""
    garden, now = thought.standing.garden, thought.now
    begins = max(at, now)
    until = next_rounds(garden, begins, 1)[0]
    lines = lines_for(thought, begins, until)
    unknown = _states_unknown(journal, now)
    first = is_last_of_day(garden, at) and unknown
    if first:
        lines = tuple(_everything(line) for line in lines)
    found = cautions_at(thought.standing, thought.as_is, thought.weather, lines, begins, until)
    fresh = not_yet_said(found, garden, journal, now)
    if not first and _nothing_to_say(lines, fresh, thought, journal):
        hold = Hold(f"{round_key(at)} in silence", "nothing to do", until, lines)
        record = Fact(f"decided {hold.key}", now, now, Decided(hold))
        return Decision(hold, facts=(record,))
    tell = Tell(
        key=round_key(at),
        occasion="round",
        people=tuple(person.name for person in garden.people),
        at=at,
        until=until,
        lines=lines,
        highest_c=_highest_c(thought.weather, now, until),
        rain_mm=_rain_mm(thought.weather, now, until),
        till_ran=first,
        weather_age_h=thought.weather_age_h,
        guesses=unknown and not first,
        cautions=fresh,
    )
    ask = question_with(
        tell, thought.standing, thought.ahead, thought.as_is, thought.unwell, journal
    )
    return _told(tell, thought, (_round_told(thought.standing.garden, tell, now),), ask)


def _everything(line: Line) -> Line:
    """Return the line with its pot to be watered, whatever is believed of it."""
    return replace(line, verdict="water", dose_l=max(line.dose_l, 0.1), passes=2)


def _states_unknown(journal: Journal, now: datetime) -> bool:
    """Return whether everything has still to be watered till it runs, as on a first evening.

    Only in the first weeks: later the record knows the pots better than a soaking would.
    """
    oldest = journal.oldest(RoundTold)
    if oldest is not None and now - oldest.valid_at > SHOWING_LIFE:
        return False
    told = journal.facts((RoundTold,), valid_after=now - SHOWING_LIFE - LATE)
    return not any(isinstance(fact.body, RoundTold) and fact.body.till_ran for fact in told)


def _nothing_to_say(
    lines: Sequence[Line], fresh: Sequence[Caution], thought: Thought, journal: Journal
) -> bool:
    """Return whether a round may pass in silence: only later in the season, and not for long."""
    last, begun = journal.newest(RoundTold), journal.oldest(GardenVersion)
    if any(line.verdict != "leave" for line in lines) or last is None or begun is None:
        return False
    if any(one.kind in SPEAKS for one in fresh):
        return False
    if thought.now - begun.valid_at < SHOWING_LIFE:
        return False
    return thought.now - last.valid_at < SIGN_OF_LIFE


def _round_told(garden: Garden, tell: Tell, now: datetime) -> Fact:
    doses = {
        verdict: {line.pot_id: line.dose_l for line in tell.lines if line.verdict == verdict}
        for verdict in ("water", "feel")
    }
    below = {line.pot_id: line.below_l for line in tell.lines if line.below_l > 0.0}
    order = in_order(garden, [line for line in tell.lines if line.verdict == "water"])
    listed = tuple(line.pot_id for line in (*order.first, *order.if_time)) if order.if_time else ()
    body = RoundTold(tell.key, doses["water"], doses["feel"], tell.till_ran, below, listed)
    return Fact(f"told {tell.key}", max(tell.at, now), now, body)


def _told(
    tell: Tell, thought: Thought, facts: tuple[Fact, ...] = (), ask: Ask | None = None
) -> Decision:
    garden, now = thought.standing.garden, thought.now
    title, body = told(garden, tell)
    if ask is not None:
        question = question_words(garden, ask, tell.lines)
        body = f"{body}\n{question}"
        facts = (*facts, Fact(f"decided {ask.key}", now, now, Decided(ask, question)))
    record = Fact(f"decided {tell.key}", now, now, Decided(tell, f"{title}\n{body}"))
    return Decision(tell, title, body, (record, *facts), ask)


# --- between rounds ------------------------------------------------------------------------
def decide_between(thought: Thought, journal: Journal) -> Decision | None:
    """Decide whether somebody must hear of a pot before the next round."""
    garden, now = thought.standing.garden, thought.now
    until = next_rounds(garden, now, 1)[0]
    notice = timedelta(minutes=garden.manner.notice_min)
    last = journal.newest(RoundTold, valid_until=now)
    if last is None or now >= until - notice:
        return None
    since = last.recorded_at
    silent = rounds_between(garden, last.valid_at, now)
    if silent:
        # A round has passed since without a message: what the last one spoke of is past, too.
        last, since = None, silent[-1] - notice
    recent = [
        fact.body.action
        for fact in journal.facts((Decided,), valid_after=since - LATE)
        if isinstance(fact.body, Decided) and fact.recorded_at >= since
    ]
    known = _known(last, recent)
    if not _any_likely(thought, until, known):
        return None  # most hours of most days: nothing to work out in full
    lines = lines_for(thought, now, until)
    action = warning(garden, lines, thought.as_is, now, until, known)
    if action is None or (isinstance(action, Hold) and _held_before(action, recent)):
        return None
    if isinstance(action, Hold):
        record = Fact(f"decided {action.key}", now, now, Decided(action))
        return Decision(action, facts=(record,))
    tell = replace(
        action,
        highest_c=_highest_c(thought.weather, now, until),
        rain_mm=_rain_mm(thought.weather, now, until),
        weather_age_h=thought.weather_age_h,
    )
    return _told(tell, thought)


def _any_likely(thought: Thought, until: datetime, known: frozenset[str]) -> bool:
    """Return whether any pot not yet spoken of will probably get thirsty before the round."""
    chance = thought.as_is.chance_before(until)
    pots = thought.standing.garden.pots
    spoken = known | thought.paused
    return any(chance[row] > LIKELY and pot.id not in spoken for row, pot in enumerate(pots))


def _known(last: Fact | None, recent: Sequence[Action]) -> frozenset[str]:
    """Return the pots of which the last round's message or a warning since has spoken."""
    known: set[str] = set()
    if last is not None and isinstance(last.body, RoundTold):
        known |= {*last.body.water_l, *last.body.feel_l}
    for action in recent:
        if isinstance(action, Tell) and action.occasion == "warning":
            known |= {line.pot_id for line in action.lines}
        elif isinstance(action, Tell):
            known |= {line.pot_id for line in action.lines if line.chance_even_full > HOPELESS}
    return frozenset(known)


def _held_before(hold: Hold, recent: Sequence[Action]) -> bool:
    """Return whether the same pots were already held for the same reason since the round."""
    pots = {line.pot_id for line in hold.lines}
    return any(
        isinstance(action, Hold)
        and action.why == hold.why
        and pots <= {line.pot_id for line in action.lines}
        for action in recent
    )


# --- the sky -------------------------------------------------------------------------------
def _between(weather: HourlyWeather, start: datetime, stop: datetime) -> HourlyWeather:
    return weather.between(int(start.timestamp()), int(stop.timestamp()) + 3599)


def _highest_c(weather: HourlyWeather, start: datetime, stop: datetime) -> float | None:
    hours = _between(weather, start, stop)
    return float(np.max(hours.temperature_c)) if len(hours) else None


def _rain_mm(weather: HourlyWeather, start: datetime, stop: datetime) -> float | None:
    hours = _between(weather, start, stop)
    return float(np.sum(hours.rain_mm)) if len(hours) else None
