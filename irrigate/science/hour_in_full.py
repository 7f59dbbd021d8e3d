"""One hour's reference evapotranspiration with every number on the way to it (FAO-56 Eq 53).

For showing how a number came about; the same functions as `irrigate.science.hourly_site` uses.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from irrigate.science import air, radiation, sun
from irrigate.science.hourly_site import sun_hours
from irrigate.science.reference_et import FAO56_HOURLY
from irrigate.science.site import Position


@dataclass(frozen=True, slots=True)
class HourInFull:
    """What FAO-56 prints of an hour in its Example 19, in its order.

    Parameters
    ----------
    slope_kpa_c, psychrometric_kpa_c : Δ, Eq 13; γ, Eq 8 [kPa °C⁻¹].
    saturation_kpa, vapour_pressure_kpa, deficit_kpa : e°(T), Eq 11; ea; their difference [kPa].
    day_of_year : J. relative_distance : dr, Eq 23. declination_rad : δ, Eq 24 [rad].
    seasonal_correction_h : Sc, Eq 32 [h].
    hour_angle_rad, begins_rad, ends_rad, sunset_rad : ω, ω1, ω2, ωs; Eq 31, 29, 30, 25 [rad].
    extraterrestrial_mj_m2, clear_sky_mj_m2 : Ra, Eq 28; Rso, Eq 37 [MJ m⁻² h⁻¹].
    solar_mj_m2, net_shortwave_mj_m2 : Rs; Rns, Eq 38 [MJ m⁻² h⁻¹].
    sun_up : whether the sun is up in the hour; lit : whether it is, or lamps burn.
    black_body_mj_m2, emissivity, cloudiness : σ T⁴ and the two brackets of Eq 39.
    relative_shortwave : Rs/Rso of the open sky, by night that of the evening before.
    open_longwave_mj_m2, sky_share, net_longwave_mj_m2 : Rnl of Eq 39; the part of it that is left
        where glass or a wall hides the sky; their product [MJ m⁻² h⁻¹; -; MJ m⁻² h⁻¹].
    net_radiation_mj_m2, ground_heat_mj_m2 : Rn, Eq 40; G, Eq 45 while it is lit and 46 in the dark
        [MJ m⁻² h⁻¹].
    temperature_c, wind_2m_m_s, pressure_kpa : as they were given.
    denominator_kpa_c : Δ + γ (1 + 0.34 u2).
    radiation_mm, drying_mm : the two terms of Eq 53 [mm h⁻¹].
    et0_mm : their sum; below zero where dew falls [mm h⁻¹].
    """

    slope_kpa_c: float
    psychrometric_kpa_c: float
    saturation_kpa: float
    vapour_pressure_kpa: float
    deficit_kpa: float
    day_of_year: int
    relative_distance: float
    declination_rad: float
    seasonal_correction_h: float
    hour_angle_rad: float
    begins_rad: float
    ends_rad: float
    sunset_rad: float
    extraterrestrial_mj_m2: float
    clear_sky_mj_m2: float
    solar_mj_m2: float
    net_shortwave_mj_m2: float
    sun_up: bool
    lit: bool
    black_body_mj_m2: float
    emissivity: float
    cloudiness: float
    relative_shortwave: float
    open_longwave_mj_m2: float
    sky_share: float
    net_longwave_mj_m2: float
    net_radiation_mj_m2: float
    ground_heat_mj_m2: float
    temperature_c: float
    wind_2m_m_s: float
    pressure_kpa: float
    denominator_kpa_c: float
    radiation_mm: float
    drying_mm: float
    et0_mm: float


def hour_in_full(
    site: Position,
    end_s: int,
    *,
    temperature_c: float,
    vapour_pressure_kpa: float,
    solar_mj_m2: float,
    wind_2m_m_s: float,
    pressure_kpa: float,
    relative_shortwave: float,
    sky_share: float = 1.0,
    lamps: bool = False,
) -> HourInFull:
    """Return one hour by FAO-56 Eq 53 with everything that goes into it.

    site : where; end_s : end of the hour [UTC epoch s]; temperature_c : mean [°C];
    vapour_pressure_kpa : ea [kPa]; solar_mj_m2 : Rs at the plant [MJ m⁻² h⁻¹]; wind_2m_m_s : at
    the plant [m s⁻¹]; pressure_kpa : [kPa]; relative_shortwave : Rs/Rso of the open sky [-], as
    `irrigate.science.hourly_site.relative_shortwave` has it; sky_share : part of the net long-wave
    loss that is left [-]; lamps : whether they burn in the hour, which makes it day for the ground.

    FAO-56 Eq 53 and those it draws on. Unlike the service's own hours, dew stays below zero.

    Example 19 of FAO-56, 14-15 h:

    >>> from irrigate.science.site import Site
    >>> hour = hour_in_full(
    ...     Site(16.22, -16.25, 8.0), 907257600, temperature_c=38.0, vapour_pressure_kpa=3.445,
    ...     solar_mj_m2=2.450, wind_2m_m_s=3.3, pressure_kpa=101.2, relative_shortwave=0.922)
    >>> round(hour.radiation_mm, 2), round(hour.drying_mm, 2), round(hour.et0_mm, 2)
    (0.46, 0.17, 0.63)
    """
    here = sun_hours(site, np.array([end_s]))
    J = _day_of_year(site, end_s)
    saturation = _number(air.saturation_vapour_pressure_kpa(np.float64(temperature_c)))
    slope = _number(air.slope_kpa_c(np.float64(temperature_c)))
    gamma = _number(air.psychrometric_constant_kpa_c(pressure_kpa))
    emissivity = _number(radiation.net_emissivity(vapour_pressure_kpa))
    cloudiness = _number(radiation.cloudiness_factor(relative_shortwave))
    Rns = _number(radiation.net_shortwave_mj_m2(solar_mj_m2))
    Rnl = _number(
        radiation.hourly_net_longwave_mj_m2(temperature_c, vapour_pressure_kpa, relative_shortwave)
    )
    Rn = _number(radiation.net_radiation_mj_m2(Rns, Rnl * sky_share))
    sun_up = bool(here.sun_up[0])
    lit = sun_up or lamps
    G = _number(
        radiation.hourly_ground_heat_mj_m2(
            Rn, lit, FAO56_HOURLY.ground_share_by_day, FAO56_HOURLY.ground_share_by_night
        )
    )
    deficit = saturation - vapour_pressure_kpa
    below = slope + gamma * (1.0 + FAO56_HOURLY.denominator_by_day * wind_2m_m_s)
    energy = _number(radiation.evaporation_equivalent_mm(slope * (Rn - G)))
    drying = gamma * FAO56_HOURLY.numerator / (temperature_c + 273.0) * wind_2m_m_s * deficit
    w, half = float(here.hour_angle_rad[0]), np.pi / 24.0
    return HourInFull(
        slope_kpa_c=slope,
        psychrometric_kpa_c=gamma,
        saturation_kpa=saturation,
        vapour_pressure_kpa=vapour_pressure_kpa,
        deficit_kpa=deficit,
        day_of_year=J,
        relative_distance=_number(sun.inverse_relative_distance(float(J))),
        declination_rad=_number(sun.declination_rad(float(J))),
        seasonal_correction_h=_number(sun.seasonal_correction_h(float(J))),
        hour_angle_rad=w,
        begins_rad=w - half,
        ends_rad=w + half,
        sunset_rad=float(here.sunset_rad[0]),
        extraterrestrial_mj_m2=float(here.extraterrestrial_mj_m2[0]),
        clear_sky_mj_m2=float(here.clear_sky_mj_m2[0]),
        solar_mj_m2=solar_mj_m2,
        net_shortwave_mj_m2=Rns,
        sun_up=sun_up,
        lit=lit,
        black_body_mj_m2=radiation.STEFAN_BOLTZMANN_HOURLY * (temperature_c + 273.16) ** 4,
        emissivity=emissivity,
        cloudiness=cloudiness,
        relative_shortwave=relative_shortwave,
        open_longwave_mj_m2=Rnl,
        sky_share=sky_share,
        net_longwave_mj_m2=Rnl * sky_share,
        net_radiation_mj_m2=Rn,
        ground_heat_mj_m2=G,
        temperature_c=temperature_c,
        wind_2m_m_s=wind_2m_m_s,
        pressure_kpa=pressure_kpa,
        denominator_kpa_c=below,
        radiation_mm=energy / below,
        drying_mm=drying / below,
        et0_mm=(energy + drying) / below,
    )


def _day_of_year(site: Position, end_s: int) -> int:
    """Return J of the hour's middle, by the site's mean solar time."""
    day = np.datetime64(int((end_s - 1800 + 240.0 * site.longitude_deg) // 86400), "D")
    return int((day - day.astype("datetime64[Y]").astype("datetime64[D]")).astype(int)) + 1


def _number(value: Any) -> float:
    return float(np.asarray(value))
