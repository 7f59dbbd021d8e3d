"""What like pots teach each other: the tree against the same Gaussian written as one matrix."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.garden.shared import Sites, Spreads, known_of, remembering

spreads = st.builds(
    Spreads,
    mean=st.floats(-1.0, 1.0),
    garden=st.floats(0.05, 0.5),
    group=st.floats(0.05, 0.5),
    pot=st.floats(0.05, 0.5),
)


def by_matrix(of: Spreads, groups: np.ndarray, sites: Sites) -> tuple[np.ndarray, np.ndarray]:
    """Return mean and variance by the textbook: a full covariance, conditioned all at once."""
    alike = groups[:, None] == groups[None, :]
    prior = of.garden**2 + of.group**2 * alike + of.pot**2 * np.eye(groups.size)
    precision = np.linalg.inv(prior) + np.diag(sites.precision)
    covariance = np.linalg.inv(precision)
    pull = np.linalg.solve(prior, np.full(groups.size, of.mean)) + sites.pull
    return covariance @ pull, np.diag(covariance)


@given(spreads, st.lists(st.sampled_from("abcd"), min_size=1, max_size=9), st.data())
def test_the_tree_is_the_matrix(of: Spreads, names: list[str], data: st.DataObject) -> None:
    """Means and variances agree with the conditional of a multivariate normal (textbook form)."""
    size = len(names)
    seen = data.draw(st.lists(st.floats(0.0, 400.0), min_size=size, max_size=size))
    values = data.draw(st.lists(st.floats(-2.0, 2.0), min_size=size, max_size=size))
    sites = Sites(np.array(seen), np.array(seen) * np.array(values))
    groups = np.unique(names, return_inverse=True)[1]
    known = known_of(of, names, sites)
    mean, variance = by_matrix(of, groups, sites)
    assert known.mean == pytest.approx(mean, abs=1e-7)
    assert known.variance == pytest.approx(variance, rel=1e-6)


def test_with_nothing_seen_every_pot_has_the_prior() -> None:
    """Without sites mean and variance are those of the prior."""
    of = Spreads(0.2, 0.2, 0.35, 0.1)
    known = known_of(of, ["a", "b", "a"], Sites.none(3))
    assert known.mean == pytest.approx(0.2)
    assert known.variance == pytest.approx(of.prior_variance)


@given(st.floats(0.0, 1e4), st.floats(-2.0, 2.0), st.floats(0.0, 0.1), st.floats(0.0, 0.1))
def test_fading_adds_variance(precision: float, value: float, once: float, again: float) -> None:
    """A site faded twice is one faded by the sum, and keeps what it says."""
    site = Sites(np.array([precision]), np.array([precision * value]))
    twice, at_once = site.faded(once).faded(again), site.faded(once + again)
    assert twice.precision == pytest.approx(at_once.precision, rel=1e-9)
    assert twice.pull == pytest.approx(at_once.precision * value, rel=1e-9, abs=1e-12)


def test_a_pot_that_is_gone_is_remembered_by_its_group() -> None:
    """With a pot taken out, the others know what they knew with it there."""
    of = Spreads(0.0, 0.2, 0.35, 0.1)
    sites = Sites(np.array([50.0, 0.0, 20.0]), np.array([25.0, 0.0, -4.0]))
    all_there = known_of(of, ["a", "a", "b"], sites)
    kept = remembering((), "log_use", "a", of, 50.0, 25.0)
    left = known_of(of, ["a", "b"], Sites(sites.precision[1:], sites.pull[1:]), kept)
    assert left.mean == pytest.approx(all_there.mean[1:])
    assert left.variance == pytest.approx(all_there.variance[1:])
