"""The real `irrigate run` in a process of its own, with weather and a phone on loopback."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any, TypeVar

from irrigate.garden.pots import Site
from tests.outside.weather_server import answer_of, as_json, serving

Found = TypeVar("Found")
# South of the equator it is summer when the north has winter, and between them one is hot.
SOUTH = Site(-34.9, 0.0, 50.0, "UTC")
NORTH = Site(37.6, 0.0, 50.0, "UTC")


def summer_site() -> Site:
    """Return a place where it is summer now, with its clock on UTC."""
    return NORTH if 4 <= datetime.now(UTC).month <= 9 else SOUTH  # noqa: TID251


def garden_text(site: Site, pots: int = 12, minutes_to_round: int = 10) -> str:
    """Return a garden whose next round is some minutes away."""
    now = datetime.now(UTC)  # noqa: TID251
    first = now + timedelta(minutes=minutes_to_round)
    second = first + timedelta(hours=11)
    rows = "\n".join(
        f"  {number}: {{plant: pepper, pot: nursery 3 gal, size: 'knee-high, wider than pot', "
        "place: wall}"
        for number in range(1, pots + 1)
    )
    return (
        "garden: Loopback\n"
        f"site: {{latitude: {site.latitude_deg}, longitude: {site.longitude_deg}, "
        f"elevation: {site.elevation_m:.0f} m, time zone: UTC}}\n"
        "units: metric\ncan: 9 L\n"
        f"rounds: ['{first:%H:%M}', '{second:%H:%M}']\n"
        "quiet: 03:00-03:01\n"
        "reach: [phone]\n"
        "people: [{name: Ilse, reach: [phone], hours: ['00:00-23:59']}]\n"
        "places: {wall: {wind: open}}\n"
        f"pots:\n{rows}\n"
    )


@dataclass(slots=True)
class Phone:
    """An HTTP receiver that keeps what it was sent."""

    url: str = ""
    received: list[dict[str, Any]] = field(default_factory=list)
    refuse: int = 0


@contextmanager
def phone() -> Iterator[Phone]:
    """Run a receiver on loopback."""
    state = Phone()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            content = self.rfile.read(int(self.headers["Content-Length"]))
            if state.refuse:
                state.refuse -= 1
                self.send_response(503)
            else:
                state.received.append(json.loads(content))
                self.send_response(200)
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002
            """Say nothing on stderr."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    state.url = f"json://127.0.0.1:{server.server_address[1]}/"
    Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
    try:
        yield state
    finally:
        server.shutdown()
        server.server_close()


@dataclass(slots=True)
class Service:
    """A running service and what it says."""

    process: subprocess.Popen[str]
    folder: Path
    environment: Mapping[str, str]
    notices: list[str]
    log: Path

    def until_notified(self, wanted: str, within_s: float = 30.0) -> None:
        """Wait for a certain word to the supervisor."""
        end = time.monotonic() + within_s
        while time.monotonic() < end:
            if wanted in self.notices:
                return
            alive = self.process.poll() is None or wanted == "STOPPING=1"
            assert alive, f"it ended early:\n{self.log.read_text()}"
            time.sleep(0.05)
        raise AssertionError(f"never told {wanted}; the log:\n{self.log.read_text()}")

    def until(self, look: Callable[[], Found | None], within_s: float = 30.0) -> Found:
        """Wait until a look finds something, and return it."""
        end = time.monotonic() + within_s
        while time.monotonic() < end:
            found = look()
            if found:
                return found
            assert self.process.poll() is None, f"it ended early:\n{self.log.read_text()}"
            time.sleep(0.05)
        raise AssertionError(f"waited in vain; the log:\n{self.log.read_text()}")

    def command(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        """Run another command of the program beside it."""
        return subprocess.run(
            [sys.executable, "-m", "irrigate", *arguments], env=dict(self.environment),
            capture_output=True, text=True, check=False, timeout=60,
        )  # fmt: skip

    def end(self, how: signal.Signals = signal.SIGTERM) -> int:
        """Stop it and return its exit code."""
        self.process.send_signal(how)
        return self.process.wait(timeout=20)


@contextmanager
def running(folder: Path, phone_url: str, weather_url: str) -> Iterator[Service]:
    """Start the real command on a folder that holds ``garden.yaml``."""
    supervisor = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
    path = folder / "notify"
    path.unlink(missing_ok=True)
    supervisor.bind(str(path))
    notices: list[str] = []
    Thread(target=_listen, args=(supervisor, notices), daemon=True).start()
    environment = {
        **os.environ,
        "NOTIFY_SOCKET": str(path),
        "IRRIGATE_GARDEN": str(folder / "garden.yaml"),
        "IRRIGATE_STATE": str(folder / "state"),
        "IRRIGATE_REACH_PHONE": phone_url,
        "IRRIGATE_WEATHER_URL": weather_url,
    }
    log = folder / "log.txt"
    with log.open("a") as errors:
        process = subprocess.Popen(
            [sys.executable, "-m", "irrigate", "run"], env=environment, text=True,
            stdout=errors, stderr=errors,
        )  # fmt: skip
    service = Service(process, folder, environment, notices, log)
    try:
        yield service
    finally:
        if process.poll() is None:
            process.kill()
            process.wait()
        supervisor.shutdown(socket.SHUT_RDWR)
        supervisor.close()


def _listen(supervisor: socket.socket, notices: list[str]) -> None:
    """Keep what the service tells its supervisor."""
    while word := supervisor.recv(4096):
        notices.append(word.decode())


@contextmanager
def weather(site: Site) -> Iterator[str]:
    """Serve a clear, hot week at a place; yields the address."""
    with serving(as_json(answer_of(site, datetime.now(UTC), past_days=4))) as server:  # noqa: TID251
        yield server.url
