"""How much a plant's leaves use per millimetre of reference ET: from its size, place and season.

The climate terms stand here too, because only leaves and the wet surface below them want them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.pots import Garden, Ground, Place, Pot, Spacing
from irrigate.garden.season import leaf_share, size_ratio, sizes_m
from irrigate.garden.surroundings import wind_m_s
from irrigate.garden.weather import Floats, HourlyWeather
from irrigate.science import air
from irrigate.science.canopy import (
    canopy_density,
    crop_full_cover_coefficient,
    stomatal_factor,
)
from irrigate.science.lone_plant import (
    DRY_LIMIT,
    GREEN_LIMIT,
    reached_ground_m2,
)
from irrigate.science.shading import noon_sun_elevation_rad, shaded_area_of_round_m2

# FAO-56's climate terms are stated for plants of 0.1 m and more (text of Eq 62).
LEAST_HEIGHT_M = 0.1
# γ of Eq 8 at sea level; it enters only the ratio Fr of Eq 102.
PSYCHROMETRIC_KPA_C = 0.067
# Distance from stem to stem in widths of the canopy. By these Eq 98 gives a plant of 0.7 m on its
# own 1.8 times what it uses among others that it touches; for plants of 2 m, 1.5 was weighed
# (Hagishima and others 2007, Hydrol. Process. 21:1217, abstract).
APART: dict[Spacing, float] = {"close": 1.0, "apart": 1.5, "alone": 3.0}
LIMIT: dict[Ground, float] = {"green": GREEN_LIMIT, "bare": DRY_LIMIT, "paved": DRY_LIMIT}


@dataclass(frozen=True, slots=True, eq=False)
class Climate:
    """What the climate terms want, each over the 24 h that end with the hour [hour].

    A trailing day, not a calendar one: what an hour gets must not depend on hours that come
    after it, or on where a table begins, if a fold is to give the same bits from any start.
    """

    end_s: NDArray[np.int64]
    day_of_year: Floats
    wind_2m_m_s: Floats
    humidity_min_pct: Floats
    temperature_c: Floats

    @staticmethod
    def of(weather: HourlyWeather) -> Climate:
        """Gather the trailing days of a table without gaps."""
        humidity = 100.0 * np.minimum(
            weather.vapour_pressure_kpa
            / np.asarray(air.saturation_vapour_pressure_kpa(weather.temperature_c)),
            1.0,
        )
        stamps = ((weather.end_s - 1) // 86400).astype("datetime64[D]")
        of_year = (stamps - stamps.astype("datetime64[Y]").astype("datetime64[D]")).astype(int) + 1
        return Climate(
            end_s=weather.end_s,
            day_of_year=of_year.astype(np.float64),
            wind_2m_m_s=_trailing(weather.wind_2m_m_s).mean(axis=1),
            humidity_min_pct=_trailing(humidity).min(axis=1),
            temperature_c=_trailing(weather.temperature_c).mean(axis=1),
        )

    def at(self, place: Place) -> Climate:
        """Return the same with the wind of a place."""
        return replace(self, wind_2m_m_s=np.asarray(wind_m_s(place, self.wind_2m_m_s)))

    def hour(self, index: int) -> Climate:
        """Return one hour of it."""
        one = slice(index, index + 1)
        return Climate(
            self.end_s[one], self.day_of_year[one], self.wind_2m_m_s[one],
            self.humidity_min_pct[one], self.temperature_c[one],
        )  # fmt: skip


def _trailing(values: Floats) -> Floats:
    """Return the day that ends with each hour [hour, 24]; before the first, the first again."""
    padded = np.concatenate([np.repeat(values[:1], 23), values])
    return np.ascontiguousarray(np.lib.stride_tricks.sliding_window_view(padded, 24))


@dataclass(frozen=True, slots=True, eq=False)
class Leaves:
    """What a plant uses per millimetre of reference ET, and what makes it so, each [hour].

    Parameters
    ----------
    width_m, height_m, crown_m : its size, and the height of its crown without bare stem.
    stomatal : Fr of Eq 102. full_cover : Kcb full × Fr. density : Eq 97's factor.
    noon_sun_rad : η of Box 18. canopy_m2, shaded_m2 : as seen from above; its shadow at noon.
    ground_m2 : what it has for itself. reached_m2 : Eq 98 over that ground.
    limit_m2 : Kc max of lone plants × Fr × shaded area, which use never passes.
    season : what the leaves use at this time of their life.
    use_m2 : the product: litres per millimetre.
    """

    width_m: Floats
    height_m: Floats
    crown_m: Floats
    stomatal: Floats
    full_cover: Floats
    density: float
    noon_sun_rad: Floats
    canopy_m2: Floats
    shaded_m2: Floats
    ground_m2: Floats
    reached_m2: Floats
    limit_m2: Floats
    season: Floats
    use_m2: Floats


def leaves_of(pot: Pot, garden: Garden, climate: Climate, canopy_m: Floats, at: datetime) -> Leaves:
    """Return what a plant's leaves use per millimetre of reference ET.

    Parameters
    ----------
    pot : its crop, leaves and season.
    garden : its site and place.
    climate : at the pot's place [hour].
    canopy_m : width and height of the plant [2], on the day of ``at`` (UTC).

    Notes
    -----
    Kcb for full cover by height (FAO-56 Eq 99–101), bounded by the crop's own mid-season value
    and tight stomata (Eq 102), × density (Eq 97) × the ground that the plant reaches (Eq 98 with
    Box 18's shadow at noon), by the distance to its neighbours. A measured leaf area enters Eq 97:
    per leaf a loose plant on its own then uses about twice what one within closed cover does, as
    weighed trees did: 0.5 and 1.0 × ETo in containers in Tucson (Levitt, Simpson, Tipton 1995,
    J. ASHS 120:409, abstract), 0.2 to 1.1 in Utah (Montague and others 2004, J. Environ. Hort.
    22:189, abstract), against 0.35 of the reference grass.
    """
    crop, place = pot.crop, garden.place(pot.place)
    ratio = size_ratio(pot, at, climate.end_s)
    width, height = sizes_m(pot, canopy_m, ratio)
    crown = height * (1.0 - crop.bare_stem)
    stomatal = stomatal_factor(
        air.slope_kpa_c(climate.temperature_c),
        PSYCHROMETRIC_KPA_C,
        climate.wind_2m_m_s,
        crop.leaf_resistance_s_m,
    )
    full = crop_full_cover_coefficient(
        np.maximum(height, LEAST_HEIGHT_M),
        crop.kcb_mid,
        climate.wind_2m_m_s,
        climate.humidity_min_pct,
        stomatal,
    )
    density = float(canopy_density(pot.leaf_area_index))
    noon = noon_sun_elevation_rad(garden.site.latitude_deg, climate.day_of_year)
    canopy = 0.25 * np.pi * width**2
    shaded = shaded_area_of_round_m2(width, crown, noon)
    ground = (spacing_of(pot, place) * width) ** 2
    reached = reached_ground_m2(canopy, shaded, ground, height)
    limit = np.asarray(LIMIT[place.ground] * stomatal * shaded)
    season = leaf_share(pot, climate.end_s, climate.day_of_year, garden.site.latitude_deg < 0.0)
    use = np.asarray(full * density * reached)
    return Leaves(
        width_m=width,
        height_m=height,
        crown_m=np.asarray(crown),
        stomatal=np.asarray(stomatal),
        full_cover=np.asarray(full),
        density=density,
        noon_sun_rad=np.asarray(noon),
        canopy_m2=np.asarray(canopy),
        shaded_m2=np.asarray(shaded),
        ground_m2=np.asarray(ground),
        reached_m2=np.asarray(reached),
        limit_m2=limit,
        season=np.asarray(season),
        use_m2=np.asarray(np.minimum(use, limit) * season),
    )


def spacing_of(pot: Pot, place: Place) -> float:
    """Return the distance to the next plants, in widths of the canopy; what hangs, hangs alone."""
    return APART["alone" if pot.setting == "hanging" else place.spacing]
