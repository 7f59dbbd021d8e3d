"""One step of the service: gather, think, write the intent, act, write the outcome.

The daemon, the demo and the replay all call `run_once`, so what is replayed is what runs.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from irrigate.errors import GardenFileError
from irrigate.garden.actions import Action, Hold
from irrigate.garden.events import GardenVersion
from irrigate.garden.pots import Garden
from irrigate.garden.rounds import round_key, rounds_between
from irrigate.ports import GardenFile, Inbox, Journal, Outbox, Trouble, Weather
from irrigate.service.acting import carry_out, claim, tell_again
from irrigate.service.beliefs import Grounds, Present, brought_up, first_grounds
from irrigate.service.doubting import with_doubts
from irrigate.service.forecast_scoring import score_due
from irrigate.service.foretelling import foretold_facts
from irrigate.service.gardening import answer_refused, garden_refused, take_garden
from irrigate.service.intake import (
    take_answer,
    take_receipts,
    take_weather,
)
from irrigate.service.thinking import (
    Decision,
    Thought,
    decide_between,
    decide_round,
    round_due,
    think,
)
from irrigate.service.weather_notices import fetch_notices, trouble_notices
from irrigate.service.wilted import roots_told, wet_though_wilting

HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, eq=False)
class Ports:
    """The world outside, as a step needs it, and the size of the ensemble.

    ``troubles`` tells the sources of weather that fail at present.
    """

    journal: Journal
    inbox: Inbox
    weather: Weather
    outbox: Outbox
    garden_file: GardenFile
    members: int = 200
    troubles: Callable[[], Sequence[Trouble]] = tuple


@dataclass(frozen=True, slots=True, eq=False)
class Memory:
    """What one step leaves for the next; losing it costs time, never a fact.

    Parameters
    ----------
    started : whether what the journal holds was looked through.
    resumed : this process has been here before, so that nothing posted is to be sent again.
    grounds : what the belief rests on.
    digest : of the garden file last taken or refused.
    garden : the last good one.
    thought_at : when the week ahead was last run. The run itself goes with the step that made
        it: some 7 MiB for 50 pots that a small machine need not keep.
    remarks : what the weather source had to say last.
    """

    started: bool = False
    resumed: bool = False
    grounds: Grounds = field(default_factory=Grounds)
    digest: str | None = None
    garden: Garden | None = None
    thought_at: datetime | None = None
    remarks: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """What one step did.

    Parameters
    ----------
    memory : for the next step.
    actions : decided in this step.
    present : the belief now; None if nothing called for folding.
    thought : the week ahead; None if nothing called for it.
    said : lines for the log, fit to be read.
    """

    memory: Memory
    actions: tuple[Action, ...] = ()
    present: Present | None = None
    thought: Thought | None = None
    said: tuple[str, ...] = field(default=())


def run_once(now: datetime, memory: Memory, ports: Ports, *, reload: bool = False) -> Step:
    """Do one whole step at ``now``.

    Parameters
    ----------
    now : the present (UTC).
    memory : from the last step; an empty one after a start.
    ports : the world outside.
    reload : read the garden file again, even if it was read before.
    """
    said: list[str] = []
    starting = not memory.started
    if starting:
        grounds = first_grounds(ports.journal, now)
        memory = _last_good(replace(memory, started=True, grounds=grounds), ports.journal)
        if memory.garden is not None and not memory.resumed:
            again = tell_again(now, memory.garden, ports.journal, ports.outbox)
            said += [f"sent again, as nobody confirmed it: {key}" for key in again]
    if starting or reload:
        memory = _gather_garden(now, memory, ports, said)
    garden = memory.garden
    if garden is None:
        return Step(memory, said=tuple(said))
    before = ports.journal.position()
    remarks = _gather(now, garden, memory.grounds, ports, said)
    memory = replace(memory, remarks=remarks or memory.remarks)
    changed = ports.journal.position() != before or reload
    if not changed and not _calls_for_thought(now, garden, memory.thought_at):
        return Step(memory, said=tuple(said))
    return _think_and_act(now, memory, ports, said)


# --- gather --------------------------------------------------------------------------------
def _last_good(memory: Memory, journal: Journal) -> Memory:
    version = journal.newest(GardenVersion)
    body = version.body if version else None
    if isinstance(body, GardenVersion):
        return replace(memory, digest=body.digest, garden=body.garden)
    return memory


def _gather_garden(now: datetime, memory: Memory, ports: Ports, said: list[str]) -> Memory:
    try:
        taken = take_garden(ports.garden_file, ports.journal, memory.digest, now)
    except GardenFileError as wrong:
        if memory.garden is None:
            raise
        said.append(f"garden file not taken, going on with the last good one: {wrong.faults[0]}")
        _tell_once(garden_refused(wrong, memory.garden, now), now, memory.garden, ports)
        return memory
    if not taken.facts:
        return memory
    ports.journal.append(taken.facts, durable=True)
    said.append("the garden file was read anew")
    memory = _last_good(memory, ports.journal)
    if taken.question is not None and memory.garden is not None:
        _tell_once(taken.question, now, memory.garden, ports)
    return memory


def _tell_once(notice: Decision, now: datetime, garden: Garden, ports: Ports) -> None:
    if not ports.journal.claimed(notice.action.key):
        carry_out(notice, now, garden, ports.journal, ports.outbox)


def _gather(now: datetime, garden: Garden, grounds: Grounds, ports: Ports, said: list[str]) -> str:
    """Take in answers, receipts and weather; return what the weather source had to say."""
    for item in ports.inbox.waiting():
        taken = take_answer(item, garden, ports.journal, now)
        told = foretold_facts(taken.facts, grounds, ports.journal, now, ports.members)
        sick = wet_though_wilting(taken.facts, grounds, ports.journal, now, ports.members)
        for mark in sick:
            _tell_once(roots_told(mark, garden, now), now, garden, ports)
        ports.journal.append((*taken.facts, *told, *sick), durable=True)
        said.append(f"{item.who} said {item.text!r}: {taken.reply}")
        if taken.refused:
            # It was acknowledged when it was handed in, so its refusal must be heard of, too.
            _tell_once(answer_refused(item, taken.reply, garden, now), now, garden, ports)
        ports.inbox.done([item.key])
    receipts = take_receipts(ports.outbox.receipts(), now)
    ports.journal.append(receipts.facts)
    said += [receipts.reply] if receipts.reply else []
    for told_of in trouble_notices(ports.troubles(), garden, now):
        _tell_once(told_of, now, garden, ports)
    fetched = ports.weather.latest(now)
    if fetched is None:
        return ""
    taken = take_weather(fetched, garden, grounds.facts, now)
    ports.journal.append(taken.facts)
    for told_of in fetch_notices(fetched, garden, ports.journal, now):
        _tell_once(told_of, now, garden, ports)
    if taken.reply:
        said.append(f"weather from {fetched.source}: {taken.reply}")
    return taken.reply


def _calls_for_thought(now: datetime, garden: Garden, last: datetime | None) -> bool:
    """Return whether an hour began since the last thought, or a round's message may be due."""
    if last is None or now.replace(minute=0, second=0, microsecond=0) > last:
        return True
    notice = timedelta(minutes=garden.manner.notice_min)
    return bool(rounds_between(garden, last + notice, now + notice))


# --- think, write, act ---------------------------------------------------------------------
def _think_and_act(now: datetime, memory: Memory, ports: Ports, said: list[str]) -> Step:
    grounds, present = brought_up(memory.grounds, ports.journal, now, ports.members)
    memory = replace(memory, grounds=grounds)
    if present.standing is None or present.weather is None:
        return Step(memory, present=present, said=(*said, "waiting for the first weather"))
    scored = score_due(ports.journal, grounds.facts, now)
    if scored is not None:
        ports.journal.append((scored,))
    thought = think(
        present.standing, present.weather, present.paused, present.told_s, present.doubt,
        present.unwell,
    )  # fmt: skip
    garden = present.standing.garden
    memory = replace(memory, thought_at=now, garden=garden)
    decision = _decide(now, thought, ports.journal)
    if decision is None:
        return Step(memory, (), present, thought, tuple(said))
    decision = with_doubts(decision, ports.journal, garden, now)
    carry_out(decision, now, garden, ports.journal, ports.outbox)
    said.append(f"decided {decision.action.key}")
    return Step(memory, decision.actions, present, thought, tuple(said))


def _decide(now: datetime, thought: Thought, journal: Journal) -> Decision | None:
    due = round_due(thought, journal)
    if due is None:
        return decide_between(thought, journal)
    decision = decide_round(thought, due, journal)
    if isinstance(decision.action, Hold):
        # Nothing to say at this round: settled all the same, so that it is not asked again.
        return replace(decision, facts=(claim(round_key(due), now), *decision.facts))
    return decision
