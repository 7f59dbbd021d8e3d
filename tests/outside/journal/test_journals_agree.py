"""A journal in a file and one in memory, led through the same life, never differ."""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from irrigate.errors import JournalError
from irrigate.garden.events import Body, Claimed, Fact, Finger, Given, Heard, Unknown
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.ports import Checkpoint

START = datetime(2025, 7, 1, tzinfo=UTC)

# Few values of each sort, so that they meet often.
moments = st.integers(0, 40).map(
    lambda steps: START + timedelta(hours=5 * steps, microseconds=steps)
)
keys = st.sampled_from(["k", "l", "m", "ü"])
bodies: st.SearchStrategy[Body] = st.one_of(
    keys.map(Claimed),
    st.builds(Heard, keys, st.text(max_size=5)),
    st.builds(Finger, keys, st.sampled_from(["wet", "moist", "dry"])),
    st.builds(Given, keys, st.floats(0, 9)),
    st.builds(Unknown, st.sampled_from(["frost/1", "heard/2"]), st.just("{}")),
)
facts = st.builds(
    Fact,
    id=st.integers(0, 30).map(lambda number: f"f{number}"),
    valid_at=moments,
    recorded_at=moments,
    body=bodies,
)
kinds = st.none() | st.lists(st.sampled_from([Claimed, Heard, Finger, Given, Unknown]), unique=True)


class TwoJournals(RuleBasedStateMachine):
    """Do to both whatever is done to one, and compare all they tell."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "journal"
        self.file = SqliteJournal(self.path)
        self.memory = MemoryJournal()

    def teardown(self) -> None:
        """Leave nothing behind."""
        self.file.close()
        self.folder.cleanup()

    @rule(batch=st.lists(facts, max_size=5), durable=st.booleans())
    def append(self, batch: list[Fact], durable: bool) -> None:
        """Add the same facts, or be refused the same way."""
        said = []
        for journal in (self.file, self.memory):
            try:
                journal.append(batch, durable=durable)
                said.append("")
            except JournalError as refusal:
                said.append(str(refusal))
        assert said[0] == said[1]

    @rule(fact=facts, key=keys)
    def claim(self, fact: Fact, key: str) -> None:
        """Claim the same key under the same id."""
        wish = Fact(fact.id, fact.valid_at, fact.recorded_at, Claimed(key))
        said: list[object] = []
        for journal in (self.file, self.memory):
            try:
                said.append(journal.claim(wish))
            except JournalError as refusal:
                said.append(str(refusal))
        assert said[0] == said[1]

    @rule(at=moments, position=st.integers(0, 20), content=st.binary(max_size=4))
    def save_checkpoint(self, at: datetime, position: int, content: bytes) -> None:
        """Keep the same checkpoint."""
        for journal in (self.file, self.memory):
            journal.save_checkpoint(Checkpoint(at, position, 1, content))

    @rule(at=moments)
    def drop_checkpoints(self, at: datetime) -> None:
        """Forget the same checkpoints."""
        for journal in (self.file, self.memory):
            journal.drop_checkpoints(at)

    @rule()
    def reopen(self) -> None:
        """Stop the service and start it again: the file must not have forgotten anything."""
        self.file.close()
        self.file = SqliteJournal(self.path)

    @rule(chosen=kinds, after=st.none() | moments, until=st.none() | moments)
    def ask_for_facts(
        self, chosen: list[type] | None, after: datetime | None, until: datetime | None
    ) -> None:
        """Both give the same facts in the same order, for any kinds and window."""
        both = [
            journal.facts(chosen, valid_after=after, valid_until=until)
            for journal in (self.file, self.memory)
        ]
        assert both[0] == both[1] == sorted(both[0], key=lambda fact: fact.order)

    @rule(at=moments, position=st.integers(0, 20))
    def ask_for_a_checkpoint(self, at: datetime, position: int) -> None:
        """Both give the same checkpoint, or none."""
        assert self.file.checkpoint(at, position) == self.memory.checkpoint(at, position)

    @invariant()
    def they_agree(self) -> None:
        """Count, order of appending and claims are the same."""
        assert self.file.position() == self.memory.position() == len(self.file.since(0))
        assert self.file.since(0) == self.memory.since(0)
        for key in ("k", "l", "m", "ü"):
            assert self.file.claimed(key) == self.memory.claimed(key)


TestTheyAgree = TwoJournals.TestCase
TestTheyAgree.settings = settings(max_examples=20, stateful_step_count=20, deadline=None)
