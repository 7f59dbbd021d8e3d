"""The replay's steps and its account of the hours, against the journal and against themselves."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.assemble.replay import Replayed, Scenario, replayed
from irrigate.garden.belief import LEDGER
from irrigate.garden.events import (
    Finger,
    Given,
    Planted,
    Probe,
    RainAtPots,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.garden.weather import HourlyWeather
from irrigate.ports import GardenText
from irrigate.service.hindsight import Lived, imbalance_l
from irrigate.service.replaying import Event, Passed, moments
from irrigate.settings.garden_file import settings_of
from tests.cli.replay_scene import GARDEN

START = datetime(2026, 7, 7, 7, tzinfo=UTC)
HOUR = timedelta(hours=1)
NOON = START + 12 * HOUR
MINUTE = timedelta(minutes=1)


def garden() -> GardenText:
    """Return the invented garden of three pots."""
    read = settings_of(GARDEN)
    return GardenText(read.garden, read.digest)


def sunny(hours: int, rain_mm: float = 0.0) -> HourlyWeather:
    """Return hot hours, with so much rain in each hour of the fourth to sixth."""
    end_s = int(START.timestamp()) + 3600 * np.arange(1, hours + 1, dtype=np.int64)
    day = np.cos(((end_s / 3600.0 - 0.5 - 20.0) % 24.0) * np.pi / 12.0)
    rain = np.where((np.arange(hours) % 24 >= 3) & (np.arange(hours) % 24 < 6), rain_mm, 0.0)
    codes = np.zeros(hours, dtype=np.uint8)
    return HourlyWeather(
        end_s, np.round(27.0 + 8.0 * day, 2), np.full(hours, 1.4),
        np.round(np.maximum(3.2 * day, 0.0), 3), np.full(hours, 1.5), rain,
        (rain > 0.0).astype(np.float64), codes, codes,
    )  # fmt: skip


def scenario(events: list[Event], hours: int = 30, rain_mm: float = 0.0) -> Scenario:
    """Return a replay of the invented garden with a small ensemble."""
    return Scenario(
        garden(), sunny(hours, rain_mm), tuple(events), START, START + hours * HOUR, members=12
    )


def lived(told: Scenario) -> tuple[list[Passed], Replayed, list[Lived]]:
    """Return the steps, the replay, and its hours."""
    steps: list[Passed] = []
    done = replayed(told, steps.append)
    return steps, done, list(done.hours(lambda _report: None))


def total_l(hours: list[Lived]) -> dict[str, np.ndarray]:
    """Return what moved in all, by name, each [pot]."""
    summed = np.sum([hour.moved_l for hour in hours], axis=0)
    return dict(zip(LEDGER, summed, strict=True))


def unbalanced_l(hours: list[Lived]) -> float:
    """Return the largest imbalance of any pot over the hours."""
    summed = np.sum([hour.moved_l for hour in hours], axis=0)
    change = hours[-1].mean_l - hours[0].mean_l
    return float(np.abs(imbalance_l(summed, change)).max())


def test_steps_fall_on_hours_events_and_notices() -> None:
    """Start and end, every hour between, each event's minute, and half an hour before a round."""
    event = Event(START + 5 * HOUR + 17 * MINUTE, "1", Wilting(""))
    found = moments(garden().garden, [event], START, START + 20 * HOUR)
    hours = [START + number * HOUR for number in range(21)]
    # 07:00 and 18:30 in California's summer are 14:00 and 01:30 UTC.
    notices = [START + 6 * HOUR + 30 * MINUTE, START + 18 * HOUR]
    assert found == sorted({*hours, *notices, event.at})


def test_the_account_is_what_was_believed() -> None:
    """Without reports of rain, the belief at each whole hour has the same bits in hindsight."""
    told = scenario(
        [
            Event(NOON + 5 * MINUTE, "1", Given("", 2.0)),
            Event(NOON + 5 * MINUTE, "2", Finger("", "dry")),
            Event(NOON + 6 * MINUTE, "2", TillRan("", 3.0)),
            Event(START + 24 * HOUR, "B7", Probe("", 0.3)),
        ],
        rain_mm=2.0,
    )
    steps, _, hours = lived(told)
    known = {step.at: step.present for step in steps if step.present is not None}
    for hour in hours:
        present = known[hour.at]
        assert present.standing is not None
        believed = present.standing.belief
        np.testing.assert_array_equal(hour.standing.belief.water_l, believed.water_l)
        np.testing.assert_array_equal(hour.standing.belief.ledger_l, believed.ledger_l)
    assert unbalanced_l(hours) < 1e-10


def test_each_event_is_known_at_its_own_step() -> None:
    """A step at the very minute thinks, and believes in the water that was given then."""
    at = NOON + 23 * MINUTE
    with_water, _, _ = lived(scenario([Event(at, "1", Given("", 2.0))], hours=14))
    without, _, _ = lived(scenario([Event(at, "1", Wilting(""))], hours=14))

    def water_l(steps: list[Passed]) -> float:
        step = next(step for step in steps if step.at == at)
        assert step.present is not None
        assert step.present.standing is not None
        ledger = step.present.standing.belief.ledger_l
        return float(ledger[LEDGER.index("given_l"), 0].mean())

    assert water_l(with_water) == pytest.approx(2.0, rel=0.1)
    assert water_l(without) == 0.0


def test_silence_waters_nothing() -> None:
    """Whatever the habit of the gardener, a round that the record does not mention gave nothing."""
    told = scenario([Event(NOON, "1", Given("", 1.0))], hours=26)
    manner = told.garden.garden.manner
    results = []
    for keeps in (0.0, 0.8, 1.0):
        described = replace(told.garden.garden, manner=replace(manner, keeps_rounds=keeps))
        changed = replace(told, garden=replace(told.garden, garden=described))
        _, done, hours = lived(changed)
        assert done.facts["RoundTold"] == done.facts["RoundAnswered"] >= 2
        results.append(total_l(hours)["given_l"])
    for given_l in results:
        assert given_l[0] == pytest.approx(1.0, rel=0.1)
        np.testing.assert_array_equal(given_l[1:], 0.0)
        np.testing.assert_array_equal(given_l, results[0])


def test_a_report_of_no_rain_takes_back_the_day() -> None:
    """In hindsight no rain fell on the day before a report of none, and the water still adds up."""
    wet, dry = (
        lived(scenario(events, rain_mm=5.0))[2]
        for events in ([], [Event(START + 20 * HOUR, None, RainAtPots("none"))])
    )
    assert np.all(total_l(wet)["rained_l"] > 0.3)
    # The 28th to 30th hours rain too, after the report.
    np.testing.assert_array_equal(np.sum([h.moved_l[0] for h in dry[:21]], axis=0), 0.0)
    assert unbalanced_l(dry) < 1e-10


def test_an_observation_moves_no_water() -> None:
    """A weight leaves what rained, was given and was used in its hour as small as it was."""
    at = NOON + 30 * MINUTE
    _, _, without = lived(scenario([], hours=16))
    _, _, weighed = lived(scenario([Event(at, "1", Weighed("", 14.0))], hours=16))
    index = 13
    assert weighed[index].at == NOON + HOUR
    plain, seen = (
        dict(zip(LEDGER, h[index].moved_l[:, 0], strict=True)) for h in (without, weighed)
    )
    assert seen["given_l"] == seen["rained_l"] == 0.0
    assert 0.2 * plain["transpired_l"] < seen["transpired_l"] < 5.0 * plain["transpired_l"]
    assert abs(seen["corrected_l"]) > 0.05
    assert unbalanced_l(weighed) < 1e-10
    # The step of every pot was split at the event, which changes a use by less than 1 %.
    others, before = weighed[index].moved_l[:, 1:], without[index].moved_l[:, 1:]
    moved = [index for index, name in enumerate(LEDGER) if name != "corrected_l"]
    np.testing.assert_allclose(others[moved], before[moved], rtol=0.01)
    # What it says of the garden moves the other pots' thirst, and their water with it: a little.
    assert np.all(np.abs(others[LEDGER.index("corrected_l")]) < 0.02)


bodies = st.one_of(
    st.floats(0.05, 12.0).map(lambda volume: Given("", volume)),
    st.builds(
        TillRan, st.just(""), st.one_of(st.none(), st.floats(0.1, 9.0)), twice=st.booleans()
    ),
    st.floats(2.0, 30.0).map(lambda mass: Weighed("", mass)),
    st.sampled_from(("wet", "moist", "dry")).map(lambda feel: Finger("", feel)),
    st.floats(0.05, 0.7).map(lambda theta: Probe("", theta)),
    st.just(Wilting("")),
    st.just(Planted("")),
)  # fmt: skip
rains = st.one_of(
    st.sampled_from(("none", "some", "ran through")).map(RainAtPots),
    st.floats(0.0, 40.0).map(lambda depth: RainAtPots(depth_mm=depth)),
)


@st.composite
def records(draw: st.DrawFn) -> list[Event]:
    """Return events of a day and a bit; each pot, moment and kind but once."""
    found: dict[object, Event] = {}
    for _ in range(draw(st.integers(1, 12))):
        at = START + draw(st.integers(1, 30 * 12)) * 5 * MINUTE
        label = draw(st.sampled_from(("1", "2", "B7", None)))
        body = draw(rains if label is None else bodies)
        found[at, label, type(body)] = Event(at, label, body)
    return list(found.values())


@settings(max_examples=10, deadline=None, suppress_health_check=list(HealthCheck))
@given(records())
def test_whatever_happens_the_water_adds_up(events: list[Event]) -> None:
    """Water in less water out is the change, whatever was given, seen or said of the rain."""
    _, done, hours = lived(scenario(events, rain_mm=3.0))
    assert unbalanced_l(hours) < 1e-9
    taken = ("Given", "TillRan", "Weighed", "Finger", "Probe", "Wilting", "Planted", "RainAtPots")
    assert sum(done.facts.get(kind, 0) for kind in taken) == len(events)
    for hour in hours:
        assert np.all(np.isfinite(hour.moved_l))
        assert np.all(hour.standing.belief.water_l >= 0.0)
