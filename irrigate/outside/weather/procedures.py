"""From the columns of a weather table to what the equations ask for, row by row.

Where several columns could serve, the order is that of FAO-56 (Allen et al. 1998, chapter 3),
the surest first; each row takes the first that holds a value, and the name of what was taken
is kept beside the result. Units are converted here and nowhere deeper.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from irrigate.outside.weather.columns import Floats
from irrigate.science import air, missing_data, radiation
from irrigate.science.arrays import Values
from irrigate.science.daily_site import SunDays

MJ_PER_W_H = 0.0036
MJ_PER_W_DAY = 0.0864

WIND_ASSUMED = "2 m/s (FAO-56 p. 63)"
DEW_AT_DAWN = "t_min_c as the dew point (FAO-56 Eq 48)"
RS_FROM_RANGE_INLAND = "range of temperature, inland (FAO-56 Eq 50)"
RS_FROM_RANGE_COAST = "range of temperature, coast (FAO-56 Eq 50)"
SUN_DOWN = "0, the sun being down"

# Of the procedures below, those that stand in for a measurement.
STAND_INS = (WIND_ASSUMED, DEW_AT_DAWN, RS_FROM_RANGE_INLAND, RS_FROM_RANGE_COAST, SUN_DOWN)


@dataclass(frozen=True, slots=True, eq=False)
class Chosen:
    """Values by row, and for each row which procedure they came from: a code into ``names``.

    Code -1: no procedure had a value, and the value is NaN.
    """

    values: Floats
    codes: NDArray[np.int8]
    names: tuple[str, ...]

    def name(self, row: int) -> str | None:
        """Return the procedure that gave a row's value, or None."""
        code = int(self.codes[row])
        return None if code < 0 else self.names[code]

    def counts(self, among: NDArray[np.bool_]) -> dict[str, int]:
        """Return how many of the rows ``among`` each procedure gave, those with any."""
        codes = self.codes[among]
        totals = [int(np.count_nonzero(codes == code)) for code in range(len(self.names))]
        return {name: total for name, total in zip(self.names, totals, strict=True) if total}


def first_known(rows: int, options: Mapping[str, Floats | float | None]) -> Chosen:
    """Return for each row the first option that is not NaN; None is an option nobody has."""
    values = np.full(rows, np.nan)
    codes = np.full(rows, -1, dtype=np.int8)
    for code, option in enumerate(options.values()):
        if option is None:
            continue
        offered = np.broadcast_to(np.asarray(option, dtype=np.float64), (rows,))
        take = (codes < 0) & ~np.isnan(offered)
        values[take] = offered[take]
        codes[take] = code
    return Chosen(values, codes, tuple(options))


def hourly_vapour_pressure(table: Mapping[str, Floats], rows: int) -> Chosen:
    """Return ea by the hour [kPa]: measured, by the dew point, or by the humidity."""
    dew, humidity = table.get("t_dew_c"), table.get("rh_pct")
    temperature = _column(table, "t_c", rows)
    return first_known(
        rows,
        {
            "ea_kpa": table.get("ea_kpa"),
            "t_dew_c (FAO-56 Eq 14)": _maybe(air.vapour_pressure_from_dew_point_kpa, dew),
            "rh_pct (FAO-56 Eq 54)": _maybe(
                air.vapour_pressure_from_hourly_rh_kpa, temperature, humidity
            ),
        },
    )


def daily_vapour_pressure(table: Mapping[str, Floats], rows: int) -> Chosen:
    """Return ea by the day [kPa]: measured, by dew point, by humidities, or by the dawn."""
    t_max, t_min = _column(table, "t_max_c", rows), _column(table, "t_min_c", rows)
    rh_max, rh_min = table.get("rh_max_pct"), table.get("rh_min_pct")
    return first_known(
        rows,
        {
            "ea_kpa": table.get("ea_kpa"),
            "t_dew_c (FAO-56 Eq 14)": _maybe(
                air.vapour_pressure_from_dew_point_kpa, table.get("t_dew_c")
            ),
            "rh_max_pct and rh_min_pct (FAO-56 Eq 17)": _maybe(
                air.vapour_pressure_from_rh_extremes_kpa, t_max, t_min, rh_max, rh_min
            ),
            "rh_max_pct (FAO-56 Eq 18)": _maybe(air.vapour_pressure_from_rh_max_kpa, t_min, rh_max),
            "rh_pct (FAO-56 Eq 19)": _maybe(
                air.vapour_pressure_from_rh_mean_kpa, t_max, t_min, table.get("rh_pct")
            ),
            DEW_AT_DAWN: np.asarray(missing_data.vapour_pressure_from_t_min_kpa(t_min)),
        },
    )


def hourly_solar(table: Mapping[str, Floats], sun_up: NDArray[np.bool_]) -> Chosen:
    """Return Rs by the hour [MJ m⁻²]; a dark hour without a value has none.

    Small negative readings by night are the instrument's own warmth, and count as zero.
    """
    watts = table.get("rs_w_m2")
    chosen = first_known(
        sun_up.size,
        {
            "rs_mj_m2": table.get("rs_mj_m2"),
            "rs_w_m2": None if watts is None else watts * MJ_PER_W_H,
            SUN_DOWN: np.where(sun_up, np.nan, 0.0),
        },
    )
    return Chosen(np.maximum(chosen.values, 0.0), chosen.codes, chosen.names)


def daily_solar(table: Mapping[str, Floats], sun: SunDays, *, coast: bool) -> Chosen:
    """Return Rs by the day [MJ m⁻²]: measured, by sunshine, or by the range of temperature.

    The last is held at the clear sky's; FAO-56 does not say so, but on a coast Eq 50 passes it
    once the range exceeds 15.6 °C.
    """
    Ra, rows = sun.extraterrestrial_mj_m2, sun.extraterrestrial_mj_m2.size
    watts, sunshine = table.get("rs_w_m2"), table.get("sunshine_h")
    t_max, t_min = _column(table, "t_max_c", rows), _column(table, "t_min_c", rows)
    krs = missing_data.KRS_COAST if coast else missing_data.KRS_INTERIOR
    by_range = np.asarray(missing_data.solar_from_temperature_range_mj_m2(t_max, t_min, Ra, krs))
    return first_known(
        rows,
        {
            "rs_mj_m2": table.get("rs_mj_m2"),
            "rs_w_m2": None if watts is None else watts * MJ_PER_W_DAY,
            "sunshine_h (FAO-56 Eq 35)": None
            if sunshine is None
            else np.asarray(radiation.solar_from_sunshine_mj_m2(sunshine, sun.daylight_h, Ra)),
            RS_FROM_RANGE_COAST if coast else RS_FROM_RANGE_INLAND: np.minimum(
                by_range, sun.clear_sky_mj_m2
            ),
        },
    )


def wind_at_2m(table: Mapping[str, Floats], rows: int, height_m: float | None) -> Chosen:
    """Return u2 [m s⁻¹]: measured at a height and brought to 2 m (Eq 47), or 2 m/s."""
    wind = table.get("wind_m_s")
    at_2m = None
    if wind is not None and height_m is not None:
        # At 2 m the wind is what was measured; Eq 47 would give 1.0002 times that.
        at_2m = wind if height_m == 2.0 else np.asarray(air.wind_at_2m_m_s(wind, height_m))
    return first_known(rows, {"wind_m_s": at_2m, WIND_ASSUMED: missing_data.WIND_2M_M_S})


def pressure(table: Mapping[str, Floats], rows: int, elevation_m: float) -> Chosen:
    """Return the air pressure [kPa]: measured, or the mean one of the elevation (Eq 7)."""
    mean = float(air.pressure_kpa(elevation_m))
    return first_known(
        rows, {"pressure_kpa": table.get("pressure_kpa"), "elevation (FAO-56 Eq 7)": mean}
    )


def _column(table: Mapping[str, Floats], name: str, rows: int) -> Floats:
    """Return a column, all NaN where the table has none."""
    return table[name] if name in table else np.full(rows, np.nan)


def _maybe(equation: Callable[..., Values], *columns: Floats | None) -> Floats | None:
    """Return an equation's result, or None if a column it needs is not there."""
    if any(column is None for column in columns):
        return None
    return np.asarray(equation(*columns), dtype=np.float64)
