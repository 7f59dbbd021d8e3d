"""The command `irrigate et0`: reference evapotranspiration for every row of a weather table."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import cast

import click
import numpy as np

from irrigate.cli.stamps import zone_named
from irrigate.cli.weather_csv import WeatherTable, read_weather
from irrigate.errors import InputError, TableError
from irrigate.outside.weather.columns import STEPS, Step
from irrigate.outside.weather.procedures import STAND_INS
from irrigate.outside.weather.reference_rows import (
    ReferenceRows,
    by_day,
    by_hour,
    misplaced_days,
    misplaced_hours,
)
from irrigate.science.hourly_site import METHODS, Method
from irrigate.science.site import Site

RESULT = "et0_mm"


@click.command("et0")
@click.argument("table", metavar="FILE.csv")
@click.option(
    "--step",
    type=click.Choice(STEPS),
    default="hour",
    show_default=True,
    help="What a row is: an hour (column time, its END) or a day (column date).",
)
@click.option("--latitude", type=float, required=True, help="Degrees, north positive.")
@click.option("--longitude", type=float, help="Degrees, east positive; for hours.")
@click.option("--elevation", type=float, required=True, help="Metres above sea level.")
@click.option("--wind-height", type=float, help="Metres above ground where wind_m_s was measured.")
@click.option("--timezone", "zone", help="Zone of times without an offset: a name, or ±HH:MM.")
@click.option(
    "--reference",
    type=click.Choice(METHODS),
    default="fao56",
    show_default=True,
    help="FAO-56 (1998), or ASCE-EWRI (2005) for short or tall cover.",
)
@click.option(
    "--coast/--inland",
    default=False,
    show_default=True,
    help="Where the site lies; for days without radiation.",
)
@click.option(
    "--first-night",
    type=float,
    help="Rs/Rso, 0-1, for dark hours before any that tells the clouds: about 0.5 where"
    " it is humid, 0.75 where dry. Else as in the first hour that tells.",
)
@click.option("--out", type=click.Path(), help="Write here instead of to standard output.")
def command(
    table: str,
    step: str,
    latitude: float,
    longitude: float | None,
    elevation: float,
    wind_height: float | None,
    zone: str | None,
    reference: str,
    coast: bool,
    first_night: float | None,
    out: str | None,
) -> None:  # fmt: skip
    """Add a column et0_mm, reference evapotranspiration, to a table of weather.

    FILE.csv is comma-separated, UTF-8, its columns named in the first line; `-` reads standard
    input. By the hour: time (ISO 8601, the END of the hour), t_c, one of ea_kpa, t_dew_c, rh_pct,
    and one of rs_mj_m2, rs_w_m2; if there, wind_m_s and pressure_kpa. By the day: date, t_max_c,
    t_min_c; if there, one of ea_kpa, t_dew_c, rh_max_pct with rh_min_pct, rh_pct; one of rs_mj_m2,
    rs_w_m2, sunshine_h; wind_m_s, pressure_kpa, g_mj_m2. Other columns pass through. What stood
    in for a missing value is counted on standard error.
    """
    if step == "hour" and longitude is None:
        raise click.UsageError("--longitude is needed for hours")
    _check_between("--wind-height", wind_height, 0.5, 200.0)
    _check_between("--first-night", first_night, 0.0, 1.0)
    site = Site(latitude, longitude if longitude is not None else 0.0, elevation)
    weather = read_weather(table, cast("Step", step), zone_named(zone) if zone else None)
    _check_columns(weather, wind_height)
    rows = _computed(weather, site, cast("Method", reference), wind_height, first_night, coast)
    cells = [f"{value:.4f}" if value == value else "" for value in rows.et0_mm + 0.0]
    _write(weather.text.with_column(RESULT, [_without_minus(cell) for cell in cells]), out)
    for line in account(rows, reference):
        click.echo(line, err=True)


def _check_between(option: str, value: float | None, low: float, high: float) -> None:
    """Refuse a number outside its range; NaN is outside of any."""
    if value is not None and not low <= value <= high:
        raise click.BadParameter(f"{value:g} is not between {low:g} and {high:g}",
                                 param_hint=option)  # fmt: skip


def _check_columns(weather: WeatherTable, wind_height: float | None) -> None:
    """Refuse a table that has its result already, or wind of an unknown height."""
    if RESULT in weather.text.header:
        raise TableError(weather.text.path, 1, RESULT,
                         "the column is there already; take it out or rename it")  # fmt: skip
    if "wind_m_s" in weather.values and wind_height is None:
        raise click.UsageError(
            "the table has wind_m_s: give --wind-height, the metres above ground where it was"
            " measured (10 at most weather stations, 2 at most farm ones)"
        )


def _computed(
    weather: WeatherTable,
    site: Site,
    method: Method,
    wind_height: float | None,
    first_night: float | None,
    coast: bool,
) -> ReferenceRows:
    """Return the result of every row, once the rows are seen to belong to the site."""
    if weather.step == "hour":
        odd = misplaced_hours(weather.values, weather.stamps, site)
    else:
        odd = misplaced_days(weather.values, weather.day_of_year, site)
    if odd:
        more = f" (and {len(odd) - 1} more)" if len(odd) > 1 else ""
        raise weather.error(odd[0].row, odd[0].column, odd[0].why + more)
    if weather.step == "hour":
        return by_hour(weather.values, weather.stamps, site, method,
                       wind_height_m=wind_height, first_night=first_night)  # fmt: skip
    return by_day(weather.values, weather.day_of_year, site, method,
                  wind_height_m=wind_height, coast=coast)  # fmt: skip


def account(rows: ReferenceRows, reference: str) -> list[str]:
    """Return what to tell of how the rows were computed, one line each."""
    count = rows.et0_mm.size
    empty = np.isnan(rows.et0_mm)
    lines = [f"et0_mm by {reference}: {np.count_nonzero(~empty)} of {count} rows"]
    lines += [f"left empty, {why}: {size}" for why, size in rows.reasons.counts(empty).items()]
    for quantity, chosen in rows.sources.items():
        for name, size in chosen.counts(~empty).items():
            stands_in = "stood in, " if name in STAND_INS else ""
            lines.append(f"{quantity}: {stands_in}{name}: {size}")
    assumed = int(np.count_nonzero(rows.assumed_clouds))
    if assumed:
        lines.append(
            f"clouds: stood in, Rs/Rso {rows.assumed_ratio:.2f} in the dark with no telling"
            f" hour in the 24 before (FAO-56 p. 75): {assumed}"
        )
    return lines


def _without_minus(cell: str) -> str:
    """Return a number's text without the sign of a zero."""
    return cell.removeprefix("-") if cell.strip("-0.") == "" else cell


def _write(text: str, out: str | None) -> None:
    """Write the table to a file, whole or not at all, or to standard output."""
    content = text.encode("utf-8")
    if out is None:
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
        return
    path = Path(out)
    try:
        if path.exists() and not path.is_file():
            path.write_bytes(content)  # a device such as /dev/null
            return
        part = path.with_name(f".{path.name}.{os.getpid()}.part")
        try:
            with part.open("xb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            part.replace(path)
        finally:
            part.unlink(missing_ok=True)
    except OSError as failed:
        raise InputError(f"{out}: cannot be written: {failed.strerror}") from None
    except ValueError as failed:
        raise InputError(f"{out}: cannot be written: {failed}") from None
