"""Reference evapotranspiration: what a standard cover gives to the air when well watered.

The combination equation in the three standard dresses, and Hargreaves' shortcut. Arrays of any
shape broadcast together; NaN in, NaN out. Nothing is held at zero: a small negative hour at
night is dew, as the standards have it, and whoever draws water from a pot decides what to make
of it. Sources: Allen, Pereira, Raes and Smith, 1998, FAO Irrigation and Drainage Paper 56
("FAO-56"); ASCE-EWRI, 2005, The ASCE Standardized Reference Evapotranspiration Equation
("ASCE 2005").
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from irrigate.science.arrays import Values
from irrigate.science.radiation import evaporation_equivalent_mm, hourly_ground_heat_mj_m2


@dataclass(frozen=True, slots=True)
class Cover:
    """The constants of one reference cover, by day and by night.

    numerator : Cn [K mm s³ Mg⁻¹ h⁻¹ or d⁻¹]; denominator : Cd [s m⁻¹]; ground_share : G/Rn [-].
    A daily cover has its two halves alike and no ground heat.
    """

    numerator: float
    denominator_by_day: float
    denominator_by_night: float
    ground_share_by_day: float
    ground_share_by_night: float


# FAO-56 Eq 6 and 53; ASCE 2005 Table 1.
FAO56_DAILY = Cover(900.0, 0.34, 0.34, 0.0, 0.0)
FAO56_HOURLY = Cover(37.0, 0.34, 0.34, 0.1, 0.5)
ASCE_SHORT_DAILY = Cover(900.0, 0.34, 0.34, 0.0, 0.0)
ASCE_SHORT_HOURLY = Cover(37.0, 0.24, 0.96, 0.1, 0.5)
ASCE_TALL_DAILY = Cover(1600.0, 0.38, 0.38, 0.0, 0.0)
ASCE_TALL_HOURLY = Cover(66.0, 0.25, 1.7, 0.04, 0.2)


def combination_mm(
    slope_kpa_c: Values,
    psychrometric_kpa_c: Values,
    available_energy_mj_m2: Values,
    temperature_c: Values,
    wind_2m_m_s: Values,
    deficit_kpa: Values,
    numerator: Values,
    denominator: Values,
) -> Values:
    """Return reference evapotranspiration by the combination equation [mm per period].

    slope_kpa_c : Δ; psychrometric_kpa_c : γ [kPa °C⁻¹]; available_energy_mj_m2 : Rn - G over
    the period [MJ m⁻²]; temperature_c : mean air temperature [°C]; wind_2m_m_s : u2 [m s⁻¹];
    deficit_kpa : es - ea [kPa]; numerator : Cn, times the period's length where that is not the
    hour or day it is made for; denominator : Cd [s m⁻¹]; any shape.

    ASCE 2005 Eq 1, of which FAO-56 Eq 6 and 53 are the cases 900 or 37 and 0.34.

    Example 18 of FAO-56 (Uccle, 6 July):

    >>> round(combination_mm(0.122, 0.0666, 13.28, 16.9, 2.078, 0.589, 900.0, 0.34), 2)
    3.88
    """
    energy = evaporation_equivalent_mm(slope_kpa_c * available_energy_mj_m2)
    drying = psychrometric_kpa_c * wind_2m_m_s * deficit_kpa * numerator / (temperature_c + 273.0)
    return (energy + drying) / (
        slope_kpa_c + psychrometric_kpa_c * (1.0 + denominator * wind_2m_m_s)
    )


def fao56_daily_mm(
    slope_kpa_c: Values,
    psychrometric_kpa_c: Values,
    available_energy_mj_m2: Values,
    temperature_c: Values,
    wind_2m_m_s: Values,
    deficit_kpa: Values,
) -> Values:
    """Return a day's reference evapotranspiration, ETo [mm d⁻¹].

    Parameters as in `combination_mm`; energy of a day.

    FAO-56 Eq 6.

    Example 20 (Lyon in July, from temperatures alone), its printed intermediate values:

    >>> round(fao56_daily_mm(0.150, 0.0658, 13.48, 20.7, 2.0, 0.90), 1)
    4.6
    """
    return combination_mm(
        slope_kpa_c, psychrometric_kpa_c, available_energy_mj_m2, temperature_c, wind_2m_m_s,
        deficit_kpa, FAO56_DAILY.numerator, FAO56_DAILY.denominator_by_day,
    )  # fmt: skip


def fao56_hourly_mm(
    slope_kpa_c: Values,
    psychrometric_kpa_c: Values,
    available_energy_mj_m2: Values,
    temperature_c: Values,
    wind_2m_m_s: Values,
    deficit_kpa: Values,
    period_h: float = 1.0,
) -> Values:
    """Return the reference evapotranspiration of an hour or less, ETo [mm per period].

    Parameters as in `combination_mm`; energy of the period; ``period_h`` : its length [h], at
    most 1.

    FAO-56 Eq 53: the surface resistance is 70 s m⁻¹ in all hours, which gives somewhat too
    little at noon and too much at night; ASCE 2005 (`asce_hourly_mm`) parts day and night.

    >>> round(fao56_hourly_mm(0.358, 0.0673, 1.574, 38.0, 3.3, 3.180), 2)
    0.63
    """
    return combination_mm(
        slope_kpa_c, psychrometric_kpa_c, available_energy_mj_m2, temperature_c, wind_2m_m_s,
        deficit_kpa, FAO56_HOURLY.numerator * period_h, FAO56_HOURLY.denominator_by_day,
    )  # fmt: skip


def asce_hourly_mm(
    slope_kpa_c: Values,
    psychrometric_kpa_c: Values,
    net_radiation_mj_m2: Values,
    temperature_c: Values,
    wind_2m_m_s: Values,
    deficit_kpa: Values,
    cover: Cover,
    period_h: float = 1.0,
) -> Values:
    """Return an hour's standardized reference evapotranspiration, ETos or ETrs [mm h⁻¹].

    Parameters as in `combination_mm`, but Rn [MJ m⁻² h⁻¹] in place of Rn - G; ``cover`` :
    `ASCE_SHORT_HOURLY` or `ASCE_TALL_HOURLY`; ``period_h`` : length of the period, at most 1 [h].
    Night is where Rn is negative (p. 44).

    ASCE 2005 Eq 1 with Table 1 and Eq 65, 66.

    >>> noon = asce_hourly_mm(0.358, 0.0673, 1.749, 38.0, 3.3, 3.180, ASCE_SHORT_HOURLY)
    >>> round(float(noon), 2)
    0.66
    """
    numerator = cover.numerator * period_h
    night = np.less(net_radiation_mj_m2, 0.0)
    ground = hourly_ground_heat_mj_m2(
        net_radiation_mj_m2, ~night, cover.ground_share_by_day, cover.ground_share_by_night
    )
    # np.where on two numbers would turn a float32 calculation into float64.
    kind = np.result_type(np.asarray(net_radiation_mj_m2), np.float32)
    denominator = np.where(night, cover.denominator_by_night, cover.denominator_by_day)
    return combination_mm(
        slope_kpa_c, psychrometric_kpa_c, net_radiation_mj_m2 - ground, temperature_c, wind_2m_m_s,
        deficit_kpa, numerator, denominator.astype(kind),
    )  # fmt: skip


def asce_daily_mm(
    slope_kpa_c: Values,
    psychrometric_kpa_c: Values,
    net_radiation_mj_m2: Values,
    temperature_c: Values,
    wind_2m_m_s: Values,
    deficit_kpa: Values,
    cover: Cover,
) -> Values:
    """Return a day's standardized reference evapotranspiration, ETos or ETrs [mm d⁻¹].

    Parameters as in `combination_mm`, with G = 0; ``cover`` : `ASCE_SHORT_DAILY` or
    `ASCE_TALL_DAILY`.

    ASCE 2005 Eq 1 with Table 1. The short one equals FAO-56 Eq 6.

    >>> round(asce_daily_mm(0.122, 0.0666, 13.28, 16.9, 2.078, 0.589, ASCE_SHORT_DAILY), 2)
    3.88
    """
    return combination_mm(
        slope_kpa_c, psychrometric_kpa_c, net_radiation_mj_m2, temperature_c, wind_2m_m_s,
        deficit_kpa, cover.numerator, cover.denominator_by_day,
    )  # fmt: skip


def hargreaves_mm(t_max_c: Values, t_min_c: Values, extraterrestrial_mj_m2: Values) -> Values:
    """Return a day's reference evapotranspiration from temperatures alone, ETo [mm d⁻¹].

    t_max_c, t_min_c : highest and lowest air temperature [°C], the highest not below the lowest;
    extraterrestrial_mj_m2 : Ra, Eq 21 [MJ m⁻² d⁻¹]; any shape. Better over five days or more
    than for one; too low in wind, too high in damp air (FAO-56 p. 64).

    FAO-56 Eq 52. Ra is brought to mm there by Eq 20.

    >>> round(float(hargreaves_mm(26.6, 14.8, 40.55)), 1)
    5.0
    """
    mean = 0.5 * (t_max_c + t_min_c)
    Ra_mm = evaporation_equivalent_mm(extraterrestrial_mj_m2)
    return 0.0023 * (mean + 17.8) * np.sqrt(t_max_c - t_min_c) * Ra_mm
