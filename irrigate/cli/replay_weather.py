"""The weather of a replay: a table's whole hours, filled, and the time that they cover."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo

import click
import numpy as np

from irrigate.cli.stamps import moment_in
from irrigate.cli.weather_csv import WeatherTable, read_weather
from irrigate.errors import InputError, TableError
from irrigate.garden.filling import fill
from irrigate.garden.hour_grid import LONGEST_GAP_H
from irrigate.garden.pots import Site
from irrigate.garden.weather import HOUR_S, Filled, HourlyWeather, empty_weather
from irrigate.outside.weather.table import hourly_from_columns

# Wind as told at this height needs no conversion; it is not looked at where there is no wind.
WIND_2M = 2.0
HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """The weather of a replay.

    Parameters
    ----------
    hours : without gaps or NaN, from before ``start``, if the table has it, to its last hour.
    start, end : whole hours (UTC).
    remarks : what was doubted and filled, in plain words.
    """

    hours: HourlyWeather
    start: datetime
    end: datetime
    remarks: tuple[str, ...]

    def filled(self) -> dict[str, int]:
        """Return how many of the hours replayed had a value put in, by variable and at all."""
        bits = self.hours.between(_seconds(self.start), _seconds(self.end)).filled
        counted = {one.name.lower(): int(np.count_nonzero(bits & one)) for one in Filled}
        return {"any": int(np.count_nonzero(bits)), **counted}


def asked_moment(option: str, text: str | None, zone: tzinfo) -> datetime | None:
    """Return the moment that an option names (UTC), if it was given."""
    if text is None:
        return None
    try:
        return moment_in(text, zone)
    except InputError as wrong:
        raise InputError(f"{option}: {wrong}") from None


def read_told(
    path: str,
    site: Site,
    zone: tzinfo,
    wind_height_m: float | None,
    begin: datetime | None,
    stop: datetime | None,
) -> Told:
    """Read the weather of a replay.

    Parameters
    ----------
    path : the table.
    site : where the garden lies.
    zone : of times that carry no offset.
    wind_height_m : where the wind was measured [m]; needed if the table has any.
    begin, stop : the time asked for (UTC), widened to whole hours; None for the table's own.

    Raises
    ------
    InputError : the table is wrong, or does not cover the time.
    """
    table = read_weather(path, "hour", zone, finer=True)
    if "wind_m_s" in table.values and wind_height_m is None:
        raise click.UsageError(
            "the weather has wind_m_s: give --wind-height, the metres above ground where it was"
            " measured (10 at most weather stations, 2 at most farm ones)"
        )
    name = table.text.path
    if not len(table):
        raise TableError(name, None, None, "no rows: nothing can be replayed")
    last = datetime.fromtimestamp(int(table.stamps[-1]), UTC)
    raw = hourly_from_columns(table.values, table.stamps, wind_height_m or WIND_2M, last)
    if not len(raw):
        raise TableError(name, None, None, "no hour of it is whole: nothing can be replayed")
    start, end = _time(raw, begin, stop)
    hours, remarks = fill(_without_long_gaps(raw, start, end, table), site, empty_weather())
    _check_reach(hours, start, end, name)
    return Told(hours, start, end, remarks)


def _time(
    raw: HourlyWeather, begin: datetime | None, stop: datetime | None
) -> tuple[datetime, datetime]:
    """Return the whole hours asked for, which must lie within the table."""
    first = datetime.fromtimestamp(int(raw.end_s[0]) - HOUR_S, UTC)
    last = datetime.fromtimestamp(int(raw.end_s[-1]), UTC)
    start = first if begin is None else begin.replace(minute=0, second=0, microsecond=0)
    end = last if stop is None else _hour_up(stop)
    if start < first:
        raise InputError(f"--from: the weather begins later, at {said_moment(first)}")
    if end > last:
        raise InputError(f"--to: the weather ends sooner, at {said_moment(last)}")
    if start >= end:
        raise InputError(f"--to: {said_moment(end)} is not later than {said_moment(start)}")
    return start, end


def _hour_up(at: datetime) -> datetime:
    whole = at.replace(minute=0, second=0, microsecond=0)
    return whole if whole == at else whole + HOUR


def _without_long_gaps(
    raw: HourlyWeather, start: datetime, end: datetime, table: WeatherTable
) -> HourlyWeather:
    """Return the hours around the time replayed, as far as no gap that cannot be filled."""
    ends = raw.end_s
    first, stop = 0, len(raw)
    for before in np.flatnonzero(np.diff(ends) > (LONGEST_GAP_H + 1) * HOUR_S):
        if ends[before + 1] - HOUR_S <= _seconds(start):
            first = int(before) + 1
        elif ends[before] >= _seconds(end):
            stop = int(before) + 1
            break
        else:
            row = int(np.flatnonzero(table.stamps >= ends[before + 1] - HOUR_S + 1)[0])
            days = (ends[before + 1] - ends[before] - HOUR_S) / 86_400
            raise table.error(
                row, "time",
                f"nothing is told of the {days:.1f} days before it, and more than"
                f" {LONGEST_GAP_H // 24} cannot be filled; replay one side with --from or --to",
            )  # fmt: skip
    return raw.select(slice(first, stop))


def _check_reach(hours: HourlyWeather, start: datetime, end: datetime, name: str) -> None:
    """Refuse a time at whose edges nothing tells the temperature."""
    if not len(hours):
        raise TableError(name, None, "t_c", "no temperature that can be believed")
    first = datetime.fromtimestamp(int(hours.end_s[0]) - HOUR_S, UTC)
    last = datetime.fromtimestamp(int(hours.end_s[-1]), UTC)
    if first > start:
        said = f"nothing tells the temperature before {said_moment(first)}; begin there with --from"
        raise TableError(name, None, "t_c", said)
    if last < end:
        said = f"nothing tells the temperature after {said_moment(last)}; end there with --to"
        raise TableError(name, None, "t_c", said)


def _seconds(at: datetime) -> int:
    return int(at.timestamp())


def said_moment(at: datetime) -> str:
    """Return a moment as tables and errors write it."""
    return f"{at.astimezone(UTC):%Y-%m-%dT%H:%MZ}"
