"""How far one answer reaches: the pass over the tree against the same Gaussian as one matrix."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.garden.shared import Sites, Spreads, known_of, remembering
from irrigate.garden.teaching import reach_of

spreads = st.builds(
    Spreads,
    mean=st.floats(-1.0, 1.0),
    garden=st.floats(0.05, 0.5),
    group=st.floats(0.05, 0.5),
    pot=st.floats(0.05, 0.5),
)


def covariance(of: Spreads, groups: np.ndarray, precision: np.ndarray) -> np.ndarray:
    """Return the full covariance of all pots by the textbook: the inverse of one matrix."""
    alike = groups[:, None] == groups[None, :]
    prior = of.garden**2 + of.group**2 * alike + of.pot**2 * np.eye(groups.size)
    return np.asarray(np.linalg.inv(np.linalg.inv(prior) + np.diag(precision)))


@given(spreads, st.lists(st.sampled_from("abcd"), min_size=1, max_size=9), st.data())
def test_the_pass_is_the_matrix(of: Spreads, names: list[str], data: st.DataObject) -> None:
    """Variances and weighted squares of covariances are those of the whole matrix."""
    size = len(names)
    numbers = st.lists(st.floats(0.0, 400.0), min_size=size, max_size=size).map(np.array)
    seen, weights = data.draw(numbers), data.draw(numbers)
    whole = covariance(of, np.unique(names, return_inverse=True)[1], seen)
    reach = reach_of(of, names, Sites(seen, seen), weights)
    assert reach.variance == pytest.approx(np.diag(whole), rel=1e-6)
    assert reach.squares == pytest.approx(whole**2 @ weights, rel=1e-5, abs=1e-12)


@given(
    spreads, st.lists(st.sampled_from("ab"), min_size=1, max_size=6),
    st.floats(0.1, 200.0), st.data(),
)  # fmt: skip
def test_what_is_promised_is_what_a_site_does(
    of: Spreads, names: list[str], precision: float, data: st.DataObject
) -> None:
    """The promised narrowing is that of `known_of` with and without the site, gone pots and all."""
    row = data.draw(st.integers(0, len(names) - 1))
    kept = remembering((), "log_use", "a", of, 12.0, 3.0)
    weights = np.arange(1.0, len(names) + 1.0)
    before = Sites(np.linspace(0.0, 30.0, len(names)), np.zeros(len(names)))
    more = before.precision.copy()
    more[row] += precision
    was = known_of(of, names, before, kept).variance
    now = known_of(of, names, Sites(more, before.pull), kept).variance
    reach = reach_of(of, names, before, weights, kept)
    promised = reach.narrows(row, np.array([precision]))[0]
    assert promised == pytest.approx(float(weights @ (was - now)), rel=1e-6, abs=1e-10)


def test_like_pots_learn_more_from_each_other() -> None:
    """The same answer narrows a garden of like pots more than one of strangers."""
    of, none = Spreads(0.0, 0.2, 0.35, 0.1), Sites.none(4)
    alike = reach_of(of, ["a"] * 4, none, np.ones(4)).squares[0]
    strangers = reach_of(of, list("abcd"), none, np.ones(4)).squares[0]
    assert alike > 2.0 * strangers
