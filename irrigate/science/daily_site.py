"""Daily reference evapotranspiration of one site, from arrays of weather.

A day is the local calendar day, known by its day of the year. Arrays of any shape broadcast
together; float32 in gives float32 out; NaN where any input is NaN.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from irrigate.science import air, radiation, reference_et, sun
from irrigate.science.arrays import FloatArray, Values, precision_of
from irrigate.science.hourly_site import Method
from irrigate.science.site import Position
from irrigate.science.stretches import stretch_of, stretches


@dataclass(frozen=True, slots=True, eq=False)
class SunDays:
    """The sun over one site, all arrays of the shape of the days.

    extraterrestrial_mj_m2, clear_sky_mj_m2 : Ra and Rso [MJ m⁻² d⁻¹]; daylight_h : N [h].
    """

    extraterrestrial_mj_m2: NDArray[np.float64]
    clear_sky_mj_m2: NDArray[np.float64]
    daylight_h: NDArray[np.float64]


def sun_days(site: Position, day_of_year: Values) -> SunDays:
    """Return the sun over a site on some days.

    site : where (its longitude does not matter); day_of_year : 1 to 366, any shape.

    FAO-56 Eq 21-25, 34 and 37.

    Example 18 of FAO-56 (Uccle, 6 July):

    >>> from irrigate.science.site import Site
    >>> uccle = sun_days(Site(50.80, 4.35, 100.0), 187.0)
    >>> round(float(uccle.extraterrestrial_mj_m2), 2), round(float(uccle.daylight_h), 1)
    (41.09, 16.1)
    """
    phi = float(np.radians(site.latitude_deg))
    delta = sun.declination_rad(day_of_year)
    Ra = sun.daily_extraterrestrial_radiation_mj_m2(
        phi, delta, sun.inverse_relative_distance(day_of_year)
    )
    return SunDays(
        np.asarray(Ra, dtype=np.float64),
        np.asarray(radiation.clear_sky_radiation_mj_m2(Ra, site.elevation_m), dtype=np.float64),
        np.asarray(sun.daylight_hours(sun.sunset_hour_angle_rad(phi, delta)), dtype=np.float64),
    )


def daily_et0_mm(
    sun_: SunDays,
    *,
    t_max_c: Values,
    t_min_c: Values,
    vapour_pressure_kpa: Values,
    solar_mj_m2: Values,
    wind_2m_m_s: Values,
    pressure_kpa: Values,
    ground_heat_mj_m2: Values,
    method: Method,
) -> FloatArray:
    """Return a day's reference evapotranspiration [mm d⁻¹].

    sun_ : from `sun_days`. t_max_c, t_min_c : highest and lowest air temperature [°C];
    vapour_pressure_kpa : ea [kPa]; solar_mj_m2 : Rs [MJ m⁻² d⁻¹]; wind_2m_m_s : u2 [m s⁻¹];
    pressure_kpa : atmospheric pressure [kPa]; ground_heat_mj_m2 : G, 0 for a day (Eq 42), for
    a month Eq 43 or 44 [MJ m⁻² d⁻¹].
    method : ``fao56`` (Eq 6, wind held at 0.5 m s⁻¹ or more, p. 63), ``asce-short`` or
    ``asce-tall`` (ASCE 2005 Eq 1, wind as it is).
    Returns NaN in the polar night too, where no sun tells the clouds.

    Mean temperature is that of the two extremes (Eq 9); both methods ask for that. A negative
    deficit is held at 0, which neither paper prints: on a foggy day the mean of two extremes
    (Eq 12) can fall below a vapour pressure averaged over 24 hours, and would count as dew.

    Example 18 of FAO-56:

    >>> from irrigate.science.site import Site
    >>> et0 = daily_et0_mm(
    ...     sun_days(Site(50.80, 4.35, 100.0), 187.0), t_max_c=21.5, t_min_c=12.3,
    ...     vapour_pressure_kpa=1.409, solar_mj_m2=22.07, wind_2m_m_s=2.078,
    ...     pressure_kpa=100.1, ground_heat_mj_m2=0.0, method="fao56")
    >>> round(float(et0), 2)
    3.88
    """
    columns = (
        t_max_c, t_min_c, vapour_pressure_kpa, solar_mj_m2, wind_2m_m_s, pressure_kpa,
        ground_heat_mj_m2, sun_.clear_sky_mj_m2,
    )  # fmt: skip
    kind = precision_of(*columns[:5])
    whole = np.broadcast_shapes(*(np.shape(column) for column in columns))
    et0 = np.empty(whole, dtype=kind)
    if not whole:
        et0[...] = _daily_block(*map(np.asarray, columns), method=method, kind=kind)
        return et0
    for block in stretches(whole[-1], et0.size // max(1, whole[-1])):
        parts = (stretch_of(column, block, whole[-1]) for column in columns)
        et0[..., block] = _daily_block(*parts, method=method, kind=kind)
    return et0


def _daily_block(
    t_max: FloatArray, t_min: FloatArray, ea: FloatArray, Rs: FloatArray, u2: FloatArray,
    P: FloatArray, G: FloatArray, Rso: FloatArray, *, method: Method, kind: np.dtype[Any],
) -> Values:  # fmt: skip
    """Return reference evapotranspiration of one stretch of days [mm d⁻¹]."""
    Rs, Rso = Rs.astype(kind, copy=False), Rso.astype(kind, copy=False)
    dark = np.full(np.broadcast_shapes(Rs.shape, Rso.shape), np.nan, kind)
    ratio = np.divide(Rs, Rso, out=dark, where=Rso > 0.0)
    fao = method == "fao56"
    sigma = radiation.STEFAN_BOLTZMANN_DAILY if fao else radiation.STEFAN_BOLTZMANN_DAILY_ASCE
    Rnl = radiation.daily_net_longwave_mj_m2(t_max, t_min, ea, ratio, sigma)
    Rn = radiation.net_radiation_mj_m2(radiation.net_shortwave_mj_m2(Rs), Rnl)
    T = 0.5 * (t_max + t_min)
    es = air.mean_saturation_vapour_pressure_kpa(t_max, t_min)
    deficit = np.maximum(es - ea, 0.0)
    gamma = np.asarray(air.psychrometric_constant_kpa_c(P), dtype=kind)
    available = Rn - G.astype(kind, copy=False)
    if fao:
        u2 = np.asarray(air.wind_with_lower_limit_m_s(u2))
        return reference_et.fao56_daily_mm(air.slope_kpa_c(T), gamma, available, T, u2, deficit)
    tall = method == "asce-tall"
    cover = reference_et.ASCE_TALL_DAILY if tall else reference_et.ASCE_SHORT_DAILY
    return reference_et.asce_daily_mm(
        air.slope_asce_kpa_c(T), gamma, available, T, u2, deficit, cover
    )
