"""A source's own ensemble: kept small, followed by our members, and never more than it says."""

from __future__ import annotations

import base64
import zlib
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.forecast_errors import LOCAL_SHARE, PRIORS, Doubt, weather_members
from irrigate.garden.member_hours import STEPS, MemberHours, packed, shift_of, unpacked
from irrigate.garden.rain_to_come import rain_members
from tests.garden.makers import START, summer

NOW_S = int(START.timestamp())


def an_ensemble(members: int = 31, hours: int = 96, sd: float = 3.0, seed: int = 1) -> MemberHours:
    """Return members that differ by lasting amounts, from the hour after START on."""
    rng = np.random.Generator(np.random.Philox(seed))
    end_s = NOW_S + 3600 * np.arange(1, hours + 1, dtype=np.int64)
    off = rng.normal(0.0, 1.0, (members, 1)) * np.ones(hours)
    sun = np.maximum(np.sin((np.arange(hours) - 14) / 12.0 * np.pi), 0.0)
    values = {
        "temperature_c": 20.0 + sd * off,
        "vapour_pressure_kpa": 1.2 * np.exp(0.2 * off),
        "solar_mj_m2": 2.5 * sun * np.exp(-0.1 * off**2),
        "wind_2m_m_s": 2.0 * np.exp(0.4 * off),
        "rain_mm": np.where(off > 1.0, 1.5, 0.0),
    }
    return MemberHours(end_s, {name: told.astype(np.float32) for name, told in values.items()})


# --- kept small ----------------------------------------------------------------------------
@settings(max_examples=20, deadline=None)
@given(st.integers(5, 51), st.integers(1, 200), st.integers(0, 9))
def test_what_is_packed_comes_back_to_its_steps(members: int, hours: int, seed: int) -> None:
    """Any ensemble comes back within half a step, and a second time to the bit."""
    told = an_ensemble(members, hours, seed=seed)
    back = unpacked(int(told.end_s[0]), hours, members, packed(told))
    assert np.array_equal(back.end_s, told.end_s)
    for name, values in told.values.items():
        assert back.values[name] == pytest.approx(values, abs=0.51 * STEPS[name])
        assert back.values[name].shape == (members, hours)
    assert packed(back) == packed(told)


def test_a_week_of_an_ensemble_is_small() -> None:
    """31 members that wander for eight days, to a text of less than 40 kB."""
    rng = np.random.Generator(np.random.Philox(5))
    told = an_ensemble(hours=192)
    wander = np.cumsum(rng.normal(0.0, 0.3, (31, 192)), axis=1)
    values = dict(told.values)
    values["temperature_c"] = (20.0 + wander).astype(np.float32)
    values["wind_2m_m_s"] = (2.0 * np.exp(0.1 * wander)).astype(np.float32)
    text = packed(MemberHours(told.end_s, values))
    assert sum(map(len, text.values())) < 40_000


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: text[:-9],
        lambda text: "",
        lambda text: "no base \x00 85",
        lambda text: base64.b85encode(b"not squeezed").decode(),
        lambda text: base64.b85encode(zlib.compress(bytes(17))).decode(),
        lambda text: base64.b85encode(zlib.compress(bytes(10**6))).decode(),
        lambda text: "é" + text,
    ],
)
def test_damaged_content_is_a_value_error(spoil) -> None:
    """Text that is cut, empty, of something else, too short or too long is no ensemble."""
    told = an_ensemble()
    content = packed(told)
    content["wind_2m_m_s"] = spoil(content["wind_2m_m_s"])
    with pytest.raises(ValueError, match=r"damaged|number of values"):
        unpacked(int(told.end_s[0]), 96, 31, content)


@pytest.mark.parametrize(
    ("first", "hours", "members", "content"),
    [
        (NOW_S, 96, 31, {}),
        (NOW_S, 0, 31, None),
        (NOW_S, 96, 4, None),
        (NOW_S, 96, 10**6, None),
        (NOW_S, 10**7, 31, None),
        (NOW_S + 60, 96, 31, None),
        (NOW_S, 96, 31, {"moonlight": "x"}),
    ],
)
def test_what_is_no_ensemble_is_a_value_error(first, hours, members, content) -> None:
    """Without hours, variables or enough members there is nothing to follow."""
    with pytest.raises(ValueError, match="ensemble"):
        unpacked(first, hours, members, packed(an_ensemble()) if content is None else content)


# --- followed by ours ----------------------------------------------------------------------
def test_ours_spread_as_theirs_where_theirs_spread_more() -> None:
    """An ensemble that is less sure than usual makes our members as unsure, about our forecast."""
    weather, theirs = summer(), an_ensemble(sd=3.0)
    ours = weather_members(weather, NOW_S, 200, Doubt(theirs=theirs)).temperature_c
    coming = (weather.end_s > NOW_S) & (weather.end_s <= theirs.end_s[-1])
    told = theirs.values["temperature_c"].std(axis=0, ddof=1)
    local = LOCAL_SHARE * PRIORS["temperature_c"].first
    expected = np.sqrt(told[:48].astype(float) ** 2 + local**2)
    assert ours[:, coming][:, :48].std(axis=0) == pytest.approx(expected, rel=0.15)
    middle = ours[:, coming].mean(axis=0) - weather.temperature_c[coming]
    assert np.abs(middle).max() < 1.0, "their level of 20 degrees is not taken over"


def test_ours_are_no_surer_than_the_record() -> None:
    """An ensemble that hardly differs leaves the errors at their usual size."""
    weather = summer()
    sure = weather_members(weather, NOW_S, 200, Doubt(theirs=an_ensemble(sd=0.01)))
    usual = weather_members(weather, NOW_S, 200)
    assert sure.temperature_c.std(axis=0) == pytest.approx(
        usual.temperature_c.std(axis=0), rel=0.01
    )


def test_hours_gone_by_and_beyond_theirs_are_as_without() -> None:
    """Nothing is different where the ensemble tells nothing."""
    weather, theirs = summer(10), an_ensemble(hours=48)
    one = weather_members(weather, NOW_S, 40, Doubt(theirs=theirs))
    other = weather_members(weather, NOW_S, 40)
    out = (weather.end_s <= NOW_S) | (weather.end_s > theirs.end_s[-1])
    for name in ("temperature_c", "vapour_pressure_kpa", "solar_mj_m2", "wind_2m_m_s"):
        assert np.array_equal(getattr(one, name)[:, out], getattr(other, name)[:, out]), name
    gone = weather.end_s <= NOW_S
    assert np.all(np.ptp(one.temperature_c[:, gone], axis=0) == 0.0)


def test_member_k_follows_one_of_theirs_for_good() -> None:
    """Ours follow all of theirs in turn; the next run's same member, whatever came to pass."""
    theirs, later = an_ensemble(seed=1), an_ensemble(seed=2)
    end_s = theirs.end_s
    name = "temperature_c"

    def followed(told: MemberHours) -> list[int]:
        shift = shift_of(told, name, end_s, 62)
        assert shift is not None
        off = told.values[name].astype(float) - told.values[name].astype(float).mean(axis=0)
        return [int(np.argmin(np.abs(off[:, 0] - by[0]))) for by in shift.by]

    first = followed(theirs)
    assert first[:31] == first[31:]
    assert sorted(first[:31]) == list(range(31))
    assert first == followed(later)
    assert first[:31] != list(range(31))


def test_a_variable_that_they_do_not_tell_has_the_usual_errors() -> None:
    """Without their wind, wind errs as without an ensemble; temperature does not."""
    weather, theirs = summer(), an_ensemble()
    told = {name: values for name, values in theirs.values.items() if name != "wind_2m_m_s"}
    one = weather_members(weather, NOW_S, 40, Doubt(theirs=replace(theirs, values=told)))
    other = weather_members(weather, NOW_S, 40)
    assert np.array_equal(one.wind_2m_m_s, other.wind_2m_m_s)
    assert not np.array_equal(one.temperature_c, other.temperature_c)


def test_light_stays_light() -> None:
    """No member has sun by night, or a negative value of anything."""
    weather = summer()
    ours = weather_members(weather, NOW_S, 100, Doubt(theirs=an_ensemble()))
    assert np.all(ours.solar_mj_m2[:, weather.solar_mj_m2 == 0.0] == 0.0)
    for name in ("vapour_pressure_kpa", "solar_mj_m2", "wind_2m_m_s"):
        values = getattr(ours, name)
        assert np.isfinite(values).all()
        assert values.min() >= 0.0


def test_their_rain_is_ours() -> None:
    """Each member has the rain of the one it follows, and none where thirst is judged."""
    weather, theirs = summer(), an_ensemble()
    weather.rain_chance[:] = 0.5
    doubt = Doubt(theirs=theirs)
    rain = rain_members(weather, NOW_S, 62, doubt)
    covered = (weather.end_s > NOW_S) & (weather.end_s <= theirs.end_s[-1])
    wet_share = (theirs.values["rain_mm"] > 0).mean()
    assert (rain[:, covered] > 0).mean() == pytest.approx(wet_share, abs=1e-6)
    assert set(np.unique(rain[:, covered])) == {np.float32(0.0), np.float32(1.5)}
    assert weather_members(weather, NOW_S, 62, doubt).rain_mm[:, covered].max() == 0.0
