"""The real command `irrigate et0`, run as a gardener runs it."""

from __future__ import annotations

import csv
import io
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from irrigate.science import air
from irrigate.science.hourly_site import METHODS, site_et0_mm
from tests.published.greensboro import SITE, greensboro

GREENSBORO = ["--latitude", "36.1", "--longitude=-79.95", "--elevation", "273"]


def irrigate(*arguments: str, given: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    """Run the command line in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "irrigate", *arguments],
        input=given,
        capture_output=True,
        check=False,
    )


def results(written: bytes) -> list[str]:
    """Return the cells of et0_mm."""
    return [row["et0_mm"] for row in csv.DictReader(io.StringIO(written.decode()))]


def test_example_17_by_the_command() -> None:
    """FAO-56 Example 17 (Bangkok, April): 5.72 mm a day."""
    table = (
        b"date,t_max_c,t_min_c,ea_kpa,wind_m_s,sunshine_h,g_mj_m2\n"
        b"2001-04-15,34.8,25.6,2.85,2,8.5,0.14\n"
    )
    done = irrigate(
        "et0", "-", "--step", "day", "--latitude", "13.73", "--elevation", "2",
        "--wind-height", "2", given=table,
    )  # fmt: skip
    assert done.returncode == 0
    assert float(results(done.stdout)[0]) == pytest.approx(5.72, abs=0.005)


def test_example_18_by_the_command() -> None:
    """FAO-56 Example 18 (Uccle, 6 July): 3.88 mm."""
    table = (
        b"date,t_max_c,t_min_c,rh_max_pct,rh_min_pct,wind_m_s,sunshine_h\n"
        b"2001-07-06,21.5,12.3,84,63,2.78,9.25\n"
    )
    done = irrigate(
        "et0", "-", "--step", "day", "--latitude", "50.80", "--elevation", "100",
        "--wind-height", "10", given=table,
    )  # fmt: skip
    assert float(results(done.stdout)[0]) == pytest.approx(3.88, abs=0.005)
    assert b"rh_max_pct and rh_min_pct (FAO-56 Eq 17): 1" in done.stderr


def test_example_19_by_the_command() -> None:
    """FAO-56 Example 19 (N'Diaye, 1 October): 0.00 and 0.63 mm, the zone given either way."""
    site = ["--latitude", "16.22", "--longitude=-16.25", "--elevation", "8", "--wind-height", "2"]
    offset = (
        b"time,t_c,rh_pct,wind_m_s,rs_mj_m2\n"
        b"1998-10-01T03:00-01:00,28,90,1.9,\n"
        b"1998-10-01T15:00-01:00,38,52,3.3,2.450\n"
    )
    naive = offset.replace(b"-01:00", b"")
    for table, more in (
        (offset, []),
        (naive, ["--timezone=-01:00"]),
        (naive, ["--timezone", "Etc/GMT+1"]),
    ):
        done = irrigate("et0", "-", *site, "--first-night", "0.8", *more, given=table)
        assert done.returncode == 0, done.stderr
        night, day = (float(cell) for cell in results(done.stdout))
        assert night == pytest.approx(0.00, abs=0.005)
        assert day == pytest.approx(0.63, abs=0.005)
        assert b"0, the sun being down: 1" in done.stderr


def test_example_20_by_the_command() -> None:
    """FAO-56 Example 20 (Lyon, July) from two temperatures: 4.56 mm, and what stood in is told."""
    done = irrigate(
        "et0", "-", "--step", "day", "--latitude", "45.72", "--elevation", "200",
        given=b"date,t_max_c,t_min_c\n2001-07-15,26.6,14.8\n",
    )  # fmt: skip
    assert float(results(done.stdout)[0]) == pytest.approx(4.56, abs=0.005)
    told = done.stderr.decode()
    assert "vapour pressure: stood in, t_min_c as the dew point (FAO-56 Eq 48): 1" in told
    assert "radiation: stood in, range of temperature, inland (FAO-56 Eq 50): 1" in told
    assert "wind: stood in, 2 m/s (FAO-56 p. 63): 1" in told


def year_csv() -> bytes:
    """Return Greensboro's year as a table in local standard time."""
    year = greensboro()
    local = (year.end_s - 5 * 3600).astype("datetime64[s]")
    lines = ["time,t_c,t_dew_c,rs_mj_m2,wind_m_s"]
    lines += [
        f"{np.datetime_as_string(at, unit='m')},{t!r},{dew!r},{rs!r},{wind!r}"
        for at, t, dew, rs, wind in zip(
            local,
            year.temperature_c.tolist(),
            year.dew_point_c.tolist(),
            year.solar_mj_m2.tolist(),
            year.wind_10m_m_s.tolist(),
            strict=True,
        )
    ]
    return "\n".join(lines).encode()


@pytest.mark.parametrize("method", METHODS)
def test_a_year_by_the_command_is_the_library_s(method: str, tmp_path: Path) -> None:
    """A real year through the command equals the equations that RefET and FAO-56 vouch for."""
    year = greensboro()
    (tmp_path / "year.csv").write_bytes(year_csv())
    done = irrigate(
        "et0", str(tmp_path / "year.csv"), *GREENSBORO, "--wind-height", "10",
        "--timezone=-05:00", "--reference", method, "--first-night", "0.5",
        "--out", str(tmp_path / "out.csv"),
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout == b""
    et0 = np.array([float(cell) for cell in results((tmp_path / "out.csv").read_bytes())])
    expected = site_et0_mm(
        SITE,
        year.end_s,
        temperature_c=year.temperature_c,
        vapour_pressure_kpa=year.vapour_pressure_kpa,
        solar_mj_m2=year.solar_mj_m2,
        wind_2m_m_s=np.asarray(air.wind_at_2m_m_s(year.wind_10m_m_s, 10.0)),
        pressure_kpa=air.pressure_kpa(273.0),
        assumed_ratio=0.5,
        method=method,
    )
    np.testing.assert_allclose(et0, expected, atol=5.1e-5)
    assert not list(tmp_path.glob(".*"))


def test_other_columns_pass_through_to_the_byte() -> None:
    """Quotes, odd spacing, byte order mark, line endings and empty lines all stay."""
    table = (
        '\ufefftime, who ,t_c,rh_pct,rs_w_m2,"x,y"\r\n'
        '2001-07-03T18:00Z,"Ann ""A""\n& Bob", 30.0 ,40,800.50,\r\n'
        "\r\n"
        "2001-07-03T19:00Z,ö,030,4e1,+800,'\r\n"
    ).encode()
    done = irrigate("et0", "-", *GREENSBORO, given=table)
    assert done.returncode == 0, done.stderr
    lines = done.stdout.decode().split("\r\n")
    before = table.decode().split("\r\n")
    assert [after.startswith(was) for after, was in zip(lines, before, strict=True)] == [True] * 5
    assert lines[0] == before[0] + ",et0_mm"
    assert lines[2] == ""
    assert float(lines[1].rsplit(",", 1)[1]) > 0.3


def test_a_row_that_cannot_be_computed_is_empty_and_counted() -> None:
    """Missing cells leave the result empty, with reasons; a gap's cells are not looked at."""
    table = (
        b"time,t_c,rh_pct,rs_w_m2,wind_m_s,gap\n"
        b"2001-07-03T17:00Z,30,40,800,2,\n"
        b"2001-07-03T18:00Z,,40,800,2,0\n"
        b"2001-07-03T19:00Z,30,NA,800,2,\n"
        b"2001-07-03T20:00Z,30,40,,2,\n"
        b"2001-07-03T21:00Z,30,40,800,,\n"
        b"2001-07-03T22:00Z,-9999,-9999,-9999,-9999,1\n"
    )
    done = irrigate("et0", "-", *GREENSBORO, "--wind-height", "2", given=table)
    assert done.returncode == 0, done.stderr
    assert [bool(cell) for cell in results(done.stdout)] == [True, False, False, False, True, False]
    told = done.stderr.decode().splitlines()
    assert told[0] == "et0_mm by fao56: 2 of 6 rows"
    for line in (
        "left empty, marked as a gap: 1",
        "left empty, no t_c: 1",
        "left empty, no humidity: 1",
        "left empty, no radiation: 1",
        "wind: stood in, 2 m/s (FAO-56 p. 63): 1",
    ):
        assert line in told


def test_the_first_night_takes_the_first_telling_hour() -> None:
    """Dark hours before any day are given the clouds of the first afternoon, and that is told."""
    lines = ["time,t_c,rh_pct,rs_mj_m2"]
    year = greensboro()
    for hour in range(24 * 180, 24 * 182):
        at = np.datetime_as_string(year.end_s[hour].astype("datetime64[s]"), unit="m")
        lines.append(f"{at}Z,{year.temperature_c[hour]},60,{year.solar_mj_m2[hour]}")
    done = irrigate("et0", "-", *GREENSBORO, given="\n".join(lines).encode())
    assert done.returncode == 0, done.stderr
    assert all(results(done.stdout))
    assert b"clouds: stood in, Rs/Rso" in done.stderr


def test_the_step_and_the_site_must_be_said() -> None:
    """No plausible place stands in for one that was not given: exit code 2 and a word."""
    table = b"time,t_c,rh_pct,rs_mj_m2,wind_m_s\n2001-07-03T18:00Z,30,40,2,2\n"
    for arguments, word in (
        (["--longitude", "0", "--elevation", "0"], "--latitude"),
        (["--latitude", "0", "--elevation", "0"], "--longitude"),
        (["--latitude", "0", "--longitude", "0"], "--elevation"),
        (GREENSBORO, "--wind-height"),
        ([*GREENSBORO, "--wind-height", "nan"], "--wind-height"),
        ([*GREENSBORO, "--wind-height", "2", "--first-night", "1.5"], "--first-night"),
        (["--latitude", "99", "--longitude", "0", "--elevation", "0"], "latitude 99"),
        ([*GREENSBORO, "--timezone", "Nowhere/Land"], "Nowhere/Land"),
    ):
        done = irrigate("et0", "-", *arguments, given=table)
        assert done.returncode == 2, arguments
        assert word in done.stderr.decode()
        assert done.stdout == b""
        assert b"Traceback" not in done.stderr


def test_an_out_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    """A folder that is not there is an error, and an old file survives a refused table."""
    good = b"time,t_c,rh_pct,rs_mj_m2\n2001-07-03T18:00Z,30,40,2\n"
    nowhere = tmp_path / "nowhere" / "out.csv"
    done = irrigate("et0", "-", *GREENSBORO, "--out", str(nowhere), given=good)
    assert done.returncode == 2
    assert str(nowhere) in done.stderr.decode()
    old = tmp_path / "old.csv"
    old.write_text("what was there")
    done = irrigate("et0", "-", *GREENSBORO, "--out", str(old), given=good + b"2001,1,1,1\n")
    assert done.returncode == 2
    assert old.read_text() == "what was there"


def test_a_table_may_be_written_over_itself(tmp_path: Path) -> None:
    """--out onto the input is whole; running again says that the column is there."""
    path = tmp_path / "weather.csv"
    path.write_bytes(b"time,t_c,rh_pct,rs_mj_m2\n2001-07-03T18:00Z,30,40,2\n")
    assert irrigate("et0", str(path), *GREENSBORO, "--out", str(path)).returncode == 0
    assert path.read_text().startswith("time,t_c,rh_pct,rs_mj_m2,et0_mm\n")
    again = irrigate("et0", str(path), *GREENSBORO, "--out", str(path))
    assert again.returncode == 2
    assert f"{path}:1: column et0_mm: " in again.stderr.decode()


def test_help_does_not_pay_for_pandas() -> None:
    """The help of the program and of the command import neither pandas nor numpy's slow kin."""
    script = (
        "import sys; from irrigate.cli.main import run; "
        "run(['--help']); run(['et0', '--help']); print('pandas' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True)
    assert done.stdout.decode().splitlines()[-1] == "False"
