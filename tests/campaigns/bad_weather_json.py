"""Forecasts spoiled at random: each is refused in plain words, or used without a hole.

Run ``python -m tests.campaigns.bad_weather_json`` for two thousand of them; the suite runs a
hundred.
"""

from __future__ import annotations

import copy
import json
import sys
from collections import Counter
from datetime import UTC, datetime
from typing import Any

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.errors import WeatherError
from irrigate.garden.filling import fill
from irrigate.garden.pots import Site
from irrigate.garden.weather import VALUES, empty_weather
from irrigate.outside.weather.json_over_http import parsed_json
from irrigate.outside.weather.open_meteo import understood
from tests.outside.weather_server import answer_of

SITE = Site(36.0726, -79.7920, 272.0, "America/New_York")
NOW = datetime(2025, 7, 12, 14, 20, tzinfo=UTC)
GOOD = answer_of(SITE, NOW)
COLUMNS = list(GOOD["hourly"])
COUNT = len(GOOD["hourly"]["time"])

JUNK: st.SearchStrategy[Any] = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**6), 10**6),
    st.sampled_from([10**400, -(10**400), 1e308, -1e308, 5e-324, -0.0, 999.0, -999.0]),
    st.floats(allow_nan=True, allow_infinity=True),
    st.text(max_size=8),
    st.lists(st.none() | st.integers(), max_size=3),
    st.dictionaries(st.text(max_size=4), st.none() | st.integers(), max_size=2),
)
# Values that may well be weather, so that spoiled answers are used as often as refused.
PLAUSIBLE = st.none() | st.floats(-20.0, 45.0) | st.just(0.0)


@st.composite
def spoiled_answers(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a good answer with up to six things changed in it."""
    answer = copy.deepcopy(GOOD)
    for _ in range(draw(st.integers(0, 6))):
        _spoil(draw, answer)
    return answer


def _spoil(draw: st.DrawFn, answer: dict[str, Any]) -> None:
    kind = draw(st.sampled_from(["cells", "cells", "cells", "cell", "column", "unit", "top"]))
    hourly = answer.get("hourly")
    units = answer.get("hourly_units")
    if kind == "top":
        answer[draw(st.sampled_from([*GOOD, "error", "reason"]))] = draw(JUNK)
    elif kind == "unit" and isinstance(units, dict):
        units[draw(st.sampled_from(COLUMNS))] = draw(JUNK | st.sampled_from(["°F", "km/h", "inch"]))
    elif isinstance(hourly, dict):
        name = draw(st.sampled_from(COLUMNS))
        column = hourly.get(name)
        if kind == "column" or not isinstance(column, list) or not column:
            hourly[name] = draw(_columns(column))
            return
        start = draw(st.integers(0, len(column) - 1))
        if kind == "cell":
            column[start] = draw(JUNK)
        elif name != "time":
            stop = start + draw(st.sampled_from([1, 2, 3, 5, 24, 60, 200]))
            for at in range(start, min(stop, len(column))):
                column[at] = None
            column[start] = draw(PLAUSIBLE)


def _columns(column: Any) -> st.SearchStrategy[Any]:
    """Return what may stand in the place of a column: junk, or the column cut or turned."""
    if not isinstance(column, list):
        return JUNK
    return st.one_of(
        JUNK,
        st.integers(0, COUNT).map(lambda length: column[:length]),
        st.just(column[::-1]),
        st.just([None] * len(column)),
        st.just([0.0] * len(column)),
    )


@st.composite
def spoiled_bodies(draw: st.DrawFn) -> bytes:
    """Draw the bytes of an answer, some of them cut off or overwritten."""
    body = bytearray(json.dumps(draw(spoiled_answers())).encode())
    harm = draw(st.sampled_from(["none"] * 5 + ["cut", "overwrite"]))
    at = draw(st.integers(0, len(body) - 1))
    if harm == "cut":
        del body[at:]
    elif harm == "overwrite":
        body[at : at + 4] = draw(st.binary(max_size=6))
    return bytes(body)


def outcome(body: bytes) -> str:
    """Return "refused" or "used"; anything else than these two raises."""
    try:
        fetched = understood(parsed_json(body, "the server"), SITE, NOW)
    except WeatherError:
        return "refused"
    filled, remarks = fill(fetched.hours, SITE, empty_weather())
    for name in (*VALUES, "rain_chance"):
        assert np.isfinite(getattr(filled, name)).all(), name
    assert np.all(np.diff(filled.end_s) == 3600)
    assert len(filled) == len(fetched.hours) or remarks
    return "used"


def campaign(examples: int) -> Counter[str]:
    """Try so many spoiled answers; return how many were refused and how many used."""
    seen: Counter[str] = Counter()

    @settings(
        max_examples=examples,
        deadline=None,
        database=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    @given(spoiled_bodies())
    def attempt(body: bytes) -> None:
        seen[outcome(body)] += 1

    attempt()
    return seen


if __name__ == "__main__":
    print(dict(campaign(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)))
