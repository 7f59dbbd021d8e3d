"""Weather tables that are wrong, each refused at its file, line and column with exit code 2."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from irrigate.cli.main import run
from tests.campaigns import bad_weather_csv as campaign

SITE = ["--latitude", "36.1", "--longitude=-79.95", "--elevation", "273", "--wind-height", "2"]
HUNDRED = settings(
    max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)  # fmt: skip


@HUNDRED
@given(campaign.spoilt_tables())
def test_one_fault_is_refused_where_it_lies(spoilt: campaign.Spoilt) -> None:
    """Exit code 2, the file, the line as an editor counts, the column, and nothing written."""
    campaign.check_spoilt(spoilt)


@HUNDRED
@given(campaign.tables())
def test_a_good_table_passes(table: campaign.Table) -> None:
    """Each row comes back as it was with one cell more."""
    campaign.check_good(table)


@HUNDRED
@given(campaign.anything)
def test_any_bytes_give_a_sentence(content: bytes) -> None:
    """Whatever the file holds, a result or one plain sentence leaves the command."""
    campaign.check_anything(content)


HOURS = "time,t_c,rh_pct,rs_mj_m2\n2001-07-03T18:00Z,30,40,2\n"


@pytest.mark.parametrize(
    ("options", "table", "said"),
    [
        (["--timezone", "America/New_York"],
         "time,t_c,rh_pct,rs_mj_m2\n2024-11-03 01:30,10,50,0\n",
         ("2: column time: '2024-11-03 01:30' happens twice in America/New_York, when the clocks go"
          " back; add its offset, -04:00 or -05:00")),
        (["--timezone", "America/New_York"],
         "time,t_c,rh_pct,rs_mj_m2\n2024-03-10 02:30,10,50,0\n",
         ("2: column time: '2024-03-10 02:30' does not exist in America/New_York: the clocks go"
          " forward over it")),
        ([], "time,t_c,rh_pct,rs_mj_m2\n2024-07-01T12:00,10,50,0\n",
         ("2: column time: '2024-07-01T12:00' does not say in which zone; add the offset, as in"
          " 2024-07-01T12:00-05:00, or give --timezone")),
        ([], "Time,T_C,rh_pct,rs_mj_m2\n2024-07-01T12:00,10,50,0\n",
         "1: no column time; is 'Time' meant for time?; no column t_c; is 'T_C' meant for t_c?"),
        ([], "time;t_c;rh_pct;rs_mj_m2\n2024-07-01T12:00Z;10,5;50;0\n",
         ("1: the cells are parted by semicolons; save the file with commas between cells and a"
          " point in numbers")),
        ([], 'time,t_c,rh_pct,rs_mj_m2\n2024-07-01T18:00Z,"21,5",50,0\n',
         "2: column t_c: '21,5' has a decimal comma; write a point"),
        ([], HOURS + "2001-07-03T19:00Z,30,0.4,8\n",
         ("3: column rs_mj_m2: 8 is not between -0.04 and 5.5 MJ/m² (leave the cell empty where"
          " nothing was measured)")),
        ([], HOURS + "2001-07-04T06:00Z,20,60,2\n",
         ("3: column rs_mj_m2: sunshine while the sun is down there: is the stamp the *end* of the"
          " hour, are its offset and the longitude right (west is negative)?")),
        ([], "time,t_c,rh_pct,rs_mj_m2,pressure_kpa\n2001-07-03T18:00Z,30,40,2,104\n",
         ("2: column pressure_kpa: 104 kPa does not belong to 273 m, where it is about 98.1; the"
          " pressure at the site is meant, not that reduced to sea level")),
        ([], "time,t_c,rh_pct,rs_mj_m2\n2001-07-03T18:00Z,30,0.4,2\n",
         "2: column rh_pct: 0.4 here and never above 1 in the table; percent is meant, 0 to 100"),
        ([], "time,t_c,t_dew_c,rs_mj_m2\n2001-07-03T18:00Z,20,25,2\n",
         "2: column t_dew_c: 25 is above t_c, 20"),
        ([], "time,t_c,ea_kpa,rs_mj_m2\n2001-07-03T18:00Z,20,4,2\n",
         "2: column ea_kpa: 4 kPa is more than air of 20 °C can hold, 2.34 kPa"),
        ([], HOURS + "2001-07-03T21:00Z,30,40,2\n2001-07-04T00:00Z,30,40,0\n",
         "3: column time: the rows are 3 hours apart; each row must be an hour"),
        (["--step", "day"], "date,t_max_c,t_min_c\n2001-07-03 00:00,30,20\n",
         "2: column date: '2001-07-03 00:00' is not a date such as 2024-07-01 (ISO 8601)"),
        (["--step", "day"], "date,t_max_c,t_min_c\n2001-07-03,20,30\n",
         "2: column t_min_c: 30 is above t_max_c, 20"),
        (["--step", "day"], "date,t_max_c,t_min_c,rs_mj_m2\n2001-12-21,10,0,40\n",
         ("2: column rs_mj_m2: 40 MJ/m² is more than reaches the top of the air there on that date,"
          " 15.94; are date and latitude right?")),
        (["--step", "day"], "date,t_max_c,t_min_c,sunshine_h\n2001-12-21,10,0,13\n",
         "2: column sunshine_h: 13 h is longer than the day, 9.5"),
    ],
)  # fmt: skip
def test_what_is_said(
    options: list[str],
    table: str,
    said: str,
    tmp_path: Path,
    capfd: pytest.CaptureFixture[str],
) -> None:
    """The sentence names file, line and column, what is wrong, and how to mend it."""
    path = tmp_path / "weather.csv"
    path.write_text(table, encoding="utf-8")
    assert run(["et0", str(path), *SITE, *options]) == 2
    written = capfd.readouterr()
    assert written.err == f"{path}:{said}\n"
    assert written.out == ""


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """An absent file, a folder, and an empty file each have their sentence."""
    (tmp_path / "empty.csv").touch()
    for name, said in (
        ("absent.csv", "there is no such file"),
        (".", "this is a folder, not a file"),
        ("empty.csv", "the file is empty; the first line names the columns"),
    ):
        path = str(tmp_path / name)
        done = subprocess.run(
            [sys.executable, "-m", "irrigate", "et0", path, *SITE], capture_output=True, check=False
        )
        assert done.returncode == 2
        assert done.stderr.decode() == f"{path}: {said}\n"
