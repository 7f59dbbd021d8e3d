"""Counts the tests of each room when the whole suite is run: too few is a failure."""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import settings

# In the suite the same examples every time, so that a red run means a change; the campaigns
# (`python -m tests.campaigns.NAME`) look for new ones.
settings.register_profile("suite", derandomize=True, deadline=None)
settings.load_profile("suite")

HERE = Path(__file__).parent
ROOMS = HERE / "rooms.toml"


def short_rooms(collected: list[str], minimum: dict[str, int]) -> list[str]:
    """Return a line for each room with fewer tests than its minimum."""
    count = Counter(node_id.removeprefix("tests/").partition("/")[0] for node_id in collected)
    return [
        f"tests/{room}: {count[room]} tests were collected, at least {fewest} are expected"
        for room, fewest in minimum.items()
        if count[room] < fewest
    ]


class RoomCount:
    """Notes what was collected, by this process or by those that it set to work."""

    def __init__(self) -> None:
        self.collected: list[str] = []
        self.short: list[str] = []

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        """Note the tests of a run in one process."""
        self.collected = self.collected or [item.nodeid for item in session.items]

    @pytest.hookimpl(optionalhook=True)
    def pytest_xdist_node_collection_finished(self, node: object, ids: list[str]) -> None:
        """Note the tests of a run in several processes, of which each collects all."""
        self.collected = list(ids)

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        """Fail the run if a room fell short."""
        minimum = tomllib.loads(ROOMS.read_text(encoding="utf-8"))["minimum"]
        self.short = short_rooms(self.collected, minimum)
        if self.short and session.exitstatus == pytest.ExitCode.OK:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        """Say which room fell short."""
        for line in self.short:
            terminalreporter.write_line(f"FAILED {line} (see {ROOMS.name})", red=True)


def pytest_configure(config: pytest.Config) -> None:
    """Count only where the whole suite is asked for, and only in the process that leads."""
    chosen = {(config.invocation_params.dir / argument).resolve() for argument in config.args}
    narrowing = ("keyword", "markexpr", "lf", "deselect", "ignore", "ignore_glob")
    narrowed = any(config.getoption(name, None) for name in narrowing)
    whole = chosen <= {HERE, HERE.parent} and not narrowed
    if whole and not hasattr(config, "workerinput"):
        config.pluginmanager.register(RoomCount(), "room-count")
