"""A probe with two points of its own: what its bare number says, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.errors import AnswerError
from irrigate.garden.answers import read_answer
from irrigate.garden.events import Body, Probe, ProbeRaw
from irrigate.garden.learning import seen
from irrigate.garden.observations import (
    OUTLIER,
    RAW_END_SD,
    RAW_SD,
    likelihood,
    raw_sd,
    share_from_air_dry,
)
from irrigate.garden.pots import ProbePoints
from tests.garden.makers import a_garden, a_pot, standing_of
from tests.garden.test_answers import CONTEXT, GARDEN

POINTS = ProbePoints(830.0, 420.0)
MARKED = replace(GARDEN, pots=tuple(
    replace(pot, probe=POINTS) if pot.label == "7" else pot for pot in GARDEN.pots
))  # fmt: skip
STANDING = standing_of(a_garden(a_pot("1"), a_pot("2")), 400)
FILLED_L = STANDING.garden.pots[0].vessel.filled_volume_l


def said(text: str) -> Body:
    """Return what an answer of one statement says."""
    ((_, body),) = read_answer(text, replace(CONTEXT, garden=MARKED)).said
    return body


@pytest.mark.parametrize(
    ("text", "body"),
    [
        ("7 probe 610", ProbeRaw("p-7", 610.0, 830.0, 420.0)),
        ("7 probe reads 610.5", ProbeRaw("p-7", 610.5, 830.0, 420.0)),
        ("7 probe shows 400", ProbeRaw("p-7", 400.0, 830.0, 420.0)),
        ("7 probe 35 %", Probe("p-7", 0.35)),
        ("9 probe 0.31 m3/m3", Probe("p-9", 0.31)),
    ],
)
def test_what_is_understood(text: str, body: Body) -> None:
    """Percent of the volume for any pot; a bare number where the pot has its points."""
    found = said(text)
    if isinstance(found, Probe) and isinstance(body, Probe):
        assert found == replace(body, theta=pytest.approx(body.theta))
    else:
        assert found == body


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("9 probe 610", "610 needs the probe's two points for pot 9: write into its row probe:"),
        ("7 probe 1000", "lies too far outside of the probe's points for pot 7 (830 dry, 420 wet)"),
        ("7 probe 99 %", "cannot be; the pores of pot 7 hold"),
        ("7 probe soaked", "'soaked' is not what a probe shows; say 35 %, 0.35 m3/m3, or its"),
        ("7 probe", "is not understood"),
    ],
)  # fmt: skip
def test_what_is_refused(text: str, told: str) -> None:
    """What cannot be is refused with how to mend it."""
    with pytest.raises(AnswerError) as wrong:
        said(text)
    assert told in str(wrong.value)


@given(st.floats(-1000, 1000), st.floats(-1000, 1000), st.floats(0, 1))
def test_it_is_straight_between_its_points(dry: float, wet: float, share: float) -> None:
    """At the dry point 0, at the wet one 1, straight in between, whichever way it counts."""
    if abs(dry - wet) < 1.0:
        return
    told = ProbeRaw("p", dry + share * (wet - dry), dry, wet)
    assert told.share == pytest.approx(share, abs=1e-9)


def fits(reading: float) -> np.ndarray:
    """Return how well a bare number fits each member of pot 1."""
    body = ProbeRaw("p-1", reading, POINTS.dry, POINTS.wet)
    return likelihood(body, STANDING.belief, STANDING.traits, 0, FILLED_L, early=False)


def test_the_points_are_air_dry_and_just_drained() -> None:
    """At the wet point what fits is a member that holds all it can, at the dry one air-dry."""
    belief, traits = STANDING.belief, STANDING.traits
    for share, water in ((1.0, traits.capacity_l[0]), (0.0, traits.air_dry_l[0] + 0.0 * water_l())):
        held = belief.water_l.copy()
        held[0] = water
        at_point = replace(belief, water_l=held)
        assert share_from_air_dry(at_point, traits, 0) == pytest.approx(share)
        body = ProbeRaw("p-1", POINTS.dry + share * (POINTS.wet - POINTS.dry), 830.0, 420.0)
        best = likelihood(body, at_point, traits, 0, FILLED_L, early=False)
        assert best == pytest.approx(1.0)


def water_l() -> np.ndarray:
    """Return the water of pot 1 [member]."""
    water: np.ndarray = STANDING.belief.water_l[0]
    return water


def test_it_is_wider_near_its_ends() -> None:
    """The stated widths: 0.10 of the way in the middle, 0.20 at either end."""
    assert raw_sd(0.5) == RAW_SD
    assert raw_sd(0.0) == raw_sd(1.0) == pytest.approx(RAW_SD + RAW_END_SD)
    assert np.all(np.diff([raw_sd(share) for share in np.linspace(0.5, 1.0, 11)]) > 0.0)
    assert fits(1e6).min() >= OUTLIER


def test_a_number_between_its_points_says_nothing_of_what_the_pot_holds() -> None:
    """Just drained is what each member holds: members that differ only in that all fit alike."""
    belief, traits = STANDING.belief, STANDING.traits
    held = belief.water_l.copy()
    held[0] = traits.air_dry_l[0] + 0.6 * (traits.capacity_l[0] - traits.air_dry_l[0])
    alike = replace(belief, water_l=held)
    body = ProbeRaw("p-1", 610.0, POINTS.dry, POINTS.wet)
    weights = likelihood(body, alike, traits, 0, FILLED_L, early=False)
    assert seen(alike, 0, np.asarray(weights), "f") is alike
    percent = likelihood(Probe("p-1", 0.3), alike, traits, 0, FILLED_L, early=False)
    assert np.ptp(percent) > 0.05, "one in percent does tell of it"
