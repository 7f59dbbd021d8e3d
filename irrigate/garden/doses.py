"""How much to give: from a belief with one peak, in passes that the mix can take.

What stands below a pot counts. A reservoir is filled too; what a saucer or an outer pot still
holds the mix takes back by itself, and no more is given than it then lacks. Only where water can
run away is more given than the mix lacks: for what runs past a dry mix, and to wash salt out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.balance import PotTraits, missing_l
from irrigate.garden.pots import Manner, Pot
from irrigate.garden.weather import Floats
from irrigate.science.salinity import leaching_requirement
from irrigate.science.wetting import poured_for_l

# One pass may put no more than this share of the pot's available water on the mix at once,
# or it runs through before it is taken up. From memory.
PASS_SHARE = 0.6
PASS_LEAST_L = 0.75  # a can is never split for less than this

# Where less than this share of its available water is missing, a mix above a reservoir is left to
# take it from there. From memory.
LEAST_ON_TOP = 0.15
# Nobody carries a can for less than this share of what a pot can give: where most members lack
# less, it is meant for the few that lack more. From memory.
SPLASH_SHARE = 0.05
# More likely than not: below this much of its members a mix is not called too dry to take water.
LIKELY_DRY = 0.5

# The share of the spread that two groups must explain before a belief counts as two-peaked:
# the best split of a normal explains 0.64 of its variance, of a uniform 0.75.
TWO_PEAKS = 0.85
PEAK_LEAST = 0.1  # of the members in the smaller peak
PEAK_APART = 0.3  # between the peaks, in shares of available water


@dataclass(frozen=True, slots=True)
class Dose:
    """How much to give one pot, and how.

    Parameters
    ----------
    volume_l : gross litres in all.
    below_l : the part of them that goes into its reservoir.
    passes : in how many passes the mix can take what goes on top.
    past_l : the part that is expected to run past a mix too dry to take it, and that washes salt
        out.
    """

    volume_l: float
    below_l: float = 0.0
    passes: int = 1
    past_l: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Lacking:
    """What one pot lacks at a round, by member; litres.

    Parameters
    ----------
    mix_l : the mix, below container capacity.
    below_l : the reservoir, below its brim; 0 where there is none.
    standing_l : what a saucer or outer pot holds, which the mix takes back.
    poured_l : what has to be poured on the mix so that it keeps what it lacks.
    """

    mix_l: Floats
    below_l: Floats
    standing_l: Floats
    poured_l: Floats

    @property
    def to_bring_l(self) -> Floats:
        """What is to be brought, but for what runs past [member]."""
        return np.asarray(np.maximum(self.mix_l - self.standing_l, 0.0) + self.below_l)


def lacking(pot: Pot, row: int, water_l: Floats, below_l: Floats, traits: PotTraits) -> Lacking:
    """Return what one pot lacks.

    Parameters
    ----------
    pot, row : which.
    water_l, below_l : in the mixes and below them [pot, member].
    traits : of all pots.
    """
    mix = np.asarray(missing_l(water_l, traits)[row], dtype=np.float64)
    below = np.asarray(below_l[row], dtype=np.float64)
    none = np.zeros_like(mix)
    if pot.basin is None:
        poured = poured_for_l(
            mix, np.asarray(water_l[row], dtype=np.float64), traits.repels_l[row],
            traits.air_dry_l[row],
        )  # fmt: skip
        return Lacking(mix, none, none, np.asarray(poured, dtype=np.float64))
    if pot.basin.kind == "reservoir":
        return Lacking(mix, np.maximum(pot.basin.volume_l - below, 0.0), none, mix)
    # What runs past it is caught below, and taken back.
    return Lacking(mix, none, below, np.maximum(mix - below, 0.0))


def dose_of(
    pot: Pot, lacks: Lacking, share: Floats, thirsty: NDArray[np.bool_], available_l: float,
    manner: Manner, *, too_dry: bool,
) -> Dose:  # fmt: skip
    """Return how much to give one pot.

    Parameters
    ----------
    pot, lacks : which, and what it lacks.
    share : share of available water [member].
    thirsty : which members would get thirsty, for whom it is meant.
    available_l : what the mix can give when full [L].
    manner : the salt of the water.
    too_dry : the mix is too dry to take water at once.

    Notes
    -----
    Salty water: what is given is what is used / (1 − LR), FAO-29 Eq 9, where it can run away.
    """
    parts = (lacks.mix_l, lacks.poured_l, lacks.below_l)
    kept, on_top, below = (dose_l(part, share, thirsty) for part in parts)
    if on_top + below < SPLASH_SHARE * available_l and thirsty.any():
        kept, on_top, below = (float(np.median(part[thirsty])) for part in parts)
    past = 0.0
    if pot.basin is None:
        on_top /= 1.0 - _washed_out(pot, manner)
        past = max(on_top - kept, 0.0)
    if below > 0.0 and on_top < LEAST_ON_TOP * available_l:
        on_top = 0.0
    goes = max(passes(on_top, available_l), 2 if too_dry and on_top > 0.0 else 1)
    return Dose(round(on_top + below, 3), round(below, 3), goes, round(past, 3))


def _washed_out(pot: Pot, manner: Manner) -> float:
    """Return the share of the water that has to run through for its salt's sake [0–1]."""
    if manner.water_salt_ds_m is None or pot.crop.salt_ds_m is None:
        return 0.0
    return float(leaching_requirement(manner.water_salt_ds_m, pot.crop.salt_ds_m))


def two_peaked(share: Floats) -> bool:
    """Return whether a belief about available water has two separate peaks.

    Parameters
    ----------
    share : share of available water [member].
    """
    return between_peaks(share) is not None


def between_peaks(share: Floats) -> float | None:
    """Return the share of available water that parts the drier peak from the wetter, if there are.

    Parameters
    ----------
    share : share of available water [member].

    Returns
    -------
    The highest share of the drier peak [0–1]; None where there is only one peak.

    Notes
    -----
    The best split into a drier and a wetter group is found by Otsu's criterion (1979, IEEE
    Trans. SMC 9:62): two peaks are said where it explains most of the variance, both groups
    count, and they lie apart. A median between two peaks describes neither.
    """
    ordered = np.sort(share)
    count = ordered.size
    below = np.arange(1, count)
    running = np.cumsum(ordered)[:-1]
    mean = ordered.mean()
    gap = (running[-1] + ordered[-1] - running) / (count - below) - running / below
    weight = below * (count - below) / count**2
    between = weight * gap**2
    best = int(np.argmax(between))
    total = float(np.mean((ordered - mean) ** 2))
    smaller = min(below[best], count - below[best]) / count
    apart = (
        total > 0.0
        and between[best] / total > TWO_PEAKS
        and smaller >= PEAK_LEAST
        and gap[best] > PEAK_APART
    )
    return float(ordered[best]) if apart else None


def dose_l(missing: Floats, share: Floats, concerned: NDArray[np.bool_]) -> float:
    """Return the litres that fill the pot, gross [L].

    Parameters
    ----------
    missing : litres below container capacity [member].
    share : share of available water [member].
    concerned : the members that the watering is meant for: those that would get thirsty.

    Notes
    -----
    The median of all members where the belief has one peak; where it has two, the median of
    the peak that the watering is meant for, never a value between them: of the peak in which
    more of the concerned are, and of the drier where they are as many in both.
    """
    parting = between_peaks(share)
    if parting is None:
        return float(np.median(missing))
    drier = share <= parting
    meant = drier if 2 * (concerned & drier).sum() >= concerned.sum() else ~drier
    return float(np.median(missing[meant & concerned] if concerned.any() else missing[meant]))


def passes(volume_l: float, available_l: float) -> int:
    """Return in how many passes, a soak apart, the mix can take a dose."""
    if volume_l <= PASS_LEAST_L:
        return 1
    return max(1, int(np.ceil(volume_l / max(PASS_SHARE * available_l, PASS_LEAST_L) - 1e-9)))
