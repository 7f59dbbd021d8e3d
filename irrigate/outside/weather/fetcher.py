"""When to fetch weather: once an hour, not all at once, and more patiently after each failure."""

from __future__ import annotations

import logging
from dataclasses import dataclass, field
from threading import Lock

from irrigate.errors import WeatherError
from irrigate.garden.draws import uniforms
from irrigate.garden.pots import Site
from irrigate.outside.weather.box import FetchBox
from irrigate.ports import Clock, WeatherSource

EVERY_S = 3600.0
JITTER_S = 600.0
FIRST_RETRY_S = 120.0

log = logging.getLogger("irrigate")


@dataclass(slots=True)
class Fetcher:
    """Fetches from one source into a box, when it is due.

    Parameters
    ----------
    source : where from.
    site : for where.
    box : where the step finds it.
    clock : of which only the steady side tells what is due.
    """

    source: WeatherSource
    site: Site
    box: FetchBox
    clock: Clock
    _due_s: float = float("-inf")
    _failures: int = 0
    _turn: Lock = field(default_factory=Lock)

    def follow(self, source: WeatherSource, site: Site) -> None:
        """Fetch from this source and for this place from now on, and soon."""
        with self._turn:  # a fetch under way ends first, so that its news is not the last
            self.source, self.site = source, site
            self.box.forget()
            self._due_s = float("-inf")

    def fetch_if_due(self) -> None:
        """Fetch, unless the last one is fresh enough; a failure is kept, and said once."""
        with self._turn:
            self._fetch_if_due()

    def _fetch_if_due(self) -> None:
        begun = self.clock.monotonic_s()
        if begun < self._due_s:
            return
        now = self.clock.now()
        try:
            self.box.offer(self.source.fetch(self.site, now))
        except WeatherError as failed:
            self.box.failed(now, str(failed), self.source.name)
            self._failures += 1
            wait_s = min(FIRST_RETRY_S * 2.0 ** (self._failures - 1), EVERY_S)
            if self._failures == 1:
                log.warning("no weather from %s: %s", self.source.name, failed)
        else:
            if self._failures:
                log.info("weather from %s is back", self.source.name)
            self._failures = 0
            wait_s = EVERY_S
        jitter = float(uniforms(("fetch", self.source.name, int(now.timestamp())), 1)[0])
        self._due_s = begun + wait_s + jitter * min(JITTER_S, wait_s)
