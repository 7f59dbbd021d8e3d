"""The command `init`: options alone, refusals, and a person at a real terminal."""

from __future__ import annotations

from pathlib import Path

import pytest

from irrigate.cli.main import run
from irrigate.settings.garden_file import read_settings
from tests.cli.keyboard import typed

HERE = "38.61 N, 121.3 W"
COMPLETE = [
    "--where", HERE,
    "--elevation", "100 ft",
    "--time-zone", "America/Los_Angeles",
    "--units", "US",
    "--can", "2 gal",
    "--rounds", "6:30 am, 19:00",
    "--name", "No. 7: the yard",
    "--person", "Ana",
    "--reach", "phone, mail",
    "--place", "driveway: full sun, open",
    "--place", "porch: morning sun, under a roof",
    "--mix", "bark mix",
    "--kind", "black tub: 38 cm across, 35 cm high",
    "--pot", "7 pepper, nursery 5 gal, knee-high wider than pot, driveway",
    "--pot", "8-10 like 7",
    "--pot", "11 mint, black tub, porch",
]  # fmt: skip


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path, monkeypatch):
    """Every test begins in a folder of its own, on a machine set to no time zone of note."""
    monkeypatch.chdir(tmp_path)
    for variable in ("IRRIGATE_GARDEN", "TZ"):
        monkeypatch.delenv(variable, raising=False)
    monkeypatch.setattr("irrigate.cli.init.machine_zone", lambda _: None)


def test_options_alone(capsys):
    """With every option given nothing is asked, and the file says what was given."""
    assert run(["init", "mine.yaml", *COMPLETE]) == 0
    told = capsys.readouterr()
    assert told.err == ""
    assert told.out.splitlines() == [
        "",
        "Written: mine.yaml, 5 pots in 2 places.",
        "Next:",
        "  irrigate check mine.yaml              how every pot was understood",
        "  irrigate outlook --garden mine.yaml   the week ahead, from this hour's weather",
        (
            "  irrigate run --garden mine.yaml       the service; put your address into the "
            "environment first: IRRIGATE_REACH_PHONE=… IRRIGATE_REACH_MAIL=…"
        ),
    ]
    settings = read_settings(Path("mine.yaml"))
    garden = settings.garden
    assert garden.name == "No. 7: the yard"
    assert garden.site.elevation_m == pytest.approx(30.48)
    assert [f"{one.at:%H:%M}" for one in garden.rounds] == ["06:30", "19:00"]
    assert garden.people[0].reach == settings.service.reach == ("phone", "mail")
    assert [pot.label for pot in garden.pots] == ["7", "8", "9", "10", "11"]
    assert {pot.crop.name for pot in garden.pots[:4]} == {"pepper"}
    assert garden.pots[4].vessel.height_m == pytest.approx(0.35)
    assert garden.place("porch").rain == 0
    assert run(["check", "mine.yaml"]) == 0


def test_defaults_for_the_rest(capsys):
    """With --yes the place alone must be said; what was guessed is told, and check is content."""
    assert run(["init", "--yes", "--latitude", "38.61", "--longitude", "-121.3"]) == 0
    out = capsys.readouterr().out
    assert "Written: config/garden.yaml, one example pot in 1 place." in out
    assert "the nearest city, America/Los_Angeles: --time-zone says else." in out
    assert "Put your own pots in the place of the example" in out
    garden = read_settings(Path("config/garden.yaml")).garden
    assert garden.manner.us_units
    assert garden.manner.can_l == pytest.approx(2 * 3.785411784)
    assert [f"{one.at:%H:%M}" for one in garden.rounds] == ["07:00", "18:30"]
    assert run(["check"]) == 0


def test_metric_where_people_are(capsys):
    """Outside the United States litres are the default."""
    assert run(["init", "--yes", "--where", "37.42, -5.98"]) == 0
    garden = read_settings(Path("config/garden.yaml")).garden
    assert garden.site.time_zone in ("Europe/Madrid", "Africa/Ceuta", "Europe/Gibraltar")
    assert not garden.manner.us_units


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (
            [],
            (
                "there is no terminal to ask in, and these are not given: --where, --elevation, "
                "--time-zone, --units, --can, --rounds, --name, --person, --reach, --place, --mix, "
                "--kind, --pot. Give them, or --yes to take the defaults of all but --where"
            ),
        ),
        (["--yes"], "--where: has no default; please give it"),
        (
            [*COMPLETE[2:]],
            (
                "there is no terminal to ask in, and these are not given: --where. "
                "Give them, or --yes to take the defaults of all but --where"
            ),
        ),
        (["--yes", "--where", HERE, "--can", "9"], "--can: can: 9 has no unit: say 9 L or 9 gal"),
        (
            ["--yes", "--where", "somewhere"],
            (
                "--where: “somewhere” is not a latitude and a longitude: write both as in 38.61 N, "
                "121.3 W"
            ),
        ),
        (
            ["--yes", "--where", HERE, "--time-zone", "Europe/Rome"],
            (
                "--time-zone: site, longitude: -121.3 does not lie in the time zone Europe/Rome; "
                "check both"
            ),
        ),
        (
            ["--yes", "--where", "95 N, 121.3 W"],
            "--where: site, latitude: 95 is out of range: -66.5 to 66.5 degrees, south below zero",
        ),
        (
            ["--yes", "--where", HERE, "--pot", "7 peper, #5"],
            "--pot: “peper” is not understood; did you mean pepper?",
        ),
        (
            ["--yes", "--where", HERE, "--place", "porch: sunny"],
            (
                "--place: “sunny” is not understood of a place; say full sun, morning sun, "
                "afternoon sun, half shade or shade; open, yard or sheltered; roof"
            ),
        ),
        (
            ["--yes", "--latitude", "38.61"],
            "--latitude and --longitude belong together; give both, or --where",
        ),
        (
            ["--where", HERE, "--latitude", "38.61", "--longitude", "-121.3"],
            "--where says it already; leave --latitude and --longitude out",
        ),
        (
            ["--yes", "--where", HERE, "--pots", "none.csv"],
            "none.csv: there is no such file",
        ),
        (
            ["--where", HERE, "--pots", "none.csv", "--pot", "7 mint, #5"],
            "--pots and --pot: give one of the two",
        ),
    ],
)
def test_options_that_cannot_be(capsys, arguments, told):
    """What is wrong or missing is named with its option; nothing is written, exit code 2."""
    assert run(["init", *arguments]) == 2
    assert capsys.readouterr().err == f"{told}\n"
    assert list(Path().iterdir()) == []


def test_a_file_is_not_written_over(capsys):
    """A file that is there stays as it is, and is looked for before anything is asked."""
    Path("mine.yaml").write_text("mine")
    assert run(["init", "mine.yaml"]) == 2
    assert capsys.readouterr().err == (
        "mine.yaml: there is a file of this name; nothing was written. Name another one, or let "
        "--force put a new one in its place (the old one is kept beside it)\n"
    )
    assert run(["init", "mine.yaml", "--force", "--yes", "--where", HERE]) == 0
    assert "The old one is kept as " in capsys.readouterr().out
    assert Path("mine.yaml.bak").read_text() == "mine"
    assert read_settings(Path("mine.yaml")).garden.pots


def test_a_table_that_is_wrong(capsys):
    """All faults of the table are told at once, before anything is asked or written."""
    Path("pots.csv").write_text("no,plant,pot,place\n1,peper,#5,porch\n2,mint,tub,porch\n")
    assert run(["init", "--pots", "pots.csv", "--yes", "--where", HERE]) == 2
    assert capsys.readouterr().err.splitlines() == [
        "pots.csv:2:2: pot 1, plant: “peper” is not a plant known here; did you mean pepper?",
        (
            "pots.csv:3:3: pot 2, pot kind: “tub” is not a pot kind known here; "
            "which one of galvanized tub 60 cm?"
        ),
    ]
    assert [path.name for path in Path().iterdir()] == ["pots.csv"]


def test_a_table_and_described_places(capsys):
    """A table goes together with described places and kinds; the others are added, and said."""
    Path("pots.csv").write_text(
        "no,plant,pot,place\n1,basil,black tub,Porch\n2,mint,#5,gate\n", encoding="utf-8"
    )
    kind = ["--kind", "Black tub: 40 L", "--place", "porch: morning sun"]
    assert run(["init", "--pots", "pots.csv", "--yes", "--where", HERE, *kind]) == 0
    assert "Taken to be in full sun and a yard's wind: gate." in capsys.readouterr().out
    garden = read_settings(Path("config/garden.yaml")).garden
    assert [place.name for place in garden.places] == ["porch", "gate"]
    assert [pot.place for pot in garden.pots] == ["porch", "gate"]
    assert garden.place("porch").sun_until is not None


def test_at_a_terminal(tmp_path):
    """Somebody types, errs, is asked again, takes a line back; the file is what was meant."""
    lines = [
        "38.61, 121.3", "38.61, -121.3", "", "", "", "8", "2 gal", "", "Back forty", "Ana", "phone",
        "driveway: full sun, open", "porch morning sun", "porch: morning sun", "", "bar", "",
        "nursery", "nursery 5", "clay pot 30", "",
        "7 peper, nursery, driveway", "7 pepper, nursery, knee-high wider than pot, driveway",
        "8-10 like 7", "11 mint porch clay", "undo", "11 basil porch clay", "",
    ]  # fmt: skip
    code, screen = typed(["init", "mine.yaml"], lines, tmp_path, {"TZ": "America/Los_Angeles"})
    assert code == 0, screen
    assert "did you mean 121.3 W? Write E or W with it" in screen
    assert "can: 8 has no unit: say 8 L or 8 gal" in screen
    assert "a colon ends the place's name: write porch: morning sun" in screen
    assert "there is peat and bark, bark mix, pine bark, coarse bark" in screen
    assert "“peper” is not understood; did you mean pepper?" in screen
    assert "Written: mine.yaml, 5 pots in 2 places." in screen
    garden = read_settings(tmp_path / "mine.yaml").garden
    assert [(pot.label, pot.crop.name) for pot in garden.pots[-2:]] == [
        ("10", "pepper"),
        ("11", "basil"),
    ]
    assert garden.site.longitude_deg == -121.3


def test_a_table_at_a_terminal(tmp_path):
    """With a table the places that it names are asked about, and neither kinds nor pots."""
    (tmp_path / "pots.csv").write_text("no,plant,pot,place\n1,basil,#1,porch\n2,mint,#5,gate\n")
    lines = ["38.61 N, 121.3 W", *[""] * 9, "morning sun, sheltered", ""]
    code, screen = typed(
        ["init", "--pots", "pots.csv"], lines, tmp_path, {"TZ": "America/Los_Angeles"}
    )
    assert code == 0, screen
    garden = read_settings(tmp_path / "config" / "garden.yaml").garden
    assert [(place.name, place.wind) for place in garden.places] == [("porch", 0.25), ("gate", 0.5)]


def test_leaving_in_the_middle(tmp_path):
    """Ctrl-D at a question, or Ctrl-C, leaves without having written anything."""
    for key in ("\x04", "\x03"):
        code, screen = typed(["init"], ["38.61 N, 121.3 W", key], tmp_path, {"TZ": "UTC"})
        assert code == 130
        assert "Traceback" not in screen
        assert list(tmp_path.iterdir()) == []
