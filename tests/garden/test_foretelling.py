"""What is foretold of each kind of answer holds answers that are drawn as the belief has them."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from scipy.stats import norm

from irrigate.garden.balance import share_available
from irrigate.garden.believed import Standing
from irrigate.garden.events import Drained, Finger, Probe, ProbeRaw, TillRan, Weighed, Wilting
from irrigate.garden.exposure import place_weather
from irrigate.garden.fold import fold
from irrigate.garden.foretelling import foreseeable, foretold, hours_of_sun, said_of
from irrigate.garden.pots import Basin
from irrigate.garden.scoring import chance_below, hour_of_sun_l, middle, scored, tallied
from irrigate.garden.touch import DRY_BELOW, LAPSE, WET_ABOVE, WIDTH
from tests.garden.makers import HOUR, START, a_garden, fact, filled, standing_of, summer, three_pots

NO_HOURS = (None, None, None)
ANSWERS = 3000


@pytest.fixture(scope="module")
def spread() -> Standing:
    """Return three pots whose members differ widely in water."""
    current = filled(standing_of(three_pots(), members=200))
    rng = np.random.default_rng(3)
    share = np.clip(rng.normal(0.55, 0.2, current.belief.water_l.shape), 0.02, 1.0)
    traits = current.traits
    water = traits.limit_l + share * traits.available_l
    past = 0.4 * rng.random(water.shape)
    return replace(current, belief=replace(current.belief, water_l=water, past_l=past))


def _simulated(current: Standing, kind: type, rng: np.random.Generator) -> float:
    """Return one right answer of pot 1, drawn from a member and the widths as they are stated."""
    belief, traits = current.belief, current.traits
    one = int(rng.integers(belief.members))
    water, noise = belief.water_l[0, one], rng.standard_normal()
    if kind is Weighed:
        mass = belief.empty_kg[0, one] + water + belief.below_l[0, one]
        return mass + noise * math.hypot(0.15, 0.02 * mass)
    if kind is Drained:
        past = belief.past_l[0, one]
        return max(past + noise * math.hypot(0.1, 0.15 * past), 0.0)
    if kind is Probe:
        return water / current.garden.pots[0].vessel.filled_volume_l + 0.05 * noise
    room = float(traits.capacity_l[0, one] - water)
    share = share_available(belief.water_l, traits)[0, one]
    full = 0.4 + 0.5 * min(share / 0.4, 1.0)
    ran = room if rng.random() < full else rng.random() * room
    # Nothing runs out below a reservoir before that is full as well.
    ran += max(float(traits.fills_l[0, 0]) - belief.below_l[0, one], 0.0)
    return max(ran + noise * math.hypot(0.1, 0.12 * ran), 0.0)


BODIES = {
    TillRan: TillRan("p-1", 1.0), Weighed: Weighed("p-1", 9.0), Drained: Drained("p-1", 0.2),
    Probe: Probe("p-1", 0.3),
}  # fmt: skip


@pytest.mark.parametrize("kind", [TillRan, Weighed, Drained, Probe])
def test_right_answers_lie_as_they_were_foretold(spread, kind):
    """80 % inside, 1 % to be asked about, and every tenth of the chances met as often."""
    rng = np.random.default_rng(17)
    told = foretold(spread, fact(BODIES[kind], START), NO_HOURS, late=False)
    scores = [scored(told, _simulated(spread, kind, rng), START) for _ in range(ANSWERS)]
    tally = tallied(scores)
    assert tally.inside / ANSWERS == pytest.approx(0.8, abs=4 * math.sqrt(0.16 / ANSWERS))
    assert tally.strays / ANSWERS == pytest.approx(0.01, abs=4 * math.sqrt(0.0099 / ANSWERS))
    inner = [one.pit for one in scores]
    for level in (0.2, 0.3, 0.5, 0.7, 0.85):
        met = np.mean([one <= level for one in inner])
        assert met == pytest.approx(level, abs=4 * math.sqrt(0.25 / ANSWERS)), level


def test_litres_of_a_pot_with_a_reservoir_are_those_of_both(spread):
    """Right answers, of mix and reservoir together, lie as they were foretold: 80 % inside."""
    tub = replace(three_pots().pots[0], basin=Basin("reservoir", 4.0))
    current = standing_of(a_garden(tub), members=200)
    rng = np.random.default_rng(4)
    below = 4.0 * rng.random(current.belief.below_l.shape)
    belief = replace(current.belief, water_l=spread.belief.water_l[:1], below_l=below)
    current = replace(current, belief=belief)
    told = foretold(current, fact(TillRan("p-1", 1.0), START), NO_HOURS, late=False)
    scores = [scored(told, _simulated(current, TillRan, rng), START) for _ in range(ANSWERS)]
    inside = tallied(scores).inside / ANSWERS
    assert inside == pytest.approx(0.8, abs=4 * math.sqrt(0.16 / ANSWERS))
    least_l = 4.0 - float(below.max())
    assert told.quantiles[9] > least_l + 1.0


def test_what_was_said_is_not_looked_at(spread):
    """The same is foretold whatever the answer is."""
    few = foretold(spread, fact(TillRan("p-1", 0.1), START, name="a"), NO_HOURS, late=False)
    many = foretold(spread, fact(TillRan("p-1", 9.0), START, name="a"), NO_HOURS, late=False)
    assert few == many


def test_a_finger_is_foretold_by_the_ordered_probit(spread):
    """By scipy's normal over the members, without the lapses."""
    told = foretold(spread, fact(Finger("p-2", "dry"), START), NO_HOURS, late=False)
    share = share_available(spread.belief.water_l, spread.traits)[1]
    not_dry = norm.cdf((share - DRY_BELOW) / WIDTH)
    wet = norm.cdf((share - WET_ABOVE) / WIDTH)
    expected = [np.mean(1 - not_dry), np.mean(not_dry - wet), np.mean(wet)]
    assert told.chances == pytest.approx(expected, abs=1e-3)
    assert sum(told.chances) == pytest.approx(1.0, abs=1e-9)
    assert 0.0 < LAPSE < 0.1


def test_hanging_leaves_say_more_at_breakfast(spread):
    """The chance of them is smaller early than in the heat, for the same water."""
    # 07:00 and 15:00 by the garden's clock.
    early = fact(Wilting("p-1"), START + 14 * HOUR)
    late = fact(Wilting("p-1"), START + 22 * HOUR)
    chances = [foretold(spread, one, NO_HOURS, late=False).chances[0] for one in (early, late)]
    assert 0.0 < chances[0] < chances[1] < 1.0


@pytest.mark.parametrize(("dry", "wet", "sign"), [(830.0, 420.0, -1), (100.0, 500.0, 1)])
def test_a_bare_number_is_foretold_between_its_two_points(spread, dry, wet, sign):
    """Whichever way the probe counts, a wetter pot is a wetter pot, in the same litres."""
    body = ProbeRaw("p-1", 0.5 * (dry + wet), dry, wet)
    told = foretold(spread, fact(body, START), NO_HOURS, late=False)
    assert told.sign == sign
    assert min(dry, wet) < middle(told) < max(dry, wet)
    wetter = scored(told, middle(told) + 0.1 * (wet - dry), START)
    traits = spread.traits
    room = float(np.mean(traits.capacity_l[0] - traits.air_dry_l[0]))
    assert wetter.error_l == pytest.approx(0.1 * room)
    assert wetter.pit > 0.5


def test_left_to_soak_and_run_again_it_was_nearly_surely_full(spread):
    """Twice till it ran: fewer litres that ran past are expected."""
    once = foretold(spread, fact(TillRan("p-1", 1.0), START), NO_HOURS, late=False)
    twice = foretold(spread, fact(TillRan("p-1", 1.0, twice=True), START), NO_HOURS, late=False)
    assert middle(twice) > middle(once)
    assert chance_below(twice.quantiles, 0.2) < chance_below(once.quantiles, 0.2)


def test_only_answers_that_tell_an_amount_or_a_word_are_foretold():
    """Not water till it ran without litres, nor the first weight on a scale with another zero."""
    assert not foreseeable(TillRan("p-1"))
    assert foreseeable(TillRan("p-1", 2.0))
    assert foreseeable(Weighed("p-1", 9.0))
    assert not foreseeable(Weighed("p-1", 9.0, anew=True))
    assert said_of(Finger("p-1", "moist")) == "moist"
    with pytest.raises(TypeError):
        said_of(TillRan("p-1"))


def test_an_hour_of_sun_is_the_use_of_the_day_weighted_by_et0():
    """Worked out again from a fold of that day from full, hour by hour."""
    weather = summer()
    begins = filled(standing_of(three_pots(), members=20))
    end = START + timedelta(days=1)
    use, current = [], begins
    for hour in range(24):
        before = current
        current = fold(current, [], weather, START + (hour + 1) * HOUR, 20)
        use.append((before.belief.water_l - current.belief.water_l).mean(axis=1))
    found = hours_of_sun(replace(begins, belief=replace(begins.belief, at=end)), weather)
    day = weather.between(int(START.timestamp()), int(end.timestamp()))
    places = [place.name for place in begins.garden.places]
    for row, pot in enumerate(begins.garden.pots):
        et0 = place_weather(begins.garden, day).et0_mm[places.index(pot.place), 0]
        expected = hour_of_sun_l(et0, np.array(use)[:, row])
        assert found[row] == pytest.approx(expected, rel=0.02)
    assert hours_of_sun(begins, weather.select(slice(0, 10))) == NO_HOURS
