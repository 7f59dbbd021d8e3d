"""A week of real weather replayed: the hours' reference ET held against RefET's hourly pieces.

Weather: NREL (2008) TMY3, station 723170 (Greensboro), 1-7 July, as pvlib carries it. Reference:
the RefET library (0.4 or later; Morton and others), its hourly net radiation, slope, psychrometric
constant and wind, put into FAO-56 Eq 53 (Allen and others, 1998, p. 74) with G = 0.1 Rn by day
(Eq 45): RefET itself has only the ASCE-EWRI (2005) form, whose surface resistance by day differs.

Compared are the hours of a high sun, in which both take the clouds from the hour's own radiation;
RefET carries no clouds into the night (its own warning).
"""

from __future__ import annotations

import csv
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
import refet

from irrigate.science.air import pressure_kpa, wind_at_2m_m_s
from irrigate.science.hourly_site import site_et0_mm
from irrigate.science.missing_data import NIGHT_RATIO_ARID
from tests.published.greensboro import SITE, WIND_HEIGHT_M, Year, greensboro

FIRST, HOURS = 181 * 24, 7 * 24
WEEK = slice(FIRST, FIRST + HOURS)
# Ra above which the sun stands at more than some 25 degrees [MJ m⁻² h⁻¹].
HIGH_SUN_MJ_M2 = 2.0

GARDEN = """\
garden: One pot at the airport
site: {latitude: 36.1, longitude: -79.95, elevation: 273 m, time zone: America/New_York}
rounds: [08:00]
people:
  - {name: Sam, reach: [console], hours: [07:00-21:00]}
places:
  open ground: {wind: open, shade: 0 %}
pots:
  1: {plant: pepper, pot: nursery 5 gal, size: "knee-high, wider than pot", place: open ground}
"""


@pytest.fixture(scope="module")
def replayed(tmp_path_factory: pytest.TempPathFactory) -> np.ndarray:
    """Return et0_mm of each hour of the week as the command writes it, shape [168]."""
    folder = tmp_path_factory.mktemp("greensboro")
    year = greensboro()
    lines = ["time,t_c,t_dew_c,rs_mj_m2,wind_m_s"]
    for hour in range(WEEK.start, WEEK.stop):
        at = datetime.fromtimestamp(int(year.end_s[hour]), UTC)
        lines.append(
            f"{at:%Y-%m-%dT%H:%MZ},{year.temperature_c[hour]:g},{year.dew_point_c[hour]:g},"
            f"{year.solar_mj_m2[hour]:.4f},{year.wind_10m_m_s[hour]:g}"
        )
    (folder / "w.csv").write_text("\n".join(lines) + "\n")
    (folder / "e.csv").write_text("time,pot,kind,value\n")
    (folder / "garden.yaml").write_text(GARDEN)
    done = subprocess.run(
        [
            sys.executable, "-m", "irrigate", "replay", "--garden", str(folder / "garden.yaml"),
            "--weather", str(folder / "w.csv"), "--events", str(folder / "e.csv"),
            "--wind-height", f"{WIND_HEIGHT_M:g}", "--members", "10", "--out", str(folder / "out"),
        ],
        capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    with Path(folder / "out" / "hours.csv").open(newline="") as file:
        return np.array([float(row["et0_mm"]) for row in csv.DictReader(file)])


def refet_pieces(year: Year) -> refet.Hourly:
    """Return what RefET makes of the week's weather."""
    return refet.Hourly(
        tmean=year.temperature_c[WEEK],
        rs=year.solar_mj_m2[WEEK],
        uz=year.wind_10m_m_s[WEEK],
        zw=WIND_HEIGHT_M,
        elev=SITE.elevation_m,
        lat=SITE.latitude_deg,
        lon=SITE.longitude_deg,
        doy=year.day_of_year[WEEK],
        time=year.utc_start_h[WEEK],
        ea=year.vapour_pressure_kpa[WEEK],
    )


def test_hours_of_high_sun_equal_refet(replayed: np.ndarray) -> None:
    """Within the steps in which weather is kept: 0.003 mm an hour, and 0.1 % over the week.

    Calm hours too: the least wind of 0.5 m/s (FAO-56 p. 63) is stated of the daily Eq 6.
    """
    theirs = refet_pieces(greensboro())
    energy = 0.408 * theirs.es_slope * 0.9 * theirs.rn
    driven = theirs.psy * 37.0 / (theirs.tmean + 273.0) * theirs.u2 * theirs.vpd
    expected = (energy + driven) / (theirs.es_slope + theirs.psy * (1.0 + 0.34 * theirs.u2))
    high = theirs.ra > HIGH_SUN_MJ_M2
    assert np.count_nonzero(high) > 60
    np.testing.assert_allclose(replayed[high], expected[high], atol=0.003)
    assert replayed[high].sum() == pytest.approx(expected[high].sum(), rel=1e-3)


def test_all_hours_equal_the_equations(replayed: np.ndarray) -> None:
    """Night and low sun too are what our own FAO-56 hourly form makes of the whole week.

    This holds only the way of the weather through the replay, not the equations: those are held
    against RefET and FAO-56's examples elsewhere. Hours in which it is below zero are dew.
    """
    year = greensboro()
    ours = site_et0_mm(
        SITE,
        year.end_s[WEEK],
        temperature_c=year.temperature_c[WEEK],
        vapour_pressure_kpa=year.vapour_pressure_kpa[WEEK],
        solar_mj_m2=year.solar_mj_m2[WEEK],
        wind_2m_m_s=np.asarray(wind_at_2m_m_s(year.wind_10m_m_s[WEEK], WIND_HEIGHT_M)),
        pressure_kpa=float(np.asarray(pressure_kpa(SITE.elevation_m))),
        assumed_ratio=NIGHT_RATIO_ARID,
        method="fao56",
    )
    np.testing.assert_allclose(replayed, np.maximum(ours, 0.0), atol=0.003)
