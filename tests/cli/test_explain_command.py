"""`irrigate explain`: run as a process of its own on records that the service's step has left."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from irrigate.garden.actions import Hold, Tell
from irrigate.garden.events import Decided, Fact, Given
from irrigate.garden.rounds import next_rounds
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.service.as_known import AsKnown, decision_on, garden_at, present_at
from irrigate.service.thinking import lines_for, think
from tests.cli.kept_record import MEMBERS, Kept, invented_weather, irrigate, kept_record
from tests.cli.printed_arithmetic import faults

BEGINS = datetime(2025, 7, 11, 20, 0, tzinfo=UTC)  # 13:00 by the garden's clock
DAY = timedelta(days=1)
WEATHER = invented_weather(BEGINS + 6 * DAY)
AGAIN = "come out again, to the last bit"


@pytest.fixture(scope="module")
def two_days(tmp_path_factory: pytest.TempPathFactory) -> Kept:
    """Return a record of two days, in which the second evening was answered."""
    answered = (BEGINS + timedelta(hours=31), "all", None)
    folder = tmp_path_factory.mktemp("two") / "state"
    return kept_record(folder, BEGINS, BEGINS + 2 * DAY, WEATHER, answers=[answered])


def explained(kept: Kept, *words: str) -> str:
    """Return what the command prints, which has to succeed."""
    done = irrigate("explain", *words, "--state", str(kept.state))
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


def stored(kept: Kept, label: str, until: datetime | None = None) -> tuple[Fact, dict[str, float]]:
    """Return the last decision on a pot, and its central numbers."""
    at = until or BEGINS + 100 * DAY
    with closing(SqliteJournal(kept.journal, read_only=True)) as journal:
        pot = garden_at(journal, at).labelled(label)
        assert pot is not None
        decided = decision_on(journal, pot.id, at)
    assert decided is not None
    assert isinstance(decided.body, Decided)
    line = next(one for one in decided.body.action.lines if one.pot_id == pot.id)
    return decided, {
        name: value for name, value in line.reasons.items() if name.startswith("central_")
    }


def printed_numbers(text: str) -> dict[str, float]:
    """Return the numbers under the check, by name."""
    check = re.split(r"^\d+  Check$", text, flags=re.MULTILINE)[1]
    found = re.findall(r"^   (\w+_\w+) +([-+.e\d]+)", check, re.MULTILINE)
    return {name: float(value) for name, value in found}


@pytest.mark.parametrize("label", ["3", "7a", "12"])
def test_the_working_gives_the_stored_numbers_to_the_last_bit(two_days: Kept, label: str) -> None:
    """Every pot's central run comes out again, and what is printed is what was stored."""
    text = explained(two_days, label)
    _, numbers = stored(two_days, label)
    assert len(numbers) == 6
    assert AGAIN in text
    assert printed_numbers(text) == {
        name.removeprefix("central_"): value for name, value in numbers.items()
    }


def test_it_says_verdict_reasons_message_and_every_equation(two_days: Kept) -> None:
    """The decision is told in words first, then all equations that stand behind it."""
    text = explained(two_days, "3")
    decided, _ = stored(two_days, "3")
    assert isinstance(decided.body, Decided)
    assert text.startswith("3 pepper: decided on Sunday 13 July at 06:30, for the round at 07:00\n")
    assert " ".join(decided.body.text.split()) in " ".join(text.split())
    for words in ("Chance of getting thirsty before 18:30", "accepted: 20 %", "if it were full"):
        assert words in " ".join(text.split())
    for equation in (
        "Eq 82", "Eq 83", "Eq 73", "Eq 13", "Eq 7, 8", "Eq 11", "Eq 28", "Eq 37", "Eq 38", "Eq 39",
        "Eq 40", "Eq 45", "Eq 53", "Eq 101", "Eq 99", "Eq 70", "Eq 97", "Eq 98", "Box 18", "Eq 72",
        "Eq 75", "Eq 71", "Eq 74", "Eq 84", "Eq 85", "p. 202-203",
    ):  # fmt: skip
        assert equation in text
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "nan" not in text


@pytest.mark.parametrize("label", ["3", "7a", "12"])
def test_every_sum_holds_and_leads_to_what_was_stored(two_days: Kept, label: str) -> None:
    """Each result follows from the digits before it; the last one is the stored water (Eq 85)."""
    text = explained(two_days, label)
    assert faults(text.partition("The working")[2]) == []
    found = re.search(r"   ([\d.]+)(?: - [\d.]+)+ = ([\d.]+) L at the next round", text)
    assert found is not None
    numbers = printed_numbers(text)
    assert float(found[1]) == pytest.approx(numbers["water_l"], abs=0.0005)
    assert float(found[2]) == pytest.approx(numbers["water_at_next_round_l"], abs=0.0005)
    losses = sum(float(loss) for loss in re.findall(r" - ([\d.]+)", found[0]))
    gone = numbers["transpired_l"] + numbers["evaporated_l"]
    assert losses == pytest.approx(gone, abs=0.0016)


def test_what_a_tree_in_a_barrel_has_to_itself_is_shown(two_days: Kept) -> None:
    """A lemon's tight stomata, its stem, and the wood that breathes stand on its page only."""
    tree, herb = explained(two_days, "12"), explained(two_days, "7a")
    for words in ("Eq 102", "wood breathes", "What the wall gives off"):
        assert words in tree
        assert words not in herb


def test_the_first_evening_is_explained_as_such(two_days: Kept) -> None:
    """Where everything is watered till it runs, no chance is given as the reason."""
    text = explained(two_days, "7a", "--at", "2025-07-12T00:00")
    assert "every pot is watered till it runs, whatever is believed of it" in " ".join(text.split())
    assert AGAIN in text


def test_at_takes_the_garden_s_clock_or_an_offset(two_days: Kept) -> None:
    """Midnight in the garden and the same moment in UTC name the same decision."""
    local = explained(two_days, "3", "--at", "2025-07-12T00:00")
    assert explained(two_days, "3", "--at", "2025-07-12T07:00Z") == local
    assert "on Friday 11 July at 18:00" in local


def test_what_came_later_changes_no_explanation(tmp_path: Path) -> None:
    """A watering told after the decision, for a time before it, leaves the explanation alone.

    It does change what is believed now; and the service was started anew in between.
    """
    kept = kept_record(tmp_path / "state", BEGINS, BEGINS + 2 * DAY, WEATHER)
    before = explained(kept, "3")
    decided, numbers = stored(kept, "3")
    late = (BEGINS + 2 * DAY + timedelta(hours=1), "3 2 L", decided.valid_at - timedelta(hours=7))
    kept_record(kept.state, BEGINS + 2 * DAY, BEGINS + 3 * DAY, WEATHER, answers=[late])
    with closing(SqliteJournal(kept.journal, read_only=True)) as journal:
        given = [fact for fact in journal.facts((Given,)) if fact.recorded_at > decided.recorded_at]
        assert [fact.valid_at for fact in given] == [late[2]]
        view = AsKnown(journal, journal.position())
        now = present_at(view, decided.valid_at, MEMBERS)
    assert explained(kept, "3", "--at", decided.valid_at.isoformat()) == before
    assert now.standing is not None
    assert now.standing.belief.water_l[0].mean() > numbers["central_water_l"] + 0.05


def test_a_decision_older_than_every_checkpoint_comes_out_again(tmp_path: Path) -> None:
    """Where checkpoints are gone, folding from the first fact replaces them.

    The daemon's own belief went by a checkpoint a day, so this also says that both ways agree.
    """
    few, step = 24, timedelta(hours=1, minutes=30)
    kept = kept_record(
        tmp_path / "state", BEGINS, BEGINS + 6 * DAY, WEATHER, step=step, members=few
    )
    early = BEGINS + 3 * DAY
    with closing(SqliteJournal(kept.journal)) as journal:
        journal.drop_checkpoints(BEGINS)
        assert journal.checkpoint(early, journal.position()) is None
    assert AGAIN in explained(kept, "7a", "--at", early.isoformat(), "--members", str(few))
    assert AGAIN in explained(kept, "7a", "--members", str(few))


@pytest.fixture
def writable(two_days: Kept, tmp_path: Path) -> Iterator[tuple[Kept, SqliteJournal]]:
    """Return a copy of the record that may be added to."""
    (tmp_path / "state").mkdir()
    copy = Kept(tmp_path / "state", two_days.garden, ())
    with closing(SqliteJournal(two_days.journal, read_only=True)) as journal:
        journal.backup(copy.journal)
    with closing(SqliteJournal(copy.journal)) as journal:
        yield copy, journal


def test_a_number_that_does_not_come_out_is_named(writable: tuple[Kept, SqliteJournal]) -> None:
    """One bit off in what was stored: the explanation says which, and what may be behind it."""
    kept, journal = writable
    decided, _ = stored(kept, "3")
    assert isinstance(decided.body, Decided)
    action = decided.body.action
    assert isinstance(action, Tell)
    lines = tuple(
        replace(line, reasons=dict(line.reasons) | {"central_et0_mm": 1.25})
        for line in action.lines
    )
    other = Decided(replace(action, lines=lines), decided.body.text)
    journal.append([replace(decided, id="decided zzz", body=other)])
    text = explained(kept, "3")
    assert "1 of 6 numbers stored with it come out differently" in text
    assert re.search(r"et0_mm +1\.25  now \d", text)
    assert "another release" in text
    assert AGAIN not in text


def test_what_was_held_back_is_explained_too(writable: tuple[Kept, SqliteJournal]) -> None:
    """A warning that was not sent has its reason, and a working to the next round."""
    kept, journal = writable
    now = BEGINS + 2 * DAY
    present = present_at(AsKnown(journal, journal.position()), now, MEMBERS)
    assert present.standing is not None
    assert present.weather is not None
    until = next_rounds(present.standing.garden, now, 1)[0]
    lines = lines_for(think(present.standing, present.weather), now, until)
    hold = Hold("warning held", "nobody can act now", None, lines)
    journal.append([Fact("decided held", now, now, Decided(hold))])
    text = explained(kept, "3")
    assert "between rounds, but not said: nobody can act now" in text
    assert "The message" not in text
    assert AGAIN in text


def test_without_a_decision_it_shows_the_working_as_of_now(tmp_path: Path) -> None:
    """A service that has just begun has decided nothing; the working is there all the same."""
    kept = kept_record(tmp_path / "state", BEGINS, BEGINS + timedelta(hours=1), WEATHER)
    text = explained(kept, "12", "--at", "2025-07-11T14:20")
    assert text.startswith("12 lemon: nothing has been decided yet. The working as of on Friday")
    assert "Eq 53" in text
    assert "  Check" not in text


REFUSED = {
    ("7b",): "there is no pot 7b; did you mean 7a?",
    ("99",): "there is no pot 99; there are 3, 7a, 12",
    ("3", "--at", "noon"): "--at 'noon' is not a time; write one such as 2026-07-12T07:00",
    (
        "3",
        "--at",
        "2025-07-12",
    ): "--at '2025-07-12' is a date; add the time, as in 2025-07-12T07:00",
}


@pytest.mark.parametrize(("words", "said"), REFUSED.items())
def test_what_cannot_be_explained_is_said_plainly(
    two_days: Kept, words: tuple[str, ...], said: str
) -> None:
    """A wrong pot or time is an error that names it and how to mend it; exit code 2."""
    done = irrigate("explain", *words, "--state", str(two_days.state))
    assert (done.returncode, done.stdout, done.stderr) == (2, "", f"{said}\n")


def test_without_a_record_it_says_how_to_begin(tmp_path: Path) -> None:
    """No journal: nothing to explain, and nothing is made."""
    done = irrigate("explain", "3", "--state", str(tmp_path / "none"))
    assert done.returncode == 2
    assert "there is no record at" in done.stderr
    assert "irrigate run" in done.stderr
    assert not (tmp_path / "none").exists()
