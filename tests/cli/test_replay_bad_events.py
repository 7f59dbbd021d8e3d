"""Records of events that are wrong: each fault at its line and column, and nothing written."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from irrigate.cli.main import run
from tests.campaigns import bad_events_csv as campaign
from tests.cli.replay_scene import GARDEN, Scene, weather, written

HUNDRED = settings(
    max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)  # fmt: skip


@HUNDRED
@given(campaign.spoilt_records())
def test_every_fault_is_named_where_it_lies(spoilt: campaign.Spoilt) -> None:
    """Exit code 2, one line for each wrong cell, in order, and no folder of results."""
    campaign.check_spoilt(spoilt)


@HUNDRED
@given(campaign.records())
def test_a_good_record_is_taken_whole(rows: list[campaign.Row]) -> None:
    """One event for each pot of each row."""
    campaign.check_good(rows)


@HUNDRED
@given(campaign.anything)
def test_any_text_gives_a_sentence(text: str) -> None:
    """Whatever the file holds, plain sentences leave the command."""
    campaign.check_anything(text)


MISTAKES = {
    "07/08/2026 12:00,1,given,2,L":
        ("time", "'07/08/2026 12:00' is not a time such as 2024-07-01T14:00-05:00 (ISO 8601)"),
    "2026-07-07,1,given,2,L": ("time", "'2026-07-07' is a date without a time"),
    ",1,given,2,L": ("time", "the cell is empty"),
    "2026-07-07T06:00Z,1,given,2,L": ("time", "the weather begins after it, at 2026-07-07T07:00Z"),
    "2026-07-09T12:00,1,given,2,L": ("time", "the weather ends before it, at 2026-07-08T13:00Z"),
    "2026-07-07T12:00,,given,2,L":
        ("pot", "say which pot by its label, several parted by spaces, or all"),
    "2026-07-07T12:00,b7,given,2,L": ("pot", "there is no pot b7; did you mean B7?"),
    "2026-07-07T12:00,9,given,2,L": ("pot", "there is no pot 9; there are 1, 2, B7"),
    "2026-07-07T12:00,1 2 1,given,2,L": ("pot", "pot 1 stands there twice"),
    "2026-07-07T12:00,all,rain,2,mm": ("pot", "rain falls on every pot; leave the cell empty"),
    "2026-07-07T12:00,1,givn,2,L": ("kind", "'givn' is no kind of event; did you mean given?"),
    "2026-07-07T12:00,1,,2,L":
        ("kind", ("the cell is empty; there are given, till-ran, till-ran-twice, weighed, "
         "weighed-anew, finger, wilting, probe, drained, planted, canopy, leaf-area, rain")),
    "2026-07-07T12:00,1,given,2,": ("value", "2 has no unit: say 2 L or 2 gal"),
    "2026-07-07T12:00,1,given,,": ("value", "say how much was given: a volume such as 2 L"),
    "2026-07-07T12:00,1,given,2,kg":
        ("value", "2 kg is a weight, not a volume: say it in L or gal"),
    "2026-07-07T12:00,1,given,0,L":
        ("value", "pot 1 cannot have had 0 L; more than 0 and at most 30 L"),
    "2026-07-07T12:00,all,given,25,L":
        ("value", "pot B7 cannot have had 25 L; more than 0 and at most 5.6 L"),
    "2026-07-07T12:00,1,weighed,,": ("value", "say what the whole pot weighed, such as 12.4 kg"),
    "2026-07-07T12:00,1,weighed,900,kg":
        ("value", "pot 1 cannot weigh 900 kg; more than 0 and at most 65 kg"),
    "2026-07-07T12:00,1,finger,soggy,":
        ("value", "'soggy' is not how a finger finds the mix; say wet, moist or dry"),
    "2026-07-07T12:00,1,wilting,yes,":
        ("value", "wilting says everything by itself; leave 'yes' out"),
    "2026-07-07T12:00,1,probe,31,":
        ("value", ("31 needs the probe's two points for pot 1: write into its row probe: {dry: 830,"
         " wet: 420}, with what it shows in the dry mix, and in the pot an hour after it ran; or"
         " say it in percent, as in 1 probe 35 %")),
    "2026-07-07T12:00,1,drained,,L": ("value", "“L” is not a volume: say it in L or gal"),
    "2026-07-07T12:00,1,canopy,40,cm":
        ("value", "'40 cm' is not width x height; say it as in 40 x 60 cm"),
    "2026-07-07T12:00,1,canopy,40 x 60,": ("value", "40 has no unit: say 40 cm or 40 in"),
    "2026-07-07T12:00,1,canopy,40 x 6000,cm":
        ("value", "40 x 6000 cm cannot be; more than 0 and at most 10 m a side"),
    "2026-07-07T12:00,,rain,,":
        ("value", "say how much: none, some, ran through, or a depth such as 12 mm"),
    "2026-07-07T12:00,,rain,3,m": ("value", "3 m of rain cannot be; 0 to 500 mm is taken"),
}  # fmt: skip


@pytest.fixture(scope="module")
def scene(tmp_path_factory: pytest.TempPathFactory) -> Scene:
    """Return a garden and thirty hours of weather, without events yet."""
    made = Scene(tmp_path_factory.mktemp("bad-events"))
    made.write(GARDEN, written(weather(30)), "")
    return made


def refusal(scene: Scene, text: str, capsys: pytest.CaptureFixture[str]) -> list[str]:
    """Return what is said of a record, the folder's name taken out, once it was refused."""
    (scene.folder / "e.csv").write_text(text, encoding="utf-8")
    assert run(scene.arguments()) == 2
    assert not (scene.folder / "out").exists()
    return capsys.readouterr().err.replace(f"{scene.folder}/", "").splitlines()


@pytest.mark.parametrize("row", MISTAKES)
def test_a_mistake_and_what_is_said_of_it(
    scene: Scene, row: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each mistake has its sentence, which says how to mend it."""
    column, said = MISTAKES[row]
    found = refusal(scene, f"time,pot,kind,value,unit\n{row}\n", capsys)
    assert found == [f"e.csv:2: column {column}: {said}"]


def test_all_faults_are_said_at_once(scene: Scene, capsys: pytest.CaptureFixture[str]) -> None:
    """Every row and cell, in the order of the lines, rows of a wrong length among them."""
    text = (
        "time,pot,kind,value,unit\n"
        "noon,8,finger,soggy,\n"
        "2026-07-07T12:00,1,given\n"
        "2026-07-07T12:00,1,given,2,L\n"
        "2026-07-07T12:00,2 1,given,1,L\n"
    )
    assert refusal(scene, text, capsys) == [
        "e.csv:2: column time: 'noon' is not a time such as 2024-07-01T14:00-05:00 (ISO 8601)",
        "e.csv:2: column pot: there is no pot 8; there are 1, 2, B7",
        "e.csv:3: 3 cells where the header has 5; a cell without a value still takes its comma",
        (
            "e.csv:5: column time: line 4 says the same kind of thing of pot 1 at this moment; put"
            " both in one row, or give one of them another minute"
        ),
    ]


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("time,pots,kind,value", "e.csv:1: no column pot; is 'pots' meant for it?"),
        ("time,kind,value", "e.csv:1: no column pot; needed are time, pot, kind, value"),
        ("time;pot;kind;value",
         ("e.csv:1: the cells are parted by semicolons; save the file with commas between cells"
          " and a point in numbers")),
        ("", "e.csv: the file is empty; the first line names the columns"),
    ],
)  # fmt: skip
def test_a_header_that_will_not_do(
    scene: Scene, header: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is missing is named, and what may have been meant."""
    assert refusal(scene, header, capsys) == [said]


def test_no_such_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A record that is not there is said so."""
    scene = Scene(tmp_path)
    scene.write(GARDEN, written(weather(12)), "")
    (tmp_path / "e.csv").unlink()
    assert run(scene.arguments()) == 2
    assert capsys.readouterr().err == f"{tmp_path}/e.csv: there is no such file\n"
