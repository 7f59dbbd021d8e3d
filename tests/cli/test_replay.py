"""The replay command as a person runs it: what it writes, and what it adds up to."""

from __future__ import annotations

import contextlib
import os
import pty
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from irrigate.cli.main import run
from tests.cli.replay_scene import EVENTS, GARDEN, NAMES, START, Scene, weather, written

HOURS = 60


@pytest.fixture(scope="module")
def lived(tmp_path_factory: pytest.TempPathFactory) -> Scene:
    """Return a scene that was replayed for two days and a half."""
    scene = Scene(tmp_path_factory.mktemp("replay"))
    scene.write(GARDEN, written(weather(HOURS)), EVENTS)
    done = scene.run()
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    return scene


def test_water_in_less_water_out_is_the_change(lived: Scene) -> None:
    """In each pot and in the garden, recomputed from the printed totals, to a millionth of a litre.

    The printed totals have nine decimals.
    """
    summary = lived.summary()
    for total in (*summary["pots"].values(), summary["whole_garden"]):
        into = total["rained_l"] + total["given_l"] + total["corrected_l"]
        out = total["transpired_l"] + total["evaporated_l"] + total["drained_l"]
        assert into - out - total["change_l"] == pytest.approx(0.0, abs=1e-6)
        assert total["imbalance_l"] == pytest.approx(0.0, abs=1e-6)
        assert total["given_l"] > 0.5
        assert total["rained_l"] > 0.1


def test_the_hours_add_up_to_the_totals(lived: Scene) -> None:
    """The columns of hours.csv, rounded to five decimals, sum to the summary's litres."""
    rows = lived.rows("hours.csv")
    assert len(rows) == 3 * HOURS
    for label, total in lived.summary()["pots"].items():
        mine = [row for row in rows if row["pot"] == label]
        summed = {
            name: sum(float(row[name]) for row in mine)
            for name in ("use_l", "drained_l", "given_l", "rained_l", "corrected_l")
        }
        assert summed["use_l"] == pytest.approx(
            total["transpired_l"] + total["evaporated_l"], abs=HOURS * 1e-5
        )
        for name in ("drained_l", "given_l", "rained_l", "corrected_l"):
            assert summed[name] == pytest.approx(total[name], abs=HOURS * 1e-5)


def test_every_hour_is_told_of_every_pot(lived: Scene) -> None:
    """Times rise by the hour from the first to the last; quantiles are in order, chances shares."""
    rows = lived.rows("hours.csv")
    times = [row["time"] for row in rows if row["pot"] == "B7"]
    assert times == sorted(times)
    assert (times[0], times[-1]) == ("2026-07-07T08:00:00Z", "2026-07-09T19:00:00Z")
    for row in rows:
        assert float(row["water_low_l"]) <= float(row["water_l"]) <= float(row["water_high_l"])
        assert 0.0 <= float(row["chance_thirsty"]) <= 1.0
        assert float(row["missing_l"]) >= 0.0
        assert float(row["use_l"]) >= 0.0
        assert float(row["et0_mm"]) >= 0.0
        assert row["weather_put_in"] == ""


def test_events_are_counted_as_facts(lived: Scene) -> None:
    """Each pot of each row is one fact of its kind; nobody's silence is a watering."""
    summary = lived.summary()
    assert summary["events_taken"] == 16
    assert summary["event_rows_left_out"] == 0
    kinds = {
        "TillRan": 4, "Given": 3, "Finger": 1, "Weighed": 1, "Probe": 2, "Wilting": 1,
        "RainAtPots": 2, "Planted": 1, "CanopyMeasured": 1, "GardenVersion": 1,
    }  # fmt: skip
    for kind, count in kinds.items():
        assert summary["facts"][kind] == count
    assert summary["facts"]["RoundAnswered"] == summary["facts"]["RoundTold"] == summary["rounds"]


def test_decisions_are_written_with_their_reasons(lived: Scene) -> None:
    """Each of the five rounds has a row for each pot, with its verdict, dose and reasons."""
    summary, rows = lived.summary(), lived.rows("decisions.csv")
    rounds = [row for row in rows if row["occasion"] == "round"]
    assert summary["rounds"] == 5
    assert len(rounds) == 3 * 5
    assert {row["key"] for row in rounds if row["time"] == "2026-07-07T13:30:00Z"} == {
        "round 2026-07-07T14:00Z"
    }
    assert len({row["key"] for row in rows}) == summary["decisions"]
    for row in rounds:
        assert row["verdict"] in {"water", "feel", "leave"}
        assert (float(row["dose_l"]) > 0.0) == (row["verdict"] != "leave")
        assert float(row["central_et0_mm"]) >= 0.0
        assert row["held_because"] == ""


def test_the_same_twice_gives_the_same_bytes(lived: Scene) -> None:
    """Nothing in the four files depends on when or how often it is run."""
    assert lived.run(out="again").returncode == 0
    names = {path.name for path in (lived.folder / "out").iterdir()}
    assert names == {"hours.csv", "decisions.csv", "skill.csv", "summary.json"}
    for name in names:
        first = (lived.folder / "out" / name).read_bytes()
        assert first == (lived.folder / "again" / name).read_bytes()


def test_without_events_nothing_is_given(tmp_path: Path) -> None:
    """Rounds are told, none is walked, and not a drop is counted as given."""
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(weather(40)), "time,pot,kind,value\n")
    assert scene.run().returncode == 0
    summary = scene.summary()
    assert summary["rounds"] == 3
    assert summary["whole_garden"]["given_l"] == 0.0
    assert summary["whole_garden"]["corrected_l"] == pytest.approx(0.0, abs=1e-6)


def _halved(rows: list[dict[str, str]]) -> list[dict[str, str]]:
    halves = []
    for row in rows:
        energy, rain = float(row["rs_mj_m2"]) / 2, float(row["rain_mm"]) / 2
        half = {**row, "rs_mj_m2": f"{energy:g}", "rain_mm": f"{rain:g}"}
        end = row["time"]
        hour = int(end[11:13])
        before = f"{end[:11]}{hour - 1:02d}:30Z" if hour else None
        if before is None:
            day = int(end[8:10]) - 1
            before = f"{end[:8]}{day:02d}T23:30Z"
        halves += [{**half, "time": before}, half]
    return halves


def test_half_hours_give_what_whole_hours_give(lived: Scene) -> None:
    """Energy and rain by the half hour, halved, come to the same hours and the same water."""
    finer = Scene(lived.folder / "finer")
    finer.folder.mkdir()
    finer.write(GARDEN, written(_halved(weather(HOURS))), EVENTS)
    assert finer.run().returncode == 0
    for mine, theirs in zip(finer.rows("hours.csv"), lived.rows("hours.csv"), strict=True):
        assert (mine["time"], mine["pot"]) == (theirs["time"], theirs["pot"])
        for name in ("et0_mm", "water_l", "use_l", "rained_l"):
            assert float(mine[name]) == pytest.approx(float(theirs[name]), abs=2e-5)


def test_a_gap_is_filled_marked_and_counted(tmp_path: Path) -> None:
    """An absent hour, a marked one and an empty cell: said, counted, and marked hour by hour."""
    rows = weather(40)
    for row in rows:
        row["gap"] = "0"
    rows[21]["gap"] = "1"
    rows[25]["t_c"] = ""
    absent = rows.pop(30)
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(rows, (*NAMES, "gap")), EVENTS)
    done = scene.run("--to", "2026-07-08T22:00Z")
    assert done.returncode == 0, done.stderr
    assert "weather: all weather missing 2 h" in done.stderr
    assert "weather: temperature missing 1 h" in done.stderr
    summary = scene.summary()
    # Without the temperature rh_pct tells no vapour pressure; that a night is dark is no guess.
    assert summary["hours_with_weather_put_in"] == {
        "any": 3, "temperature": 3, "humidity": 3, "solar": 1, "wind": 2, "rain": 2,
    }  # fmt: skip
    marked = {row["time"]: row["weather_put_in"] for row in scene.rows("hours.csv")}
    assert marked[_end(rows[21])] == "temperature humidity wind rain"
    assert marked[_end(rows[25])] == "temperature humidity"
    assert marked[_end(absent)] == "temperature humidity solar wind rain"
    assert sum(bool(mark) for mark in marked.values()) == 3


def _end(row: dict[str, str]) -> str:
    return row["time"].replace("Z", ":00Z")


def test_a_part_can_be_replayed(tmp_path: Path) -> None:
    """--from and --to choose the hours, in the garden's zone; events outside are counted."""
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(weather(HOURS)), EVENTS)
    done = scene.run("--from", "2026-07-08T06:20", "--to", "2026-07-08T18:50")
    assert done.returncode == 0, done.stderr
    summary = scene.summary()
    assert summary["first_time"] == "2026-07-08T13:00:00Z"
    assert summary["last_time"] == "2026-07-09T02:00:00Z"
    assert summary["event_rows_left_out"] == 8
    assert summary["events_taken"] == 6
    assert len(scene.rows("hours.csv")) == 3 * 13


def test_forecasts_may_miss(lived: Scene) -> None:
    """With usual errors other things are decided, and what happened stays the same."""
    assert lived.run("--forecast", "typical", out="typical").returncode == 0
    sure, missed = lived.summary(), lived.summary("typical")
    assert missed["forecast"] == "typical"
    assert missed["whole_garden"] == sure["whole_garden"]
    assert lived.rows("decisions.csv") != lived.rows("decisions.csv", "typical")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--from", "2026-07-01T00:00Z"],
         "--from: the weather begins later, at 2026-07-07T07:00Z"),
        (["--to", "2026-08-01T00:00Z"], "--to: the weather ends sooner, at 2026-07-09T19:00Z"),
        (["--from", "2026-07-08T00:00Z", "--to", "2026-07-08T00:00Z"],
         "--to: 2026-07-08T00:00Z is not later than 2026-07-08T00:00Z"),
        (["--from", "noon"],
         "--from: 'noon' is not a time such as 2024-07-01T14:00-05:00 (ISO 8601)"),
        (["--timezone", "Mars/Olympus"],
         ("there is no time zone 'Mars/Olympus'; write one such as America/Chicago, or an offset"
         " such as -06:00")),
    ],
)  # fmt: skip
def test_a_time_that_cannot_be(lived: Scene, options: list[str], said: str) -> None:
    """Exit code 2, one sentence, and no folder."""
    done = lived.run(*options, out="refused")
    assert (done.returncode, done.stderr) == (2, said + "\n")
    assert not (lived.folder / "refused").exists()


def test_wind_needs_its_height(lived: Scene, capsys: pytest.CaptureFixture[str]) -> None:
    """A table with wind is not read without the height at which it was measured."""
    arguments = lived.arguments(out="refused")
    at = arguments.index("--wind-height")
    assert run([*arguments[:at], *arguments[at + 2 :]]) == 2
    assert "the weather has wind_m_s: give --wind-height" in capsys.readouterr().err
    assert not (lived.folder / "refused").exists()


def test_a_gap_too_long_is_refused_at_its_end(tmp_path: Path) -> None:
    """Eight days without a row in the midst cannot be filled; the row after them is named."""
    rows = weather(24) + weather(24, start=START + timedelta(days=9))
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(rows), "time,pot,kind,value\n")
    done = scene.run()
    assert done.returncode == 2
    assert done.stderr == (
        f"{tmp_path}/w.csv:26: column time: nothing is told of the 8.0 days before it, and more"
        " than 7 cannot be filled; replay one side with --from or --to\n"
    )
    assert scene.run("--to", "2026-07-08T07:00Z").returncode == 0
    assert scene.run("--from", "2026-07-16T07:00Z", out="later").returncode == 0


def test_rows_by_the_day_are_refused(tmp_path: Path) -> None:
    """A pot may be empty within hours, so that rows a day apart tell too little."""
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(weather(96)[::24]), "time,pot,kind,value\n")
    done = scene.run()
    assert (done.returncode, done.stderr) == (
        2,
        (
            f"{tmp_path}/w.csv:3: column time: the rows are 24 hours apart; they must be hours, or"
            " finer\n"
        ),
    )


def test_a_terminal_sees_how_far_it_is(lived: Scene) -> None:
    """A run of more than a second draws a bar on standard error, if that is a terminal."""
    master, slave = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-m", "irrigate", *lived.arguments(out="seen")],
        stdout=subprocess.PIPE, stderr=slave,
    ) as running:  # fmt: skip
        os.close(slave)
        seen = b""
        with contextlib.suppress(OSError):  # the terminal is gone when the command is
            while piece := os.read(master, 4096):
                seen += piece
        os.close(master)
        assert running.stdout is not None
        said = running.stdout.read()
    assert running.returncode == 0
    assert b"replaying" in seen
    assert b"replaying" not in said
    assert f"are in {lived.folder}/seen\n".encode() in said


# --- the folder ----------------------------------------------------------------------------
def test_a_folder_that_holds_something_is_refused(tmp_path: Path) -> None:
    """Without --overwrite; with it only the four results are replaced, and all else stays."""
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(weather(14)), "time,pot,kind,value\n")
    out = tmp_path / "out"
    out.mkdir()
    (out / "notes.txt").write_text("mine")
    (out / "hours.csv").write_text("old")
    done = scene.run()
    assert (done.returncode, done.stderr) == (
        2,
        (
            f"{out}: is not empty; name another folder with --out, or add --overwrite to replace"
            " the results in it\n"
        ),
    )
    assert (out / "hours.csv").read_text() == "old"
    assert scene.run("--overwrite").returncode == 0
    assert (out / "notes.txt").read_text() == "mine"
    assert (out / "hours.csv").read_text().startswith("time,pot,")
    assert {path.name for path in tmp_path.iterdir()} == {"garden.yaml", "w.csv", "e.csv", "out"}


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    """A folder made beforehand, with nothing in it, is as good as none."""
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(weather(14)), "time,pot,kind,value\n")
    (tmp_path / "out").mkdir()
    assert scene.run().returncode == 0
    assert len(list((tmp_path / "out").iterdir())) == 4


def test_a_file_in_the_way_or_no_place_is_refused(lived: Scene) -> None:
    """Before any work is done: a file of that name, or a folder that is not there to hold it."""
    done = lived.run(out="e.csv")
    assert (done.returncode, done.stderr) == (
        2,
        f"{lived.folder}/e.csv: is there already, and is no folder; name another with --out\n",
    )
    done = lived.run(out="no/such")
    assert (done.returncode, done.stderr) == (
        2,
        f"{lived.folder}/no/such: there is no folder {lived.folder}/no to put it in\n",
    )
