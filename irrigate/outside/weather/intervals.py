"""Values that hold for intervals of time, as a grid's layers have them, brought to whole hours."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.weather import HOUR_S, Floats
from irrigate.outside.weather.json_parts import moment, number, short

Convert = Callable[[float], float]
# Units by their names in the codes registry of the WMO, and what makes ours of a value.
TEMPERATURE: dict[str, Convert] = {
    "degC": lambda value: value,
    "degF": lambda value: (value - 32.0) / 1.8,
    "K": lambda value: value - 273.15,
}
SPEED: dict[str, Convert] = {"km_h-1": lambda value: value / 3.6, "m_s-1": lambda value: value}
SHARE: dict[str, Convert] = {"percent": lambda value: value}
DEPTH: dict[str, Convert] = {"mm": lambda value: value, "m": lambda value: value * 1000.0}
MOST_VALUES = 2000
MOST_DAYS = 31
_LENGTH = re.compile(r"P(?:(\d{1,3})D)?(?:T(?:(\d{1,4})H)?(?:(\d{1,5})M)?)?")


class LayerError(Exception):
    """A layer has another shape than is documented; the text says how."""


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """One variable over time.

    Parameters
    ----------
    begin_s, stop_s : first and last moment of each interval [UTC epoch s], rising, shape [value].
    values : in our own unit; NaN where nothing applies.
    """

    begin_s: NDArray[np.int64]
    stop_s: NDArray[np.int64]
    values: Floats

    def hour_ends(self) -> NDArray[np.int64]:
        """Return the end of every whole hour that the layer covers in part at least [epoch s]."""
        first = int(self.begin_s[0]) // HOUR_S + 1
        last = -(-int(self.stop_s[-1]) // HOUR_S)
        return np.arange(first, last + 1, dtype=np.int64) * HOUR_S

    def by_hour(self, end_s: NDArray[np.int64]) -> Floats:
        """Return the value that holds in the middle of each hour, NaN where none does."""
        middle_s = end_s - HOUR_S // 2
        at = np.searchsorted(self.begin_s, middle_s, side="right") - 1
        held = (at >= 0) & (middle_s < self.stop_s[np.maximum(at, 0)])
        return np.where(held, self.values[np.maximum(at, 0)], np.nan)

    def shared_out(self, end_s: NDArray[np.int64]) -> Floats:
        """Return amounts laid evenly over their intervals, NaN for hours in which none begins."""
        total = np.full(end_s.size, np.nan)
        for begin, stop, amount in zip(self.begin_s, self.stop_s, self.values, strict=True):
            if np.isnan(amount):
                continue
            inside_s = np.minimum(stop, end_s) - np.maximum(begin, end_s - HOUR_S)
            hours = inside_s > 0
            share = amount * inside_s[hours] / (stop - begin)
            total[hours] = np.nan_to_num(total[hours]) + share
        return total

    def within(self, low: float, high: float) -> tuple[Layer, int]:
        """Return the layer with what lies outside the limits as missing, and how much that was."""
        strange = (self.values < low) | (self.values > high)
        kept = np.where(strange, np.nan, self.values)
        return Layer(self.begin_s, self.stop_s, kept), int(strange.sum())


def layer_of(told: object, units: Mapping[str, Convert]) -> Layer | None:
    """Return a layer from its JSON; None if there is none, or it holds nothing.

    Parameters
    ----------
    told : the JSON as Python has it.
    units : those that make sense of this layer, and what makes ours of a value.

    Raises
    ------
    LayerError : it is in another unit, or has another shape.
    """
    if told is None:
        return None
    if not isinstance(told, Mapping) or not isinstance(told.get("values"), list):
        raise LayerError("it has no values")
    values = told["values"]
    if not values:
        return None
    if len(values) > MOST_VALUES:
        raise LayerError(f"it has {len(values)} values, more than it ever gives")
    # The registry's older prefix was "unit:"; what follows is the unit either way.
    unit = str(told.get("uom")).rpartition(":")[2]
    if unit not in units:
        raise LayerError(f"it is in {short(told.get('uom'))}, not in {' or '.join(units)}")
    rows = [_row(value, units[unit]) for value in values]
    begin_s, stop_s, numbers = (list(column) for column in zip(*rows, strict=True))
    layer = Layer(np.array(begin_s, np.int64), np.array(stop_s, np.int64), np.array(numbers))
    if np.any(np.diff(layer.begin_s) <= 0) or np.any(layer.begin_s[1:] < layer.stop_s[:-1]):
        raise LayerError("its intervals do not follow one another")
    if layer.stop_s[-1] - layer.begin_s[0] > 2 * MOST_DAYS * 86_400:
        raise LayerError(f"it covers more than {2 * MOST_DAYS} days")
    return None if np.isnan(layer.values).all() else layer


def _row(told: object, ours: Convert) -> tuple[int, int, float]:
    if not isinstance(told, Mapping):
        raise LayerError(f"{short(told)} is not an interval with its value")
    begin_s, stop_s = interval(told.get("validTime"))
    value = told.get("value")
    if value is None:
        return begin_s, stop_s, float("nan")
    figure = number(value)
    if figure is None:
        raise LayerError(f"{short(value)} is not a number")
    return begin_s, stop_s, ours(figure)


def interval(told: object) -> tuple[int, int]:
    """Return the beginning and the end of an interval of ISO 8601 [UTC epoch s], or raise.

    >>> interval("2019-07-04T18:00:00+00:00/PT3H")
    (1562263200, 1562274000)
    """
    begin, _, length = str(told).partition("/")
    at, parts = moment(begin), _LENGTH.fullmatch(length)
    if at is None or parts is None:
        raise LayerError(f"{short(told)} is not an interval such as 2019-07-04T18:00:00+00:00/PT3H")
    days, hours, minutes = (int(part or 0) for part in parts.groups())
    length_s = days * 86_400 + hours * 3600 + minutes * 60
    if not 0 < length_s <= MOST_DAYS * 86_400:
        raise LayerError(f"{short(told)} is not an interval of a forecast")
    return int(at.timestamp()), int(at.timestamp()) + length_s
