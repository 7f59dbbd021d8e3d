"""How much is given: to full, in passes, and never between two peaks of a belief."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.garden.doses import (
    between_peaks,
    dose_l,
    dose_of,
    lacking,
    passes,
    two_peaked,
)
from irrigate.garden.pots import Basin, Manner, Pot
from irrigate.garden.water import PotTraits
from tests.garden.makers import a_garden, a_pot, standing_of

MEMBERS = 24

shares = st.lists(st.floats(0.0, 1.0), min_size=8, max_size=60).map(np.array)


@st.composite
def two_groups(draw: st.DrawFn) -> np.ndarray:
    """Draw members of which some are nearly dry and the others nearly full."""
    dry = draw(st.lists(st.floats(0.0, 0.15), min_size=4, max_size=20))
    wet = draw(st.lists(st.floats(0.85, 1.0), min_size=4, max_size=20))
    return np.array(draw(st.permutations(dry + wet)))


@given(two_groups(), st.data())
def test_never_between_two_peaks(share: np.ndarray, data: st.DataObject) -> None:
    """Whoever is concerned, the dose fills the members of one peak, not something in between."""
    concerned = np.array(
        data.draw(st.lists(st.booleans(), min_size=share.size, max_size=share.size))
    )
    assert two_peaked(share)
    dose = dose_l(10.0 * (1.0 - share), share, concerned)
    assert dose < 1.51 or dose > 8.49


@given(two_groups())
def test_of_two_peaks_the_one_that_is_meant(share: np.ndarray) -> None:
    """If only one peak would get thirsty it is filled; if both, as many in each, the drier one."""
    missing = 10.0 * (1.0 - share)
    parting = between_peaks(share)
    assert parting is not None
    assert dose_l(missing, share, share <= parting) > 8.49
    assert dose_l(missing, share, share > parting) < 1.51
    even = np.concatenate([np.full(5, 0.1), np.full(5, 0.9)])
    assert dose_l(10.0 * (1.0 - even), even, np.ones(10, dtype=bool)) == 9.0


@given(shares)
def test_of_one_peak_the_median(share: np.ndarray) -> None:
    """With one peak half of the members would want no more than the dose."""
    missing = 4.0 * (1.0 - share)
    dose = dose_l(missing, share, np.ones(share.size, dtype=bool))
    assert missing.min() <= dose <= missing.max()
    if not two_peaked(share):
        assert dose == np.median(missing)


def test_what_counts_as_two_peaks() -> None:
    """A normal and an even spread have one peak; two far groups have two; a lone outlier none."""
    rng = np.random.Generator(np.random.Philox(key=7))
    assert not two_peaked(np.clip(rng.normal(0.5, 0.15, 400), 0, 1))
    assert not two_peaked(np.linspace(0.0, 1.0, 400))
    assert two_peaked(np.concatenate([rng.normal(0.2, 0.05, 200), rng.normal(0.8, 0.05, 200)]))
    assert not two_peaked(np.array([0.1] + [0.9] * 39)), "one member of forty is no peak"
    assert not two_peaked(np.full(40, 0.6))
    assert not two_peaked(np.concatenate([np.full(20, 0.55), np.full(20, 0.65)])), "not apart"


@given(st.floats(0.0, 60.0), st.floats(0.2, 40.0))
def test_passes_are_small_enough(volume: float, available: float) -> None:
    """A pass puts at most 60 % of the available water, or 0.75 L; and there is none too many."""
    count = passes(volume, available)
    largest = max(0.6 * available, 0.75)
    assert count >= 1
    assert volume / count <= largest * (1 + 1e-6)
    assert count == 1 or volume / (count - 1) > largest * (1 - 1e-6)


# --- what stands below, dry mixes, salt ------------------------------------------------------
RESERVOIR, SAUCER = Basin("reservoir", 5.0), Basin("saucer", 1.5, 0.02)


def like_one(pot: Pot) -> PotTraits:
    """Return the traits of a single pot."""
    return standing_of(a_garden(pot), MEMBERS).traits


def dosed(
    pot: Pot, share: float, below_l: float = 0.0, manner: Manner | None = None,
    *, too_dry: bool = False,
) -> tuple[float, float, int]:  # fmt: skip
    """Return dose, part for the reservoir, and passes of a pot at a share, in litres."""
    traits = like_one(pot)
    water = traits.limit_l + share * traits.available_l
    lacks = lacking(pot, 0, water, np.full_like(water, below_l), traits)
    dose = dose_of(
        pot, lacks, np.full(MEMBERS, share), np.ones(MEMBERS, dtype=bool),
        float(np.median(traits.available_l)), manner or Manner(), too_dry=too_dry,
    )  # fmt: skip
    return dose.volume_l, dose.below_l, dose.passes


def missing(pot: Pot, share: float) -> float:
    """Return what the middle member's mix lacks [L]."""
    return float(np.median((1.0 - share) * like_one(pot).available_l))


def test_a_reservoir_is_filled_with_the_mix() -> None:
    """5 L of which 1 L is left, and a mix half empty: 4 L below, and what the mix lacks on top."""
    pot = a_pot("1", basin=RESERVOIR)
    total, below, _ = dosed(pot, 0.5, 1.0)
    assert below == 4.0
    assert total == pytest.approx(4.0 + missing(pot, 0.5), abs=1e-3)


def test_a_mix_that_lacks_little_takes_it_from_its_reservoir() -> None:
    """With nine tenths in the mix all goes through the filling hole."""
    total, below, goes = dosed(a_pot("1", basin=RESERVOIR), 0.9, 0.5)
    assert (total, below, goes) == (4.5, 4.5, 1)


@pytest.mark.parametrize("kind", ["saucer", "outer pot"])
@given(share=st.floats(0.0, 1.0), below=st.floats(0.0, 1.5), salt=st.sampled_from([None, 1.5]))
def test_where_water_cannot_run_away_never_more_than_the_mix_lacks(
    kind: str, share: float, below: float, salt: float | None
) -> None:
    """Neither for salt nor for a dry mix; and less by what stands there and will be drawn up."""
    pot = a_pot("1", "lettuce", basin=Basin(kind, 1.5))  # type: ignore[arg-type]
    total, part, _ = dosed(pot, share, below, Manner(water_salt_ds_m=salt), too_dry=share < 0.1)
    assert part == 0.0
    # A splash is no dose: where hardly any lack much, those that do are meant; all are alike here.
    # Within 5 mL: by the round not all of what stands there has been drawn up.
    assert total <= max(missing(pot, share) - below, 0.0) + 5e-3


def test_a_dry_mix_gets_more_in_two_goes() -> None:
    """From air-dry part of each litre runs past it, so that more is poured, and in two goes."""
    pot = a_pot("1", medium="bark mix")
    traits = like_one(pot)
    repels = float((traits.repels_l[0, 0] - traits.limit_l[0, 0]) / np.median(traits.available_l))
    share = repels - 0.05
    wet, dry = dosed(pot, 0.5), dosed(pot, share, too_dry=True)
    assert wet[0] == pytest.approx(missing(pot, 0.5), abs=1e-3)
    assert missing(pot, share) < dry[0] < 2.0 * missing(pot, share)
    assert dry[2] >= 2


def test_salty_water_is_given_by_its_leaching_requirement() -> None:
    """1 dS/m on a crop that bears 1.7: LR = 1/(5 x 1.7 - 1) = 0.133 (FAO-29 Eq 9)."""
    pot = a_pot("1")
    pot = replace(pot, crop=replace(pot.crop, salt_ds_m=1.7))
    salty, _, _ = dosed(pot, 0.5, manner=Manner(water_salt_ds_m=1.0))
    assert salty == pytest.approx(missing(pot, 0.5) / (1.0 - 1.0 / 7.5), abs=2e-3)
    fresh, _, _ = dosed(pot, 0.5, manner=Manner(water_salt_ds_m=0.4))
    assert fresh == pytest.approx(missing(pot, 0.5), abs=1e-3)


def test_never_a_mere_splash() -> None:
    """Where most members are full, the dose is for those few that would get thirsty."""
    pot = a_pot("1")
    traits = like_one(pot)
    share = np.where(np.arange(MEMBERS) < 8, 0.6, 1.0)
    water = traits.limit_l + share * traits.available_l
    lacks = lacking(pot, 0, water, np.zeros_like(water), traits)
    dose = dose_of(pot, lacks, share, share < 1.0, 3.0, Manner(), too_dry=False)
    assert dose.volume_l == pytest.approx(float(np.median(lacks.mix_l[share < 1.0])), abs=1e-3)
