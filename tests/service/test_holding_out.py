"""Reports that are foretold and not learnt from; and that nothing is foretold from what is later.

The record is invented; what is checked is what a replay may know, and when.
"""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.assemble.replay import Scenario, replayed
from irrigate.garden.belief import Belief
from irrigate.garden.events import (
    CanopyMeasured,
    Drained,
    Finger,
    Given,
    Probe,
    RainAtPots,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.garden.scoring import middle
from irrigate.service.hindsight import Lived
from irrigate.service.holding_out import HELD_KINDS, HoldOut, parted
from irrigate.service.replaying import Event, LeafArea, sized
from irrigate.service.reporting import Report
from tests.service.test_replaying import MINUTE, NOON, START, records, scenario

HOUR = timedelta(hours=1)
EVERYTHING = HoldOut(frozenset(HELD_KINDS))
QUIET = settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))


def gone_through(
    events: list[Event], hold_out: HoldOut | None = None, *, decides: bool = False,
    rain_mm: float = 3.0,
) -> tuple[list[Lived], dict[str, Report]]:  # fmt: skip
    """Return the hours of a replay, and its reports by the name of their fact."""
    told: Scenario = replace(
        scenario(events, rain_mm=rain_mm), hold_out=hold_out or HoldOut(), decides=decides
    )
    reports: dict[str, Report] = {}

    def met(report: Report) -> None:
        assert report.fact.id not in reports, "foretold once"
        reports[report.fact.id] = report

    return list(replayed(told).hours(met)), reports


def differing(one: Belief, other: Belief) -> list[str]:
    """Return the names of what is not the same to the bit."""
    found = []
    for name in (field.name for field in fields(Belief)):
        mine, theirs = getattr(one, name), getattr(other, name)
        same = np.array_equal(mine, theirs) if isinstance(mine, np.ndarray) else mine == theirs
        found += [] if same else [name]
    return found


@QUIET
@given(records(), st.booleans())
def test_with_everything_held_out_nothing_was_heard(events: list[Event], decides: bool) -> None:
    """The belief has the bits of a record without these reports; water that ran was still given."""
    held, reports = gone_through(events, EVERYTHING, decides=decides)
    without, _ = gone_through(parted(events, EVERYTHING)[0], decides=decides)
    for one, other in zip(held, without, strict=True):
        assert differing(one.standing.belief, other.standing.belief) == []
        np.testing.assert_array_equal(one.moved_l, other.moved_l)
    assert all(report.held_out for report in reports.values())
    foreseen = [
        event for event in events
        if isinstance(event.body, Weighed | Finger | Probe | Wilting)
        or (isinstance(event.body, TillRan) and event.body.volume_l is not None)
    ]  # fmt: skip
    assert sorted(reports) == sorted(event.name for event in foreseen)


@QUIET
@given(records(), st.integers(0, 11))
def test_nothing_is_foretold_from_what_comes_later(events: list[Event], number: int) -> None:
    """A record cut off after one of its events foretells what came before with the same bits.

    Reports of rain change the day before them: they must not be known before they came.
    """
    events = sorted(events, key=lambda event: (event.at, event.name))
    cut = events[min(number, len(events) - 1)].at
    _, whole = gone_through(events)
    _, part = gone_through([event for event in events if event.at <= cut])
    assert set(part) <= set(whole)
    for name, report in part.items():
        assert report.score == whole[name].score


@pytest.mark.parametrize("hold_out", [HoldOut(), EVERYTHING])
@pytest.mark.parametrize(
    ("told", "other"),
    [
        (Weighed("", 12.0), Weighed("", 15.0)),
        (Finger("", "dry"), Finger("", "wet")),
        (TillRan("", 0.5), TillRan("", 4.0)),
        (Probe("", 0.1), Probe("", 0.5)),
        (Drained("", 0.1), Drained("", 1.0)),
    ],
)
def test_what_is_said_does_not_change_what_was_foretold(
    told: Weighed, other: Weighed, hold_out: HoldOut
) -> None:
    """Only the score of a report changes with what it says; what was foretold of it is the same."""
    at = NOON + 5 * MINUTE
    water = Event(NOON, "1", Given("", 2.0))
    found = []
    for body in (told, other):
        _, reports = gone_through([water, Event(at, "1", body)], hold_out)
        found += reports.values()
    assert found[0].score.foretold == found[1].score.foretold
    assert found[0].score != found[1].score


def test_water_of_the_same_minute_is_known_to_a_weight() -> None:
    """Litres given and the weight afterwards in one minute: the weight foretold has them in it.

    2 L weigh 2 kg, less what runs through; the pot of 18.9 L was not full.
    """
    at = NOON + 5 * MINUTE
    weighed = Event(at, "1", Weighed("", 14.0))
    _, dry = gone_through([weighed], EVERYTHING, rain_mm=0.0)
    _, wet = gone_through([Event(at, "1", Given("", 2.0)), weighed], EVERYTHING, rain_mm=0.0)
    gained = middle(wet[weighed.name].score.foretold) - middle(dry[weighed.name].score.foretold)
    assert 1.0 < gained < 2.3


@settings(max_examples=50, deadline=None)
@given(st.lists(st.integers(1, 10_000), min_size=40, max_size=120, unique=True))
def test_a_share_falls_on_the_same_reports_whatever_else_there_is(minutes: list[int]) -> None:
    """Of 40 to 120 weights about a third is held out, each by itself; halves agree with the lot."""
    events = [Event(START + minute * MINUTE, "1", Weighed("", 12.0)) for minute in minutes]
    third = HoldOut(share=0.3)
    held = {event.name for event in events if third.holds(event)}
    assert {event.name for event in events[::2] if third.holds(event)} <= held
    # Five standard deviations of a binomial: once in some million lists.
    assert abs(len(held) / len(events) - 0.3) < 5.0 * (0.21 / len(events)) ** 0.5
    assert held <= {event.name for event in events if HoldOut(share=0.6).holds(event)}


def test_only_reports_are_held_out() -> None:
    """Water given, sizes, rain, and litres nobody told are learnt whatever is held out."""
    for body in (
        Given("", 1.0), TillRan(""), CanopyMeasured("", 0.3, 0.3), LeafArea(0.4),
        RainAtPots("none"), Weighed("", 12.0, anew=True),
    ):  # fmt: skip
        assert not HoldOut(frozenset(HELD_KINDS), 1.0).holds(Event(NOON, "1", body))


def test_litres_that_ran_stay_water_when_held_out() -> None:
    """Held out, 3 L till it ran are 3 L given; no pot has learnt anything of its thirst."""
    ran = Event(NOON + MINUTE, "1", TillRan("", 3.0))
    told, held = parted([ran], HoldOut(frozenset({"ran"})))
    assert held == [ran]
    assert [event.body for event in told] == [Given("", 3.0, "measured", 0.05)]
    hours, _ = gone_through([ran], HoldOut(frozenset({"ran"})))
    np.testing.assert_array_equal(hours[-1].standing.belief.seen_precision, 0.0)
    learnt, _ = gone_through([ran])
    assert np.any(learnt[-1].standing.belief.seen_precision > 0.0)


def test_beliefs_alone_are_those_of_the_whole_service() -> None:
    """Without decisions the same is believed, to a part in a thousand.

    Not to the bit: a round that is told cuts the hour that it falls into.
    """
    events = [
        Event(NOON + 5 * MINUTE, "1", Given("", 2.0)),
        Event(NOON + 65 * MINUTE, "2", Weighed("", 14.0)),
        Event(START + 20 * HOUR, None, RainAtPots(depth_mm=4.0)),
    ]
    whole, reports = gone_through(events, decides=True)
    alone, same = gone_through(events, decides=False)
    for one, other in zip(whole, alone, strict=True):
        np.testing.assert_allclose(
            one.standing.belief.water_l, other.standing.belief.water_l, rtol=1e-3
        )
    assert {name: r.score.said for name, r in reports.items()} == {
        name: r.score.said for name, r in same.items()
    }


def test_leaves_are_as_dense_as_they_were_measured() -> None:
    """0.6 m² of leaves on a plant 0.5 m wide: leaf area index 0.6 / (π 0.25²) = 3.06, by hand."""
    events = [
        Event(NOON, "1", LeafArea(0.6)),
        Event(NOON, "1", CanopyMeasured("", 0.5, 0.6)),
        Event(NOON + HOUR, "2", LeafArea(0.3)),
    ]
    assert [event.body for event in sized(events)] == [
        CanopyMeasured("", 0.5, 0.6), LeafArea(0.6, 0.5), LeafArea(0.3),
    ]  # fmt: skip
    hours, _ = gone_through(events)
    first, second, _ = hours[-1].standing.garden.pots
    assert first.leaf_area_index == pytest.approx(0.6 / (np.pi * 0.25**2))
    assert second.leaf_area_m2 == pytest.approx(0.3)
    assert hours[-1].standing.belief.canopy_m[0] == pytest.approx((0.5, 0.6))
    assert hours[0].standing.garden.pots[0].leaf_area_m2 is None
