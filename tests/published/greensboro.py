"""A year of real hourly weather: Greensboro, North Carolina, a typical year of the 1991-2005 sort.

NREL (2008), National Solar Radiation Data Base, Typical Meteorological Year 3, site 723170; the
copy that the pvlib package carries. Local standard time (UTC-5), stamped at the end of the hour;
radiation is the sum over the hour; wind at 10 m. Its months come from different years; here they
are laid into 2001, which has no leap day.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
from numpy.typing import NDArray

from irrigate.science.air import vapour_pressure_from_dew_point_kpa
from irrigate.science.site import Site

SITE = Site(36.1, -79.95, 273.0)
UTC_OFFSET_H = -5
WIND_HEIGHT_M = 10.0


@dataclass(frozen=True)
class Year:
    """The hours of the year, each array of shape [8760]."""

    end_s: NDArray[np.int64]
    day_of_year: NDArray[np.float64]
    utc_start_h: NDArray[np.float64]
    temperature_c: NDArray[np.float64]
    dew_point_c: NDArray[np.float64]
    vapour_pressure_kpa: NDArray[np.float64]
    humidity_pct: NDArray[np.float64]
    solar_mj_m2: NDArray[np.float64]
    wind_10m_m_s: NDArray[np.float64]
    opaque_cloud: NDArray[np.float64]

    def daily(self, name: str, how: str) -> NDArray[np.float64]:
        """Return the mean, max, min or sum of a column over each local day, shape [365]."""
        return np.asarray(getattr(getattr(self, name).reshape(365, 24), how)(axis=1))


@cache
def greensboro() -> Year:
    """Return the year; read once."""
    table = pd.read_csv(Path(pvlib.__file__).parent / "data" / "723170TYA.CSV", skiprows=1)
    hours = np.arange(len(table))
    start = np.datetime64("2001-01-01", "s").astype(np.int64) - UTC_OFFSET_H * 3600
    end_s = start + (hours + 1) * 3600
    # The date by local mean solar time at the hour's middle, as the equations want it.
    solar = (end_s - 1800 + round(SITE.longitude_deg * 240)).astype("datetime64[s]")
    new_year = solar.astype("datetime64[Y]").astype("datetime64[D]")
    day = (solar.astype("datetime64[D]") - new_year).astype(np.float64) + 1.0
    column = {name: table[name].to_numpy(dtype=np.float64) for name in COLUMNS}
    dew = column["Dew-point (C)"]
    return Year(
        end_s=end_s,
        day_of_year=day,
        utc_start_h=((end_s / 3600.0) - 1.0) % 24.0,
        temperature_c=column["Dry-bulb (C)"],
        dew_point_c=dew,
        vapour_pressure_kpa=np.asarray(vapour_pressure_from_dew_point_kpa(dew)),
        humidity_pct=column["RHum (%)"],
        solar_mj_m2=column["GHI (W/m^2)"] * 0.0036,
        wind_10m_m_s=column["Wspd (m/s)"],
        opaque_cloud=column["OpqCld (tenths)"] / 10.0,
    )


COLUMNS = (
    "Dry-bulb (C)",
    "Dew-point (C)",
    "RHum (%)",
    "GHI (W/m^2)",
    "Wspd (m/s)",
    "OpqCld (tenths)",
)
