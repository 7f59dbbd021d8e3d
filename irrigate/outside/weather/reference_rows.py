"""Reference evapotranspiration for the rows of a weather table, and an account of how.

Each row tells which procedures its inputs came from, and a row that cannot be computed has NaN
and a reason. Nothing is filled in that FAO-56 (Allen et al. 1998, chapter 3 and p. 75) does not
name.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from irrigate.outside.weather import procedures
from irrigate.outside.weather.columns import Floats, Implausible
from irrigate.outside.weather.procedures import Chosen
from irrigate.science import hourly_site
from irrigate.science.daily_site import daily_et0_mm, sun_days
from irrigate.science.hourly_site import Method, SunHours
from irrigate.science.site import Position

# An hour in the dark may show this much without its stamp being wrong: twilight, a lamp.
DARK_MJ_M2 = 0.2

# Weather moves the pressure of a place between these, about the mean one of its elevation.
PRESSURE_BELOW_KPA, PRESSURE_ABOVE_KPA = 12.0, 5.0

# Measured on the ground a day never has more than the top of the air; slack for the equation's
# declination, which is off by up to half a degree.
MOST_OF_EXTRATERRESTRIAL = 1.03


@dataclass(frozen=True, slots=True, eq=False)
class ReferenceRows:
    """Reference evapotranspiration by row [mm per row], and where it came from.

    ``sources``: by quantity, which procedure each row took. ``assumed_clouds``: rows of the dark
    for which no earlier hour told the clouds; ``assumed_ratio`` is the Rs/Rso they got.
    """

    et0_mm: Floats
    sources: dict[str, Chosen]
    reasons: Chosen
    assumed_clouds: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(0, dtype=bool))
    assumed_ratio: float = float("nan")


def by_hour(
    table: Mapping[str, Floats],
    end_s: NDArray[np.int64],
    site: Position,
    method: Method,
    *,
    wind_height_m: float | None,
    first_night: float | None,
) -> ReferenceRows:
    """Return reference evapotranspiration by the hour.

    table : columns of the vocabulary, NaN where missing; end_s : UTC epoch seconds at the end of
    each hour. wind_height_m : of wind_m_s, if there is such a column. first_night : Rs/Rso of the
    dark of which no earlier hour in the table tells; None: as the first hour that does tell.
    """
    sun = hourly_site.sun_hours(site, end_s)
    rows = end_s.size
    sources = {
        "vapour pressure": procedures.hourly_vapour_pressure(table, rows),
        "radiation": procedures.hourly_solar(table, sun.sun_up),
        "wind": procedures.wind_at_2m(table, rows, wind_height_m),
        "pressure": procedures.pressure(table, rows, site.elevation_m),
    }
    solar = sources["radiation"].values
    ratio, assumed, assumed_ratio = _clouds(sun, solar, method, first_night)
    et0 = np.asarray(
        hourly_site.hourly_et0_mm(
            sun,
            temperature_c=table["t_c"],
            vapour_pressure_kpa=sources["vapour pressure"].values,
            solar_mj_m2=solar,
            wind_2m_m_s=sources["wind"].values,
            pressure_kpa=sources["pressure"].values,
            relative_shortwave=ratio,
            method=method,
        ),
        dtype=np.float64,
    )
    et0[_gaps(table, rows)] = np.nan
    lacking = {
        "t_c": table["t_c"],
        "humidity": sources["vapour pressure"].values,
        "radiation": solar,
        "hour by day that tells the night's clouds (give --first-night)": ratio,
    }
    reasons = _reasons(et0, _gaps(table, rows), lacking)
    return ReferenceRows(et0, sources, reasons, assumed & ~np.isnan(et0), assumed_ratio)


def by_day(
    table: Mapping[str, Floats],
    day_of_year: Floats,
    site: Position,
    method: Method,
    *,
    wind_height_m: float | None,
    coast: bool,
) -> ReferenceRows:
    """Return reference evapotranspiration by the day.

    table, wind_height_m : as in `by_hour`; day_of_year : 1 to 366; coast : the site lies on or
    beside the coast of a large land mass (for Eq 50, where radiation is missing).
    """
    rows = day_of_year.size
    sun = sun_days(site, day_of_year)
    sources = {
        "vapour pressure": procedures.daily_vapour_pressure(table, rows),
        "radiation": procedures.daily_solar(table, sun, coast=coast),
        "wind": procedures.wind_at_2m(table, rows, wind_height_m),
        "pressure": procedures.pressure(table, rows, site.elevation_m),
    }
    ground = procedures.first_known(
        rows, {"g_mj_m2": table.get("g_mj_m2"), "0 (FAO-56 Eq 42)": 0.0}
    )
    et0 = np.asarray(
        daily_et0_mm(
            sun,
            t_max_c=table["t_max_c"],
            t_min_c=table["t_min_c"],
            vapour_pressure_kpa=sources["vapour pressure"].values,
            solar_mj_m2=sources["radiation"].values,
            wind_2m_m_s=sources["wind"].values,
            pressure_kpa=sources["pressure"].values,
            ground_heat_mj_m2=ground.values,
            method=method,
        ),
        dtype=np.float64,
    )
    et0[_gaps(table, rows)] = np.nan
    lacking = {
        "t_max_c": table["t_max_c"],
        "t_min_c": table["t_min_c"],
        "sun all day": np.where(sun.clear_sky_mj_m2 > 0.0, 0.0, np.nan),
    }
    return ReferenceRows(et0, sources, _reasons(et0, _gaps(table, rows), lacking))


def misplaced_hours(
    table: Mapping[str, Floats], end_s: NDArray[np.int64], site: Position
) -> list[Implausible]:
    """Return the hours whose radiation or pressure cannot be of that place and time."""
    sun = hourly_site.sun_hours(site, end_s)
    solar = procedures.hourly_solar(table, sun.sun_up)
    bright = np.flatnonzero(~sun.sun_up & (solar.values > DARK_MJ_M2))
    said = (
        "sunshine while the sun is down there: is the stamp the *end* of the hour, are its offset"
        " and the longitude right (west is negative)?"
    )
    found = [Implausible(int(row), _column_of(solar, int(row)), said) for row in bright]
    return sorted(found + _foreign_pressure(table, site), key=lambda one: one.row)


def misplaced_days(
    table: Mapping[str, Floats], day_of_year: Floats, site: Position
) -> list[Implausible]:
    """Return the days whose radiation, sunshine or pressure cannot be of that place and date."""
    sun = sun_days(site, day_of_year)
    solar = procedures.daily_solar(table, sun, coast=False)
    most = MOST_OF_EXTRATERRESTRIAL * sun.extraterrestrial_mj_m2
    found = [
        Implausible(
            int(row),
            _column_of(solar, int(row)),
            f"{solar.values[row]:.4g} MJ/m² is more than reaches the top of the air there on that"
            f" date, {sun.extraterrestrial_mj_m2[row]:.4g}; are date and latitude right?",
        )
        for row in np.flatnonzero((solar.values > most) & (solar.codes <= 1))
    ]
    if "sunshine_h" in table:
        # Refraction and the sun's width let it shine some minutes longer than Eq 34 has it.
        found += [
            Implausible(
                int(row),
                "sunshine_h",
                f"{table['sunshine_h'][row]:g} h is longer than the day, {sun.daylight_h[row]:.1f}",
            )
            for row in np.flatnonzero(table["sunshine_h"] > sun.daylight_h + 0.5)
        ]
    return sorted(found + _foreign_pressure(table, site), key=lambda one: one.row)


def _foreign_pressure(table: Mapping[str, Floats], site: Position) -> list[Implausible]:
    """Return the rows whose pressure belongs to another elevation, most often sea level."""
    if "pressure_kpa" not in table:
        return []
    mean = float(procedures.pressure({}, 1, site.elevation_m).values[0])
    values = table["pressure_kpa"]
    odd = (values > mean + PRESSURE_ABOVE_KPA) | (values < mean - PRESSURE_BELOW_KPA)
    return [
        Implausible(
            int(row),
            "pressure_kpa",
            f"{values[row]:g} kPa does not belong to {site.elevation_m:g} m, where it is about"
            f" {mean:.1f}; the pressure at the site is meant, not that reduced to sea level",
        )
        for row in np.flatnonzero(odd)
    ]


def _clouds(
    sun: SunHours, solar: Floats, method: Method, first_night: float | None
) -> tuple[Floats, NDArray[np.bool_], float]:
    """Return Rs/Rso by row, which of it is assumed, and the ratio that was assumed."""
    ratio = np.asarray(hourly_site.relative_shortwave(sun, solar, np.nan, method), np.float64)
    assumed = np.isnan(ratio) & hourly_site.sky_untold(sun, method)
    if first_night is None:
        told = ratio[hourly_site.sky_told(sun, method) & ~np.isnan(ratio)]
        first_night = float(told[0]) if told.size else float("nan")
    return np.where(assumed, first_night, ratio), assumed, first_night


def _gaps(table: Mapping[str, Floats], rows: int) -> NDArray[np.bool_]:
    """Return the rows that are marked as a gap."""
    return table["gap"] == 1.0 if "gap" in table else np.zeros(rows, dtype=bool)


def _reasons(et0: Floats, gaps: NDArray[np.bool_], lacking: Mapping[str, Floats]) -> Chosen:
    """Return, for each row without a result, the first thing that it lacks."""
    empty = np.isnan(et0)
    options: dict[str, Floats | float | None] = {
        "marked as a gap": np.where(gaps, 1.0, np.nan),
    }
    for name, values in lacking.items():
        options[f"no {name}"] = np.where(empty & np.isnan(values), 1.0, np.nan)
    return procedures.first_known(et0.size, options)


def _column_of(chosen: Chosen, row: int) -> str:
    """Return the column that a row's value was taken from."""
    return (chosen.name(row) or "").split(" ")[0]
