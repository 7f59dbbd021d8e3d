"""`irrigate skill` and the sentence in `explain`, on a record that the real step wrote."""

from __future__ import annotations

import csv
import io
import json
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from irrigate.cli.tables import table
from irrigate.outside.journal.sqlite import SqliteJournal
from tests.cli.kept_record import Kept, invented_weather, irrigate, kept_record

HOUR = timedelta(hours=1)
BEGINS = datetime(2026, 7, 9, 23, 0, tzinfo=UTC)  # 16:00 in the garden
ENDS = BEGINS + timedelta(days=4)
EVENING = datetime(2026, 7, 10, 2, 0, tzinfo=UTC)  # 19:00, after the first evening's round
ANSWERS = [
    (EVENING, "all", None),
    (EVENING + 12 * HOUR, "3 moist; 7a moist; 12 wet", None),
    (EVENING + 24 * HOUR, "3 till it ran 1.5 L; 7a till it ran 0.6 L", None),
    (EVENING + 36 * HOUR, "3 moist", None),
    (EVENING + 48 * HOUR, "3 till it ran 2 L; 12 weighs 60 kg", None),
    (EVENING + 49 * HOUR, "7a dry", None),
    (EVENING + 50 * HOUR, "undo", None),
    (EVENING + 60 * HOUR, "3 dry", EVENING + 30 * HOUR),
]


@pytest.fixture(scope="module")
def record(tmp_path_factory) -> Kept:
    """Return four invented days with answers."""
    folder = tmp_path_factory.mktemp("skill")
    return kept_record(folder, BEGINS, ENDS, invented_weather(BEGINS), answers=ANSWERS, members=60)


def _skill(kept: Kept, *words: str):
    return irrigate("skill", *words, "--state", str(kept.state))


def test_the_table_is_in_words_and_in_the_gardeners_units(record):
    """A summary for all pots, a row for each that was checked, and what an hour of sun is."""
    said = _skill(record)
    assert said.returncode == 0, said.stderr
    assert said.stderr == ""
    first = said.stdout.splitlines()[0]
    assert first.startswith("All pots: 9 checks: ")
    counted = [int(word) for word in first.replace(":", " ").replace(",", " ").split() if
               word.isdigit()]  # fmt: skip
    assert counted[0] == sum(counted[1:]) == 9
    assert "Half of the amounts were within " in said.stdout
    assert "late" in said.stdout
    for row in ("all pots", "3 pepper", "7a basil", "12 lemon"):
        assert any(line.startswith(row) for line in said.stdout.splitlines()), row
    assert all(len(line) <= 80 for line in said.stdout.splitlines())


def test_a_long_name_takes_no_room_from_the_numbers():
    """It goes on in a second line; headings and amounts stay whole."""
    name, amounts = "pepper, driveway behind the shed (2, 3 and 4)", ("12", "1¾ cups", "15.0")
    drawn = table(("pot", "checks", "predicted", "of sun"), [(name, *amounts)], width=60,
                  names_wrap=True)  # fmt: skip
    assert "…" not in drawn
    assert all(word in drawn for word in ("predicted", *amounts, "(2, 3"))
    assert all(len(line) <= 60 for line in drawn.splitlines())


def test_one_pot_alone(record):
    """Its own checks and no table; an unknown pot is told with those that there are."""
    said = _skill(record, "7a")
    assert said.stdout.startswith("7a basil: 2 checks: ")
    assert "too little to judge by" in said.stdout
    assert "12 lemon" not in said.stdout
    assert _skill(record, "7").returncode == 2
    assert "there is no pot 7" in _skill(record, "7").stderr


def test_json_and_csv_say_the_same_and_add_up(record, tmp_path):
    """Each answer a row; what they come to is worked out again here by numpy."""
    plain = json.loads(_skill(record, "--json").stdout)
    path = tmp_path / "answers.csv"
    assert _skill(record, "--csv", str(path)).stdout == f"written: {path}\n"
    table = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"))))
    assert len(table) == len(plain["answers"]) == plain["garden"]["checks"] == 9
    errors = [abs(float(row["error_l"])) for row in table if row["error_l"]]
    assert plain["garden"]["error_l"] == pytest.approx(np.median(errors), abs=1e-4)
    inside = sum(row["inside_80"] == "yes" for row in table if row["error_l"])
    assert plain["garden"]["inside"] == inside
    for row in table:
        if row["kind"] == "ran":
            found = float(row["foretold_50"]) - float(row["said"])
            assert float(row["error_l"]) == pytest.approx(found, abs=1e-4)
        if row["kind"] == "finger":
            chance = float(row[f"chance_{row['said']}"])
            assert np.exp(-float(row["log_score"])) == pytest.approx(chance, abs=2e-5)
    assert [row["late"] for row in table].count("yes") == 1
    assert sum(one["checks"] for one in plain["pots"]) == 9


def test_since_a_day(record):
    """Only answers of that day and later count; what is no date is told."""
    some = json.loads(_skill(record, "--json", "--since", "2026-07-11").stdout)
    assert 0 < some["garden"]["checks"] < 9
    wrong = _skill(record, "--since", "yesterday")
    assert wrong.returncode == 2
    assert "is not a date" in wrong.stderr


def test_a_record_without_answers_says_so(tmp_path):
    """Nothing to compare yet: what to say is named, and no number is shown."""
    kept = kept_record(tmp_path, BEGINS, BEGINS + 2 * HOUR, invented_weather(BEGINS), members=8)
    said = _skill(kept)
    assert (said.returncode, said.stdout.splitlines()[0]) == (0, "All pots: no checks yet.")
    assert "till it ran" in said.stdout
    json.loads(_skill(kept, "--json").stdout)
    assert irrigate("skill", "--state", str(tmp_path / "none")).returncode == 2


def test_explain_quotes_it(record):
    """One sentence in the explanation of a pot."""
    said = irrigate("explain", "3", "--state", str(record.state))
    assert said.returncode == 0, said.stderr
    assert "Of this pot 5 checks: " in " ".join(said.stdout.split())


def test_what_was_foretold_stays_as_it_was_noted(record):
    """Looking leaves nothing in the record."""
    with_it = SqliteJournal(record.journal, read_only=True)
    before = with_it.position()
    _skill(record)
    assert with_it.position() == before
    with_it.close()


def test_log_asks_back_at_once(record, tmp_path):
    """Litres that a pot cannot have had room for are kept and asked about in the same breath."""
    import shutil

    state = tmp_path / "state"
    shutil.copytree(record.state, state)
    said = irrigate(
        "log", "3", "till it ran 18 L", IRRIGATE_STATE=str(state),
        IRRIGATE_GARDEN=str(record.garden),
    )  # fmt: skip
    assert said.returncode == 0, said.stderr
    assert said.stdout.startswith("logged: 3 pepper took 18 L till it ran")
    assert "Was it pot 3? If not: irrigate log undo 3" in said.stdout
