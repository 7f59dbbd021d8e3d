"""What a finger would say: the likelihood of wet, moist or dry given the water in the mix.

An ordered probit on the share of available water. No study of finger tests in pots was found, so
the width is generous (about 0.05 m³ m⁻³). Tags as in `irrigate.garden.observations`.
"""

from __future__ import annotations

from math import sqrt

import numpy as np

from irrigate.garden.events import Feel
from irrigate.garden.weather import Floats

# [M] The shares of available water between dry and moist, and between moist and wet.
DRY_BELOW, WET_ABOVE = 0.35, 0.75
# [M] One standard deviation of where a finger puts those cuts: the place in the pot, the hand.
WIDTH = 0.18
# [M] The share of answers that mean nothing: the wrong pot, the wrong word.
LAPSE = 0.03


def normal_cdf(z: Floats) -> Floats:
    """Return the standard normal distribution function.

    Notes
    -----
    By the logistic-tanh form 0.5 (1 + tanh(√(2/π)(z + 0.044715 z³))), within 2e-4 of the exact
    value everywhere: ample for a likelihood whose width is a guess.
    """
    cubic: Floats = 0.5 * (1.0 + np.tanh(sqrt(2.0 / np.pi) * (z + 0.044715 * z * z * z)))
    return cubic


def finger_likelihood(feel: Feel, share: Floats) -> Floats:
    """Return the probability of an answer for each member.

    Parameters
    ----------
    feel : what the finger said.
    share : share of available water [member].
    """
    not_dry = normal_cdf((share - DRY_BELOW) / WIDTH)
    wet = normal_cdf((share - WET_ABOVE) / WIDTH)
    chance = {"dry": 1.0 - not_dry, "moist": not_dry - wet, "wet": wet}[feel]
    return LAPSE / 3.0 + (1.0 - LAPSE) * np.maximum(chance, 0.0)
