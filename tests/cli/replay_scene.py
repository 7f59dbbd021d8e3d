"""A small invented garden, invented weather, and the replay command as a person runs it."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import cos, pi
from pathlib import Path
from typing import Any

GARDEN = """\
garden: Three pots at Low Barn
site: {latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}
units: metric
can: 8 L
hose: 12 L/min
rounds: [07:00, 18:30]
quiet: 21:30-06:30
people:
  - {name: Ana, reach: [console], hours: [06:30-21:00]}
places:
  yard: {wind: open}
pots:
  1: {plant: pepper, pot: nursery 5 gal, size: "knee-high, wider than pot", place: yard}
  2: {plant: tomato, pot: bucket 5 gal, size: "waist-high, wider than pot", place: yard}
  B7: {plant: basil, pot: nursery 1 gal, size: {wide: 30 cm, tall: 35 cm}, place: yard}
"""
START = datetime(2026, 7, 7, 7, tzinfo=UTC)
NAMES = ("time", "t_c", "rh_pct", "rs_mj_m2", "wind_m_s", "rain_mm")


def weather(hours: int, start: datetime = START) -> list[dict[str, str]]:
    """Return hot, dry hours with a shower each evening, as rows of a table."""
    rows = []
    for hour in range(1, hours + 1):
        at = start + timedelta(hours=hour)
        solar_h = (at.hour - 0.5 - 8.1) % 24.0
        day = cos((solar_h - 12.0) * pi / 12.0)
        rows.append(
            {
                "time": f"{at:%Y-%m-%dT%H:%MZ}",
                "t_c": f"{26.0 + 9.0 * cos((solar_h - 15.0) * pi / 12.0):.1f}",
                "rh_pct": f"{45.0 - 20.0 * day:.0f}",
                "rs_mj_m2": f"{max(0.0, 3.2 * day):.2f}",
                "wind_m_s": f"{1.6 + 0.8 * day:.1f}",
                "rain_mm": "4" if at.hour == 3 else "0",
            }
        )
    return rows


def written(rows: list[dict[str, str]], names: tuple[str, ...] = NAMES) -> str:
    """Return rows as CSV."""
    return "\n".join([",".join(names), *(",".join(row[n] for n in names) for row in rows)]) + "\n"


EVENTS = """\
time,pot,kind,value,unit
2026-07-07T18:40,all,till-ran-twice,,
2026-07-08T07:05,1 2,given,1/2,can
2026-07-08T07:06,B7,given,10,s hose
2026-07-08T12:30,B7,finger,dry,
2026-07-08T12:31,B7,till-ran,1.2,L
2026-07-08T18:20,1,weighed,9.5,kg
2026-07-08T19:15,2,probe,31,%
2026-07-08T19:15,1,probe,0.30,m3/m3
2026-07-09T07:00,2,wilting,,
2026-07-09T07:30,,rain,some,
2026-07-09T08:00,,rain,6.5,mm
2026-07-09T08:00,B7,planted,,
2026-07-09T08:10,B7,canopy,20 x 25,cm
"""


@dataclass(frozen=True)
class Scene:
    """The files of a replay in a folder of their own."""

    folder: Path

    def write(self, garden: str, table: str, events: str) -> None:
        """Write the three files."""
        (self.folder / "garden.yaml").write_text(garden, encoding="utf-8")
        (self.folder / "w.csv").write_text(table, encoding="utf-8")
        (self.folder / "e.csv").write_text(events, encoding="utf-8")

    def arguments(self, *more: str, out: str = "out") -> list[str]:
        """Return the command's arguments."""
        return [
            "replay", "--garden", str(self.folder / "garden.yaml"),
            "--weather", str(self.folder / "w.csv"), "--events", str(self.folder / "e.csv"),
            "--wind-height", "2", "--members", "12", "--out", str(self.folder / out), *more,
        ]  # fmt: skip

    def run(self, *more: str, out: str = "out") -> subprocess.CompletedProcess[str]:
        """Run the real command."""
        return subprocess.run(
            [sys.executable, "-m", "irrigate", *self.arguments(*more, out=out)],
            capture_output=True, text=True, check=False, timeout=120,
        )  # fmt: skip

    def summary(self, out: str = "out") -> dict[str, Any]:
        """Return the summary that was written."""
        text = (self.folder / out / "summary.json").read_text(encoding="utf-8")
        found: dict[str, Any] = json.loads(text, parse_constant=_no_constant)
        return found

    def rows(self, name: str, out: str = "out") -> list[dict[str, str]]:
        """Return the rows of a table that was written."""
        with (self.folder / out / name).open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is no JSON")
