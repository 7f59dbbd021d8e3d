"""How far an answer about one pot would reach: what it would narrow in every other, all at once.

Under the tree of `irrigate.garden.shared` two pots have in common only their group's level, and
two groups only the garden's. So the covariance of any two pots' factors is a product of what each
takes from its level, and a sum of its squares over all pots takes one pass up and one down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from irrigate.garden.shared import Remembered, Sites, Spreads
from irrigate.garden.weather import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Reach:
    """What is not known of each pot's factor, and what one answer about it would reach [pot].

    Parameters
    ----------
    variance : of the pot's own factor, by all that was seen so far.
    squares : Σ weight × covariance² with every pot, itself included.
    """

    variance: Floats
    squares: Floats

    def narrows(self, row: int, precision: Floats) -> Floats:
        """Return by how much sites of these precisions on one pot lower Σ weight × variance.

        A site of precision δ on pot p lowers the variance of pot j by c² δ / (1 + δ v), with c
        the covariance of the two and v the variance of p (the textbook's conditional normal).
        """
        lowered: Floats = self.squares[row] * precision / (1.0 + precision * self.variance[row])
        return lowered


def reach_of(
    spreads: Spreads, names: Sequence[str], sites: Sites, weights: Floats,
    kept: Sequence[Remembered] = (),
) -> Reach:  # fmt: skip
    """Return how far an answer about each pot would reach.

    Parameters
    ----------
    spreads : of the factor.
    names : of the pots' groups [pot].
    sites : what was seen of each so far.
    weights : how much the variance of each pot matters [pot].
    kept : what is remembered of groups by pots that are gone, of this factor.
    """
    order = sorted({*names, *(one.group for one in kept)})
    number = {name: index for index, name in enumerate(order)}
    group = np.array([number[name] for name in names], dtype=np.intp)
    # Up: how well each pot tells of its group's level, each group of the garden's.
    takes = 1.0 / (1.0 + sites.precision * spreads.pot**2)
    told = np.bincount(group, sites.precision * takes, len(order))
    for one in kept:
        told[number[one.group]] += one.precision
    group_takes = 1.0 / (1.0 + told * spreads.group**2)
    says = told * group_takes
    whole = 1.0 / spreads.garden**2 + says.sum()
    # Down: the variance of the garden's level, of each group's, of each pot's.
    level = 1.0 / (1.0 / (1.0 / (whole - says) + spreads.group**2) + told)
    own = takes * spreads.pot**2 + takes**2 * level[group]
    # Within a group the covariance is takes × takes × variance of its level; between two groups
    # each takes from its own level, and that from the garden's.
    shares = weights * takes**2
    by_group = np.bincount(group, shares, len(order))
    far = group_takes**2 * by_group
    others = (group_takes / whole) ** 2 * (far.sum() - far)
    near = level[group] ** 2 * (by_group[group] - shares)
    return Reach(own, weights * own**2 + takes**2 * (near + others[group]))
