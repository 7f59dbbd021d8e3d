"""How much to give: from a belief with one peak, in passes that the mix can take."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.weather import Floats

# One pass may put no more than this share of the pot's available water on the mix at once,
# or it runs through before it is taken up. From memory.
PASS_SHARE = 0.6
PASS_LEAST_L = 0.75  # a can is never split for less than this

# The share of the spread that two groups must explain before a belief counts as two-peaked:
# the best split of a normal explains 0.64 of its variance, of a uniform 0.75.
TWO_PEAKS = 0.85
PEAK_LEAST = 0.1  # of the members in the smaller peak
PEAK_APART = 0.3  # between the peaks, in shares of available water


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
