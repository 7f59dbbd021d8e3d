"""Weather out of a table: for the demo, for replays and for tests."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime

import numpy as np

from irrigate.garden.draws import normals
from irrigate.garden.plausible import quantised
from irrigate.garden.weather import HOUR_S, Floats, HourlyWeather, Origin, empty_weather, merged
from irrigate.ports import Fetched
from irrigate.science.air import saturation_vapour_pressure_kpa

RUN_EVERY_H = 6


@dataclass(frozen=True, slots=True)
class ForecastError:
    """How wrong the forecasts of a table are: standard deviations at once and per day ahead.

    Our own invention, sized like what a good public forecast misses by (common practice, no
    source). ``key`` chooses the errors; the same key gives the same ones.

    Parameters
    ----------
    temperature_c : [°C]; humidity, solar, wind, rain : of the logarithm.
    growth : share by which each grows with every day ahead.
    rain_shift_h : by how much rain comes early or late, per day ahead [h].
    """

    key: str = "forecast"
    temperature_c: float = 0.8
    humidity: float = 0.05
    solar: float = 0.12
    wind: float = 0.2
    rain: float = 0.4
    growth: float = 0.25
    rain_shift_h: float = 1.5


class TableWeather:
    """Tells a table as time passes: hours gone by, and the following ones as a forecast.

    A new model run comes every six hours; between two runs only newly passed hours are told.
    Implements `ports.Weather`.
    """

    def __init__(
        self,
        table: HourlyWeather,
        horizon_h: int = 192,
        error: ForecastError | None = None,
        source: str = "table",
        attribution: str = "",
    ) -> None:
        self._table = table
        self._horizon_s = horizon_h * HOUR_S
        self._error = error
        self._source = source
        self._attribution = attribution
        self._told_s: int | None = None
        self._run_s: int | None = None

    def latest(self, now: datetime) -> Fetched | None:
        """Return the hours not yet told, and a forecast if a new run has come; None if neither."""
        now_s = int(now.timestamp())
        run_s = now_s // (RUN_EVERY_H * HOUR_S) * (RUN_EVERY_H * HOUR_S)
        past = self._passed(now_s)
        if self._run_s is None or run_s > self._run_s:
            self._run_s = run_s
            coming = self._coming(now_s, run_s)
        else:
            coming = empty_weather()
        if not len(past) and not len(coming):
            return None
        return Fetched(
            source=self._source,
            model_run=datetime.fromtimestamp(self._run_s, tz=UTC).isoformat(),
            attribution=self._attribution,
            fetched_at=now,
            hours=merged([past, coming]),
        )

    def _passed(self, now_s: int) -> HourlyWeather:
        first_s = int(self._table.end_s[0]) if len(self._table) else now_s
        told_s = self._told_s if self._told_s is not None else first_s - HOUR_S
        self._told_s = max(told_s, now_s)
        return self._table.between(told_s, now_s).marked(Origin.OBSERVED)

    def _coming(self, now_s: int, run_s: int) -> HourlyWeather:
        truth = self._table.between(now_s, now_s + self._horizon_s).marked(Origin.FORECAST)
        if self._error is None or not len(truth):
            return truth
        return quantised(_mistaken(truth, run_s, self._error))


def _mistaken(truth: HourlyWeather, run_s: int, error: ForecastError) -> HourlyWeather:
    """Return a forecast of ``truth`` as the run of ``run_s`` would have told it."""
    lead_d = (truth.end_s - run_s) / 86_400.0
    grown = 1.0 + error.growth * lead_d
    rain = _rain_shifted(truth, run_s, error, lead_d)
    amount = rain * np.exp(error.rain * grown * _drift("rain", run_s, error, lead_d))
    temperature_c = truth.temperature_c + error.temperature_c * grown * _drift(
        "temperature", run_s, error, lead_d
    )
    vapour_pressure_kpa = truth.vapour_pressure_kpa * np.exp(
        error.humidity * grown * _drift("humidity", run_s, error, lead_d)
    )
    return replace(
        truth,
        temperature_c=temperature_c,
        vapour_pressure_kpa=np.minimum(
            vapour_pressure_kpa, saturation_vapour_pressure_kpa(temperature_c)
        ),
        # A clear day cannot turn out much brighter than it is.
        solar_mj_m2=truth.solar_mj_m2
        * np.minimum(np.exp(error.solar * grown * _drift("solar", run_s, error, lead_d)), 1.05),
        wind_2m_m_s=truth.wind_2m_m_s
        * np.exp(error.wind * grown * _drift("wind", run_s, error, lead_d)),
        rain_mm=np.minimum(amount, 100.0),
        # The further ahead, the nearer to not knowing.
        rain_chance=np.where(rain > 0.0, 0.95 - 0.07 * lead_d, 0.05 + 0.03 * lead_d).clip(
            0.05, 0.95
        ),
    )


def _drift(what: str, run_s: int, error: ForecastError, lead_d: Floats) -> Floats:
    """Return one error of standard deviation near 1 that wanders from day to day of the run."""
    days = int(np.ceil(lead_d[-1])) + 2
    daily = normals((error.key, what, run_s), days)
    return np.interp(lead_d, np.arange(days), daily)


def _rain_shifted(truth: HourlyWeather, run_s: int, error: ForecastError, lead_d: Floats) -> Floats:
    """Return the rain of ``truth`` come early or late, the more so the further ahead."""
    shift_h = error.rain_shift_h * lead_d * _drift("rain comes", run_s, error, lead_d)
    at = np.arange(len(truth)) + np.rint(shift_h).astype(np.intp)
    return truth.rain_mm[np.clip(at, 0, len(truth) - 1)]
