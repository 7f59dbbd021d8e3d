"""A new gardener with forty pots: from an empty folder to a first outlook, by real commands."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

from irrigate.garden.pots import Pot, Site
from irrigate.settings.garden_file import read_settings
from tests.cli.keyboard import typed
from tests.e2e.running_service import weather

TABLE = Path(__file__).parent.parent / "cli" / "forty_pots.csv"
LINES = TABLE.with_suffix(".txt").read_text(encoding="utf-8").splitlines()
PLACES = {
    "south wall": "full sun, sheltered",
    "drive": "full sun, open",
    "kitchen steps": "morning sun",
    "arbor": "half shade, sheltered",
}


def summer() -> tuple[str, Site]:
    """Return a place where it is summer now, as typed and as the weather knows it."""
    if 4 <= datetime.now(UTC).month <= 9:  # noqa: TID251
        return "38.61 N, 121.3 W", Site(38.61, -121.3, 30.0, "America/Los_Angeles")
    return "34.93 S, 138.6 E", Site(-34.93, 138.6, 30.0, "Australia/Adelaide")


def command(folder: Path, weather_url: str, *arguments: str) -> str:
    """Run a command as the gardener would, without a terminal; return what it printed."""
    done = subprocess.run(
        [sys.executable, "-m", "irrigate", *arguments],
        cwd=folder,
        env={
            **{key: value for key, value in os.environ.items() if not key.startswith("IRRIGATE_")},
            "IRRIGATE_WEATHER_URL": weather_url,
            "IRRIGATE_STATE": str(folder / "state"),
            "PYTHONUTF8": "1",
        },
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def described(pot: Pot) -> tuple[object, ...]:
    """Return what a pot is, by whichever words it was told."""
    size = (round(pot.canopy_width_m, 6), round(pot.canopy_height_m, 6))
    return pot.label, pot.crop, pot.medium, pot.vessel, pot.place, size, pot.mulch, pot.planted


def test_from_a_spreadsheet_to_the_week_ahead(tmp_path):
    """A table of 37 lines and 14 answers make a garden whose first outlook names pots that dry."""
    where, site = summer()
    shutil.copy(TABLE, tmp_path / "pots.csv")
    answers = [where, "100 ft", "", "US", "", "", "The long drive", "Mo", "", ""]
    code, screen = typed(
        ["init", "--pots", "pots.csv"],
        [*answers, *PLACES.values()],
        tmp_path,
        {"TZ": site.time_zone},
    )
    assert code == 0, screen
    assert "Written: config/garden.yaml, 40 pots in 4 places." in screen
    with weather(site) as url:
        assert "The long drive: 40 pots in 4 places" in command(tmp_path, url, "check")
        week = command(tmp_path, url, "outlook")
        figures = json.loads(command(tmp_path, url, "outlook", "--json"))
    assert re.search(r"^ *7 .*hot pepper|^ *7 .*jalapeno", week, re.MULTILINE), week
    assert len(figures["pots"]) == 40
    assert not (tmp_path / "state").exists()


def test_the_same_garden_line_by_line(tmp_path):
    """Thirty-three typed lines tell of the same forty pots as the table does."""
    where, site = summer()
    places = [f"{name}: {words}" for name, words in PLACES.items()]
    typed_lines = [where, "100 ft", "", "US", *[""] * 5, *places, "", "", "", *LINES, ""]
    code, screen = typed(["init", "typed.yaml"], typed_lines, tmp_path, {"TZ": site.time_zone})
    assert code == 0, screen
    assert "not understood" not in screen
    by_place = [option for place in places for option in ("--place", place)]
    command(
        tmp_path, "http://127.0.0.1:9/", "init", "table.yaml", "--pots", str(TABLE), "--yes",
        "--where", where, "--time-zone", site.time_zone, *by_place,
    )  # fmt: skip
    by_lines = read_settings(tmp_path / "typed.yaml").garden
    by_table = read_settings(tmp_path / "table.yaml").garden
    assert [described(pot) for pot in by_lines.pots] == [described(pot) for pot in by_table.pots]
    assert by_lines.places == by_table.places
    assert len(by_lines.pots) == 40
