"""The service through anything: late and repeated answers, failing weather, crashes anywhere.

A service in a file that crashes is led beside one in memory that does not, through the same life:
they must come to the same facts and the same beliefs.
"""

from __future__ import annotations

import tempfile
from collections import Counter
from datetime import timedelta
from pathlib import Path

import numpy as np
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from irrigate.garden.actions import Tell
from irrigate.garden.events import (
    Decided,
    Delivered,
    Fact,
    Forecast,
    Heard,
    Retracted,
    RoundTold,
    WeatherHours,
)
from irrigate.garden.weather import VALUES
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.outside.journal.sqlite import SqliteJournal
from tests.service.worlds import GARDEN, Crash, World, believed, same

TEXTS = [
    "all", "all but 1", "none", "only 2", "stopped after 2", "1 2 L", "2 3 L; 3 dry",
    "1 till it ran twice", "3 wilting", "rain 6 mm", "rain none", "undo", "thank you", "1 999 L",
    "at 18:20, 1 1 L", "",
]  # fmt: skip
GARDENS = [
    GARDEN,
    GARDEN.replace("wide: 50 cm", "wide: 30 cm"),
    GARDEN + "  4: {plant: basil, pot: 4 L, size: {wide: 30 cm, tall: 30 cm}, place: porch}\n",
    GARDEN.replace("plant: pepper", "plant: peppre"),
    "pots: [",
]


class LifeOfAService(RuleBasedStateMachine):
    """Two worlds with one fate; only the first crashes."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        root = Path(self.folder.name)
        for name in ("crashing", "steady"):
            (root / name).mkdir()
        self.path = root / "journal"
        self.crashing = World(SqliteJournal(self.path), root / "crashing")
        self.steady = World(MemoryJournal(), root / "steady")
        self.handed_in: list[tuple[str, str]] = []
        self.checked = 0
        self.crashes = 0

    @initialize()
    def begin(self) -> None:
        """Start both."""
        self._step()

    def teardown(self) -> None:
        """Leave nothing behind."""
        self.crashing.journal.close()
        self.folder.cleanup()

    def _step(self, *, reload: bool = False) -> None:
        self.steady.step(reload=reload)
        try:
            self.crashing.step(reload=reload)
        except Crash:
            self._restart()
            self.crashing.step()
        self.crashing.fuse.left = 0

    def _restart(self) -> None:
        """Open the file anew, as the next process would."""
        self.crashes += 1
        self.crashing.fuse.left = 0
        self.crashing.journal.close()
        self.crashing.journal = SqliteJournal(self.path)
        self.crashing.restart()

    # --- what may happen ------------------------------------------------------------------------
    @rule(
        minutes=st.sampled_from([7, 30, 60, 150, 400]), blows=st.integers(0, 9), after=st.booleans()
    )
    def time_passes(self, minutes: int, blows: int, after: bool) -> None:
        """Step after a while; at one of the next writes the power may go."""
        for world in (self.crashing, self.steady):
            world.now += timedelta(minutes=minutes)
        self.crashing.fuse.left, self.crashing.fuse.after = blows, after
        self._step()

    @rule(
        text=st.sampled_from(TEXTS), who=st.sampled_from(["Ann", "Bob"]),
        hours_ago=st.sampled_from([None, 0, 3, 30, 400]),
        blows=st.integers(0, 9), after=st.booleans(),
    )  # fmt: skip
    def somebody_speaks(
        self, text: str, who: str, hours_ago: int | None, blows: int, after: bool
    ) -> None:
        """Take in an answer, said now or hours ago; the power may go meanwhile."""
        key = f"item {len(self.handed_in)}"
        self.handed_in.append((key, text))
        for world in (self.crashing, self.steady):
            at = None if hours_ago is None else world.now - timedelta(hours=hours_ago)
            world.say(text, key=key, who=who, at=at)
        self.crashing.fuse.left, self.crashing.fuse.after = blows, after
        self._step()

    @rule(which=st.integers(0, 30))
    def the_same_answer_comes_again(self, which: int) -> None:
        """Hand in an item a second time; it is the same item."""
        if self.handed_in:
            key, text = self.handed_in[which % len(self.handed_in)]
            for world in (self.crashing, self.steady):
                world.say(text, key=key)
            self._step()

    @rule(fails=st.booleans())
    def weather_fails_or_returns(self, fails: bool) -> None:
        """Let the source fail, or come back."""
        for world in (self.crashing, self.steady):
            world.sky.fails = fails

    @rule(text=st.sampled_from(GARDENS), blows=st.integers(0, 5), after=st.booleans())
    def the_garden_file_is_edited(self, text: str, blows: int, after: bool) -> None:
        """Change the file, for better or worse, and have it read."""
        for world in (self.crashing, self.steady):
            world.now += timedelta(minutes=1)
            world.write(text)
        self.crashing.fuse.left, self.crashing.fuse.after = blows, after
        self._step(reload=True)

    @rule()
    def memory_is_lost(self) -> None:
        """Restart between two steps."""
        self._restart()
        self._step()

    # --- what must hold -------------------------------------------------------------------------
    @invariant()
    def one_message_for_each_key(self) -> None:
        """Nobody is told the same thing twice, unless it says that it may be a repeat."""
        plain = Counter(
            (message.key, message.person.name)
            for message in self.crashing.messages
            if not message.repeated
        )
        assert all(count == 1 for count in plain.values()), plain
        steady = Counter((one.key, one.person.name) for one in self.steady.messages)
        assert all(count == 1 for count in steady.values()), steady
        heard_of = {message.key for message in self.crashing.messages}
        assert {message.key for message in self.steady.messages} <= heard_of

    @invariant()
    def nothing_acknowledged_is_lost(self) -> None:
        """Every item handed in is waiting or in the journal, with its facts, once."""
        facts = self.crashing.journal.facts((Heard, Retracted))
        heard = Counter(fact.body.key for fact in facts if isinstance(fact.body, Heard))
        assert all(count == 1 for count in heard.values())
        for key, _ in self.handed_in:
            undone = any(fact.id.startswith(f"{key}/") for fact in facts)
            waiting = any(item.key == key for item in self.crashing.inbox.waiting())
            assert heard[key] or undone or waiting, key

    @invariant()
    def the_same_facts_and_beliefs(self) -> None:
        """Crashes leave no trace in what is believed, nor in what it rests on."""
        mine, others = (_comparable(world) for world in (self.crashing, self.steady))
        assert mine == others
        assert same(believed(self.crashing), believed(self.steady))

    @invariant()
    def numbers_are_numbers(self) -> None:
        """No NaN ever reaches the journal."""
        for fact in self.crashing.journal.since(self.checked):
            assert _finite(fact), fact
        self.checked = self.crashing.journal.position()

    @invariant()
    def every_message_is_in_the_journal(self) -> None:
        """Send nothing but what is word for word what the journal says was decided."""
        decided = {
            fact.body.action.key: fact.body.text
            for fact in self.crashing.journal.facts((Decided,))
            if isinstance(fact.body, Decided)
        }
        for message in self.crashing.messages:
            assert decided[message.key] == f"{message.title}\n{message.body}"
            assert self.crashing.journal.claimed(message.key)


def _comparable(world: World) -> dict[str, str]:
    """Return the facts that must not depend on crashes; of arrays only their size."""
    return {
        fact.id: f"{fact.valid_at} {fact.supersedes} {_shown(fact)}"
        for fact in world.journal.facts()
        if not isinstance(fact.body, Delivered)
    }


def _shown(fact: Fact) -> str:
    if isinstance(fact.body, WeatherHours | Forecast):
        return f"{len(fact.body.hours)} hours"
    return repr(fact.body)


def _finite(fact: Fact) -> bool:
    body = fact.body
    if isinstance(body, WeatherHours | Forecast):
        return all(bool(np.isfinite(getattr(body.hours, name)).all()) for name in VALUES)
    if isinstance(body, RoundTold):
        return bool(np.isfinite([*body.water_l.values(), *body.feel_l.values()]).all())
    if isinstance(body, Decided) and isinstance(body.action, Tell):
        return all(
            bool(np.isfinite([line.dose_l, line.chance_thirsty, *line.reasons.values()]).all())
            for line in body.action.lines
        )
    return True


TestLifeOfAService = LifeOfAService.TestCase
TestLifeOfAService.settings = settings(max_examples=10, stateful_step_count=18, deadline=None)
