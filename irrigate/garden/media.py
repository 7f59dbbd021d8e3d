"""What fills a vessel: how a mix holds water, and what it keeps in a given pot."""

from __future__ import annotations

import math
from dataclasses import dataclass

from irrigate.errors import InputError
from irrigate.garden.vessels import RoundTaper, Vessel
from irrigate.science import retention
from irrigate.science.surface import total_evaporable_water_mm

DRYING_DEPTH_M = 0.10
"""Depth Ze from which a surface dries: FAO-56 p. 144 gives 0.10 to 0.15 m."""

USUAL_HEIGHT_M = 0.20
"""Height of the pot in which mixes are compared: common practice, no source."""

_CM_PER_M = 100.0


@dataclass(frozen=True, slots=True)
class Medium:
    """A mix or soil, by its retention curve and the limits that plants and air set."""

    name: str
    theta_r: float  # residual water content [-], of the curve only
    theta_s: float  # saturated water content [-], taken as total porosity
    alpha_per_cm: float
    n: float
    lower_limit: float  # water content at which uptake ends [-]
    rew_mm: float  # water that evaporates freely from a wet surface
    bulk_density_kg_l: float  # dry
    rewet_below: float = 0.0  # water content below which water given partly runs past [-]
    mineral: bool = False  # True: FAO-56's p describes when plants hold back
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse a curve that cannot be."""
        numbers = (
            self.theta_r,
            self.theta_s,
            self.alpha_per_cm,
            self.n,
            self.lower_limit,
            self.rew_mm,
            self.bulk_density_kg_l,
            self.rewet_below,
        )
        if not all(math.isfinite(number) for number in numbers):
            raise InputError(f"mix {self.name!r}: every number must be finite")
        if not 0.0 <= self.theta_r < self.theta_s < 1.0:
            raise InputError(f"mix {self.name!r}: needs 0 <= theta_r < theta_s < 1")
        if not (self.alpha_per_cm > 0.0 and self.n > 1.0):
            raise InputError(f"mix {self.name!r}: needs alpha_per_cm above 0 and n above 1")
        if not self.theta_r <= self.lower_limit < self.theta_s:
            raise InputError(f"mix {self.name!r}: needs theta_r <= lower_limit < theta_s")
        if self.rew_mm < 0.0 or self.bulk_density_kg_l <= 0.0:
            raise InputError(f"mix {self.name!r}: needs rew_mm of 0 or more and a bulk density")

    def water_content(self, suction_cm: float) -> float:
        """Water content [-] at a suction [cm of water]."""
        return float(retention.water_content(suction_cm, *self._curve))

    def container_capacity(self, vessel: Vessel) -> float:
        """Mean water content [-] of this mix in this vessel, soaked and drained."""
        return self._drained_mean(vessel, lowest_m=0.0)

    def held_in_straight_pot(self, height_m: float = USUAL_HEIGHT_M) -> float:
        """Mean water content [-], drained, in a straight pot filled to a height [m]."""
        return self.container_capacity(RoundTaper(height_m, height_m, height_m))

    def air_space(self, vessel: Vessel) -> float:
        """Air-filled share of the volume [-] of this mix in this vessel, soaked and drained."""
        return self.theta_s - self.container_capacity(vessel)

    def held_l(self, vessel: Vessel) -> float:
        """Water [L] in this vessel, soaked and drained."""
        return self.container_capacity(vessel) * vessel.filled_volume_l

    def available_l(self, vessel: Vessel) -> float:
        """Water [L] that a plant can take from this vessel, soaked and drained; at least 0."""
        share = self.container_capacity(vessel) - self.lower_limit
        return max(share, 0.0) * vessel.filled_volume_l

    def dry_mass_kg(self, vessel: Vessel) -> float:
        """Mass [kg] of the oven-dry mix in this vessel, the vessel itself left out."""
        return self.bulk_density_kg_l * vessel.filled_volume_l

    def total_evaporable_water_mm(self, vessel: Vessel) -> float:
        """Water [mm over the surface] that can evaporate from the top layer (FAO-56 Eq 73).

        The layer's own mean after draining stands for field capacity: it is the highest in the
        pot, and so the driest of what has drained. At least 0.
        """
        depth_m = min(DRYING_DEPTH_M, vessel.filled_height_m)
        top_layer = self._drained_mean(vessel, vessel.filled_height_m - depth_m)
        return max(float(total_evaporable_water_mm(top_layer, self.lower_limit, depth_m)), 0.0)

    def readily_evaporable_water_mm(self, vessel: Vessel) -> float:
        """Water [mm over the surface] that evaporates at the free rate; no more than the total."""
        return min(self.rew_mm, self.total_evaporable_water_mm(vessel))

    @property
    def easily_available_water(self) -> float:
        """Water [-] given up between 1 and 5 kPa (De Boodt & Verdonck 1972, from memory)."""
        return float(retention.easily_available_water(*self._curve))

    @property
    def buffering_water(self) -> float:
        """Water [-] given up between 5 and 10 kPa (De Boodt & Verdonck 1972, from memory)."""
        return float(retention.buffering_water(*self._curve))

    @property
    def _curve(self) -> tuple[float, float, float, float]:
        return self.theta_r, self.theta_s, self.alpha_per_cm, self.n

    def _drained_mean(self, vessel: Vessel, lowest_m: float) -> float:
        heights_m, shares = vessel.levels(lowest_m)
        suction_cm = (heights_m + vessel.base_suction_m) * _CM_PER_M
        return float(retention.container_capacity(suction_cm, shares, *self._curve))
