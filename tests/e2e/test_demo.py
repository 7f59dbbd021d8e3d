"""The demonstration as a newcomer runs it."""

from __future__ import annotations

import subprocess
import sys


def test_the_demo_tells_its_story_and_the_same_each_time() -> None:
    """First evening, rounds, a warning, a forgotten evening, the comparison; twice the same."""
    processes = [
        subprocess.Popen(
            [sys.executable, "-m", "irrigate", "demo"],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )
        for _ in range(2)
    ]  # fmt: skip
    (first, errors), (second, _) = (process.communicate(timeout=120) for process in processes)
    assert [process.returncode for process in processes] == [0, 0], errors
    assert first == second
    assert "water everything till it runs, twice" in first
    assert "Feel first; water only if dry at the second knuckle" in first
    assert "Will not last until 6:30 pm: " in first
    assert "1 forgotten." in first
    assert "  walked, but not answered" in first
    assert errors == ""
    ours = float(line_of(first, "as advised").split()[2])
    daily = float(line_of(first, "half a can each").split()[6])
    assert ours < daily


def line_of(text: str, start: str) -> str:
    """Return the line of a table that starts with these words."""
    return next(line for line in text.splitlines() if line.startswith(start))
