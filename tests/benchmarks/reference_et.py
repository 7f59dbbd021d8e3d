"""How fast reference evapotranspiration is, against the libraries that also do it.

``python -m tests.benchmarks.reference_et`` prints a table. Each figure is the best of several
runs in one process, so that ratios hold where absolute times do not. All three are given the
same weather; ours also works out the night's clouds, which RefET leaves out, and its sun.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import pandas as pd
import pyet
import refet

from irrigate.science.daily_site import daily_et0_mm, sun_days
from irrigate.science.hourly_site import (
    Site,
    hourly_et0_mm,
    relative_shortwave,
    site_et0_mm,
    sun_hours,
)

SITE = Site(36.1, -79.95, 273.0)
ROWS = 1_000_000
MEMBERS, HOURS = 200, 168
PRESSURE_KPA = 98.1


def measure(rows: int = ROWS, repeats: int = 5) -> dict[str, float]:
    """Return times [s] and ratios, by name."""
    figures = _hourly(rows, repeats) | _daily(rows, repeats) | _outlook(repeats)
    figures["hourly: RefET / ours"] = figures["hourly, RefET [s]"] / figures["hourly, ours [s]"]
    figures["daily: RefET / ours"] = figures["daily, RefET [s]"] / figures["daily, ours [s]"]
    figures["daily: pyet / ours"] = figures["daily, pyet [s]"] / figures["daily, ours [s]"]
    return figures


def _best(call: Callable[[], object], repeats: int) -> float:
    """Return the shortest of several runs [s]."""
    shortest = float("inf")
    for _ in range(repeats):
        begin = time.perf_counter()
        call()
        shortest = min(shortest, time.perf_counter() - begin)
    return shortest


def _hourly(rows: int, repeats: int) -> dict[str, float]:
    """Return the times for one long series of hours."""
    draws = np.random.default_rng(1)
    ends = 3600 * (480_000 - rows + np.arange(rows))
    T, ea = draws.uniform(10.0, 38.0, rows), draws.uniform(0.5, 1.2, rows)
    wind, Rs = draws.uniform(0.0, 6.0, rows), draws.uniform(0.0, 3.0, rows)
    date = (ends - 1800).astype("datetime64[s]").astype("datetime64[D]")
    day = (date - date.astype("datetime64[Y]").astype("datetime64[D]")).astype(np.float64) + 1.0
    start_h = (ends / 3600.0 - 1.0) % 24.0

    def ours() -> object:
        return site_et0_mm(
            SITE, ends, temperature_c=T, vapour_pressure_kpa=ea, solar_mj_m2=Rs,
            wind_2m_m_s=wind, pressure_kpa=PRESSURE_KPA, assumed_ratio=0.5, method="asce-short",
        )  # fmt: skip

    def theirs() -> object:
        return refet.Hourly(
            T, Rs, wind, 2.0, SITE.elevation_m, SITE.latitude_deg, SITE.longitude_deg, day,
            start_h, ea=ea,
        ).eto()  # fmt: skip

    return {"hourly, ours [s]": _best(ours, repeats), "hourly, RefET [s]": _best(theirs, repeats)}


def _daily(rows: int, repeats: int) -> dict[str, float]:
    """Return the times for one long series of days."""
    draws = np.random.default_rng(2)
    t_min = draws.uniform(5.0, 24.0, rows)
    t_max = t_min + draws.uniform(2.0, 16.0, rows)
    ea, wind = draws.uniform(0.5, 1.2, rows), draws.uniform(0.5, 6.0, rows)
    Rs = draws.uniform(2.0, 30.0, rows)
    # pandas knows no dates for a million days, so the years repeat.
    dates = pd.date_range("1900-01-01", periods=73_000).take(np.arange(rows) % 73_000)
    day = dates.dayofyear.to_numpy(dtype=np.float64)

    def series(values: object) -> pd.Series[float]:
        return pd.Series(values, index=dates)

    columns = [series(values) for values in (0.5 * (t_max + t_min), wind, Rs, t_max, t_min, ea)]

    def ours() -> object:
        return daily_et0_mm(
            sun_days(SITE, day), t_max_c=t_max, t_min_c=t_min, vapour_pressure_kpa=ea,
            solar_mj_m2=Rs, wind_2m_m_s=wind, pressure_kpa=PRESSURE_KPA, ground_heat_mj_m2=0.0,
            method="fao56",
        )  # fmt: skip

    def by_refet() -> object:
        return refet.Daily(
            t_min, t_max, Rs, wind, 2.0, SITE.elevation_m, SITE.latitude_deg, day, ea=ea
        ).eto()

    def by_pyet() -> object:
        mean, u2, solar, high, low, vapour = columns
        return pyet.pm_fao56(
            mean, u2, rs=solar, tmax=high, tmin=low, ea=vapour, elevation=SITE.elevation_m,
            lat=np.radians(SITE.latitude_deg),
        )  # fmt: skip

    return {
        "daily, ours [s]": _best(ours, repeats),
        "daily, RefET [s]": _best(by_refet, repeats),
        "daily, pyet [s]": _best(by_pyet, 1),
    }


def _outlook(repeats: int) -> dict[str, float]:
    """Return the time for one place of the outlook: members by a week of hours, float32."""
    draws = np.random.default_rng(3)
    ends = 3600 * (475_000 + np.arange(HOURS))
    sun = sun_hours(SITE, ends)
    shape = (MEMBERS, HOURS)
    Rs = (draws.uniform(0.2, 1.0, shape) * sun.clear_sky_mj_m2).astype(np.float32)
    T = draws.uniform(15.0, 38.0, shape).astype(np.float32)
    ea = draws.uniform(0.5, 1.7, shape).astype(np.float32)
    wind = draws.uniform(0.0, 4.0, shape).astype(np.float32)

    def place() -> object:
        return hourly_et0_mm(
            sun, temperature_c=T, vapour_pressure_kpa=ea, solar_mj_m2=Rs, wind_2m_m_s=wind,
            pressure_kpa=PRESSURE_KPA, method="asce-short",
            relative_shortwave=relative_shortwave(sun, Rs, 0.5, "asce-short"),
        )  # fmt: skip

    return {f"outlook, {MEMBERS} members × {HOURS} hours [ms]": 1000.0 * _best(place, 10 * repeats)}


if __name__ == "__main__":
    for name, figure in measure().items():
        print(f"{name:42s} {figure:8.3f}")
