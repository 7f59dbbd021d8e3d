"""The running service notes what it foretold of an answer, and asks about one that hardly fits."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.e2e.running_service import Service, garden_text, phone, running, summer_site, weather


def test_answers_are_scored_and_a_stray_can_be_taken_back(tmp_path: Path) -> None:
    """Litres are foretold, far too many are asked about, and `undo 2` takes them out again."""
    site = summer_site()
    (tmp_path / "garden.yaml").write_text(garden_text(site))
    with phone() as receiver, weather(site) as url, running(tmp_path, receiver.url, url) as service:
        service.until(lambda: receiver.received)
        assert service.command("log", "1 till it ran; 2 till it ran").returncode == 0
        assert service.command("log", "1", "moist").returncode == 0
        first = service.until(lambda: _checked(service, 1))
        assert first["answers"][0]["kind"] == "finger"
        assert first["answers"][0]["error_l"] is None
        far = service.command("log", "2 till it ran 7 L")
        assert far.returncode == 0, far.stderr
        assert "Was it pot 2? If not: irrigate log undo 2" in far.stdout
        both = service.until(lambda: _checked(service, 2))
        assert both["garden"]["strays"] == 1
        assert service.command("skill", "2").stdout.startswith("2 pepper: 1 check: ")
        undone = service.command("log", "undo 2")
        assert undone.stdout.startswith("logged: the last thing said of 2 ")
        service.until(lambda: _checked(service, 1))
        assert service.end() == 0
    assert "Traceback" not in (tmp_path / "log.txt").read_text()


def _checked(service: Service, checks: int) -> dict[str, Any] | None:
    """Return what `irrigate skill` says, once it has so many checks."""
    said = service.command("skill", "--json")
    if said.returncode != 0:
        return None
    plain: dict[str, Any] = json.loads(said.stdout)
    return plain if plain["garden"]["checks"] == checks else None
