"""What an observation says of one pot: members that fit it are kept, the others replaced.

Every likelihood has a floor: some answers are of the wrong pot, or the wrong word.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.balance import PotTraits, share_available
from irrigate.garden.belief import Belief, resampled
from irrigate.garden.draws import uniforms
from irrigate.garden.events import Finger, Probe, Weighed, Wilting
from irrigate.garden.touch import LAPSE, finger_likelihood, normal_cdf
from irrigate.garden.weather import Floats

Observation = Finger | Weighed | Wilting | Probe

# Widths of what people and cheap instruments tell. From memory; a kitchen or bathroom scale,
# leaves still wet, and a plant that has grown since.
SCALE_KG, SCALE_SHARE = 0.15, 0.02
PROBE_SD = 0.05  # [m³ m⁻³], a capacitive probe without calibration for the mix
# A plant hangs its leaves near the end of its water; on a hot afternoon also well before.
WILT_SHARE, WILT_WIDTH = 0.15, 0.10
WILT_ANYWAY_DAY, WILT_ANYWAY_MORNING = 0.15, 0.01
OUTLIER = 0.02


def likelihood(
    body: Observation, belief: Belief, traits: PotTraits, row: int, filled_l: float, *, early: bool
) -> Floats:
    """Return how well each member of a pot fits an observation [member].

    Parameters
    ----------
    body : what was observed.
    belief, traits : at that moment.
    row : which pot.
    filled_l : volume of its mix [L].
    early : before the heat of the day, when wilting says most.
    """
    share = share_available(belief.water_l, traits)[row]
    match body:
        case Finger(feel=feel):
            return finger_likelihood(feel, share)
        case Weighed(mass_kg=mass):
            spread = np.hypot(SCALE_KG, SCALE_SHARE * mass)
            return _bell(belief.empty_kg[row] + belief.water_l[row] - mass, spread)
        case Probe(theta=theta):
            return _bell(belief.water_l[row] / filled_l - theta, PROBE_SD)
        case Wilting():
            anyway = WILT_ANYWAY_MORNING if early else WILT_ANYWAY_DAY
            short = normal_cdf((WILT_SHARE - share) / WILT_WIDTH)
            return LAPSE + (1.0 - LAPSE) * (anyway + (1.0 - anyway) * short)


def _bell(error: Floats, spread: float | np.floating) -> Floats:
    return OUTLIER + (1.0 - OUTLIER) * np.exp(-0.5 * (error / spread) ** 2)


def observed(belief: Belief, row: int, weights: Floats, fact_id: str) -> Belief:
    """Return the belief with one pot's members drawn anew by their weights.

    Systematic resampling with one keyed uniform; where the weights are all alike nothing moves.
    """
    total = float(weights.sum())
    if not total > 0.0 or bool(np.allclose(weights, weights[0])):
        return belief
    return resampled(belief, row, systematic(weights / total, float(uniforms((fact_id,), 1)[0])))


def systematic(weights: Floats, offset: float) -> NDArray[np.intp]:
    """Return the members to keep: each as often as its weight says, to within one.

    Parameters
    ----------
    weights : summing to 1 [member].
    offset : where the comb starts, in (0, 1).
    """
    count = weights.size
    comb = (np.arange(count) + offset) / count
    edges = np.cumsum(weights)
    return np.minimum(np.searchsorted(edges, comb), count - 1).astype(np.intp)
