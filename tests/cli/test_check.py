"""The command `check`, run as a gardener runs it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from tests.settings.gardens import GARDEN, changed

# The command by itself, through the program's own handling of errors and exit codes.
RUN = (
    "import sys; from irrigate.cli import main; "
    "main.COMMANDS['check'] = 'irrigate.cli.check'; main.main(sys.argv[1:])"
)


def run(
    *arguments: str, folder: Path, garden: str | None = None
) -> subprocess.CompletedProcess[str]:
    """Run the command in a folder."""
    environment = {key: value for key, value in os.environ.items() if key != "IRRIGATE_GARDEN"}
    if garden is not None:
        environment["IRRIGATE_GARDEN"] = garden
    return subprocess.run(
        [sys.executable, "-c", RUN, "check", *arguments],
        cwd=folder,
        env=environment | {"PYTHONUTF8": "1"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )


def test_a_garden_in_order(tmp_path):
    """Every pot is said as it was understood, in the gardener's units; the exit code is 0."""
    (tmp_path / "mine.yaml").write_text(GARDEN, encoding="utf-8")
    done = run("mine.yaml", folder=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "Back yard: 3 pots in 3 places" in done.stdout
    assert "   7  pepper, driveway\n" in done.stdout
    assert "nursery 5 gal, 4 gal to the rim; potting mix" in done.stdout
    assert "17 in wide, 20 in tall (knee-high, wider than pot)" in done.stdout
    assert "full after draining it holds 1¾ gal, of which 1 gal for the plant" in done.stdout
    assert "not said, so assumed: the pot's headspace, the plant's height\n" in done.stdout
    assert "Pot 07a was 3: it keeps what was learnt." in done.stdout
    assert "Pot 7: nursery 5 gal is a trade size of 14.9 L (3.9 gal)" in done.stdout
    assert "FAO-56" not in done.stdout
    assert done.stdout.endswith("mine.yaml is in order.\n")


def test_metric(tmp_path):
    """The same garden is said in litres and centimetres where the file says so."""
    (tmp_path / "mine.yaml").write_text(changed("units: US", "units: metric"), encoding="utf-8")
    done = run("mine.yaml", folder=tmp_path)
    assert "nursery 5 gal, 14.9 L to the rim; potting mix" in done.stdout
    assert "44 cm wide, 50 cm tall" in done.stdout


def test_sources(tmp_path):
    """On request every pot says where its figures come from."""
    (tmp_path / "mine.yaml").write_text(GARDEN, encoding="utf-8")
    done = run("mine.yaml", "--sources", folder=tmp_path)
    assert "pot: litres printed by a nursery under NIST labelling" in done.stdout
    assert "mix: default, not verified" in done.stdout
    assert "plant: FAO-56 Tables 11, 12, 17, 22" in done.stdout


def test_faults(tmp_path):
    """Everything wrong is told, one fault a line; the exit code is 2 and there is no traceback."""
    text = changed("can: 2 gal", "can: 2").replace("    plant: pepper\n", "    plant: peper\n")
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    done = run("mine.yaml", folder=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.splitlines() == [
        "mine.yaml:4:6: can: 2 has no unit: say 2 L or 2 gal",
        "mine.yaml:22:12: pot 7, plant: “peper” is not a plant known here; did you mean pepper?",
    ]


def test_where_the_garden_is_looked_for(tmp_path):
    """Without an argument the environment says where the file is, else config/garden.yaml here."""
    (tmp_path / "config").mkdir()
    (tmp_path / "config" / "garden.yaml").write_text(GARDEN, encoding="utf-8")
    (tmp_path / "other.yaml").write_text(changed("Back yard", "Roof"), encoding="utf-8")
    assert "Back yard: 3 pots" in run(folder=tmp_path).stdout
    assert "Roof: 3 pots" in run(folder=tmp_path, garden="other.yaml").stdout
    assert "Roof: 3 pots" in run("other.yaml", folder=tmp_path, garden="no.yaml").stdout
    missing = run(folder=tmp_path, garden="no.yaml")
    assert (missing.returncode, missing.stderr) == (2, "no.yaml: there is no such file\n")
