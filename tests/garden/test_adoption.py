"""Identities: capacity follows the vessel, thirst the plant, water the pot."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from irrigate.garden.adoption import adopted
from irrigate.garden.balance import share_available
from irrigate.garden.belief import Belief
from irrigate.garden.believed import Standing
from irrigate.garden.events import Finger, TillRan
from irrigate.garden.fold import fold
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.priors import FIRST_SHARE, HOME_FILL, prior_rows
from irrigate.garden.traits import pot_traits, vitals
from irrigate.garden.vessels import RoundTaper
from tests.garden.makers import (
    HOUR,
    START,
    a_garden,
    a_pot,
    any_gardens,
    any_pots,
    fact,
    standing_of,
    summer,
)

MEMBERS = 32
GARDEN = a_garden(a_pot("1"), a_pot("2", "tomato"))


def learnt() -> Belief:
    """Return a belief that has seen a day and some answers."""
    facts = [fact(TillRan("p-1"), START + HOUR), fact(Finger("p-2", "dry"), START + 9 * HOUR)]
    standing = fold(standing_of(GARDEN, MEMBERS), facts, summer(), START + 20 * HOUR, MEMBERS)
    assert standing is not None
    return standing.belief


def after(garden: Garden, belief: Belief) -> Belief:
    """Return the belief of an edited garden."""
    was = Standing(GARDEN, vitals(GARDEN.pots), belief)
    return adopted(was, garden, vitals(garden.pots), belief.at, MEMBERS)


def test_a_reordered_garden_is_the_same_pots() -> None:
    """Rows follow the garden's order, and every pot keeps all that is believed of it."""
    belief = learnt()
    turned = after(replace(GARDEN, pots=GARDEN.pots[::-1]), belief)
    assert turned.pot_ids == ("p-2", "p-1")
    for name in ("water_l", "surface_mm", "log_use", "log_capacity", "dry_point", "empty_kg"):
        assert np.array_equal(getattr(turned, name), getattr(belief, name)[::-1]), name
    assert np.array_equal(turned.ledger_l, belief.ledger_l[:, ::-1])


def test_a_new_plant_in_an_old_pot() -> None:
    """Its thirst and dry point are drawn afresh; capacity and water stay."""
    belief = learnt()
    new = replace(GARDEN.pots[0], plant_id="g-new")
    planted = after(replace(GARDEN, pots=(new, GARDEN.pots[1])), belief)
    assert not np.array_equal(planted.log_use[0], belief.log_use[0])
    assert not np.array_equal(planted.dry_point[0], belief.dry_point[0])
    assert np.array_equal(planted.log_capacity[0], belief.log_capacity[0])
    assert np.array_equal(planted.water_l[0], belief.water_l[0])


def test_an_old_plant_in_a_new_pot() -> None:
    """Its thirst goes along; what the new vessel holds, and how full it is, nobody knows yet."""
    belief = learnt()
    moved = replace(GARDEN.pots[1], vessel_id="v-new")
    repotted = after(replace(GARDEN, pots=(GARDEN.pots[0], moved)), belief)
    assert np.array_equal(repotted.log_use[1], belief.log_use[1])
    assert np.array_equal(repotted.dry_point[1], belief.dry_point[1])
    assert not np.array_equal(repotted.log_capacity[1], belief.log_capacity[1])
    assert not np.array_equal(repotted.water_l[1], belief.water_l[1])


def test_the_weight_of_an_empty_pot_goes_with_the_vessel() -> None:
    """A plant that was repotted into four times the mix is not weighed against its old pot.

    Dry potting mix of 0.35 kg/L (the catalogue): 40 L of it weigh some 13 kg.
    """
    belief = learnt()
    larger = replace(GARDEN.pots[1], vessel_id="v-new", vessel=RoundTaper.of_volume(40.0))
    repotted = after(replace(GARDEN, pots=(GARDEN.pots[0], larger)), belief)
    assert float(np.median(belief.empty_kg[1])) == pytest.approx(5.5, abs=1.0)
    assert float(np.median(repotted.empty_kg[1])) == pytest.approx(14.5, abs=2.0)
    new = replace(GARDEN.pots[0], plant_id="g-new")
    planted = after(replace(GARDEN, pots=(new, GARDEN.pots[1])), belief)
    assert np.array_equal(planted.empty_kg[0], belief.empty_kg[0])


def test_a_removed_pot_is_gone_and_a_new_one_is_unknown() -> None:
    """The belief has the rows of the garden, and no others."""
    third = a_pot("3")
    changed = after(replace(GARDEN, pots=(GARDEN.pots[1], third)), learnt())
    assert changed.pot_ids == ("p-2", "p-3")
    first = standing_of(a_garden(third), MEMBERS).belief
    # As uncertain as the first pot of all, but for what the others have taught of the mix.
    assert changed.water_l[1] == pytest.approx(first.water_l[0], rel=0.05)


@settings(max_examples=40, deadline=None)
@given(any_gardens(), any_pots("9"))
def test_draws_of_a_pot_are_its_own(garden: Garden, another: Pot) -> None:
    """No pot's priors depend on which others there are, nor on how many members are asked for."""
    alone = prior_rows(garden.pots[0], MEMBERS)
    belief = standing_of(replace(garden, pots=(another, *garden.pots)), 2 * MEMBERS).belief
    for name in ("log_use", "log_capacity", "dry_point", "empty_kg"):
        assert np.array_equal(getattr(belief, name)[1, :MEMBERS], alone[name]), name


@settings(max_examples=40, deadline=None)
@given(any_pots())
def test_an_unknown_pot_is_anything_from_nearly_dry_to_full(pot: Pot) -> None:
    """On the first day the share of available water is spread over its whole range."""
    standing = standing_of(a_garden(pot), 400)
    share = share_available(standing.belief.water_l, standing.traits)[0]
    assert share.min() >= FIRST_SHARE[0] - 1e-9
    assert share.max() <= FIRST_SHARE[1] + 1e-9
    assert share.mean() == pytest.approx(np.mean(FIRST_SHARE), abs=0.06)
    traits = pot_traits(standing.garden, standing.known, standing.belief)
    assert np.all((traits.dry_point >= 0.15) & (traits.dry_point <= 0.9))
    held = np.median(np.exp(standing.belief.log_capacity))
    assert held == pytest.approx(HOME_FILL, rel=0.05)


def test_like_pots_share_their_thirst() -> None:
    """Two peppers in one mix and place are much alike in a member; a fig elsewhere is not."""
    garden = a_garden(a_pot("1"), a_pot("2"), a_pot("3", "fig", "bark mix", place="terrace"))
    use = standing_of(garden, 1000).belief.log_use
    like, unlike = np.corrcoef(use)[0, 1:]
    assert like > 0.9
    assert 0.1 < unlike < 0.5, "the garden's own part is shared by all"
