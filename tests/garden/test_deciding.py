"""At a round: water, feel first, or leave, in that order."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.garden.actions import Line
from irrigate.garden.believed import Standing
from irrigate.garden.deciding import judge, prospect, verdicts
from irrigate.garden.outlook import look_ahead, run
from irrigate.garden.pots import Basin, Garden
from irrigate.garden.working import central_run
from tests.garden.makers import DAY, HOUR, a_garden, a_pot, any_gardens, filled, standing_of, summer

SIZE = 40


def members(level: float) -> np.ndarray:
    """Return members that all hold this share."""
    return np.full(SIZE, level)


def some(chance: float) -> np.ndarray:
    """Return which members get thirsty, so many of them; the first ones."""
    return np.arange(SIZE) < chance * SIZE


WIDE = np.linspace(0.05, 0.75, SIZE)

# share now, which get thirsty, chance even if full, accepted risk -> verdict
CASES = [
    ("thirsty by the next round, and water helps", members(0.4), some(0.9), 0.0, 0.2, "water"),
    ("thirsty soon though three quarters full", members(0.75), some(1.0), 0.3, 0.2, "water"),
    ("thirsty soon, full, but more water would still help", members(0.95), some(0.9), 0.5, 0.2,
     "water"),
    ("just filled, and will not last in any case", members(0.99), some(1.0), 1.0, 0.2, "leave"),
    ("will not last in any case, but much is missing", members(0.6), some(1.0), 1.0, 0.2, "water"),
    ("just above the accepted risk", members(0.5), some(0.225), 0.0, 0.2, "water"),
    ("at the accepted risk, wet and dry as good as sure", members(0.6), some(0.2), 0.0, 0.2,
     "leave"),
    ("a careful gardener", members(0.5), some(0.125), 0.0, 0.1, "water"),
    ("below the risk and probably above 70 % full", members(0.8), some(0.1), 0.0, 0.2, "leave"),
    ("nobody knows: a finger decides", WIDE, WIDE < 0.15, 0.0, 0.2, "feel"),
    ("nobody knows, but it will not be thirsty", WIDE, some(0.0), 0.0, 0.2, "leave"),
    ("surely moist enough", members(0.65), some(0.1), 0.0, 0.2, "leave"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("share", "thirsty", "even_full", "risk", "expected"),
    [case[1:] for case in CASES],
    ids=[case[0] for case in CASES],
)
def test_the_order_of_deciding(
    share: np.ndarray, thirsty: np.ndarray, even_full: float, risk: float, expected: str
) -> None:
    """Above the risk means water; then the full are left; then a touch where it would decide."""
    assert judge(share, thirsty, even_full, risk)[0] == expected


@given(
    st.lists(st.floats(0.0, 1.0), min_size=SIZE, max_size=SIZE).map(np.array),
    st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.02, 0.6),
)  # fmt: skip
def test_a_more_careful_gardener_never_waters_less(
    share: np.ndarray, chance: float, even_full: float, risk: float
) -> None:
    """What is watered at a higher risk is watered at a lower one too."""
    thirsty = np.argsort(np.argsort(share)) < chance * SIZE
    if judge(share, thirsty, even_full, risk)[0] == "water":
        assert judge(share, thirsty, even_full, risk / 2)[0] == "water"


def lines_at(standing: Standing, hours: float = 1.0) -> tuple[Line, ...]:
    """Judge a garden at a round some hours off, the next twelve hours later."""
    weather = summer(12)
    now = standing.belief.at
    at, until = now + hours * HOUR, now + (hours + 12) * HOUR
    ahead = look_ahead(standing, weather)
    as_is = run(ahead, standing.belief.store, now)
    central = central_run(standing, weather, until).summary()
    return verdicts(standing, prospect(standing, ahead, as_is, at, until, central))


@settings(max_examples=25, deadline=None)
@given(any_gardens())
def test_every_pot_has_a_line_with_finite_reasons(garden: Garden) -> None:
    """One line a pot; chances in 0–1, quantiles in order, a dose where there is one to give."""
    lines = lines_at(standing_of(garden, 24))
    assert sorted(line.pot_id for line in lines) == sorted(pot.id for pot in garden.pots)
    for line in lines:
        assert all(np.isfinite(value) for value in line.reasons.values()), line.reasons
        assert 0.0 <= line.chance_thirsty <= 1.0
        assert 0.0 <= line.chance_even_full <= 1.0
        assert list(line.share_left) == sorted(line.share_left)
        known = [moment for moment in line.thirsty_at if moment is not None]
        assert known == sorted(known)
        assert (line.dose_l > 0.0) == (line.verdict != "leave") or line.dose_l == 0.0
        assert line.passes >= 1


def test_lines_stand_in_walking_order() -> None:
    """The order of the walk, not of the file."""
    garden = a_garden(a_pot("1", walk=3), a_pot("2", walk=1), a_pot("3", walk=2))
    assert [line.pot_id for line in lines_at(standing_of(garden))] == ["p-2", "p-3", "p-1"]


def test_the_dose_fills_the_pot() -> None:
    """A single-peaked pot is given what its median member lacks at the round."""
    standing = filled(standing_of(a_garden(), 64))
    empty = standing.traits.limit_l + 0.3 * standing.traits.available_l
    dry = replace(standing, belief=replace(standing.belief, water_l=empty))
    (line,) = lines_at(dry, 0.5)
    lacking = np.median(standing.traits.capacity_l - empty)
    assert line.verdict == "water"
    assert lacking <= line.dose_l <= 1.25 * lacking, "and what it uses in the half hour until then"


def test_a_full_pot_is_left() -> None:
    """A pot just filled that lasts two days is left, and nothing is given."""
    (line,) = lines_at(filled(standing_of(a_garden(a_pot("1", size_m=(0.2, 0.2))), 64)))
    assert (line.verdict, line.dose_l, line.passes) == ("leave", 0.0, 1)
    assert line.chance_thirsty < 0.2
    last = line.thirsty_at[1]
    assert last is None or last > standing_of(a_garden()).belief.at + DAY + timedelta(hours=12)


def test_roots_without_air_are_left_and_not_felt() -> None:
    """Below its risk a pot that is probably too wet is left, whatever a finger would find."""
    assert judge(WIDE, WIDE < 0.15, 0.0, 0.2)[0] == "feel"
    assert judge(WIDE, WIDE < 0.15, 0.0, 0.2, wet=0.6)[0] == "leave"
    assert judge(members(0.4), some(0.9), 0.0, 0.2, wet=0.6)[0] == "water", "above it thirst counts"


def test_an_empty_reservoir_is_filled_though_the_mix_is_wet() -> None:
    """All but the mix's own water is gone and will not last: what is missing is below."""
    assert judge(members(1.0), some(1.0), 0.95, 0.2)[0] == "leave"
    assert judge(members(1.0), some(1.0), 0.95, 0.2, lacks=0.6)[0] == "water"


def with_basin(basin: Basin, below_l: float, share: float) -> Standing:
    """Return a pepper over a basin that holds so much, its mix at a share, in every member."""
    standing = standing_of(a_garden(a_pot("1", size_m=(0.45, 0.45), basin=basin)), 64)
    water = standing.traits.limit_l + share * standing.traits.available_l
    belief = replace(
        standing.belief, water_l=water, below_l=np.full_like(water, below_l),
        dry_point=np.full_like(water, 0.5),
    )  # fmt: skip
    return replace(standing, belief=belief)


def test_a_saucer_that_holds_enough_feeds_the_pot() -> None:
    """The same mix is watered over an empty saucer, and left over one that still holds plenty."""
    saucer = Basin("saucer", 3.0, 0.01)
    (empty,) = lines_at(with_basin(saucer, 0.0, 0.55))
    (wet,) = lines_at(with_basin(saucer, 3.0, 0.55))
    assert empty.verdict == "water"
    assert wet.verdict == "leave"
    assert wet.chance_thirsty < empty.chance_thirsty


def test_a_reservoir_carries_a_pot_on() -> None:
    """With a full reservoir nothing is asked for; with an empty one the dose says what goes in."""
    reservoir = Basin("reservoir", 6.0)
    (full,) = lines_at(with_basin(reservoir, 6.0, 0.8))
    (empty,) = lines_at(with_basin(reservoir, 0.0, 0.55))
    assert full.verdict == "leave"
    assert empty.verdict == "water"
    assert empty.below_l == pytest.approx(6.0)
    assert empty.dose_l > 6.0
