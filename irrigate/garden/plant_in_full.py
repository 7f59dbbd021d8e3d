"""One hour of a plant laid open: its size and season, and litres per millimetre of reference ET."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from irrigate.garden.leaves import LEAST_HEIGHT_M, LIMIT, Climate, leaves_of, spacing_of
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.season import days_since, leaves_borne
from irrigate.garden.weather import Floats
from irrigate.science import air
from irrigate.science.canopy import canopy_density, full_cover_coefficient
from irrigate.science.crop_coefficients import climate_adjusted, climate_term
from irrigate.science.growth import cover_in_season

STAGES = ("initial", "development", "mid-season", "late season")


@dataclass(frozen=True, slots=True)
class SeasonInFull:
    """Where a planted plant stands in its season on the day of an hour.

    Parameters
    ----------
    days : whole days since it was planted. stage : its stage by then.
    begins_d, lasts_d : the day that the stage began, and its length [d].
    cover : share of its full canopy area that a plant has on that day [–].
    """

    days: float
    stage: str
    begins_d: float
    lasts_d: float
    cover: float


@dataclass(frozen=True, slots=True)
class PlantInFull:
    """From the plant's size to litres per millimetre of reference ET, for one hour.

    Parameters
    ----------
    told_m, now_m : width and height as described or measured, and as believed [m].
    width_m, height_m, crown_m : in the hour, grown since; the crown without its bare stem [m].
    season : its stage; None where no planting date or no stages are known.
    wind_2m_m_s, humidity_min_pct, temperature_c : at the place, over the day that ends with it.
    climate_height_m : of the plant as Eq 99 takes it [m].
    climate_term : bracket of Eq 99. by_height : Kcb full by Eq 99 and 101. own : Eq 70.
    slope_kpa_c, leaf_resistance_s_m, stomatal : Δ, r_l and Fr of Eq 102.
    full_cover : Fr × the smaller of the two. leaf_area_index, density : Eq 97's factor.
    canopy_m2, shadow_m2 : seen from above; Box 18, under a noon sun at noon_sun_rad.
    apart, ground_m2 : distance to the next in widths [–]; ground of its own [m²].
    reached_m2 : of Eq 98 [m²].
    limit, limit_m2 : most per shaded ground [–], and in litres per millimetre [m²].
    leaf_share : leaves that are there, or how well they still work [–].
    day_of_year : of the hour.
    leaf_m2 : the product, litres per millimetre.
    borne, shade_density : share of its leaves that are there, on the day of the belief; Eq 97's
        factor of these, by which they shade the mix [–].
    """

    told_m: tuple[float, float]
    now_m: tuple[float, float]
    width_m: float
    height_m: float
    crown_m: float
    season: SeasonInFull | None
    wind_2m_m_s: float
    humidity_min_pct: float
    temperature_c: float
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
    canopy_m2: float
    shadow_m2: float
    apart: float
    ground_m2: float
    reached_m2: float
    limit: float
    limit_m2: float
    leaf_share: float
    day_of_year: float
    leaf_m2: float
    borne: float
    shade_density: float

    @property
    def free_m2(self) -> float:
        """What it would use per millimetre if nothing bounded it and all its leaves worked."""
        return self.full_cover * self.density * self.reached_m2


def plant_in_full(
    pot: Pot, garden: Garden, climate: Climate, canopy_m: Floats, at: datetime
) -> PlantInFull:
    """Return the factors of `irrigate.garden.leaves.leaves_of` for one hour.

    Parameters
    ----------
    pot, garden : which.
    climate : of one hour at the pot's place.
    canopy_m, at : as in `leaves_of`.
    """
    leaves = leaves_of(pot, garden, climate, canopy_m, at)
    place = garden.place(pot.place)
    wind, humidity = float(climate.wind_2m_m_s[0]), float(climate.humidity_min_pct[0])
    temperature, height = float(climate.temperature_c[0]), float(leaves.height_m[0])
    tall = max(height, LEAST_HEIGHT_M)
    borne = leaves_borne(pot, at, garden.site.latitude_deg < 0.0)
    return PlantInFull(
        told_m=(pot.canopy_width_m, pot.canopy_height_m),
        now_m=(float(canopy_m[0]), float(canopy_m[1])),
        width_m=float(leaves.width_m[0]),
        height_m=height,
        crown_m=float(leaves.crown_m[0]),
        season=_season(pot, climate),
        wind_2m_m_s=wind,
        humidity_min_pct=humidity,
        temperature_c=temperature,
        climate_height_m=tall,
        climate_term=float(climate_term(wind, humidity, tall)),
        by_height=float(full_cover_coefficient(tall, wind, humidity)),
        mid_season=pot.crop.kcb_mid,
        own=float(climate_adjusted(pot.crop.kcb_mid, wind, humidity, tall)),
        slope_kpa_c=float(np.asarray(air.slope_kpa_c(temperature))),
        leaf_resistance_s_m=pot.crop.leaf_resistance_s_m,
        stomatal=float(leaves.stomatal[0]),
        full_cover=float(leaves.full_cover[0]),
        leaf_area_index=pot.leaf_area_index,
        density=leaves.density,
        noon_sun_rad=float(leaves.noon_sun_rad[0]),
        canopy_m2=float(leaves.canopy_m2[0]),
        shadow_m2=float(leaves.shaded_m2[0]),
        apart=spacing_of(pot, place),
        ground_m2=float(leaves.ground_m2[0]),
        reached_m2=float(leaves.reached_m2[0]),
        limit=LIMIT[place.ground],
        limit_m2=float(leaves.limit_m2[0]),
        leaf_share=float(leaves.season[0]),
        day_of_year=float(climate.day_of_year[0]),
        leaf_m2=float(leaves.use_m2[0]),
        borne=borne,
        shade_density=float(canopy_density(pot.leaf_area_index * borne)),
    )


def _season(pot: Pot, climate: Climate) -> SeasonInFull | None:
    if pot.planted is None or not pot.crop.stages_d:
        return None
    days = float(days_since(pot.planted, climate.end_s)[0])
    ends = np.cumsum(pot.crop.stages_d)
    number = min(int(np.searchsorted(ends, max(days, 0.0), side="right")), len(STAGES) - 1)
    return SeasonInFull(
        days=days,
        stage=STAGES[number],
        begins_d=float(ends[number] - pot.crop.stages_d[number]),
        lasts_d=float(pot.crop.stages_d[number]),
        cover=float(cover_in_season(days, pot.crop.stages_d)),
    )
