"""What every journal promises, asked of the one in a file and of the one in memory alike."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from irrigate.errors import JournalError
from irrigate.garden.events import Claimed, Fact, Finger, Given, Heard, Retracted, Unknown
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.ports import Checkpoint, Journal

NOON = datetime(2025, 7, 1, 12, tzinfo=UTC)


def heard(name: str, hours: float = 0.0, recorded: float = 0.0) -> Fact:
    """Make a fact valid so many hours after noon, and recorded so many after that."""
    valid = NOON + timedelta(hours=hours)
    return Fact(name, valid, valid + timedelta(hours=recorded), Heard(name, "all"))


def claim(key: str, name: str | None = None) -> Fact:
    """Make a claim of a key."""
    return Fact(name or f"claim of {key}", NOON, NOON, Claimed(key))


def belief(hours: float, position: int = 0, content: bytes = b"belief") -> Checkpoint:
    """Make a checkpoint valid so many hours after noon."""
    return Checkpoint(NOON + timedelta(hours=hours), position, 1, content)


def ids(facts: list[Fact]) -> list[str]:
    """Return the ids of facts."""
    return [fact.id for fact in facts]


@pytest.fixture(params=["file", "memory"])
def journal(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Journal]:
    """Open an empty journal of either sort."""
    opened: Journal = (
        SqliteJournal(tmp_path / "journal.sqlite") if request.param == "file" else MemoryJournal()
    )
    yield opened
    opened.close()


# --- facts -----------------------------------------------------------------------------------
def test_a_new_journal_is_empty(journal: Journal) -> None:
    """Nothing has happened yet, and asking for it is no fault."""
    assert journal.position() == 0
    assert journal.facts() == journal.since(0) == journal.facts([Heard]) == []
    assert journal.fact("f") is None
    assert journal.checkpoint(NOON, 10) is None
    assert not journal.claimed("k")


def test_a_fact_comes_back_whole(journal: Journal) -> None:
    """Every field of a fact is kept."""
    fact = Fact(
        "f-1", NOON, NOON + timedelta(microseconds=1), Given("p-7", 1.5, "hose", 0.3, "r"),
        "Ana", "page", 0.75, "f-0",
    )  # fmt: skip
    journal.append([fact])
    assert journal.fact("f-1") == fact
    assert journal.facts() == journal.since(0) == [fact]


def test_facts_come_by_when_they_were_valid_then_recorded_then_by_id(journal: Journal) -> None:
    """The order is total, and has nothing to do with the order of appending."""
    facts = [
        heard("late", 2),
        heard("b", 1, 0),
        heard("é", 1, 0),
        heard("a", 1, 0.5),
        heard("Z", 1, 0),
        heard("early", -1, 9),
    ]
    journal.append(facts[:3])
    journal.append(facts[3:])
    assert ids(journal.facts()) == ["early", "Z", "b", "é", "a", "late"]
    assert journal.facts() == sorted(facts, key=lambda fact: fact.order)
    assert ids(journal.since(0)) == ids(facts)


def test_a_window_excludes_its_start_and_includes_its_end(journal: Journal) -> None:
    """Windows that meet share no fact and lose none, to the microsecond."""
    step = timedelta(microseconds=1)
    journal.append([heard(str(hour), hour) for hour in range(4)])
    one, two = NOON + timedelta(hours=1), NOON + timedelta(hours=2)
    assert ids(journal.facts(valid_after=one, valid_until=two)) == ["2"]
    assert ids(journal.facts(valid_after=one - step, valid_until=two - step)) == ["1"]
    assert ids(journal.facts(valid_after=two)) == ["3"]
    assert ids(journal.facts(valid_until=one)) == ["0", "1"]
    assert ids(journal.facts(valid_after=two, valid_until=one)) == []
    assert ids(journal.facts([Heard], valid_after=one, valid_until=two)) == ["2"]


def test_facts_can_be_asked_for_by_kind(journal: Journal) -> None:
    """Kinds pick among the facts, `Unknown` among those of other releases, in the same order."""
    facts = [
        Fact("a", NOON + timedelta(hours=2), NOON, Finger("p-1", "dry")),
        Fact("b", NOON + timedelta(hours=1), NOON, Given("p-1", 1.0)),
        Fact("c", NOON, NOON, Unknown("frost/1", '{"pot":"p-1"}')),
        Fact("d", NOON, NOON, Unknown("heard/99", "{}")),
        Fact("e", NOON, NOON, Heard("k", "all")),
    ]
    journal.append(facts)
    assert ids(journal.facts([Finger])) == ["a"]
    assert ids(journal.facts([Finger, Given])) == ["b", "a"]
    assert ids(journal.facts([Unknown])) == ["c", "d"]
    assert ids(journal.facts([Heard])) == ["e"]
    assert ids(journal.facts([Unknown, Heard, Given])) == ["c", "d", "e", "b"]
    assert journal.facts([]) == journal.facts([Retracted]) == []
    assert journal.fact("c") == facts[2]


def test_a_known_id_is_passed_over(journal: Journal) -> None:
    """A fact appended again, even with another body, changes nothing."""
    first = heard("f")
    journal.append([first, heard("f", 5)])
    journal.append([heard("f", 7), heard("g", 1)])
    assert journal.position() == 2
    assert journal.fact("f") == first
    assert ids(journal.since(1)) == ["g"]


def test_position_counts_what_was_appended(journal: Journal) -> None:
    """Reading on from a position gives each later fact once, in order of appending."""
    journal.append([heard("c", 3), heard("a", 1)])
    seen = journal.position()
    journal.append([])
    journal.append([heard("b", 2), heard("a", 1), heard("d", 0)], durable=True)
    assert (seen, journal.position()) == (2, 4)
    assert ids(journal.since(seen)) == ["b", "d"]
    assert journal.since(4) == journal.since(99) == []
    assert ids(journal.since(-1)) == ["c", "a", "b", "d"]


def test_facts_are_appended_all_or_none(journal: Journal) -> None:
    """One that cannot be kept takes those beside it along."""
    journal.append([claim("k")])
    with pytest.raises(JournalError, match="not a finite number"):
        journal.append([heard("a"), Fact("bad", NOON, NOON, Given("p-1", float("nan")))])
    with pytest.raises(JournalError, match="'k' was claimed before"):
        journal.append([heard("b"), claim("k", "another claim")])
    with pytest.raises(JournalError, match="'m' was claimed before"):
        journal.append([heard("c"), claim("m"), claim("m", "another claim")])
    assert journal.position() == 1
    assert not journal.claimed("m")


# --- claims ------------------------------------------------------------------------------------
def test_a_key_is_claimed_once(journal: Journal) -> None:
    """The first claim is granted and is a fact; the second is not, and is none."""
    assert journal.claim(claim("round 1"))
    assert not journal.claim(claim("round 1", "second try"))
    assert not journal.claim(claim("round 1"))
    assert journal.claim(claim("round 2"))
    assert journal.claimed("round 1")
    assert not journal.claimed("round")
    assert ids(journal.facts([Claimed])) == ["claim of round 1", "claim of round 2"]


def test_a_claim_that_was_appended_is_a_claim(journal: Journal) -> None:
    """Facts taken over from another journal keep their claims; the same fact twice is no fault."""
    journal.append([claim("k")])
    journal.append([claim("k")])
    assert journal.claimed("k")
    assert not journal.claim(claim("k", "second try"))


def test_only_a_claim_can_be_claimed_and_only_under_an_id_of_its_own(journal: Journal) -> None:
    """Neither another body nor another fact's id may stand for a claim."""
    journal.append([heard("f")])
    with pytest.raises(TypeError):
        journal.claim(heard("g"))
    with pytest.raises(JournalError, match="no claim of this key"):
        journal.claim(claim("k", "f"))
    assert not journal.claimed("k")


def test_of_many_threads_one_gets_the_claim(journal: Journal) -> None:
    """Threads that want one key at once: exactly one is granted each key."""

    def all_keys(thread: int) -> list[bool]:
        return [journal.claim(claim(f"k{key}", f"{thread}-{key}")) for key in range(10)]

    with ThreadPoolExecutor(6) as pool:
        granted = list(pool.map(all_keys, range(6)))
    assert [sum(column) for column in zip(*granted, strict=True)] == [1] * 10
    assert journal.position() == 10


def test_threads_read_while_one_writes(journal: Journal) -> None:
    """A reader sees whole batches only, and what it has seen never goes away."""

    def write() -> None:
        for batch in range(30):
            journal.append([heard(f"{batch}-{index}", batch) for index in range(3)])

    def read() -> list[int]:
        return [len(journal.facts([Heard])) for _ in range(30)]

    with ThreadPoolExecutor(4) as pool:
        readers = [pool.submit(read) for _ in range(3)]
        pool.submit(write).result()
        for reader in readers:
            counts = reader.result()
            assert all(count % 3 == 0 for count in counts)
            assert counts == sorted(counts)
    assert journal.position() == 90


# --- checkpoints -------------------------------------------------------------------------------
def test_the_newest_checkpoint_in_reach_is_given(journal: Journal) -> None:
    """Neither one of later time nor one that saw more facts will do."""
    for hours, position in [(1, 10), (2, 20), (2, 22), (1, 5)]:
        journal.save_checkpoint(belief(hours, position, bytes([position])))
    at = [NOON + timedelta(hours=hours) for hours in range(4)]
    # (1, 10) and (1, 5) lie on the day of (2, 22), and are not among the newest two.
    assert journal.checkpoint(at[3], 99) == belief(2, 22, b"\x16")
    assert journal.checkpoint(at[2], 21) == belief(2, 20, b"\x14")
    assert journal.checkpoint(at[2], 19) is None
    assert journal.checkpoint(at[2] - timedelta(microseconds=1), 99) is None


def test_the_newest_two_and_the_last_of_fifteen_days_are_kept(journal: Journal) -> None:
    """Checkpoints of twenty days leave sixteen, the oldest fifteen days back."""
    for hour in range(0, 480, 3):
        journal.save_checkpoint(belief(hour, hour))
    kept = {
        found.position
        for hour in range(480)
        if (found := journal.checkpoint(NOON + timedelta(hours=hour), 999)) is not None
    }
    # Noon is hour 0: a day's last multiple of three is at 21 o'clock UTC, hour 9 of the first.
    assert kept == {477, *(474 - 9 - 24 * day for day in range(14)), 474}


def test_a_checkpoint_saved_again_replaces_itself(journal: Journal) -> None:
    """Same moment and position: the later content stands."""
    journal.save_checkpoint(belief(1, 1, b"old"))
    journal.save_checkpoint(belief(1, 1, b"new"))
    assert journal.checkpoint(NOON + timedelta(days=1), 1) == belief(1, 1, b"new")


def test_checkpoints_after_a_late_fact_are_dropped(journal: Journal) -> None:
    """What is valid after the moment goes; what is valid at it stays."""
    for hours in (0, 24, 48):
        journal.save_checkpoint(belief(hours, hours))
    journal.drop_checkpoints(NOON + timedelta(hours=24))
    assert journal.checkpoint(NOON + timedelta(days=9), 99) == belief(24, 24)
    journal.drop_checkpoints(NOON - timedelta(microseconds=1))
    assert journal.checkpoint(NOON + timedelta(days=9), 99) is None


# --- the whole ----------------------------------------------------------------------------------
def test_a_backup_is_a_journal(journal: Journal, tmp_path: Path) -> None:
    """The copy holds every fact, claim and checkpoint, is one file, and replaces an older copy."""
    journal.append([heard("a", 3), heard("b", 1), Fact("u", NOON, NOON, Unknown("frost/7", "[1]"))])
    journal.claim(claim("k"))
    journal.save_checkpoint(belief(1, 2))
    folder = tmp_path / "backups"
    folder.mkdir()
    (folder / "copy").write_text("an older backup")
    journal.backup(folder / "copy")
    journal.append([heard("later")])
    assert [path.name for path in folder.iterdir()] == ["copy"]
    with_copy = SqliteJournal(folder / "copy")
    try:
        assert with_copy.since(0) == journal.since(0)[:4]
        assert with_copy.claimed("k")
        assert with_copy.checkpoint(NOON + timedelta(days=1), 9) == belief(1, 2)
    finally:
        with_copy.close()


def test_a_backup_that_cannot_be_written_says_so(journal: Journal, tmp_path: Path) -> None:
    """A folder that is not there is a `JournalError`, and the journal goes on."""
    with pytest.raises(JournalError, match="cannot be written: No such file"):
        journal.backup(tmp_path / "nowhere" / "copy")
    journal.append([heard("a")])
    assert journal.position() == 1


@pytest.mark.parametrize(
    "use",
    [
        lambda journal: journal.append([heard("a")]),
        lambda journal: journal.claim(claim("k")),
        lambda journal: journal.claimed("k"),
        lambda journal: journal.position(),
        lambda journal: journal.since(0),
        lambda journal: journal.facts(),
        lambda journal: journal.fact("a"),
        lambda journal: journal.save_checkpoint(belief(1)),
        lambda journal: journal.checkpoint(NOON, 1),
        lambda journal: journal.drop_checkpoints(NOON),
        lambda journal: journal.backup(Path("/nowhere/copy")),
    ],
)
def test_a_closed_journal_refuses_plainly(
    journal: Journal, use: Callable[[Journal], object]
) -> None:
    """After closing, every use is a `JournalError`; closing again is none."""
    journal.close()
    journal.close()
    with pytest.raises(JournalError, match="has been closed"):
        use(journal)


@pytest.mark.parametrize("naive", [datetime(2025, 7, 1, 12)])  # noqa: DTZ001 - that is the fault
def test_moments_without_a_zone_are_refused_everywhere(journal: Journal, naive: datetime) -> None:
    """Neither a fact nor a question may leave the zone open."""
    for use in (
        lambda: journal.append([Fact("a", naive, NOON, Heard("k", "all"))]),
        lambda: journal.facts(valid_after=naive),
        lambda: journal.facts(valid_until=naive),
        lambda: journal.save_checkpoint(Checkpoint(naive, 1, 1, b"")),
        lambda: journal.checkpoint(naive, 1),
        lambda: journal.drop_checkpoints(naive),
    ):
        with pytest.raises(JournalError, match="no time zone"):
            use()


def test_what_is_kept_is_plain_sqlite(tmp_path: Path) -> None:
    """The file can be read by any program that reads SQLite."""
    journal = SqliteJournal(tmp_path / "j")
    journal.append([heard("a")])
    journal.close()
    with sqlite3.connect(tmp_path / "j") as connection:
        rows = connection.execute("SELECT id, kind, version, content FROM facts").fetchall()
    assert rows == [("a", "heard", 1, '{"key":"a","text":"all"}')]
