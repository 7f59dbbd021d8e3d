"""The fold: the same bits from any start, in any order, whatever else is in the garden."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.belief import LEDGER, Belief, imbalance_l, moved_l
from irrigate.garden.believed import Standing
from irrigate.garden.events import (
    CanopyMeasured,
    Fact,
    Finger,
    Given,
    Planted,
    Probe,
    RoundTold,
    Tended,
    TillRan,
    Weighed,
    Wilting,
)
from irrigate.garden.fold import fold
from irrigate.garden.pots import Garden
from irrigate.garden.weather import HourlyWeather
from irrigate.service.checkpoints import packed, unpacked
from tests.garden.makers import (
    DAY,
    HOUR,
    START,
    a_garden,
    a_pot,
    any_gardens,
    any_weather,
    fact,
    standing_of,
    summer,
    three_pots,
    version,
)

MEMBERS = 8
END = START + 3 * DAY + timedelta(hours=7, minutes=20)


def folded(
    garden: Garden, facts: list[Fact], weather: HourlyWeather, until: object = END
) -> Standing:
    """Fold from the first fact."""
    known = sorted([version(garden), *facts], key=lambda one: one.order)
    standing = fold(None, known, weather, until, MEMBERS)  # type: ignore[arg-type]
    assert standing is not None
    return standing


def differing(one: Belief, other: Belief) -> list[str]:
    """Return the names of what is not the same to the last bit."""
    return [
        field.name
        for field in fields(Belief)
        if not np.array_equal(getattr(one, field.name), getattr(other, field.name))
    ]


@st.composite
def happenings(draw: st.DrawFn, garden: Garden, most: int = 6) -> list[Fact]:
    """Draw facts about the pots of a garden, at any minute of three days or exactly at midnight."""
    found = []
    for number in range(draw(st.integers(0, most))):
        pot_id = draw(st.sampled_from(garden.pots)).id
        at = START + draw(
            st.one_of(
                st.integers(1, 3 * 24 * 60).map(lambda minutes: timedelta(minutes=minutes)),
                st.integers(1, 3).map(lambda days: timedelta(days=days)),
            )
        )
        litres = draw(st.floats(0.0, 20.0))
        told = RoundTold(f"round {number}", {pot_id: litres}, {}, draw(st.booleans()))
        felt = RoundTold(f"round {number}", {}, {pot_id: litres})
        body = draw(
            st.sampled_from(
                [
                    Given(pot_id, litres), Given(pot_id, litres, "emitter", over_h=5.0),
                    TillRan(pot_id), TillRan(pot_id, litres, twice=True),
                    Tended(pot_id, "saucer emptied"), Tended(pot_id, "reservoir filled"),
                    Finger(pot_id, "dry"), Finger(pot_id, "wet"), Weighed(pot_id, litres),
                    Probe(pot_id, 0.3), Wilting(pot_id), Planted(pot_id),
                    CanopyMeasured(pot_id, 0.3, 0.4), told, felt,
                ]
            )
        )  # fmt: skip
        found.append(fact(body, at, name=f"f{number}"))
    return found


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_water_is_neither_made_nor_lost(data: st.DataObject) -> None:
    """In − out = change to 1e-9 of what moved, whatever happens; and stores keep their bounds."""
    garden = data.draw(any_gardens())
    weather = data.draw(any_weather())
    standing = folded(garden, data.draw(happenings(garden)), weather)
    belief, traits = standing.belief, standing.traits
    moved = np.abs(belief.ledger_l).sum(axis=0) + belief.water_l
    assert np.all(np.abs(imbalance_l(belief)) <= 1e-9 * np.maximum(moved, 1e-3))
    assert np.all(belief.water_l >= 0.0)
    pores = np.array([pot.medium.theta_s * pot.vessel.filled_volume_l for pot in garden.pots])
    assert np.all(belief.water_l <= pores[:, np.newaxis])
    assert np.all(belief.surface_mm >= 0.0)
    assert np.all(belief.surface_mm <= traits.evaporable_mm * (1.0 + 1e-6) + 1e-6)
    assert np.all((belief.below_l >= 0.0) & (belief.below_l <= traits.basin_l * (1.0 + 1e-6)))
    assert np.all((belief.strain >= 0.0) & (belief.strain <= 1.0))
    assert np.all(belief.stood_h >= 0.0)
    lived_h = (standing.belief.at - START) / HOUR
    assert np.all((belief.felt_h >= 0.0) & (belief.felt_h <= lived_h + 1e-9))
    for name in ("rained_l", "given_l", "transpired_l", "evaporated_l", "drained_l"):
        assert np.all(belief.ledger_l[LEDGER.index(name)] >= 0.0), name


@settings(max_examples=15, deadline=None)
@given(st.data())
def test_a_midnight_settles_the_ledger_without_a_leak(data: st.DataObject) -> None:
    """Since the pot was first seen, in − out = change, through every midnight's rounding."""
    garden = data.draw(any_gardens())
    facts = data.draw(happenings(garden))
    weather = data.draw(any_weather())
    first = standing_of(garden, MEMBERS).belief
    last = folded(garden, facts, weather).belief
    rained, given_l, transpired, evaporated, drained, corrected = moved_l(last)
    change = (last.water_l + last.below_l - first.water_l - first.below_l).mean(axis=1)
    found = rained + given_l + corrected - transpired - evaporated - drained
    # Members are drawn anew by observations, so the means agree only where there are none.
    # Litres till it ran are an observation as well.
    if not any(isinstance(one.body, Finger | Weighed | Probe | Wilting | TillRan) for one in facts):
        assert found == pytest.approx(change, abs=1e-9 * (1.0 + np.abs(moved_l(last)).sum()))


@settings(max_examples=15, deadline=None)
@given(st.data())
def test_a_checkpoint_changes_no_bit(data: st.DataObject) -> None:
    """From a midnight, packed as bytes and unpacked, the fold gives the bits of the first fact."""
    garden = data.draw(any_gardens())
    facts = [version(garden), *data.draw(happenings(garden))]
    facts.sort(key=lambda one: one.order)
    weather = data.draw(any_weather())
    midnight = START + data.draw(st.integers(1, 3)) * DAY
    whole = fold(None, facts, weather, END, MEMBERS)
    then = fold(None, facts, weather, midnight, MEMBERS)
    assert whole is not None
    assert then is not None
    back = unpacked(packed(then.belief, 7), then.garden)
    assert back is not None
    assert differing(back.belief, then.belief) == []
    again = fold(back, facts, weather, END, MEMBERS)
    assert again is not None
    assert differing(again.belief, whole.belief) == []


@settings(max_examples=12, deadline=None)
@given(st.data())
def test_going_on_from_any_whole_hour_changes_no_bit(data: st.DataObject) -> None:
    """A belief held in memory at an hour's end goes on with the bits of one unbroken fold."""
    garden = data.draw(any_gardens())
    facts = [version(garden), *data.draw(happenings(garden))]
    facts.sort(key=lambda one: one.order)
    weather = data.draw(any_weather())
    hour = START + data.draw(st.integers(1, 72)) * HOUR
    then = fold(None, facts, weather, hour, MEMBERS)
    again = fold(then, facts, weather, END, MEMBERS)
    whole = fold(None, facts, weather, END, MEMBERS)
    assert again is not None
    assert whole is not None
    assert differing(again.belief, whole.belief) == []


@settings(max_examples=10, deadline=None)
@given(st.data())
def test_other_pots_are_none_of_a_pots_business(data: st.DataObject) -> None:
    """A pot beside others, and after another was added, has the bits that it has alone."""
    garden = data.draw(any_gardens(most=3))
    first = garden.pots[0]
    alone = replace(garden, pots=(first,))
    facts = data.draw(happenings(alone))
    # A round is one unknown for all its pots; what it asks of others must not matter either.
    weather = data.draw(any_weather())
    single = folded(alone, facts, weather).belief
    shared = folded(garden, facts, weather).belief
    grown = folded(alone, [*facts, version(garden, START + 31 * HOUR)], weather).belief
    for name in ("water_l", "surface_mm", "log_use", "log_capacity", "dry_point", "empty_kg"):
        assert np.array_equal(getattr(single, name)[0], getattr(shared, name)[0]), name
        assert np.array_equal(getattr(single, name)[0], getattr(grown, name)[0]), name


def test_a_later_version_is_a_change_from_then_on() -> None:
    """A plant that was cut back uses less from that moment, and the water is what it was."""
    garden = three_pots()
    cut = replace(garden, pots=(replace(garden.pots[0], canopy_width_m=0.2), *garden.pots[1:]))
    at = START + 20 * HOUR
    before = folded(garden, [], summer(), at).belief
    changed = folded(garden, [version(cut, at)], summer(), at).belief
    assert np.array_equal(before.water_l, changed.water_l)
    kept, less = (
        folded(garden, facts, summer(), at + DAY).belief for facts in ([], [version(cut, at)])
    )
    assert np.all(less.water_l[0] > kept.water_l[0])
    assert np.array_equal(less.water_l[1:], kept.water_l[1:])


def test_a_smaller_pot_holds_no_more_than_it_can() -> None:
    """An edit to a smaller pot or another mix leaves no more water than the pot now holds."""
    big = a_garden(a_pot("1", medium="peat"))
    small = a_garden(a_pot("1", medium="gritty mix", vessel=big.pots[0].vessel))
    facts = [fact(TillRan("p-1", twice=True), START + HOUR), version(small, START + 2 * HOUR)]
    standing = folded(big, facts, summer(), START + 3 * HOUR)
    assert np.all(standing.belief.water_l <= standing.traits.capacity_l)
    assert np.all(standing.belief.surface_mm <= standing.traits.evaporable_mm)
    assert np.all(np.abs(imbalance_l(standing.belief)) < 1e-9)


def test_a_garden_older_than_the_weather_begins_with_it() -> None:
    """Where no weather reaches back to the garden's beginning, the belief starts anew with it."""
    garden = three_pots()
    weather = summer(6, START + 5 * DAY)
    standing = fold(None, [version(garden)], weather, START + 7 * DAY, MEMBERS)
    assert standing is not None
    late = version(garden, START + 5 * DAY)
    other = fold(None, [late], weather, START + 7 * DAY, MEMBERS)
    assert other is not None
    assert differing(standing.belief, other.belief) == []
    assert fold(None, [version(garden)], weather, START + 2 * DAY, MEMBERS) is None


def test_an_ensemble_keeps_its_size() -> None:
    """A new version met with another size of ensemble in the settings keeps the belief's own."""
    garden = three_pots()
    then = folded(garden, [], summer(), START + DAY)
    more = [version(a_garden(*garden.pots, a_pot("4")), START + 30 * HOUR)]
    later = fold(then, more, summer(), START + 2 * DAY, 3 * MEMBERS)
    assert later is not None
    assert later.belief.water_l.shape == (4, MEMBERS)


def test_weather_that_ends_is_an_error() -> None:
    """A fold past the last hour of weather says from when on there is none."""
    with pytest.raises(ValueError, match="no weather for the hour after 2026-07-14 00:00 UTC"):
        folded(three_pots(), [], summer(), START + 5 * DAY)
