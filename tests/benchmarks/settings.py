"""How quick a garden file is read: `python -m tests.benchmarks.settings`.

Two hundred pots, read from the file and said as `check` says them; and the whole command, with the
start of Python, as a gardener waits for it.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from irrigate.cli.check import report
from irrigate.settings.garden_file import read_settings

POTS = 200
HEAD = """\
site: {latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}
units: US
can: 2 gal
rounds: [07:00, 18:30]
places: {driveway: {wind: open}, porch: {shade: 40 %}}
pots:
"""
ROWS = (
    "  {}: {{plant: pepper, pot: nursery 5 gal, size: 'knee-high, wider than pot', place: porch}}",
    "  {}: {{plant: tomato, pot: 19 L, mix: peat and perlite, place: driveway, mulch: straw}}",
    "  {}: {{plant: basil, pot: {{round: 10 in, height: 9 in}}, place: porch, shade: 30 %}}",
    "  {}: {{like: 1, size: {{wide: 50 cm}}, planted: 2026-04-20}}",
)


def garden_text(pots: int = POTS) -> str:
    """Return a garden file of so many pots, told in several ways."""
    rows = [ROWS[number % len(ROWS)].format(number + 1) for number in range(pots)]
    return HEAD + "\n".join(rows) + "\n"


def measure() -> dict[str, float]:
    """Return the numbers, by name with the unit in it; medians of nine."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "garden.yaml"
        path.write_text(garden_text(), encoding="utf-8")
        command = [sys.executable, "-m", "irrigate", "check", str(path)]
        return {
            "load_ms": _median_ms(lambda: read_settings(path)),
            "load_and_report_ms": _median_ms(lambda: list(report(read_settings(path)))),
            "whole_command_ms": _median_ms(
                lambda: subprocess.run(command, capture_output=True, check=True)
            ),
        }


def _median_ms(run: Callable[[], object], times: int = 9) -> float:
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        run()
        taken.append(1000 * (time.perf_counter() - begun))
    return statistics.median(taken)


if __name__ == "__main__":
    print(f"{POTS} pots")
    for name, value in measure().items():
        print(f"{name:>20} {value:8.1f}")
