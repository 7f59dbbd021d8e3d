"""The README's record of events is one, and its table of kinds names every kind."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

from irrigate.cli.event_values import OF_POT, RAIN
from tests.cli.replay_scene import GARDEN, Scene, weather, written
from tests.docs.documents import blocks

README = Path(__file__).parents[2] / "README.md"


def test_the_record_can_be_replayed(tmp_path: Path) -> None:
    """By the command as it stands there but for the files, over weather of those days."""
    (record,) = [piece.text for piece in blocks() if piece.language == "csv"]
    scene = Scene(tmp_path)
    table = written(weather(60, datetime(2026, 6, 1, 7, tzinfo=UTC)))
    scene.write(GARDEN.replace("B7:", "3:"), table, record)
    done = scene.run()
    assert done.returncode == 0, done.stderr
    assert scene.summary()["events_taken"] == 3 + 2 + 1 + 1 + 1


def test_every_kind_stands_in_the_table() -> None:
    """Kinds that can be written and kinds that are told of are the same."""
    section = README.read_text(encoding="utf-8").split("## A season that is over")[1]
    rows = re.findall(r"^\| (`.*?) \|", section.split("\n## ")[0], re.MULTILINE)
    told = {kind for row in rows for kind in re.findall(r"`([a-z-]+)`", row)}
    assert told == {*OF_POT, RAIN}
