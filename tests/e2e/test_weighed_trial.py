"""A trial under glass, weighed for a week: described in the garden file, replayed by the command.

The table of weights is invented: the tool's own equations under another key, with a scale's error.
So nothing here checks the equations; it checks that such a trial can be told, and that learning
from a part of the weights foretells the others better.
"""

from __future__ import annotations

import csv
import json
import statistics
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from irrigate.cli.replay_weather import read_told
from irrigate.garden.believed import Standing
from irrigate.garden.draws import normals
from irrigate.garden.pots import Garden
from irrigate.garden.weather import HourlyWeather
from irrigate.planning.truth import Truth, passed, true_garden, watered
from irrigate.settings.garden_file import settings_of
from tests.cli.replay_scene import START, weather, written

GARDEN = """\
garden: Four pots in a trial house
site: {latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}
units: metric
can: 8 L
rounds: [07:00, 18:30]
people:
  - {name: Ana, reach: [console], hours: [06:30-21:00]}
places:
  house: {glass: 70 %, pots stand: close, ground: bare, lamps: "60 W/m2, 05:00-21:00"}
mixes:
  weighed clay: {like: fritted clay, holds: 45 %, wilts at: 22 %}
pots:
  1: {plant: tomato, pot: nursery 2 gal, size: {wide: 35 cm, tall: 45 cm}, place: house,
      mix: weighed clay, covered: yes, leaf area: 0.25 m2}
  2: {like: 1}
  3: {like: 1}
  4: {like: 1, leaf area: 0.18 m2}
"""
HOURS = 8 * 24
EVERY_H = 2
GIVEN_L = 1.0
# On the fifth day the plants are measured again.
GROWN_AT, GROWN_M, GROWN_LEAVES_M2 = START + timedelta(hours=100), (0.5, 0.6), 0.6
SCALE_KG = 0.05
TARED_KG = {"1": 0.0, "2": 0.0, "3": 4.0, "4": 0.0}
STAMP = "%Y-%m-%dT%H:%MZ"


def grown(truth: Truth) -> Truth:
    """Return the same plants at their new size, with as many leaves as were measured."""
    standing = truth.standing
    pots = tuple(
        # The row tells the leaf area of the size in the row: as dense as at the new one.
        replace(pot, leaf_area_m2=GROWN_LEAVES_M2 * (pot.canopy_width_m / GROWN_M[0]) ** 2)
        for pot in standing.garden.pots
    )
    canopy = np.array([GROWN_M for _ in pots])
    garden = replace(standing.garden, pots=pots)
    belief = replace(standing.belief, canopy_m=canopy)
    return replace(truth, standing=Standing(garden, standing.known, belief))


def rows_of(garden: Garden, sky: HourlyWeather) -> tuple[list[list[str]], Truth]:
    """Return the rows of the record, and the real garden at its end."""
    truth = true_garden(garden, START, "trial")
    rows, first = [], True
    for hour in range(1, HOURS + 1):
        at = START + timedelta(hours=hour)
        if at.hour == 13:
            poured = at - timedelta(minutes=30)
            truth = passed(truth, sky, poured)
            for row, pot in enumerate(garden.pots):
                truth = watered(truth, row, GIVEN_L)
                rows.append([f"{poured:{STAMP}}", pot.label, "given", f"{GIVEN_L:g}", "L"])
        truth = passed(truth, sky, at)
        if at == GROWN_AT:
            truth = grown(truth)
            rows.append([f"{at:{STAMP}}", "all", "canopy", "50 x 60", "cm"])
            rows.append([f"{at:{STAMP}}", "all", "leaf-area", f"{GROWN_LEAVES_M2}", "m2"])
        if hour % EVERY_H == 0:
            rows += [weight(truth, row, at, anew=first) for row in range(len(garden.pots))]
            first = False
    return rows, truth


def weight(truth: Truth, row: int, at: datetime, *, anew: bool) -> list[str]:
    """Return the row of one weight: kg, g or lb by the pot, and pot 3 on a scale with a zero."""
    belief, label = truth.standing.belief, truth.standing.garden.pots[row].label
    error = SCALE_KG * normals(("scale", label, at.isoformat()), 1)[0]
    kilograms = float(belief.empty_kg[row, 0] + belief.water_l[row, 0] + error) + TARED_KG[label]
    said = {
        "1": (f"{kilograms:.2f}", "kg"), "2": (f"{1000.0 * kilograms:.0f}", "g"),
        "3": (f"{kilograms:.2f}", "kg"), "4": (f"{kilograms / 0.45359237:.2f}", "lb"),
    }[label]  # fmt: skip
    kind = "weighed-anew" if anew and label == "3" else "weighed"
    return [f"{at:{STAMP}}", label, kind, *said]


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Truth]:
    """Return the folder with the trial's files, and how it really ended."""
    folder = tmp_path_factory.mktemp("trial")
    (folder / "garden.yaml").write_text(GARDEN, encoding="utf-8")
    (folder / "w.csv").write_text(written(weather(HOURS)), encoding="utf-8")
    garden = settings_of(GARDEN).garden
    told = read_told(str(folder / "w.csv"), garden.site, UTC, 2.0, None, None)
    rows, truth = rows_of(garden, told.hours)
    with (folder / "e.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([["time", "pot", "kind", "value", "unit"], *rows])
    return folder, truth


def replay(folder: Path, out: str, *more: str) -> str:
    """Run the real command and return what it said."""
    done = subprocess.run(
        [sys.executable, "-m", "irrigate", "replay", "--garden", str(folder / "garden.yaml"),
         "--weather", str(folder / "w.csv"), "--events", str(folder / "e.csv"),
         "--wind-height", "2", "--out", str(folder / out), *more],
        capture_output=True, text=True, check=False, timeout=300,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


def table(folder: Path, out: str, name: str) -> list[dict[str, str]]:
    """Return the rows of a result."""
    with (folder / out / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_trial_is_understood(trial: tuple[Path, Truth]) -> None:
    """`check` tells of the glass, the lamps, the cover, the measured mix and the leaves."""
    folder, _ = trial
    done = subprocess.run(
        [sys.executable, "-m", "irrigate", "check", str(folder / "garden.yaml")],
        capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    for word in ("weighed clay", "cover", "0.25 m²", "glass", "lamps"):
        assert word in done.stdout, word


def test_learning_from_some_weights_foretells_the_others_better(
    trial: tuple[Path, Truth],
) -> None:
    """The same third of the weights, foretold with and without the other two thirds learnt from."""
    folder, truth = trial
    said = replay(folder, "some", "--beliefs-only", "--hold-out", "30%")
    replay(folder, "none", "--beliefs-only", "--hold-out", "weighed")
    assert "Held out, weighed: " in said
    assert "Learnt from, once foretold, weighed: " in said
    some, none = (table(folder, out, "skill.csv") for out in ("some", "none"))
    assert len(some) == len(none) == 4 * HOURS // EVERY_H - 1, "of the first on pot 3 nothing is"
    assert {row["held_out"] for row in none} == {"yes"}
    chosen = {(row["time"], row["pot"]) for row in some if row["held_out"] == "yes"}
    assert 0.2 < len(chosen) / len(some) < 0.4
    crps = {
        out: [float(row["crps_l"]) for row in rows if (row["time"], row["pot"]) in chosen]
        for out, rows in (("some", some), ("none", none))
    }
    assert statistics.fmean(crps["some"]) < 0.6 * statistics.fmean(crps["none"])
    inside = [row["inside_80"] == "yes" for row in some if row["held_out"] == "yes"]
    assert sum(inside) > 0.6 * len(inside)
    # What is learnt of thirst comes nearer to what is so, and surer of it.
    last = {row["pot"]: row for row in table(folder, "some", "hours.csv")[-4:]}
    first = {row["pot"]: row for row in table(folder, "some", "hours.csv")[:4]}
    misses: dict[str, list[float]] = {"first": [], "last": []}
    for row, pot in enumerate(truth.standing.garden.pots):
        real = float(truth.standing.belief.log_use[row, 0])
        for when, told in (("first", first), ("last", last)):
            misses[when].append(abs(np.log(float(told[pot.label]["use_factor"])) - real))
        wide, narrow = (
            float(told[pot.label]["use_factor_high"]) / float(told[pot.label]["use_factor_low"])
            for told in (first, last)
        )
        assert narrow < wide
    assert sum(misses["last"]) < 0.6 * sum(misses["first"])


def test_under_glass_and_cover_only_leaves_use_water(trial: tuple[Path, Truth]) -> None:
    """No rain comes in and nothing leaves the covered surface; more leaves use more at night too.

    It rains 4 mm each evening outside. With the same leaves as before, the last days would use
    far less: the record without its two rows of sizes says so.
    """
    folder, _ = trial
    replay(folder, "all", "--beliefs-only")
    small = [
        line
        for line in (folder / "e.csv").read_text(encoding="utf-8").splitlines()
        if ",canopy," not in line and ",leaf-area," not in line and ",weighed" not in line
    ]
    (folder / "small").mkdir()
    for name in ("garden.yaml", "w.csv"):
        (folder / "small" / name).write_bytes((folder / name).read_bytes())
    (folder / "small" / "e.csv").write_text("\n".join(small) + "\n", encoding="utf-8")
    replay(folder / "small", "out", "--beliefs-only", "--members", "50")
    summary = json.loads((folder / "all" / "summary.json").read_text(encoding="utf-8"))
    for total in summary["pots"].values():
        assert total["rained_l"] == 0.0
        assert total["evaporated_l"] == pytest.approx(0.0, abs=1e-9)
        assert total["transpired_l"] > 1.0
    used = {}
    for name, rows in (
        ("grown", table(folder, "all", "hours.csv")),
        ("small", table(folder / "small", "out", "hours.csv")),
    ):
        late = [row for row in rows if row["time"] > f"{GROWN_AT:%Y-%m-%dT%H:%M:%SZ}"]
        used[name] = sum(float(row["use_l"]) for row in late)
    assert used["grown"] > 1.5 * used["small"]
