"""Frozen values to plain JSON values and back, told by their type hints.

Both ways are strict: what would not come back as it went in is refused when it goes in, by a
`ValueError` whose notes lead from the value at fault outwards.
"""

from __future__ import annotations

import math
import numbers
import reprlib
import types
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import MISSING, dataclass, fields, is_dataclass
from datetime import UTC, date, datetime, time
from typing import Any, Literal, NoReturn, Union, get_args, get_origin, get_type_hints

from irrigate.errors import IrrigateError
from irrigate.garden.actions import Ask, Hold, Tell
from irrigate.garden.vessels import RoundBowl, RoundTaper, SquareTaper, Trough, Vessel
from irrigate.garden.weather import HourlyWeather
from irrigate.outside.journal.tables import plain_table, table_of

TAG = "is"
"""Where one of several shapes may stand, this key says which; no field can bear this name."""

TAGS: Mapping[type, str] = {
    Tell: "tell",
    Hold: "hold",
    Ask: "ask",
    RoundTaper: "round taper",
    SquareTaper: "square taper",
    Trough: "trough",
    RoundBowl: "round bowl",
}
"""The names of such shapes for ever, whatever the classes are called later."""

_FAMILIES: Mapping[type, tuple[type, ...]] = {
    Vessel: (RoundTaper, SquareTaper, Trough, RoundBowl),
}


@dataclass(frozen=True, slots=True)
class Shape:
    """How values of one type become plain, and plain values become them."""

    plain: Callable[[Any], Any]
    value: Callable[[Any], Any]


_shapes: dict[Any, Shape] = {}


def shape_of(hint: Any) -> Shape:
    """Return the shape that a type hint describes; a `TypeError` if it describes none we keep."""
    if hint not in _shapes:
        _shapes[hint] = _described(hint)
    return _shapes[hint]


def where_and_what(error: ValueError) -> str:
    """Return what is wrong with a value, and where in the whole it lies."""
    path = "".join(reversed(getattr(error, "__notes__", [])))
    return f"{path.lstrip('.')}: {error}" if path else str(error)


def _described(hint: Any) -> Shape:
    origin, arguments = get_origin(hint), get_args(hint)
    if hint in _SIMPLE:
        return _SIMPLE[hint]
    if hint in _FAMILIES:
        return _one_of(_FAMILIES[hint])
    if origin is Literal:
        return _same(lambda value: value in arguments, f"one of {', '.join(map(str, arguments))}")
    if origin is tuple and len(arguments) == 2 and arguments[1] is Ellipsis:
        return _row(shape_of(arguments[0]))
    if origin is tuple:
        return _fixed_row([shape_of(argument) for argument in arguments])
    if origin is Mapping and arguments[0] is str:
        return _mapping(shape_of(arguments[1]))
    if origin in (Union, types.UnionType):
        choices = tuple(argument for argument in arguments if argument is not type(None))
        shape = shape_of(choices[0]) if len(choices) == 1 else _one_of(choices)
        return shape if len(choices) == len(arguments) else _optional(shape)
    if is_dataclass(hint) and isinstance(hint, type):
        return _record(hint)
    raise TypeError(f"the journal has no form for {hint}")


# --- single values --------------------------------------------------------------------------
def _refuse(value: Any, name: str) -> NoReturn:
    raise ValueError(f"{reprlib.repr(value)} is not {name}")


def _same(fits: Callable[[Any], bool], name: str) -> Shape:
    def check(value: Any) -> Any:
        if not fits(value):
            _refuse(value, name)
        return value

    return Shape(check, check)


def _number(value: Any) -> float:
    # A number out of an array is as good as a plain one, and becomes one.
    if isinstance(value, bool) or not isinstance(value, numbers.Real) or not math.isfinite(value):
        _refuse(value, "a finite number")
    return float(value)


def _count(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, numbers.Integral):
        _refuse(value, "a count")
    return int(value)


def _moment(value: Any) -> str:
    if not isinstance(value, datetime) or value.utcoffset() is None:
        _refuse(value, "a moment with a time zone")
    return value.astimezone(UTC).isoformat()


def _local_time(value: Any) -> str:
    if not isinstance(value, time) or value.tzinfo is not None:
        _refuse(value, "a time of day in the garden's own zone")
    return value.isoformat()


def _day(value: Any) -> str:
    if not isinstance(value, date) or isinstance(value, datetime):
        _refuse(value, "a day")
    return value.isoformat()


def _weather(value: Any) -> dict[str, Any]:
    if not isinstance(value, HourlyWeather):
        _refuse(value, "a table of hours")
    return plain_table(value)


def _read(parse: Callable[[str], Any], name: str) -> Callable[[Any], Any]:
    def value(plain: Any) -> Any:
        try:
            return parse(plain)
        except (TypeError, ValueError, OverflowError) as error:
            raise ValueError(f"not {name}: {error}") from error

    return value


def _utc(plain: str) -> datetime:
    moment = datetime.fromisoformat(plain)
    if moment.utcoffset() is None:
        raise ValueError("no time zone")
    return moment.astimezone(UTC)


_SIMPLE: Mapping[Any, Shape] = {
    str: _same(lambda value: isinstance(value, str), "text"),
    bool: _same(lambda value: isinstance(value, bool), "true or false"),
    int: Shape(_count, _count),
    float: Shape(_number, _number),
    datetime: Shape(_moment, _read(_utc, "a moment")),
    time: Shape(_local_time, _read(time.fromisoformat, "a time of day")),
    date: Shape(_day, _read(date.fromisoformat, "a day")),
    HourlyWeather: Shape(_weather, _read(table_of, "a table of hours")),
}


# --- values made of others ------------------------------------------------------------------
@contextmanager
def _inside(step: str) -> Iterator[None]:
    """Note on a fault that it lies inside this step."""
    try:
        yield
    except ValueError as error:
        error.add_note(step)
        raise


def _optional(shape: Shape) -> Shape:
    return Shape(
        lambda value: None if value is None else shape.plain(value),
        lambda plain: None if plain is None else shape.value(plain),
    )


def _each(convert: Callable[[Any], Any], values: Any) -> list[Any]:
    converted = []
    for index, value in enumerate(values):
        with _inside(f"[{index}]"):
            converted.append(convert(value))
    return converted


def _must_be(value: Any, kind: type, name: str) -> None:
    if not isinstance(value, kind):
        _refuse(value, name)


def _row(shape: Shape) -> Shape:
    def plain(value: Any) -> list[Any]:
        _must_be(value, tuple, "a row")
        return _each(shape.plain, value)

    def value_of(plain: Any) -> tuple[Any, ...]:
        _must_be(plain, list, "a list")
        return tuple(_each(shape.value, plain))

    return Shape(plain, value_of)


def _fixed_row(shapes: list[Shape]) -> Shape:
    def plain(value: Any) -> list[Any]:
        _must_be(value, tuple, "a row")
        return _each(lambda pair: pair[0].plain(pair[1]), _paired(shapes, value))

    def value_of(plain: Any) -> tuple[Any, ...]:
        _must_be(plain, list, "a list")
        return tuple(_each(lambda pair: pair[0].value(pair[1]), _paired(shapes, plain)))

    return Shape(plain, value_of)


def _paired(shapes: list[Shape], values: Any) -> list[tuple[Shape, Any]]:
    if len(values) != len(shapes):
        raise ValueError(f"has {len(values)} values instead of {len(shapes)}")
    return list(zip(shapes, values, strict=True))


def _mapping(shape: Shape) -> Shape:
    def convert(side: Callable[[Any], Any], values: Any) -> dict[str, Any]:
        _must_be(values, Mapping, "a mapping")
        converted = {}
        for key, value in values.items():
            _must_be(key, str, "text")
            with _inside(f"[{key!r}]"):
                converted[key] = side(value)
        return converted

    return Shape(
        lambda values: convert(shape.plain, values), lambda values: convert(shape.value, values)
    )


def _one_of(choices: tuple[type, ...]) -> Shape:
    shapes = {choice: shape_of(choice) for choice in choices}
    by_tag = {TAGS[choice]: choice for choice in choices}

    def plain(value: Any) -> dict[str, Any]:
        if type(value) not in shapes:
            _refuse(value, f"one of {', '.join(by_tag)}")
        return {TAG: TAGS[type(value)], **shapes[type(value)].plain(value)}

    def value_of(plain: Any) -> Any:
        _must_be(plain, dict, "a mapping")
        if plain.get(TAG) not in by_tag:
            _refuse(plain.get(TAG), f"one of {', '.join(by_tag)}")
        rest = {key: value for key, value in plain.items() if key != TAG}
        return shapes[by_tag[plain[TAG]]].value(rest)

    return Shape(plain, value_of)


def _record(kind: type) -> Shape:
    hints = get_type_hints(kind)
    shapes = {field.name: shape_of(hints[field.name]) for field in fields(kind)}
    needed = {
        field.name
        for field in fields(kind)
        if field.default is MISSING and field.default_factory is MISSING
    }

    def plain(value: Any) -> dict[str, Any]:
        _must_be(value, kind, f"a {kind.__name__}")
        return _fields(lambda shape: shape.plain, {name: getattr(value, name) for name in shapes})

    def value_of(plain: Any) -> Any:
        _must_be(plain, dict, "a mapping")
        # A field that came later than the fact takes its default; one that is not known is a fault.
        if strange := plain.keys() - shapes.keys() or needed - plain.keys():
            raise ValueError(f"unknown or missing: {', '.join(sorted(strange))}")
        try:
            return kind(**_fields(lambda shape: shape.value, plain))
        except IrrigateError as refusal:
            raise ValueError(str(refusal)) from refusal

    def _fields(side: Callable[[Shape], Callable[[Any], Any]], values: Any) -> dict[str, Any]:
        converted = {}
        for name, value in values.items():
            with _inside(f".{name}"):
                converted[name] = side(shapes[name])(value)
        return converted

    return Shape(plain, value_of)
