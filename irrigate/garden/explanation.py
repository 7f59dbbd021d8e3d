"""The central run laid open for one pot: what each of its numbers is, and which equation's."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from irrigate.garden.pots import Place, Pot
from irrigate.garden.weather import HOUR_S
from irrigate.science.hour_in_full import HourInFull


@dataclass(frozen=True, slots=True)
class BelievedPot:
    """The middle of what is believed of one pot, and where its water began.

    Parameters
    ----------
    full_l, limit_l : water after draining, and out of the plant's reach [L].
    available_l : their difference, TAW of Eq 82 [L].
    dry_point : share of TAW below which use falls, 1 − p [0–1]; dry_l : as litres of TAW.
    use_factor : thirst relative to the equations [–].
    start_l, start_surface_mm : water, and what is missing from the surface layer [L, mm].
    evaporable_mm, readily_mm : TEW of Eq 73, and REW [mm].
    surface_m2, exposed_share, cover : top of the mix [m²]; few of Eq 75; what a mulch lets by.
    """

    full_l: float
    limit_l: float
    available_l: float
    dry_point: float
    dry_l: float
    use_factor: float
    start_l: float
    start_surface_mm: float
    evaporable_mm: float
    readily_mm: float
    surface_m2: float
    exposed_share: float
    cover: float


@dataclass(frozen=True, slots=True)
class HourLine:
    """One (part of an) hour: the weather at the pot, and what it did to the water.

    Parameters
    ----------
    begins_s, ends_s : UTC epoch seconds. begin_l, begin_surface_mm : the water at its start.
    temperature_c, vapour_pressure_kpa : of the air. solar_open_mj_m2, wind_open_m_s : on open
        ground; sunlit, wind_share : what reaches the place of them.
    et0_mm : reference evapotranspiration at the place [mm in the time].
    asked_l : what the plant would drink if water were free [L]. stress : Ks at the start.
    drunk_l, dried_l : transpired and evaporated [L].
    end_l, end_surface_mm, share_left : afterwards.
    """

    begins_s: float
    ends_s: float
    begin_l: float
    begin_surface_mm: float
    temperature_c: float
    vapour_pressure_kpa: float
    solar_open_mj_m2: float
    sunlit: float
    wind_open_m_s: float
    wind_share: float
    et0_mm: float
    asked_l: float
    stress: float
    drunk_l: float
    dried_l: float
    end_l: float
    end_surface_mm: float
    share_left: float

    @property
    def hours(self) -> float:
        """How long it is [h]."""
        return (self.ends_s - self.begins_s) / HOUR_S


@dataclass(frozen=True, slots=True)
class PlantInFull:
    """From the plant's size to litres per millimetre of reference ET, for one hour.

    Parameters
    ----------
    wind_2m_m_s, humidity_min_pct, temperature_c : at the place, over the day that ends with it.
    width_m, height_m, climate_height_m : of the plant; the last as Eq 99 takes it.
    climate_term : bracket of Eq 99. by_height : Kcb full by Eq 99 and 101. own : Eq 70.
    slope_kpa_c, leaf_resistance_s_m, stomatal : Δ, r_l and Fr of Eq 102.
    full_cover : Fr × the smaller of the two. leaf_area_index, density : Eq 97's factor.
    noon_sun_rad, shadow_m2 : Box 18. leaf_m2 : the product, litres per millimetre.
    """

    wind_2m_m_s: float
    humidity_min_pct: float
    temperature_c: float
    width_m: float
    height_m: float
    climate_height_m: float
    climate_term: float
    by_height: float
    mid_season: float
    own: float
    slope_kpa_c: float
    leaf_resistance_s_m: float
    stomatal: float
    full_cover: float
    leaf_area_index: float
    density: float
    noon_sun_rad: float
    shadow_m2: float
    leaf_m2: float


@dataclass(frozen=True, slots=True)
class SurfaceInFull:
    """What a wet surface would lose per millimetre of reference ET in the hour, and what slows it.

    Parameters
    ----------
    basal, most : Kcb over the pot's own surface; Kc max, Eq 72 with 1.1.
    by_energy : (Kc max − Kcb)/few; rate : Ke/few of a wet surface, Eq 71.
    slack : share of TEW − REW below which the surface's drying limits it.
    threshold_mm : what is left in the layer when that begins [mm].
    left_mm : what is left at the start of the hour, TEW − De [mm]. reduction : Kr, Eq 74.
    asked_mm, lost_mm : over the exposed part, if wet, and as it was [mm in the time].
    """

    basal: float
    most: float
    by_energy: float
    rate: float
    slack: float
    threshold_mm: float
    left_mm: float
    reduction: float
    asked_mm: float
    lost_mm: float


@dataclass(frozen=True, slots=True)
class Explanation:
    """The whole working for one pot.

    Parameters
    ----------
    pot, place : which. begins, until : the time it spans (UTC).
    believed : the middle values. hours : one after the other.
    chosen : index of the hour worked in full, the one that asks most.
    sky, plant, surface : that hour in full; ``sky`` over a whole hour.
    stored : the numbers kept with a decision, as they come out now, by name.
    """

    pot: Pot
    place: Place
    begins: datetime
    until: datetime
    believed: BelievedPot
    hours: tuple[HourLine, ...]
    chosen: int
    sky: HourInFull
    plant: PlantInFull
    surface: SurfaceInFull
    stored: dict[str, float]
