"""What an observation says of one pot: members that fit it are kept, the others replaced.

Every likelihood has a floor: some answers are of the wrong pot, or the wrong word. A number far
beyond its width then says nearly nothing, instead of everything.

Widths are of one standard deviation. Their tags are those of the catalogue: [V] read in the source,
[A] read in an abstract, [M] from memory and not verified.
"""

from __future__ import annotations

import numpy as np

from irrigate.garden.balance import PotTraits, share_available
from irrigate.garden.belief import Belief
from irrigate.garden.events import Drained, Finger, Probe, ProbeRaw, Weighed, Wilting
from irrigate.garden.touch import LAPSE, finger_likelihood, normal_cdf
from irrigate.garden.weather import Floats

Observation = Finger | Weighed | Wilting | Probe | ProbeRaw | Drained

# [M] A kitchen or bathroom scale, leaves still wet, and a plant that has grown since.
SCALE_KG, SCALE_SHARE = 0.15, 0.02
# [M] What ran out, from a saucer poured into a jug; some stays behind.
DRAINED_L, DRAINED_SHARE = 0.1, 0.15
# [M] A capacitive probe that tells percent, without calibration for the mix [m³ m⁻³]; and it feels
# a glass of mix, not the pot.
PROBE_SD = 0.05
# [M] The same probe with two points of its own in this mix, as a share of the way between them:
# what is left is the place in the pot. Near the ends it is wider: dry mix shrinks away from the
# probe, and in wet mix its number hardly moves any more.
RAW_SD, RAW_END_SD = 0.10, 0.10
# [M] A plant hangs its leaves near the end of its water; on a hot afternoon also well before. The
# share of available water at which half of them do, and how much that differs.
WILT_SHARE, WILT_WIDTH = 0.15, 0.10
# [M] The chance that one hangs its leaves however wet it is: by the heat, by its roots.
WILT_ANYWAY_DAY, WILT_ANYWAY_MORNING = 0.15, 0.01
# [M] The floor: how well a number far off fits, against one that is right on the spot.
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
            return weight_fit(
                mass, belief.empty_kg[row] + belief.water_l[row] + belief.below_l[row]
            )
        case Drained(volume_l=volume):
            return _bell(belief.past_l[row] - volume, np.hypot(DRAINED_L, DRAINED_SHARE * volume))
        case Probe(theta=theta):
            return _bell(belief.water_l[row] / filled_l - theta, PROBE_SD)
        case ProbeRaw():
            told = min(max(body.share, 0.0), 1.0)
            return _bell(share_from_air_dry(belief, traits, row) - told, raw_sd(told))
        case Wilting():
            return wilting_chance(share, early=early)


def weight_fit(mass_kg: float, whole_kg: Floats) -> Floats:
    """Return how well a weight fits members that should weigh ``whole_kg`` [member]."""
    return _bell(whole_kg - mass_kg, scale_sd_kg(mass_kg))


def scale_sd_kg(mass_kg: float) -> float:
    """Return how far a scale's word may be off [kg]."""
    return float(np.hypot(SCALE_KG, SCALE_SHARE * mass_kg))


def share_from_air_dry(belief: Belief, traits: PotTraits, row: int) -> Floats:
    """Return how far from air-dry (0) to just drained (1) each member of a pot is [member].

    Just drained is what the member itself holds, so that a probe with two points tells nothing of
    how much that is.
    """
    air_dry = traits.air_dry_l[row]
    room = np.maximum(traits.capacity_l[row] - air_dry, 1e-6)
    share: Floats = np.asarray((belief.water_l[row] - air_dry) / room, dtype=np.float64)
    return share


def raw_sd(share: float) -> float:
    """Return the width of a reading between two points, by where it stands between them [–]."""
    return RAW_SD + RAW_END_SD * (2.0 * share - 1.0) ** 2


def wilting_chance(share: Floats, *, early: bool) -> Floats:
    """Return the chance that a plant hangs its leaves, by its share of available water."""
    anyway = WILT_ANYWAY_MORNING if early else WILT_ANYWAY_DAY
    short = normal_cdf((WILT_SHARE - share) / WILT_WIDTH)
    chance: Floats = LAPSE + (1.0 - LAPSE) * (anyway + (1.0 - anyway) * short)
    return chance


def _bell(error: Floats, spread: float | np.floating) -> Floats:
    return OUTLIER + (1.0 - OUTLIER) * np.exp(-0.5 * (error / spread) ** 2)
