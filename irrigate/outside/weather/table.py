"""Columns of a weather table, hourly or finer, brought to whole hours of UTC."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from irrigate.errors import InputError
from irrigate.garden.plausible import quantised
from irrigate.garden.weather import (
    HOUR_S,
    VALUES,
    Filled,
    Floats,
    HourlyWeather,
    Origin,
    empty_weather,
)
from irrigate.outside.weather.columns import COLUMNS, implausible
from irrigate.outside.weather.procedures import MJ_PER_W_H, hourly_vapour_pressure
from irrigate.science.air import wind_at_2m_m_s

# An hour of which less than this share was measured has no mean.
ENOUGH = 0.5


def step_s(end_s: NDArray[np.int64]) -> int:
    """Return the length of the periods that end at these moments: the commonest distance [s].

    A single row is taken for an hour.
    """
    if end_s.size < 2:
        return HOUR_S
    lengths, counts = np.unique(np.diff(end_s), return_counts=True)
    return int(lengths[np.argmax(counts)])


def hourly_from_columns(
    columns: Mapping[str, Floats],
    end_s: NDArray[np.int64],
    wind_height_m: float,
    now: datetime,
) -> HourlyWeather:
    """Return the table's whole hours: observed up to ``now``, forecast after it.

    Parameters
    ----------
    columns : arrays of shape [row] by the names of `irrigate.outside.weather.columns`; unknown
        ones are passed over, and values that cannot be right are taken as missing.
    end_s : UTC epoch seconds at the *end* of each row's period, rising, shape [row]; gaps are
        allowed, and rows need not end on the hour.
    wind_height_m : height at which the wind was measured [m].
    now : the present moment.

    Means and sums are weighted by the time that a row shares with an hour. An hour less than half
    measured has NaN; rain is kept however little was measured, and marked if less than half was.
    Hours that the table's end leaves unfinished are not in it. Rows further apart than an hour
    are refused with `InputError`: a day's values do not tell its hours.
    """
    if not end_s.size:
        return empty_weather()
    step = step_s(end_s)
    if step > HOUR_S:
        raise InputError(
            f"rows lie {step / HOUR_S:g} h apart; hourly rows or finer are needed here,"
            " since a pot may be empty within hours"
        )
    rows = _believable(columns, end_s.size)
    shares = _Shares(end_s, step)
    temperature_c, _ = shares.mean(_column(rows, "t_c", end_s.size))
    pressure_kpa, _ = shares.mean(hourly_vapour_pressure(rows, end_s.size).values)
    solar_mj_m2, _ = shares.mean(_solar_mj_m2_h(rows, end_s.size, step))
    wind = _column(rows, "wind_m_s", end_s.size)
    if wind_height_m != 2.0:
        wind = np.asarray(wind_at_2m_m_s(wind, wind_height_m))
    wind_m_s, _ = shares.mean(wind)
    rain_mm, rain_share = shares.total(_column(rows, "rain_mm", end_s.size))

    passed = shares.hour_end_s <= int(now.timestamp())
    rain_doubtful = (rain_share < ENOUGH) & ~np.isnan(rain_mm)
    hours = HourlyWeather(
        end_s=shares.hour_end_s,
        temperature_c=temperature_c,
        vapour_pressure_kpa=pressure_kpa,
        solar_mj_m2=solar_mj_m2,
        wind_2m_m_s=wind_m_s,
        rain_mm=rain_mm,
        # What is written of hours to come is no certainty.
        rain_chance=np.where(np.isnan(rain_mm) | ~passed, np.nan, rain_mm > 0.0),
        origin=np.where(passed, Origin.OBSERVED, Origin.FORECAST).astype(np.uint8),
        filled=np.where(rain_doubtful, Filled.RAIN, 0).astype(np.uint8),
    )
    told = np.any([~np.isnan(getattr(hours, name)) for name in VALUES], axis=0)
    finished = hours.end_s <= int(end_s[-1])
    return quantised(hours.select(told & finished))


class _Shares:
    """How the rows' periods lie over the whole hours: each over one of them, or over two."""

    def __init__(self, end_s: NDArray[np.int64], step: int) -> None:
        later = -(-end_s // HOUR_S)  # the hour in which the row ends, counted by its own end
        inside = np.minimum(step, end_s - (later - 1) * HOUR_S)
        hours = np.concatenate([later, later - 1])
        seconds = np.concatenate([inside, step - inside]).astype(np.float64)
        which = np.concatenate([np.arange(end_s.size)] * 2)
        some = seconds > 0.0
        numbers, self._hour = np.unique(hours[some], return_inverse=True)
        self.hour_end_s: NDArray[np.int64] = numbers * HOUR_S
        self._row = which[some]
        self._seconds = seconds[some]
        self._step = step

    def mean(self, values: Floats) -> tuple[Floats, Floats]:
        """Return each hour's mean, NaN where too little is known, and the share known."""
        total, known_s = self._sums(values)
        mean = np.where(known_s > 0.0, total / np.maximum(known_s, 1.0), np.nan)
        share = known_s / HOUR_S
        return np.where(share >= ENOUGH - 1e-9, mean, np.nan), share

    def total(self, values: Floats) -> tuple[Floats, Floats]:
        """Return each hour's sum of what is known, NaN where nothing is, and the share known."""
        total, known_s = self._sums(values)
        return np.where(known_s > 0.0, total / self._step, np.nan), known_s / HOUR_S

    def _sums(self, values: Floats) -> tuple[Floats, Floats]:
        of_row = values[self._row]
        seconds = np.where(np.isnan(of_row), 0.0, self._seconds)
        count = self.hour_end_s.size
        total = np.bincount(self._hour, np.nan_to_num(of_row) * seconds, minlength=count)
        known_s = np.bincount(self._hour, seconds, minlength=count)
        return total.astype(np.float64), known_s.astype(np.float64)


def _believable(columns: Mapping[str, Floats], rows: int) -> dict[str, Floats]:
    """Return copies of the known columns with every value that cannot be right made NaN."""
    known = {name: np.array(columns[name], dtype=np.float64) for name in columns if name in COLUMNS}
    for strange in implausible(known, "hour"):
        known[strange.column][strange.row] = np.nan
    gap = known.pop("gap", np.zeros(rows))
    for values in known.values():
        values[gap == 1.0] = np.nan
    return known


def _column(rows: Mapping[str, Floats], name: str, count: int) -> Floats:
    return rows[name] if name in rows else np.full(count, np.nan)


def _solar_mj_m2_h(rows: Mapping[str, Floats], count: int, step: int) -> Floats:
    """Return the radiation as MJ m⁻² an hour, from energy by the row or from power."""
    by_energy = _column(rows, "rs_mj_m2", count) * (HOUR_S / step)
    by_power = _column(rows, "rs_w_m2", count) * MJ_PER_W_H
    # A pyranometer reads a little below nothing by night.
    return np.maximum(np.where(np.isnan(by_energy), by_power, by_energy), 0.0)
