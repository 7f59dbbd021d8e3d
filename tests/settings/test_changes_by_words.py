"""What somebody says of a pot, written into its row of the garden file."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from irrigate.assemble.changing import change_garden
from irrigate.garden.answers import Change
from irrigate.garden.pots import Pot
from irrigate.settings.garden_file import read_settings
from tests.settings.gardens import FULL, GARDEN

AT = datetime(2026, 7, 3, 14, 30, tzinfo=UTC)
ZONE = "America/Los_Angeles"


def written(tmp_path: Path, garden: str, change: Change) -> tuple[str, Pot]:
    """Return the file after a change, and the pot that it is about."""
    path = tmp_path / "garden.yaml"
    path.write_text(garden, encoding="utf-8")
    change_garden([(AT, change)], path, ZONE)
    pot = read_settings(path).garden.labelled(change.label)
    assert pot is not None
    return path.read_text(encoding="utf-8"), pot


def test_repotting_says_out_of_what(tmp_path):
    """The day and what the old pot held stand in the row, in the gardener's own unit."""
    text, pot = written(tmp_path, GARDEN, Change("7", "pot", "nursery 7 gal"))
    assert "    pot: nursery 7 gal\n" in text
    assert "    repotted: 2026-07-03 from 3.9 gal\n" in text
    assert "    since: 2026-07-03 07:30\n" in text
    # Trade sizes printed under NIST labelling: 14.9 and 24.6 L.
    assert pot.root_ball == pytest.approx(14.9 / 24.6, abs=0.01)
    metric, _ = written(
        tmp_path, GARDEN.replace("units: US", "units: metric"), Change("7", "pot", "nursery 7 gal")
    )
    assert "    repotted: 2026-07-03 from 14.9 L\n" in metric


def test_repotting_forgets_the_old_pot(tmp_path):
    """Its wall, colour, outer pot and reservoir go; the saucer and the hook may stay."""
    text, pot = written(tmp_path, FULL, Change("1", "pot", "plastic pot 30 cm"))
    assert "colour: white" not in text
    assert (pot.wall, pot.colour, pot.setting) == ("plastic", None, "sunk")
    assert pot.basin is not None
    assert pot.basin.kind == "saucer"
    assert "repotted: 2026-07-03 from 12.1 L" in text
    text, pot = written(tmp_path, FULL, Change("4", "pot", "19 L"))
    assert "4: {plant: mint, pot: 19 L, place: cellar, repotted: 2026-07-03 from 7.0 L" in text
    assert (pot.wall, pot.basin) == ("plastic", None)


def test_repotting_out_of_a_bed(tmp_path):
    """What was larger than any pot is not named: the roots may have been anywhere in it."""
    text, pot = written(tmp_path, FULL, Change("2", "pot", "19 L"))
    assert 'repotted: "2026-07-03"' in text
    assert pot.root_ball is None


def test_replanting_forgets_the_old_plant(tmp_path):
    """What was measured of the old plant's leaves and roots goes with it."""
    text, pot = written(tmp_path, FULL, Change("1", "plant", "basil"))
    row = text[text.index("  1:\n") : text.index("  2: ")]
    assert "leaf area" not in row
    assert "repotted" not in row
    assert 'planted: "2026-07-03"' in row
    assert (pot.leaf_area_m2, pot.repotted, pot.crop.name) == (None, None, "basil")
