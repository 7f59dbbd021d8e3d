"""`irrigate log` as a gardener types it: kept, written into the garden file, or refused."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from irrigate.outside.inbox.spool import SpoolInbox
from irrigate.settings.garden_file import read_settings

GARDEN = """\
garden: Log
site: {latitude: 37.6, longitude: -120.8, elevation: 40 m, time zone: America/Los_Angeles}
units: US
can: 2 gal                     # filled to the mark
rounds: [07:00, 18:30]
places: {yard: {}, porch: {shade: 40 %}}
pots:
  # the one by the door
  3: {plant: pepper, pot: nursery 5 gal, place: yard}   # from Ana
  7: {plant: tomato, pot: bucket 5 gal, place: yard}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with a garden file."""
    (tmp_path / "garden.yaml").write_text(GARDEN)
    return tmp_path


def log(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the real command."""
    environment = {
        **os.environ,
        "IRRIGATE_GARDEN": str(folder / "garden.yaml"),
        "IRRIGATE_STATE": str(folder / "not yet" / "state"),
    }
    return subprocess.run(
        [sys.executable, "-m", "irrigate", "log", *words], env=environment,
        capture_output=True, text=True, check=False, timeout=60, stdin=subprocess.DEVNULL,
    )  # fmt: skip


def spooled(folder: Path) -> list[str]:
    """Return what waits for the service."""
    if not (folder / "not yet").exists():
        return []
    return [item.text for item in SpoolInbox(folder / "not yet" / "state" / "spool").waiting()]


def test_kept_before_the_service_ever_ran(folder: Path) -> None:
    """What was done is on disk when it says so, in the units of the garden."""
    done = log(folder, "7", "2 qt")
    assert (done.returncode, done.stdout) == (0, "logged: 7 tomato had 2 qt\n")
    done = log(folder, "3", "cut", "back", "by", "a", "third")
    assert done.stdout == "logged: 3 pepper was cut back, to 67 % of its width and height\n"
    assert spooled(folder) == ["7 2 qt", "3 cut back by a third"]


def test_a_move_is_written_into_the_file(folder: Path) -> None:
    """The row is changed, dated, and shown; comments and all other lines stay."""
    done = log(folder, "3", "moved", "to", "porch")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("written into the garden file:\n")
    text = (folder / "garden.yaml").read_text()
    assert "# the one by the door" in text
    assert "# from Ana" in text
    old = GARDEN.splitlines()
    assert [line for line in old if line not in text.splitlines()] == [old[8]]
    pot = read_settings(folder / "garden.yaml").garden.pots[0]
    assert pot.place == "porch"
    assert pot.since is not None
    assert spooled(folder) == []


def test_a_new_plant_is_young(folder: Path) -> None:
    """Replanted with another: the row says which, that it is a seedling, and since when."""
    assert log(folder, "7", "replanted", "with", "basil").returncode == 0
    pot = read_settings(folder / "garden.yaml").garden.pots[1]
    assert pot.crop.name == "basil"
    assert pot.canopy_width_m < 0.15
    assert pot.planted is not None


def test_a_measured_hose_gives_doses_in_seconds(folder: Path) -> None:
    """After the bucket test a watering can be told in seconds of hose."""
    refused = log(folder, "7", "20 s hose")
    assert refused.returncode == 2
    assert log(folder, "hose", "bucket", "3 gal in 60 s").returncode == 0
    done = log(folder, "7", "20 s hose")
    assert (done.returncode, done.stdout) == (0, "logged: 7 tomato had 1 gal\n")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("3", "moved", "to", "prch"), "did you mean porch?"),
        (("9", "fed"), "there is no pot 9"),
        (("all",), "there was no round lately"),
        (("3", "fed;", "7", "moved", "to", "porch"), "say them one after the other"),
        (("hose", "bucket"), "fill a bucket, count the seconds"),
    ],
)
def test_refusals_change_nothing(folder: Path, words: tuple[str, ...], said: str) -> None:
    """What cannot be is said plainly, with exit code 2; file and spool are as they were."""
    done = log(folder, *words)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert (folder / "garden.yaml").read_text() == GARDEN
    assert spooled(folder) == []
