"""What a replay writes and says of how well it foretold, run as a person runs it."""

from __future__ import annotations

from pathlib import Path

import pytest

from irrigate.cli.main import run
from tests.cli.replay_scene import EVENTS, GARDEN, Scene, weather, written

FORETOLD = {"ran": 1, "weighed": 2, "finger": 1, "probe": 2, "wilting": 1, "drained": 1}
MORE = EVENTS + "2026-07-08T19:00,1,drained,0.2,L\n2026-07-09T06:00,2,weighed,31,lb\n"


@pytest.fixture(scope="module")
def lived(tmp_path_factory: pytest.TempPathFactory) -> Scene:
    """Return a scene replayed three times: learning, holding out all weights, and silent."""
    scene = Scene(tmp_path_factory.mktemp("skill"))
    scene.write(GARDEN, written(weather(60)), MORE)
    for out, more in (
        ("out", ()), ("held", ("--hold-out", "Weighed, drained")), ("quiet", ("--beliefs-only",)),
    ):  # fmt: skip
        done = scene.run(*more, out=out)
        assert done.returncode == 0, done.stderr
        (scene.folder / f"{out}.txt").write_text(done.stdout, encoding="utf-8")
    return scene


def test_each_report_has_a_row(lived: Scene) -> None:
    """Kinds, units, quantiles in order, and litres that follow from the row's own numbers."""
    rows = lived.rows("skill.csv")
    assert [row["time"] for row in rows] == sorted(row["time"] for row in rows)
    kinds = [row["kind"] for row in rows]
    assert {kind: kinds.count(kind) for kind in FORETOLD} == FORETOLD
    for row in rows:
        assert row["pot"] in {"1", "2", "B7"}
        assert row["held_out"] == "no"
        if row["kind"] in {"finger", "wilting"}:
            assert (row["error_l"], row["crps_l"], row["foretold_50"]) == ("", "", "")
            continue
        low, middle, high = (float(row[f"foretold_{level}"]) for level in (10, 50, 90))
        assert low <= middle <= high
        said = float(row["said"])
        # The printed quantiles have five decimals; what lies at the edge is left to the scores.
        if abs(said - low) > 1e-4 and abs(said - high) > 1e-4:
            assert row["inside_80"] == ("yes" if low < said < high else "no")
        assert float(row["crps_l"]) >= 0.0
        if row["kind"] == "weighed":
            assert float(row["error_l"]) == pytest.approx(said - middle, abs=2e-5)
        if row["kind"] == "ran":
            assert float(row["error_l"]) == pytest.approx(middle - said, abs=2e-5)


def test_a_pound_is_0_45359237_kg(lived: Scene) -> None:
    """By definition (international pound, 1959); the row tells kilograms."""
    row = next(row for row in lived.rows("skill.csv") if row["said"] and row["pot"] == "2"
               and row["kind"] == "weighed")  # fmt: skip
    assert float(row["said"]) == pytest.approx(31 * 0.45359237, abs=1e-5)


def test_the_summary_counts_what_the_table_holds(lived: Scene) -> None:
    """By kind, of what was held out and of what was learnt from."""
    for out in ("out", "held"):
        skill, rows = lived.summary(out)["skill"], lived.rows("skill.csv", out)
        for name, mark in (("held_out", "yes"), ("learnt_from", "no")):
            mine = [row for row in rows if row["held_out"] == mark]
            assert skill[name]["all"]["checks"] == len(mine)
            for kind in {row["kind"] for row in mine}:
                assert skill[name][kind]["checks"] == [row["kind"] for row in mine].count(kind)
    assert lived.summary("held")["skill"]["held_out"]["all"]["checks"] == 3
    assert lived.summary("held")["held_out_kinds"] == ["drained", "weighed"]


def test_it_says_in_words_how_well_it_foretold(lived: Scene) -> None:
    """A line for each kind, those held out first; too few to judge by is said."""
    said = (lived.folder / "held.txt").read_text(encoding="utf-8").splitlines()
    assert said[1].startswith("Held out, weighed: 2 checks: ")
    assert said[2].startswith("Held out, drained: 1 check: ")
    assert said[3].startswith("Learnt from, once foretold, ran: 1 check: ")
    assert all(line.endswith("Too few to judge by.") for line in said[1:])
    assert "The 80 % range held" in said[1]


def test_beliefs_only_decides_nothing(lived: Scene) -> None:
    """No decisions.csv, no round, and hours like those of the whole service."""
    names = {path.name for path in (lived.folder / "quiet").iterdir()}
    assert names == {"hours.csv", "skill.csv", "summary.json"}
    summary = lived.summary("quiet")
    assert (summary["rounds"], summary["decisions"], summary["messages"]) == (0, 0, 0)
    assert "rounds told" not in (lived.folder / "quiet.txt").read_text(encoding="utf-8")
    quiet, whole = lived.rows("hours.csv", "quiet"), lived.rows("hours.csv")
    assert len(quiet) == len(whole)
    for one, other in zip(quiet, whole, strict=True):
        assert float(one["use_l"]) == pytest.approx(float(other["use_l"]), rel=0.01, abs=2e-3)


def test_hours_tell_the_factors(lived: Scene) -> None:
    """Both factors stand in every row, each between the ends of its range."""
    rows = lived.rows("hours.csv")
    for row in rows:
        for name in ("use_factor", "capacity_factor"):
            low, middle, high = (float(row[f"{name}{end}"]) for end in ("_low", "", "_high"))
            assert 0.0 < low <= middle <= high


@pytest.mark.parametrize("said", ["weight", "0", "1.2", "130%", "", "0.3 %%", "nan"])
def test_what_cannot_be_held_out_is_refused(
    said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2, one sentence that names what can be, and no folder."""
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(weather(14)), "time,pot,kind,value\n")
    assert run(scene.arguments("--hold-out", said)) == 2
    assert capsys.readouterr().err == (
        f"--hold-out: {said!r} is neither a kind of report (ran, weighed, finger, probe, wilting,"
        " drained) nor a share such as 0.3 or 30%\n"
    )
    assert not (tmp_path / "out").exists()


def test_two_shares_are_one_too_many(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A share is one of all reports; kinds may be several."""
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(weather(14)), "time,pot,kind,value\n")
    assert run(scene.arguments("--hold-out", "0.3", "--hold-out", "ran,20 %")) == 2
    assert capsys.readouterr().err == "--hold-out: one share of the reports is enough\n"


def test_without_reports_there_is_a_heading(tmp_path: Path) -> None:
    """A record of water alone: nothing to foretell, which is said."""
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(weather(14)), "time,pot,kind,value\n")
    done = scene.run("--beliefs-only")
    assert done.returncode == 0, done.stderr
    assert done.stdout.endswith("No report was of a kind that can be foretold.\n")
    assert scene.rows("skill.csv") == []


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("2026-07-07T12:00,1,leaf-area,,",
         "say one side of all leaves, such as 0.4 m2 or 4 ft2"),
        ("2026-07-07T12:00,1,leaf-area,5000,m2",
         "5000 m2 cannot be; more than 0 and at most 1000 m2 is taken"),
        ("2026-07-07T12:00,1,weighed-anew,,", "say what the whole pot weighed, such as 12.4 kg"),
    ],
)  # fmt: skip
def test_a_mistake_in_the_newer_kinds(
    row: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where, what, and how to mend it."""
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(weather(14)), f"time,pot,kind,value,unit\n{row}\n")
    assert run(scene.arguments()) == 2
    assert capsys.readouterr().err == f"{tmp_path}/e.csv:2: column value: {said}\n"
