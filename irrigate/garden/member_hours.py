"""A source's own ensemble: a few dozen forecasts that differ, and what our members take of it.

Their middle is left aside: a coarse grid's level is not a garden's. What is taken is how each of
them differs from it, added to the forecast that the garden goes by. Rain is taken as it is: a
difference of amounts says nothing where it is dry. Our member k follows theirs number k mod n in
an order that was drawn once, so that it stays with the same one from run to run.
"""

from __future__ import annotations

import base64
import binascii
import zlib
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.draws import uniforms
from irrigate.garden.weather import HOUR_S

Singles = NDArray[np.float32]

# In which steps it is kept: finer than members differ by.
STEPS = {
    "temperature_c": 0.1,
    "vapour_pressure_kpa": 0.01,
    "solar_mj_m2": 0.01,
    "wind_2m_m_s": 0.1,
    "rain_mm": 0.1,
}
FEWEST = 5
"""Of fewer members no spread can be told."""

MOST = 100
MOST_HOURS = 24 * 40

# Below these a ratio tells nothing: calm air, twilight, air without vapour.
_FLOORS = {"vapour_pressure_kpa": 0.05, "solar_mj_m2": 0.1, "wind_2m_m_s": 0.3}
# A member is at most so far from the middle, as a logarithm: a factor of 4.5.
_FURTHEST = 1.5


@dataclass(frozen=True, slots=True, eq=False)
class MemberHours:
    """Hours to come as each member of a source's ensemble has them.

    Parameters
    ----------
    end_s : ends of whole hours, one after another [UTC epoch s].
    values : float32 [member, hour] by variable of `HourlyWeather`, without NaN; those that the
        source does not tell are not in it.
    """

    end_s: NDArray[np.int64]
    values: Mapping[str, Singles]

    @property
    def count(self) -> int:
        """How many members."""
        return int(next(iter(self.values.values())).shape[0])


@dataclass(frozen=True, slots=True, eq=False)
class Shift:
    """How our members differ by theirs in one variable or its logarithm.

    Parameters
    ----------
    by : [member, hour], zero where theirs tell nothing.
    sd : standard deviation of theirs [hour].
    covered : whether theirs tell anything [hour].
    """

    by: Singles
    sd: NDArray[np.float64]
    covered: NDArray[np.bool_]


def shift_of(
    theirs: MemberHours | None, name: str, end_s: NDArray[np.int64], members: int
) -> Shift | None:
    """Return how our members differ by theirs; None where they tell nothing of a variable.

    Parameters
    ----------
    theirs : the ensemble.
    name : a variable of `HourlyWeather`; other than temperature by logarithms.
    end_s : the hours wanted [UTC epoch s].
    members : how many of ours.
    """
    if theirs is None or name not in theirs.values:
        return None
    told = theirs.values[name].astype(np.float64)
    if name in _FLOORS:
        lit = told.mean(axis=0) > _FLOORS[name]
        told = np.log(np.maximum(told, _FLOORS[name])) * lit
        off = np.clip(told - told.mean(axis=0), -_FURTHEST, _FURTHEST)
    else:
        off = told - told.mean(axis=0)
    covered, at = _where(theirs, end_s)
    by = np.zeros((members, end_s.size), dtype=np.float32)
    by[:, covered] = off[_followed(theirs.count, members)][:, at]
    sd = np.zeros(end_s.size)
    sd[covered] = off.std(axis=0, ddof=1)[at]
    return Shift(by, sd, covered)


def rain_of(
    theirs: MemberHours | None, end_s: NDArray[np.int64], members: int
) -> tuple[Singles, NDArray[np.bool_]] | None:
    """Return the rain of our members by theirs [mm], and for which hours; None if not told."""
    if theirs is None or "rain_mm" not in theirs.values:
        return None
    covered, at = _where(theirs, end_s)
    rain = np.zeros((members, end_s.size), dtype=np.float32)
    rain[:, covered] = theirs.values["rain_mm"][_followed(theirs.count, members)][:, at]
    return rain, covered


def _where(
    theirs: MemberHours, end_s: NDArray[np.int64]
) -> tuple[NDArray[np.bool_], NDArray[np.intp]]:
    """Return which of the hours theirs tell of, and where those stand among theirs."""
    at = (end_s - int(theirs.end_s[0])) // HOUR_S
    covered = (at >= 0) & (at < theirs.end_s.size)
    return covered, at[covered].astype(np.intp)


def _followed(count: int, members: int) -> NDArray[np.intp]:
    """Return which of theirs each of ours follows [member]."""
    order = np.argsort(uniforms(("weather", "theirs", count), count), kind="stable")
    return order[np.arange(members) % count]


# --- kept small ----------------------------------------------------------------------------
def packed(hours: MemberHours) -> dict[str, str]:
    """Return each variable as text: steps from hour to hour, the small halves of all first.

    For 31 members and eight days some 15 kilobytes, against 150 as numbers in words.
    """
    return {name: _packed(values, STEPS[name]) for name, values in hours.values.items()}


def _packed(values: Singles, step: float) -> str:
    whole = np.clip(np.round(values.astype(np.float64) / step), -32000, 32000).astype(np.int16)
    steps = np.diff(whole, axis=1, prepend=np.int16(0)).astype("<i2")
    halves = steps.view(np.uint8).reshape(*steps.shape, 2)
    flat = np.ascontiguousarray(np.moveaxis(halves, 2, 0)).tobytes()
    return base64.b85encode(zlib.compress(flat, 9)).decode("ascii")


def unpacked(first_end_s: int, hours: int, count: int, content: Mapping[str, str]) -> MemberHours:
    """Return what was packed; a `ValueError` if the content does not hold it.

    Parameters
    ----------
    first_end_s : end of the first hour [UTC epoch s].
    hours, count : how many hours and members.
    content : from `packed`.
    """
    if not (content and 0 < hours <= MOST_HOURS and FEWEST <= count <= MOST):
        raise ValueError(f"{count} members of {hours} hours are no ensemble")
    if first_end_s % HOUR_S or not content.keys() <= STEPS.keys():
        raise ValueError("not the hours of an ensemble")
    values = {name: _unpacked(text, STEPS[name], count, hours) for name, text in content.items()}
    return MemberHours(first_end_s + HOUR_S * np.arange(hours, dtype=np.int64), values)


def _unpacked(text: str, step: float, count: int, hours: int) -> Singles:
    try:
        squeezed = base64.b85decode(text)
        flat = zlib.decompressobj().decompress(squeezed, 2 * count * hours + 1)
    except (ValueError, binascii.Error, zlib.error) as damaged:
        raise ValueError(f"damaged: {damaged}") from damaged
    if len(flat) != 2 * count * hours:
        raise ValueError("it holds another number of values")
    halves = np.frombuffer(flat, dtype=np.uint8).reshape(2, count, hours)
    steps = np.ascontiguousarray(np.moveaxis(halves, 0, 2)).view("<i2")[..., 0]
    whole = np.cumsum(steps, axis=1, dtype=np.int16)
    values: Singles = (whole * step).astype(np.float32)
    return values
