"""A weather server on loopback that answers in the documented shape, or badly in many ways.

Shape and units after the service's public documentation of its hourly forecast: stamps and columns
side by side, the units of each, temperature, humidity and wind at the stamp, radiation the mean and
precipitation the sum of the hour before it.
"""

from __future__ import annotations

import gzip
import json
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Event, Thread
from typing import Any
from urllib.parse import parse_qs, urlsplit

import numpy as np

from irrigate.garden.pots import Site
from irrigate.garden.solar_day import extraterrestrial_mj_m2
from irrigate.outside.weather.open_meteo_answer import SPOKEN


def answer_of(site: Site, now: datetime, past_days: int = 2, days: int = 8) -> dict[str, Any]:
    """Return a documented answer about a clear week, beginning at midnight GMT."""
    midnight = int(now.timestamp()) // 86_400 * 86_400
    time_s = midnight + 3600 * np.arange(-24 * past_days, 24 * days)
    by_sun = (time_s / 3600.0 + site.longitude_deg / 15.0) % 24.0
    temperature = np.round(25.0 + 7.0 * np.sin((by_sun - 9.0) / 12.0 * np.pi), 1)
    radiation = np.round(0.7 * extraterrestrial_mj_m2(time_s, site) / 0.0036, 1)
    count = time_s.size
    rain = np.zeros(count)
    rain[-30:-28] = 1.4
    return {
        "latitude": round(site.latitude_deg * 8) / 8,
        "longitude": round(site.longitude_deg * 8) / 8 + 1e-6,
        "generationtime_ms": 0.21,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "timezone_abbreviation": "GMT",
        "elevation": site.elevation_m,
        "hourly_units": {
            "time": "unixtime",
            "temperature_2m": "°C",
            "relative_humidity_2m": "%",
            "shortwave_radiation": "W/m²",
            "wind_speed_10m": "m/s",
            "precipitation": "mm",
            "precipitation_probability": "%",
        },
        "hourly": {
            "time": [int(stamp) for stamp in time_s],
            "temperature_2m": temperature.tolist(),
            "relative_humidity_2m": [50] * count,
            "shortwave_radiation": radiation.tolist(),
            "wind_speed_10m": [3.2] * count,
            "precipitation": rain.tolist(),
            "precipitation_probability": [None] * (24 * past_days) + [40] * (24 * days),
        },
    }


def ensemble_of(site: Site, now: datetime, members: int = 31, days: int = 8) -> dict[str, Any]:
    """Return a documented answer of the ensemble: the control plainly, the others by number."""
    answer = answer_of(site, now, past_days=0, days=days)
    plain, units = answer["hourly"], answer["hourly_units"]
    hourly: dict[str, Any] = {"time": plain["time"]}
    hourly_units = {"time": units["time"]}
    for name in SPOKEN:
        for number in range(members):
            key = f"{name}_member{number:02}" if number else name
            # Each member is a little warmer, windier, drier and duller than the one before.
            moved = {
                "temperature_2m": lambda value, k: round(value + 0.1 * k, 1),
                "relative_humidity_2m": lambda value, k: value - 0.5 * k,
                "shortwave_radiation": lambda value, k: round(value * (1 - 0.005 * k), 1),
                "wind_speed_10m": lambda value, k: round(value * (1 + 0.01 * k), 2),
                "precipitation": lambda value, k: round(value * (k % 2), 1),
            }[name]
            hourly[key] = [moved(value, number) for value in plain[name]]
            hourly_units[key] = units[name]
    return {**answer, "hourly": hourly, "hourly_units": hourly_units}


class WeatherServer:
    """The server while it runs: what it was asked, and how it will answer.

    ``script`` holds the answers to come, the last of which is repeated.
    """

    def __init__(self, script: list[Callable[[BaseHTTPRequestHandler], None]]) -> None:
        self.script = script
        self.asked: list[dict[str, str]] = []
        self.paths: list[str] = []
        self.headers: list[dict[str, str]] = []
        self.stopping = Event()
        self.url = ""

    def answer(self, handler: BaseHTTPRequestHandler) -> None:
        """Answer one question by the script."""
        where = urlsplit(handler.path)
        query = parse_qs(where.query)
        self.paths.append(where.path)
        self.asked.append({name: values[0] for name, values in query.items()})
        self.headers.append(dict(handler.headers))
        step = self.script.pop(0) if len(self.script) > 1 else self.script[0]
        step(handler)


@contextmanager
def serving(*script: Callable[[BaseHTTPRequestHandler], None]) -> Iterator[WeatherServer]:
    """Run a server on a free port of loopback for as long as the block lasts."""
    state = WeatherServer(list(script))

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.stopping = state.stopping
            try:
                state.answer(self)
            except (BrokenPipeError, ConnectionResetError):
                self.close_connection = True

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002
            """Say nothing on stderr."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    state.url = f"http://127.0.0.1:{server.server_address[1]}/v1/forecast"
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()
    try:
        yield state
    finally:
        state.stopping.set()
        server.shutdown()
        server.server_close()
        thread.join()


# --- answers -------------------------------------------------------------------------------
def body(
    content: bytes,
    status: int = 200,
    kind: str = "application/json; charset=utf-8",
    **headers: str,
) -> Callable[[BaseHTTPRequestHandler], None]:
    """Answer with these bytes."""

    def step(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(status)
        handler.send_header("Content-Type", kind)
        for name, value in headers.items():
            handler.send_header(name.replace("_", "-"), value)
        handler.send_header("Content-Length", str(len(content)))
        handler.end_headers()
        handler.wfile.write(content)

    return step


def as_json(answer: object, status: int = 200) -> Callable[[BaseHTTPRequestHandler], None]:
    """Answer with JSON."""
    return body(json.dumps(answer).encode(), status)


def zipped(answer: object) -> Callable[[BaseHTTPRequestHandler], None]:
    """Answer with JSON, gzipped."""
    return body(gzip.compress(json.dumps(answer).encode()), Content_Encoding="gzip")


def trouble(status: int, **headers: str) -> Callable[[BaseHTTPRequestHandler], None]:
    """Answer that something is wrong with the server."""
    return body(b"trouble", status, "text/plain", **headers)


def silent(handler: BaseHTTPRequestHandler) -> None:
    """Say nothing until the server stops."""
    handler.stopping.wait(30)  # type: ignore[attr-defined]


def cut_off(content: bytes) -> Callable[[BaseHTTPRequestHandler], None]:
    """Promise more than is sent, then hang up."""

    def step(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(200)
        handler.send_header("Content-Type", "application/json")
        handler.send_header("Content-Length", str(len(content) * 2))
        handler.end_headers()
        handler.wfile.write(content)
        handler.wfile.flush()
        handler.close_connection = True

    return step


def endless(handler: BaseHTTPRequestHandler) -> None:
    """Send for ever, as fast as it is taken."""
    handler.send_response(200)
    handler.send_header("Content-Type", "application/json")
    handler.end_headers()
    while not handler.stopping.is_set():  # type: ignore[attr-defined]
        handler.wfile.write(b" " * 65_536)


def dribbling(handler: BaseHTTPRequestHandler) -> None:
    """Send a byte now and then, so that no single wait is long."""
    handler.send_response(200)
    handler.send_header("Content-Type", "application/json")
    handler.end_headers()
    while not handler.stopping.is_set():  # type: ignore[attr-defined]
        handler.wfile.write(b" ")
        handler.wfile.flush()
        time.sleep(0.05)


def redirect(target: str) -> Callable[[BaseHTTPRequestHandler], None]:
    """Send the asker elsewhere."""
    return body(b"", 302, "text/html", Location=target)
