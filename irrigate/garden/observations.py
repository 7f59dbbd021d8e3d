"""What an observation says of one pot: members that fit it are kept, the others replaced.

Every likelihood has a floor: some answers are of the wrong pot, or the wrong word.
"""

from __future__ import annotations

import numpy as np

from irrigate.garden.balance import PotTraits, share_available
from irrigate.garden.belief import Belief
from irrigate.garden.events import Drained, Finger, Probe, Weighed, Wilting
from irrigate.garden.touch import LAPSE, finger_likelihood, normal_cdf
from irrigate.garden.weather import Floats

Observation = Finger | Weighed | Wilting | Probe | Drained

# Widths of what people and cheap instruments tell. From memory; a kitchen or bathroom scale,
# leaves still wet, and a plant that has grown since.
SCALE_KG, SCALE_SHARE = 0.15, 0.02
DRAINED_L, DRAINED_SHARE = 0.1, 0.15  # a saucer poured into a jug
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
            water = belief.water_l[row] + belief.below_l[row]
            return _bell(belief.empty_kg[row] + water - mass, spread)
        case Drained(volume_l=volume):
            return _bell(belief.past_l[row] - volume, np.hypot(DRAINED_L, DRAINED_SHARE * volume))
        case Probe(theta=theta):
            return _bell(belief.water_l[row] / filled_l - theta, PROBE_SD)
        case Wilting():
            anyway = WILT_ANYWAY_MORNING if early else WILT_ANYWAY_DAY
            short = normal_cdf((WILT_SHARE - share) / WILT_WIDTH)
            return LAPSE + (1.0 - LAPSE) * (anyway + (1.0 - anyway) * short)


def _bell(error: Floats, spread: float | np.floating) -> Floats:
    return OUTLIER + (1.0 - OUTLIER) * np.exp(-0.5 * (error / spread) ** 2)
