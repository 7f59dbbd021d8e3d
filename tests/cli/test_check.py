"""The command `check`, run as a gardener runs it."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from irrigate.cli.check import report
from irrigate.cli.check_pots import available_at_home_l
from irrigate.garden.priors import prior_rows
from irrigate.settings.garden_file import read_settings, settings_of
from irrigate.units import say_volume
from tests.settings.gardens import FULL, GARDEN, changed, changed_in_full

TOP = Path(__file__).parents[2]

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
    assert (
        "   7  pepper, driveway; 17 in wide, 20 in tall (knee-high, wider than pot)\n"
        "      nursery 5 gal, 4 gal to the rim; potting mix; when full, about 3¼ qt for the plant\n"
        "      assumed: pot's shape, height (as pots of that size usually are)\n"
    ) in done.stdout
    assert (
        "assumed: pot's headspace, plastic wall (as pots of that size usually are); plant's height"
        in done.stdout
    )
    assert "mulch saves 50 %; risk 10 %" in done.stdout
    assert "Pot 07a was 3: it keeps what was learnt." in done.stdout
    assert "Pot 7: nursery 5 gal is a trade size of 14.9 L (3.9 gal)" in done.stdout
    assert "FAO-56" not in done.stdout
    assert done.stdout.endswith("mine.yaml is in order.\n")


def test_metric(tmp_path):
    """The same garden is said in litres and centimetres where the file says so."""
    (tmp_path / "mine.yaml").write_text(changed("units: US", "units: metric"), encoding="utf-8")
    done = run("mine.yaml", folder=tmp_path)
    assert "nursery 5 gal, 14.9 L to the rim; potting mix; when full, about 3.2 L" in done.stdout
    assert "44 cm wide, 50 cm tall" in done.stdout


def test_sources(tmp_path):
    """On request every pot says where its figures come from."""
    (tmp_path / "mine.yaml").write_text(GARDEN, encoding="utf-8")
    done = run("mine.yaml", "--sources", folder=tmp_path)
    assert "pot: litres printed by a nursery under NIST labelling" in done.stdout
    assert "mix: default, not verified" in done.stdout
    assert "soaked in a laboratory it would hold 1¾ gal, 1 gal of it for" in done.stdout
    assert "plant: FAO-56 Tables 11, 12, 17, 22" in done.stdout


def test_sources_tell_each_mix_once(tmp_path):
    """On request the four numbers of each mix in use stand below the pots, once for all of them."""
    text = changed(
        "{like: potting mix, lower_limit: 0.2}",
        "{mix: {peat and perlite: 2, compost: 1}, holds: 52 %, wilts at: 18 %}",
    )
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    said = run("mine.yaml", "--sources", folder=tmp_path).stdout.splitlines()
    first = next(at for at, line in enumerate(said) if line.startswith("Mixes"))
    assert said[first : first + 4] == [
        (
            "Mixes, by share of their volume, in a straight pot filled 8 in high"
            " (easily available: from 1 to 5 kPa):"
        ),
        "  potting mix: holds 57 % after draining; air 23 %; easily available 19 %; wilts at 25 %",
        "  my mix: holds 52 % after draining; air 30 %; easily available 19 %; wilts at 18 %",
        "",
    ]


def test_what_is_usual_is_marked(tmp_path):
    """Of the garden's own manner and places, what was not said is marked, and only that."""
    text = changed("quiet: 21:30-06:30\n", "lead: 90 min\n")
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    said = run("mine.yaml", folder=tmp_path).stdout.splitlines()
    assert said[3:10] == [
        (
            "Messages: 30 min before a round (usual); 1.5 h before thirst between rounds;"
            " quiet 21:30-06:30 (usual)"
        ),
        "Risk taken: 20 % (usual); rounds walked when nobody answers 80 % (usual)",
        "Water: a can of 2 gal; hose not timed; weather from open-meteo (usual)",
        "Place driveway: shade 0 %, wind 100 % of open",
        "Place porch: shade 0 % (usual), wind 50 % of open (usual)",
        "Place porch (pot 8): shade 20 %, wind 50 % of open",
        "Where a place does not tell: bare ground around, pots apart (usual)",
    ]


@pytest.mark.parametrize("path", ["config/sample.yaml", "irrigate/catalogue/demo_garden.yaml"])
def test_it_can_be_read(path):
    """Twelve pots: no line is long, and what is assumed of a pot takes at most two lines."""
    settings = read_settings(TOP / path)
    lines = list(report(settings))
    assert max(len(line) for line in lines) <= 100
    pots = lines[lines.index("") + 1 :]
    pots = pots[: pots.index("")]
    assert len(pots) <= 4 * len(settings.garden.pots)
    for start, line in enumerate(pots):
        if line.strip().startswith("assumed:"):
            rest = [*pots[start + 1 :], "      "]
            assert next(n for n, one in enumerate(rest) if not one.startswith("        ")) <= 1


def test_the_water_said_is_what_a_pot_holds_at_home():
    """The figure is the centre of what is believed of an unknown pot, not the laboratory's."""
    settings = settings_of(GARDEN)
    garden = replace(
        settings.garden,
        pots=tuple(
            replace(pot, id=f"p-{pot.label}", vessel_id=f"v-{pot.label}", plant_id=f"g-{pot.label}")
            for pot in settings.garden.pots
        ),
    )
    for pot in garden.pots:
        believed = np.exp(prior_rows(pot, 4000)["log_capacity"]) * pot.medium.available_l(
            pot.vessel
        )
        assert available_at_home_l(pot) == pytest.approx(float(np.median(believed)), rel=0.02)
        said = say_volume(available_at_home_l(pot), us_units=True)
        assert f"when full, about {said} for the plant" in " ".join(
            " ".join(report(settings)).split()
        )


def test_since_when_a_line_holds():
    """A change with its day, and a correction, are said in the words they mean."""
    text = changed("    was: 3\n", "    since: 2026-07-03 18:30\n")
    text = text.replace("    risk: 10 %\n", "    since: always\n")
    said = list(report(settings_of(text)))
    assert "Pot 07a: its line holds since 2026-07-03 18:30." in said
    assert "Pot 8: its line holds always; what it said before was a mistake." in said


def test_surroundings_are_said():
    """Glass, ground, wall, spacing, lamps, own plants and the water's salt, as they were read."""
    said = list(report(settings_of(FULL)))
    assert "Water: a can of 8 L; salt in it 0.9 dS/m; hose not timed" in "\n".join(said)
    first = next(at for at, line in enumerate(said) if line.startswith("Place"))
    assert said[first : first + 7] == [
        (
            "Place greenhouse: shade 0 % (usual), under glass that lets in 70 % of the sun, and no "
            "rain, paving"
        ),
        "      around, pots touching",
        (
            "Place driveway: shade 0 % (usual), wind 100 % of open, paving around, a sunny wall "
            "behind, pots"
        ),
        "      alone",
        ("Place cellar: shade 100 %, wind 50 % of open (usual), lamps of 60 W/m2 06:00-22:00"),
        "Where a place does not tell: bare ground around, pots apart (usual)",
        "Plant my lemon: bare stem 40 %, stands cold to -3 °C",
    ]


def test_makings_are_said():
    """Wall, colour, setting, basin, leaves, roots, rain and cover are said; so is a guess."""
    said = " ".join(" ".join(report(settings_of(FULL))).split())
    for words in (
        (
            "clay pot 30 cm, 12.1 L to the rim; light outside; sunk into the ground; saucer 35 cm "
            "across that holds 2 L around the pot; leaves of 0.6 m²; repotted 2026-05-01, its "
            "roots then in 24 % of the mix; catches 150 % of the rain on its opening; potting mix"
        ),
        "saucer's depth of 3 cm (as they usually are)",
        "herb bed, 560 L to the rim; open to the soil below; mix covered; potting mix",
        "sealed outer pot with room for 28 L around the pot",
        "hanging basket 30 cm, 7 L to the rim; fabric wall; reservoir of 1.5 L",
        "old bin, 40 L to the rim; metal wall; black outside; repotted 2026-05-01; potting mix",
        "how much of the mix its roots held (not said out of what)",
    ):
        assert words in said


def test_makings_are_said_in_the_gardeners_units():
    """In US units a saucer is told in quarts and inches, leaves in square feet, cold in °F."""
    text = changed_in_full("can: 8 L", "units: US")
    said = " ".join(" ".join(report(settings_of(text))).split())
    assert "saucer 14 in across that holds 2 qt around the pot; leaves of 6.5 ft²" in said
    assert "stands cold to 27 °F" in said


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
