"""Hourly reference evapotranspiration of one site, from arrays of weather.

Every stamp is the *end* of its hour (or shorter period), in UTC epoch seconds: the value at
14:00 belongs to 13:00-14:00. Weather arrays are [..., hour] and broadcast together; the sun is
worked out once per [hour]. float32 in gives float32 out. In three steps, so that a place under
shade cloth can keep the sky's clouds: `sun_hours`, `relative_shortwave`, `hourly_et0_mm`; or
all at once: `site_et0_mm`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from irrigate.science import air, missing_data, radiation, reference_et, sun
from irrigate.science.arrays import FloatArray, Values
from irrigate.science.site import Position, Site
from irrigate.science.stretches import stretch_of, stretches

__all__ = [
    "METHODS",
    "Method",
    "Site",
    "SunHours",
    "hourly_et0_mm",
    "relative_shortwave",
    "site_et0_mm",
    "sky_told",
    "sky_untold",
    "sun_hours",
]

Method = Literal["fao56", "asce-short", "asce-tall"]
METHODS: tuple[Method, ...] = ("fao56", "asce-short", "asce-tall")


@dataclass(frozen=True, slots=True, eq=False)
class SunHours:
    """The sun over one site, all arrays of shape [hour].

    period_end_s : UTC epoch seconds at the end of each period; period_h : its length [h].
    extraterrestrial_mj_m2, clear_sky_mj_m2 : Ra and Rso over the period [MJ m⁻²].
    sun_up : some of the period is lit. hour_angle_rad, sunset_rad : ω at its middle, ωs [rad].
    sine_of_elevation : sin β at its middle.
    """

    period_end_s: NDArray[np.int64]
    period_h: float
    extraterrestrial_mj_m2: NDArray[np.float64]
    clear_sky_mj_m2: NDArray[np.float64]
    sun_up: NDArray[np.bool_]
    hour_angle_rad: NDArray[np.float64]
    sunset_rad: NDArray[np.float64]
    sine_of_elevation: NDArray[np.float64]


def sun_hours(site: Position, period_end_s: NDArray[np.int64], period_h: float = 1.0) -> SunHours:
    """Return the sun over a site for periods that *end* at the given moments.

    site : where; period_end_s : UTC epoch seconds, rising, shape [hour];
    period_h : length of each period [h]. Valid range: above 0, at most 1.

    FAO-56 Eq 23-33 and 37. The day of the year is that of local mean solar time at the period's
    middle, so that a whole solar day has one declination wherever the site lies.

    Example 19 of FAO-56 (N'Diaye, 1 October 1998, 14-15 h, an hour west of Greenwich):

    >>> end = np.array([907257600])  # 1998-10-01 16:00 UTC
    >>> round(float(sun_hours(Site(16.22, -16.25, 8.0), end).clear_sky_mj_m2[0]), 3)
    2.658
    """
    if not 0.0 < period_h <= 1.0:
        raise ValueError(f"a period of {period_h} h: the hourly equations hold for up to one hour")
    ends = np.asarray(period_end_s, dtype=np.int64)
    parts = [_sun_block(site, ends[block], period_h) for block in stretches(ends.size)]
    Ra, w, ws, sin_beta = (np.concatenate(column) for column in zip(*parts, strict=True))
    Rso = np.asarray(radiation.clear_sky_radiation_mj_m2(Ra, site.elevation_m))
    return SunHours(ends, period_h, Ra, Rso, Ra > 0.0, w, ws, sin_beta)


def _sun_block(
    site: Position, end_s: NDArray[np.int64], period_h: float
) -> tuple[NDArray[np.float64], ...]:
    """Return Ra, ω, ωs and sin β for one stretch of periods."""
    middle_s = end_s.astype(np.float64) - 1800.0 * period_h
    solar_day = np.floor((middle_s + 240.0 * site.longitude_deg) / 86400.0).astype(np.int64)
    # What depends on the day alone is worked out once a day and handed to its hours.
    days, which = _each_day_once(solar_day)
    day_of_year = _day_of_year(days)
    phi = np.radians(site.latitude_deg)
    delta_by_day = sun.declination_rad(day_of_year)
    delta = np.asarray(delta_by_day)[which]
    dr = np.asarray(sun.inverse_relative_distance(day_of_year))[which]
    ws = np.asarray(sun.sunset_hour_angle_rad(phi, delta_by_day), dtype=np.float64)[which]
    Sc = np.asarray(sun.seasonal_correction_h(day_of_year))[which]
    utc_hour = np.mod(middle_s, 86400.0) / 3600.0
    w = np.asarray(sun.solar_hour_angle_rad(utc_hour, site.longitude_deg, Sc), dtype=np.float64)
    Ra = sun.extraterrestrial_radiation_mj_m2(w, period_h, phi, delta, dr)
    sin_beta = sun.sine_of_elevation(w, phi, delta)
    return np.asarray(Ra, np.float64), w, ws, np.asarray(sin_beta, np.float64)


def _each_day_once(days: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.intp]]:
    """Return the different days of a rising series, and for each element which of them it is."""
    new = np.flatnonzero(np.diff(days)) + 1
    starts = np.concatenate([np.zeros(min(1, days.size), dtype=np.intp), new])
    lengths = np.diff(np.append(starts, days.size))
    return days[starts], np.repeat(np.arange(starts.size), lengths)


def _day_of_year(days: NDArray[np.int64]) -> NDArray[np.float64]:
    """Return 1 on 1 January to 365 or 366, from days since 1970-01-01."""
    date = days.astype("datetime64[D]")
    new_year = date.astype("datetime64[Y]").astype("datetime64[D]")
    since: NDArray[np.float64] = (date - new_year).astype(np.float64)
    return since + 1.0


def relative_shortwave(
    sun_: SunHours, solar_mj_m2: FloatArray, assumed: Values, method: Method
) -> FloatArray:
    """Return Rs/Rso for every period, the sky's clouds carried through the dark [-].

    sun_ : from `sun_hours`; solar_mj_m2 : Rs on open, unshaded ground over the period [MJ m⁻²],
    shape [..., hour]; NaN tells nothing, and gives NaN by day.
    assumed : the ratio where none was told in the past 24 h: at the start, or after a gap
    (`missing_data.NIGHT_RATIO_HUMID`, `NIGHT_RATIO_ARID`, or what the last run ended with;
    NaN to have none); scalar or [..., 1].
    method : ``fao56``: measured while the sun is up at the period's middle, else as two to three
    hours before sunset (p. 75). ``asce-short``, ``asce-tall``: measured while the sun stands at
    0.3 rad or more, else as at the last such hour (with Eq 45).
    Returns the bare ratio, which `radiation.cloudiness_factor` holds between 0.3 and 1.

    >>> here = sun_hours(Site(16.22, -16.25, 8.0), np.array([907257600]))
    >>> relative_shortwave(here, np.array([2.450]), 0.8, "fao56").round(3)
    array([0.922])
    """
    solar = np.asarray(solar_mj_m2)
    kind = np.result_type(solar, np.float32)
    clear = sun_.clear_sky_mj_m2.astype(kind)
    own = np.divide(solar, clear, out=np.full(solar.shape, np.nan, kind), where=clear > 0.0)
    told, dark = sky_told(sun_, method), sky_untold(sun_, method)
    carried = missing_data.carried_forward(own, told, sun_.period_end_s, assumed)
    return np.where(dark, carried, own)


def sky_told(sun_: SunHours, method: Method) -> NDArray[np.bool_]:
    """Return which periods tell the clouds of the dark that follows, shape [hour].

    sun_ : from `sun_hours`; method : as in `relative_shortwave`.
    """
    if method == "fao56":
        return missing_data.sky_told_fao56(sun_.hour_angle_rad, sun_.sunset_rad)
    return missing_data.sky_told_asce(sun_.sine_of_elevation)


def sky_untold(sun_: SunHours, method: Method) -> NDArray[np.bool_]:
    """Return which periods cannot tell their own clouds, shape [hour].

    sun_ : from `sun_hours`; method : as in `relative_shortwave`.
    """
    if method == "fao56":
        return np.abs(sun_.hour_angle_rad) >= sun_.sunset_rad
    return ~missing_data.sky_told_asce(sun_.sine_of_elevation)


def hourly_et0_mm(
    sun_: SunHours,
    *,
    temperature_c: FloatArray,
    vapour_pressure_kpa: FloatArray,
    solar_mj_m2: FloatArray,
    wind_2m_m_s: FloatArray,
    pressure_kpa: Values,
    relative_shortwave: FloatArray,
    method: Method,
    sky_share: float = 1.0,
) -> FloatArray:
    """Return reference evapotranspiration, given the clouds [mm per period].

    sun_ : from `sun_hours`. temperature_c : mean air temperature [°C]; vapour_pressure_kpa : ea
    [kPa]; solar_mj_m2 : Rs that falls on the place, shaded or not [MJ m⁻²]; wind_2m_m_s : u2
    [m s⁻¹]; relative_shortwave : Rs/Rso of the open sky [-]; all [..., hour], broadcast together.
    pressure_kpa : atmospheric pressure at the site [kPa], scalar or [..., hour].
    sky_share : part of the net long-wave loss that is left where glass or a wall hides the sky [-].
    method : ``fao56`` (Eq 53; ground heat by day while the sun is up, Eq 45, 46),
    ``asce-short`` or ``asce-tall`` (ASCE 2005 Eq 1; day while Rn is not negative).
    Returns [..., hour]; NaN where any input is NaN; slightly negative in hours of dew.

    Neither method's lower limit of wind is applied: FAO-56 p. 63 states its 0.5 m s⁻¹ for the
    daily Eq 6, and ASCE 2005 has none.
    """
    whole = np.broadcast_shapes(
        *(np.shape(part) for part in (temperature_c, vapour_pressure_kpa, solar_mj_m2)),
        *(np.shape(part) for part in (wind_2m_m_s, pressure_kpa, relative_shortwave)),
        sun_.period_end_s.shape,
    )
    kind = np.result_type(temperature_c, vapour_pressure_kpa, solar_mj_m2, wind_2m_m_s, np.float32)
    et0 = np.empty(whole, dtype=kind)
    columns = (
        temperature_c, vapour_pressure_kpa, solar_mj_m2, wind_2m_m_s, pressure_kpa,
        relative_shortwave, sun_.sun_up,
    )  # fmt: skip
    for block in stretches(whole[-1], max(1, et0.size // max(1, whole[-1]))):
        parts = [stretch_of(column, block, whole[-1]) for column in columns]
        et0[..., block] = _hourly_block(
            *parts, method=method, period_h=sun_.period_h, kind=kind, sky_share=sky_share
        )
    return et0


def _hourly_block(
    T: FloatArray, ea: FloatArray, Rs: FloatArray, u2: FloatArray, P: FloatArray, ratio: FloatArray,
    sun_up: NDArray[np.bool_], *, method: Method, period_h: float, kind: np.dtype[Any],
    sky_share: float = 1.0,
) -> Values:  # fmt: skip
    """Return reference evapotranspiration of one stretch of periods [mm per period]."""
    gamma = np.asarray(air.psychrometric_constant_kpa_c(P), dtype=kind)
    es = air.saturation_vapour_pressure_kpa(T)
    fao = method == "fao56"
    sigma = (
        radiation.STEFAN_BOLTZMANN_HOURLY if fao else radiation.STEFAN_BOLTZMANN_HOURLY_ASCE
    ) * period_h
    Rnl = radiation.hourly_net_longwave_mj_m2(T, ea, ratio.astype(kind, copy=False), sigma)
    if sky_share != 1.0:
        Rnl = np.multiply(Rnl, kind.type(sky_share))
    Rn = radiation.net_radiation_mj_m2(radiation.net_shortwave_mj_m2(Rs), Rnl)
    if fao:
        cover = reference_et.FAO56_HOURLY
        G = radiation.hourly_ground_heat_mj_m2(
            Rn, sun_up, cover.ground_share_by_day, cover.ground_share_by_night
        )
        slope = air.slope_at_saturation_kpa_c(T, es)
        return reference_et.fao56_hourly_mm(slope, gamma, Rn - G, T, u2, es - ea, period_h)
    tall = method == "asce-tall"
    cover = reference_et.ASCE_TALL_HOURLY if tall else reference_et.ASCE_SHORT_HOURLY
    slope = air.slope_at_saturation_kpa_c(T, es, air.SLOPE_NUMERATOR_ASCE)
    return reference_et.asce_hourly_mm(slope, gamma, Rn, T, u2, es - ea, cover, period_h)


def site_et0_mm(
    site: Position,
    period_end_s: NDArray[np.int64],
    period_h: float = 1.0,
    *,
    temperature_c: FloatArray,
    vapour_pressure_kpa: FloatArray,
    solar_mj_m2: FloatArray,
    wind_2m_m_s: FloatArray,
    pressure_kpa: Values,
    assumed_ratio: Values,
    method: Method,
) -> FloatArray:
    """Return reference evapotranspiration of an open place from weather alone [mm per period].

    Parameters and result as in `sun_hours`, `relative_shortwave` (``assumed_ratio``) and
    `hourly_et0_mm`.

    Example 19 of FAO-56, both of its hours:

    >>> site_et0_mm(
    ...     Site(16.22, -16.25, 8.0), np.array([907214400, 907257600]),
    ...     temperature_c=np.array([28.0, 38.0]), vapour_pressure_kpa=np.array([3.402, 3.445]),
    ...     solar_mj_m2=np.array([0.0, 2.450]), wind_2m_m_s=np.array([1.9, 3.3]),
    ...     pressure_kpa=101.2, assumed_ratio=0.8, method="fao56").round(2) + 0.0
    array([0.  , 0.63])
    """
    here = sun_hours(site, period_end_s, period_h)
    ratio = relative_shortwave(here, solar_mj_m2, assumed_ratio, method)
    return hourly_et0_mm(
        here,
        temperature_c=temperature_c,
        vapour_pressure_kpa=vapour_pressure_kpa,
        solar_mj_m2=solar_mj_m2,
        wind_2m_m_s=wind_2m_m_s,
        pressure_kpa=pressure_kpa,
        relative_shortwave=ratio,
        method=method,
    )
