"""What like pots teach each other: garden + group + pot, all Gaussian, in one pass up and one down.

A factor's logarithm is garden + group + pot. What has been seen of one pot is kept as a Gaussian
site on that pot's own sum; the tree turns all sites together into every pot's mean and spread,
exactly, in time that grows with the number of pots and no faster.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from irrigate.garden.weather import Floats


@dataclass(frozen=True, slots=True)
class Spreads:
    """How much a log factor differs between gardens, groups and pots [–], around ``mean``."""

    mean: float
    garden: float
    group: float
    pot: float
    drift_per_day: float = 0.0

    @property
    def prior_variance(self) -> float:
        """Variance of one pot of which nothing at all is known."""
        return self.garden**2 + self.group**2 + self.pot**2


@dataclass(frozen=True, slots=True, eq=False)
class Sites:
    """What was seen of each pot, as a Gaussian on its log factor [pot].

    Parameters
    ----------
    precision : its inverse variance [–]; 0 where nothing was seen.
    pull : precision × what was seen.
    """

    precision: Floats
    pull: Floats

    @staticmethod
    def none(count: int) -> Sites:
        """Return sites of ``count`` pots of which nothing was seen."""
        return Sites(np.zeros(count), np.zeros(count))

    def faded(self, variance: float) -> Sites:
        """Return the sites after the factors have drifted by a random walk of this variance."""
        worn = 1.0 / (1.0 + self.precision * variance)
        return Sites(self.precision * worn, self.pull * worn)

    def same_as(self, other: Sites) -> bool:
        """Return whether both say the same."""
        return np.array_equal(self.precision, other.precision) and np.array_equal(
            self.pull, other.pull
        )


@dataclass(frozen=True, slots=True, eq=False)
class Normals:
    """Mean and variance of each pot's log factor [pot]."""

    mean: Floats
    variance: Floats

    def seen(self, precision: Floats, pull: Floats) -> Normals:
        """Return the same after something more was seen of each pot."""
        total = 1.0 / self.variance + precision
        return Normals((self.mean / self.variance + pull) / total, 1.0 / total)


@dataclass(frozen=True, slots=True)
class Remembered:
    """What pots that are gone had taught of their group's level: its name, and a site on it."""

    factor: str
    group: str
    precision: float
    pull: float


def remembering(
    kept: Sequence[Remembered], factor: str, group: str, spreads: Spreads, precision: float,
    pull: float,
) -> tuple[Remembered, ...]:  # fmt: skip
    """Return what is remembered with one more pot that is gone.

    Parameters
    ----------
    kept : before. factor, group, spreads : of the pot. precision, pull : its site.
    """
    worn = 1.0 / (1.0 + precision * spreads.pot**2)
    found = {(one.factor, one.group): one for one in kept}
    old = found.get((factor, group), Remembered(factor, group, 0.0, 0.0))
    found[factor, group] = Remembered(
        factor, group, old.precision + precision * worn, old.pull + pull * worn
    )
    return tuple(found[key] for key in sorted(found))


def known_of(
    spreads: Spreads, names: Sequence[str], sites: Sites, kept: Sequence[Remembered] = ()
) -> Normals:
    """Return what all sites together say of every pot.

    Parameters
    ----------
    spreads : of the factor.
    names : of the pots' groups [pot].
    sites : what was seen of each.
    kept : what is remembered of groups by pots that are gone, of this factor.

    Notes
    -----
    Gaussian belief propagation on a tree of three levels (Pearl 1988), which is exact. With no
    sites every pot has the prior; a site on one pot moves its group by σ² group over the whole
    variance, and the other groups by σ² garden over it.
    """
    order = sorted({*names, *(one.group for one in kept)})
    number = {name: index for index, name in enumerate(order)}
    groups = np.array([number[name] for name in names], dtype=np.intp)
    count = len(order)
    # Up: what a pot says of its group's level, what a group says of the garden's.
    worn = 1.0 / (1.0 + sites.precision * spreads.pot**2)
    pot_says, pot_pull = sites.precision * worn, sites.pull * worn
    group_has = np.bincount(groups, pot_says, count)
    group_pull = np.bincount(groups, pot_pull, count)
    for one in kept:
        group_has[number[one.group]] += one.precision
        group_pull[number[one.group]] += one.pull
    worn_group = 1.0 / (1.0 + group_has * spreads.group**2)
    group_says, says_pull = group_has * worn_group, group_pull * worn_group
    prior = 1.0 / spreads.garden**2
    whole, pull = prior + group_says.sum(), prior * spreads.mean + says_pull.sum()
    # Down: to each group all that the others say, to each pot all that its neighbours say.
    others = whole - group_says
    above = 1.0 / (1.0 / others + spreads.group**2)
    above_pull = above * (pull - says_pull) / others
    level, level_pull = above + group_has, above_pull + group_pull
    cavity = level[groups] - pot_says
    told = 1.0 / (1.0 / cavity + spreads.pot**2)
    told_pull = told * (level_pull[groups] - pot_pull) / cavity
    precision = told + sites.precision
    return Normals((told_pull + sites.pull) / precision, 1.0 / precision)
