"""Several sources as one: each hour from the first that tells it, the others behind it."""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Collection, Sequence
from datetime import datetime

import numpy as np

from irrigate.errors import WeatherError
from irrigate.garden.pots import Site
from irrigate.garden.several_sources import joined, lapsed, whole
from irrigate.garden.weather import HOUR_S
from irrigate.ports import Fetched, WeatherSource

# What is wanted before a later source is left unasked: a day to lend from, and the week ahead.
BACK_H, AHEAD_H = 24, 168
# A station that is slow with an hour that has just ended is waited for.
PATIENCE_S = 4500

log = logging.getLogger("irrigate")


class InOrder:
    """Asks its sources one after another, until nothing is missing. Implements `WeatherSource`.

    Parameters
    ----------
    sources : the most trusted first.
    measuring : names of those that measure, and whose word replaces that of models.
    """

    def __init__(self, sources: Sequence[WeatherSource], measuring: Collection[str] = ()) -> None:
        self.name = ", ".join(source.name for source in sources)
        self._sources = tuple(sources)
        self._measuring = tuple(one.name for one in sources if one.name in measuring)
        self._failing: set[str] = set()

    def fetch(self, site: Site, now: datetime) -> Fetched:
        """Return what they know together, or raise `WeatherError` if none answers.

        One that fails is named in ``troubles``; the log has it once, and again when it is back.
        """
        now_s = int(now.timestamp())
        answers: list[Fetched] = []
        troubles: list[tuple[str, str]] = []
        for source in self._sources:
            if whole(
                joined([lapsed(one.hours, now_s) for one in answers]).hours,
                now_s - BACK_H * HOUR_S,
                now_s + AHEAD_H * HOUR_S,
            ):
                break
            try:
                answers.append(source.fetch(site, now))
                self._answered(source.name)
            except WeatherError as failed:
                troubles.append((source.name, str(failed)))
                self._failed(source.name, failed)
        if not answers:
            raise WeatherError("; ".join(f"{name}: {why}" for name, why in troubles))
        return self._together(answers, troubles, now)

    def _together(
        self, answers: Sequence[Fetched], troubles: Sequence[tuple[str, str]], now: datetime
    ) -> Fetched:
        now_s = int(now.timestamp())
        table = joined([lapsed(one.hours, now_s) for one in answers])
        measured = [one for one in answers if one.source in self._measuring]
        ends = {int(end) for one in measured for end in one.hours.end_s if end <= now_s}
        coming = table.hours.end_s > now_s
        tellers = table.teller[coming & (table.teller >= 0)]
        account = table.teller[~coming & ~np.isin(table.hours.end_s, list(ends))]
        account = account[account >= 0]
        # Errors are learnt by source: the forecast goes by the name of whoever tells most of it.
        main = answers[int(np.bincount(tellers).argmax())] if tellers.size else answers[0]
        run = hashlib.blake2b(digest_size=8)
        used = [answers[number] for number in np.unique(tellers)]
        for one in used or [main]:
            run.update(f"{one.source} {one.model_run}\n".encode())
        ensemble = next((one for one in answers if one.members is not None), None)
        return Fetched(
            source=main.source,
            model_run=main.model_run if len(used) < 2 else run.hexdigest(),
            attribution="; ".join(one.attribution for one in answers if one.attribution),
            fetched_at=now,
            hours=table.hours,
            remarks=tuple(remark for one in answers for remark in one.remarks),
            members=ensemble.members if ensemble is main and ensemble else None,
            members_run=ensemble.members_run if ensemble is main and ensemble else "",
            told_by=answers[int(np.bincount(account).argmax())].source if account.size else "",
            measured_by=", ".join(self._measuring) if measured else "",
            measured_s=frozenset(ends),
            awaited_s=now_s - PATIENCE_S if measured else None,
            troubles=tuple(troubles),
        )

    # --- what is said of it ----------------------------------------------------------------
    def _failed(self, name: str, failed: WeatherError) -> None:
        if name not in self._failing:
            log.warning("no weather from %s, going on with the others: %s", name, failed)
        self._failing.add(name)

    def _answered(self, name: str) -> None:
        if name in self._failing:
            log.info("weather from %s is back", name)
        self._failing.discard(name)
