"""`irrigate outlook`: run as a process of its own beside records that end near the present."""

from __future__ import annotations

import json
from contextlib import closing
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from irrigate.garden.balance import missing_l
from irrigate.outside.clock import SystemClock
from irrigate.outside.journal.sqlite import SqliteJournal
from irrigate.service.as_known import AsKnown, present_at
from irrigate.service.thinking import think
from tests.cli.kept_record import GARDEN, Kept, invented_weather, irrigate, kept_record

HOUR = timedelta(hours=1)
MEMBERS = 60  # enough for what is tested here, and quicker
NOW = SystemClock().now().replace(second=0, microsecond=0)


def recorded(folder: Path, until: datetime, **how: Any) -> Kept:
    """Return the record of the 30 hours up to a moment."""
    return kept_record(
        folder, until - 30 * HOUR, until, invented_weather(NOW), step=HOUR, members=MEMBERS, **how
    )


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Kept:
    """Return a record that ends now, its weather from the public source."""
    return recorded(tmp_path_factory.mktemp("now") / "state", NOW, source="open-meteo")


def shown(kept: Kept, *words: str) -> str:
    """Return what the command prints, which has to succeed."""
    folders = ("--state", str(kept.state), "--garden", str(kept.garden))
    done = irrigate("outlook", *words, *folders, "--members", str(MEMBERS))
    assert (done.returncode, done.stderr) == (0, "")
    assert max(len(line) for line in done.stdout.splitlines()) <= 80 or "--json" in words
    return done.stdout


def test_every_pot_has_its_line_in_walking_order(kept: Kept) -> None:
    """The table names all pots as they are walked, under its headings, within 80 columns."""
    text = shown(kept)
    table = text[text.index("thirsty by") :].splitlines()
    headings = ["pot", "left", "missing", "probably", "between", "and"]
    assert all(word in table[1].split() for word in headings)
    assert [line.split("  ")[0] for line in table[2:5]] == ["3 pepper", "7a basil", "12 lemon"]
    assert all(line.count("%") == 2 for line in table[2:5])


def test_the_header_says_when_whence_and_how_old(kept: Kept) -> None:
    """Garden, moment, source, age of the hours told and of the forecast, and the attribution."""
    text = " ".join(shown(kept).split())
    assert text.startswith("Three pots in Quillmere, ")
    assert "Weather: open-meteo, told up to" in text
    assert "; forecast of " in text
    assert "Weather data by Open-Meteo.com (CC BY 4.0)." in text
    assert "without watering, and counting on no rain" in text.lower()
    assert "stale" not in text
    assert "first look" not in text


def test_it_leaves_the_record_as_it_was(kept: Kept) -> None:
    """Looking writes nothing: no fact, no checkpoint, no file beside the journal."""
    before = kept.journal.read_bytes(), sorted(path.name for path in kept.state.iterdir())
    shown(kept)
    assert before == (
        kept.journal.read_bytes(),
        sorted(path.name for path in kept.state.iterdir()),
    )


def test_it_looks_beside_a_service_that_holds_the_journal(kept: Kept) -> None:
    """While another process (here: this one) has the journal open for writing, it can be read."""
    with closing(SqliteJournal(kept.journal)):
        beside = shown(kept, "3")
    assert "3 pepper, drive" in beside
    assert "thirsty by then?" in beside


def test_json_is_valid_with_units_in_its_names(kept: Kept) -> None:
    """Every number has a name that says its unit, or is a share or a chance between 0 and 1."""
    told = json.loads(shown(kept, "--json"), parse_constant=pytest.fail)
    assert [pot["pot"] for pot in told["pots"]] == ["3", "7a", "12"]
    assert told["first_look"] is False
    assert told["weather"]["source"] == "open-meteo"

    def walk(name: str, value: Any) -> None:
        if isinstance(value, dict):
            for inner, one in value.items():
                walk(inner, one)
        elif isinstance(value, list):
            for one in value:
                walk(name, one)
        elif isinstance(value, float):
            if name.startswith(("share_", "chance_")) or name == "risk":
                assert 0.0 <= value <= 1.0
            elif name == "air_c":
                assert -60.0 < value < 60.0
            else:
                assert name.endswith(("_l", "_mm"))
                assert value >= 0.0

    walk("", told)


def test_json_has_the_numbers_that_the_service_would_think(kept: Kept) -> None:
    """Thinking at the same moment from the same record gives the same middle values."""
    told = json.loads(shown(kept, "--json"))
    at = datetime.fromisoformat(told["now"])
    with closing(SqliteJournal(kept.journal, read_only=True)) as journal:
        present = present_at(AsKnown(journal, journal.position()), at, MEMBERS)
    assert present.standing is not None
    assert present.weather is not None
    thought = think(present.standing, present.weather)
    missing = np.median(missing_l(present.standing.belief.water_l, present.standing.traits), axis=1)
    following = datetime.fromisoformat(told["next_round"])
    chance = thought.as_is.chance_before(following)
    for row, pot in enumerate(told["pots"]):
        # The process looked some fraction of a second later than the moment that it prints.
        assert pot["missing_l"] == pytest.approx(missing[row], abs=1e-4)
        assert pot["chance_thirsty_before_next_round"] == pytest.approx(
            chance[row], abs=1.01 / MEMBERS
        )


def test_a_pot_is_shown_day_by_day(kept: Kept) -> None:
    """With a pot named: seven evenings, from each to the next less is left and thirst likelier."""
    told = json.loads(shown(kept, "12", "--json"))
    (pot,) = told["pots"]
    days = pot["days"]
    assert len(days) == 7
    assert days[0]["begins"] == told["now"]
    for one, following in pairwise(days):
        assert one["ends"] == following["begins"]
        assert one["share_left_middle"] >= following["share_left_middle"]
        assert one["chance_thirsty"] <= following["chance_thirsty"]
    text = shown(kept, "12", "7a")
    assert text.count("\nuntil ") == 2
    assert text.index("12 lemon, porch") < text.index("7a basil, porch")
    assert "3 pepper" not in text


def test_in_us_units_nothing_is_metric(tmp_path: Path) -> None:
    """A gardener who reads gallons and inches gets no litre and no millimetre."""
    kept = recorded(tmp_path / "state", NOW, units="US")
    text = shown(kept) + shown(kept, "3")
    assert " mm" not in text
    assert " mL" not in text
    assert " L " not in text
    assert " in " in text
    assert any(unit in text for unit in ("cup", "qt", "gal"))


def test_stale_weather_is_said(tmp_path: Path) -> None:
    """Nine hours after the service last heard of the weather, the outlook says so first."""
    kept = recorded(tmp_path / "state", NOW - 9 * HOUR)
    text = " ".join(shown(kept).split())
    assert "The weather is stale: is the service running" in text
    assert "h ago)" in text


def test_a_week_without_the_service_still_gives_an_answer(tmp_path: Path) -> None:
    """A forecast of last week is not gone by: recent days stand in, and that is said."""
    kept = recorded(tmp_path / "state", NOW - 9 * 24 * HOUR)
    text = " ".join(shown(kept).split())
    assert "The forecast is too old to go by: recent days stand in" in text
    assert "days ago" in text
    told = json.loads(shown(kept, "--json"))
    assert all(pot["chance_thirsty_before_next_round"] > 0.5 for pot in told["pots"][:2])


def test_answers_in_the_spool_are_counted(kept: Kept) -> None:
    """What the service has not taken in yet is not part of the picture, so it is mentioned."""
    logged = irrigate(
        "log",
        "7a",
        "1 L",
        "--state",
        str(kept.state),
        "--garden",
        str(kept.garden),
        "--who",
        "Odile",
    )
    assert logged.returncode == 0
    text = shown(kept)
    assert "1 answer waits for the service to take in" in text
    for item in (kept.state / "spool").glob("*.json"):
        item.unlink()


def test_a_changed_garden_file_is_mentioned(tmp_path: Path) -> None:
    """Shown is the garden that the service has; a later change of the file is said."""
    kept = recorded(tmp_path / "state", NOW)
    changed = kept.garden.read_text(encoding="utf-8") + "# changed\n"
    kept.garden.write_text(changed, encoding="utf-8")
    assert "has not taken it up yet" in " ".join(shown(kept).split())


def test_an_unknown_pot_is_an_error_with_near_ones(kept: Kept) -> None:
    """Exit code 2, on standard error, with the labels that come near."""
    done = irrigate("outlook", "7b", "--state", str(kept.state), "--garden", str(kept.garden))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "there is no pot 7b; did you mean 7a?\n"


# --- without a record ----------------------------------------------------------------------
def station_table(path: Path) -> None:
    """Write the invented weather as a station of one's own would, two days back and eight on."""
    table = invented_weather(NOW)
    near = table.between(int((NOW - 50 * HOUR).timestamp()), int((NOW + 192 * HOUR).timestamp()))
    rows = ["time,t_c,ea_kpa,rs_mj_m2,wind_m_s,rain_mm"]
    columns = (near.temperature_c, near.vapour_pressure_kpa, near.solar_mj_m2, near.wind_2m_m_s)
    for end_s, *values in zip(near.end_s, *columns, strict=True):
        end = datetime.fromtimestamp(int(end_s), UTC)
        cells = ",".join(f"{value:.3f}" for value in values)
        rows.append(f"{end:%Y-%m-%dT%H:%MZ},{cells},0")
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")


def test_without_a_record_it_takes_a_first_look(tmp_path: Path) -> None:
    """From the garden file and one reading of its weather; it says so, and leaves nothing."""
    station_table(tmp_path / "station.csv")
    garden = tmp_path / "garden.yaml"
    garden.write_text(
        f"weather: {{csv: station.csv, wind height: 2 m}}\n{GARDEN.replace('UNITS', 'metric')}",
        encoding="utf-8",
    )
    state = tmp_path / "state"
    done = irrigate("outlook", "--state", str(state), "--garden", str(garden))
    assert (done.returncode, done.stderr) == (0, "")
    text = " ".join(done.stdout.split())
    assert "This is a first look: nothing is known of your pots yet" in text
    assert "Weather: csv, told up to" in text
    for pot in ("3 pepper", "7a basil", "12 lemon"):
        assert pot in text
    assert not state.exists()
    told = irrigate("outlook", "--json", "--state", str(state), "--garden", str(garden))
    assert json.loads(told.stdout)["first_look"] is True


def test_without_record_or_garden_it_names_what_is_missing(tmp_path: Path) -> None:
    """Neither journal nor garden file: exit code 2, and the file that it looked for."""
    done = irrigate(
        "outlook", "--state", str(tmp_path / "state"), "--garden", str(tmp_path / "none.yaml")
    )
    assert done.returncode == 2
    assert "none.yaml" in done.stderr
    assert "Traceback" not in done.stderr
