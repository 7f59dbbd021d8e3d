"""What a plant feels of its water: thirst, wilting, and roots without air."""

from __future__ import annotations

import numpy as np

from irrigate.garden.balance import WILTED_BELOW, share_available
from irrigate.garden.water import PotTraits, Store
from irrigate.garden.weather import Floats

# Water that stands below a pot for longer than this drowns its lowest roots (and breeds
# mosquitoes). Common practice, no source.
STANDS_TOO_LONG_H = 24.0


def felt(store: Store, traits: PotTraits) -> Floats:
    """Return the chance of thirst, of wilting, and of too little air, by `FELT` [3, pot].

    Parameters
    ----------
    store : the water [pot, member].
    traits : the pots.

    Notes
    -----
    Thirsty: below the dry point. Wilting: below a tenth of the available water. Too wet: less
    than a tenth of the mix is air, or water has stood below it for more than a day.
    """
    share = share_available(store.water_l, traits)
    thirsty = np.mean(share < traits.dry_point, axis=1)
    wilting = np.mean(share < WILTED_BELOW, axis=1)
    wet = np.mean(too_wet(store, traits), axis=1)
    return np.asarray(np.stack([thirsty, wilting, wet]))


def too_wet(store: Store, traits: PotTraits) -> np.ndarray:
    """Return in which members the roots lack air [pot, member], true or false."""
    # What a reservoir holds is meant to stand there, apart from the roots.
    stands = (store.stood_h > STANDS_TOO_LONG_H) & (traits.fills_l == 0.0)
    return np.asarray((store.water_l > traits.soggy_l) | stands)
