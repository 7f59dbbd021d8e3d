"""What is written down comes back as it was, and what cannot come back is refused."""

from __future__ import annotations

import json
import types
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, timezone
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.errors import JournalError
from irrigate.garden.actions import Tell
from irrigate.garden.events import (
    BODIES,
    Body,
    Claimed,
    Decided,
    Fact,
    Forecast,
    GardenVersion,
    Given,
    Heard,
    Unknown,
    WeatherHours,
)
from irrigate.garden.media import Medium
from irrigate.garden.vessels import RoundBowl, RoundTaper, SquareTaper, Trough, Vessel
from irrigate.garden.weather import HourlyWeather, empty_weather
from irrigate.outside.journal.codec import COMPRESSED_ABOVE, KINDS, Codec, Kind, Stored, rounded
from irrigate.outside.journal.tables import DECIMALS, rounded_table

NOON = datetime(2025, 7, 1, 12, 0, 0, 123456, tzinfo=UTC)


# --- values of every shape, made from the type hints -----------------------------------------
def table_of_hours(size: int, start: int, gaps: list[int]) -> HourlyWeather:
    """Make a table of hours of plausible numbers, finer than what is kept."""
    steps = 3600 * np.cumsum(np.array([start, *gaps[: size - 1]])) if size else []
    chance = np.random.Generator(np.random.Philox(size + start))
    columns = {name: chance.normal(0, 9, size) for name in DECIMALS}
    codes = {"origin": chance.integers(0, 3, size), "filled": chance.integers(0, 32, size)}
    return HourlyWeather(
        end_s=np.array(steps, dtype=np.int64),
        **columns,
        **{name: code.astype(np.uint8) for name, code in codes.items()},
    )


tables = st.integers(0, 60).flatmap(
    lambda size: st.builds(
        table_of_hours,
        st.just(size),
        st.integers(0, 500_000),
        st.lists(st.integers(1, 3), min_size=size, max_size=size) | st.just([1] * size),
    )
)
lengths = st.floats(0.01, 5.0)
moments = st.integers(0, 7 * 10**15).map(
    lambda us: datetime(1971, 1, 1, tzinfo=UTC) + timedelta(microseconds=us)
)


def vessels(shape: type[Vessel]) -> st.SearchStrategy[Any]:
    """Make vessels of one shape that can be."""
    sizes = {f.name: lengths for f in fields(shape) if f.name not in ("headspace_m", "open_base")}  # type: ignore[arg-type]
    return st.builds(shape, **sizes)


media = st.builds(
    Medium,
    name=st.text(),
    theta_r=st.floats(0, 0.2),
    theta_s=st.floats(0.5, 0.95),
    alpha_per_cm=st.floats(0.001, 1),
    n=st.floats(1.1, 5),
    lower_limit=st.floats(0.2, 0.45),
    rew_mm=st.floats(0, 20),
    bulk_density_kg_l=st.floats(0.05, 2),
    rewet_below=st.floats(0, 0.5),
    mineral=st.booleans(),
    source=st.text(),
)
SPECIAL: dict[Any, st.SearchStrategy[Any]] = {
    str: st.text(),
    bool: st.booleans(),
    int: st.integers(),
    float: st.floats(allow_nan=False, allow_infinity=False),
    datetime: moments,
    date: st.dates(),
    time: st.times(),
    type(None): st.none(),
    HourlyWeather: tables.map(rounded_table),
    Medium: media,
    Vessel: st.one_of([vessels(one) for one in (RoundTaper, SquareTaper, Trough, RoundBowl)]),
}


def values(hint: Any) -> st.SearchStrategy[Any]:
    """Make values of a type hint."""
    origin, arguments = get_origin(hint), get_args(hint)
    if hint in SPECIAL:
        return SPECIAL[hint]
    if origin is Literal:
        return st.sampled_from(arguments)
    if origin is tuple and arguments[-1] is Ellipsis:
        return st.lists(values(arguments[0]), max_size=2).map(tuple)
    if origin is tuple:
        return st.tuples(*map(values, arguments))
    if origin is Mapping:
        return st.dictionaries(values(arguments[0]), values(arguments[1]), max_size=3)
    if origin in (Union, types.UnionType):
        return st.one_of([values(argument) for argument in arguments])
    assert is_dataclass(hint), hint
    hints = get_type_hints(hint)
    return st.builds(hint, **{field.name: values(hints[field.name]) for field in fields(hint)})


def facts(bodies: st.SearchStrategy[Any]) -> st.SearchStrategy[Fact]:
    """Make facts around bodies."""
    return st.builds(
        Fact,
        id=st.text(),
        valid_at=moments,
        recorded_at=moments,
        body=bodies,
        who=st.text(),
        channel=st.text(),
        confidence=st.floats(0, 1),
        supersedes=st.none() | st.text(),
    )


def same(one: Any, other: Any) -> bool:
    """Say whether two values are equal in type and to the last bit, tables included."""
    if isinstance(one, np.ndarray):
        return one.dtype == other.dtype and np.array_equal(one, other)
    if is_dataclass(one):
        return type(one) is type(other) and all(
            same(getattr(one, field.name), getattr(other, field.name)) for field in fields(one)
        )
    if isinstance(one, tuple):
        return isinstance(other, tuple) and all(map(same, one, other)) and len(one) == len(other)
    return type(one) is type(other) and bool(one == other)


def fact_of(body: Body, **changes: Any) -> Fact:
    """Make a fact around one body."""
    return replace(Fact("f-1", NOON, NOON + timedelta(seconds=1), body), **changes)


CODEC = Codec()
GARDEN_LIKE = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])


# --- there and back ----------------------------------------------------------------------------
@pytest.mark.parametrize("body", BODIES, ids=lambda body: body.__name__)
def test_every_kind_of_fact_comes_back_as_it_was(body: type[Body]) -> None:
    """Writing down and reading back changes nothing, for any value of any kind of body."""

    @GARDEN_LIKE
    @given(facts(values(body)))
    def check(fact: Fact) -> None:
        stored = CODEC.stored(fact)
        assert same(CODEC.fact(stored), fact)
        assert CODEC.stored(CODEC.fact(stored)) == stored

    check()


def test_every_body_has_one_kind_and_every_kind_a_name_of_its_own() -> None:
    """No body is forgotten, and no two share a name."""
    assert {kind.body for kind in KINDS} == set(BODIES)
    assert len({kind.name for kind in KINDS}) == len(KINDS) == len(BODIES)


@given(tables)
def test_weather_is_rounded_before_it_is_kept_and_once_is_enough(table: HourlyWeather) -> None:
    """What is read back is what `rounded` gives, within half of the last decimal."""
    fact = fact_of(WeatherHours("here", table))
    kept = CODEC.fact(CODEC.stored(fact)).body
    assert same(kept, rounded(fact.body))
    assert same(rounded(kept), kept)
    assert isinstance(kept, WeatherHours)
    for name, decimals in DECIMALS.items():
        off = np.abs(getattr(kept.hours, name) - getattr(table, name))
        assert np.all(off <= 0.5 * 10.0**-decimals + 1e-12)


def test_no_negative_zero_is_kept() -> None:
    """A temperature that rounds to zero from below is zero."""
    cold = replace(table_of_hours(1, 5, []), temperature_c=np.array([-0.001]))
    assert not np.signbit(rounded_table(cold).temperature_c[0])


def test_a_table_of_no_hours_is_a_table() -> None:
    """An empty table comes back empty."""
    fact = fact_of(Forecast("here", "run 1", empty_weather()))
    assert same(CODEC.fact(CODEC.stored(fact)), fact)


def test_numbers_out_of_arrays_become_plain_ones() -> None:
    """A numpy number is kept by its value, and read back as a float."""
    fact = fact_of(Given("p-1", np.float32(0.25), spread=np.float64(0.5)))  # type: ignore[arg-type]
    body = CODEC.fact(CODEC.stored(fact)).body
    assert isinstance(body, Given)
    assert (type(body.volume_l), body.volume_l, body.spread) == (float, 0.25, 0.5)


def test_a_moment_told_in_another_zone_is_kept_in_utc() -> None:
    """Noon in UTC+2 is ten o'clock UTC, in the columns and in the body."""
    noon = datetime(2025, 7, 1, 12, tzinfo=timezone(timedelta(hours=2)))
    tell = Tell("k", "notice", (), noon, noon)
    back = CODEC.fact(CODEC.stored(fact_of(Decided(tell), valid_at=noon)))
    assert back.valid_at.isoformat() == "2025-07-01T10:00:00+00:00"
    assert isinstance(back.body, Decided)
    assert isinstance(back.body.action, Tell)
    assert back.body.action.at.isoformat() == "2025-07-01T10:00:00+00:00"


def test_long_bodies_are_compressed_and_short_ones_can_be_read_with_the_eye() -> None:
    """A body above one kilobyte is kept as zlib, any other as JSON text."""
    short = CODEC.stored(fact_of(Heard("k", "till it ran")))
    assert short.content == '{"key":"k","text":"till it ran"}'
    long = CODEC.stored(fact_of(Heard("k", "a" * COMPRESSED_ABOVE)))
    assert isinstance(long.content, bytes)
    assert json.loads(zlib.decompress(long.content)) == {"key": "k", "text": "a" * COMPRESSED_ABOVE}


# --- kinds of other releases -------------------------------------------------------------------
names = st.text(st.characters(exclude_categories=["Cs"]), min_size=1).map(
    lambda text: f"new {text}"
)


@given(names, st.integers(0, 10**6), st.text(max_size=3000))
def test_an_unknown_kind_is_kept_as_it_was_written(name: str, version: int, text: str) -> None:
    """A kind of a later release is read as `Unknown`, and written again unchanged."""
    stored = replace(CODEC.stored(fact_of(Heard("k", "x"))), kind=name, version=version)
    packed = CODEC.stored(fact_of(Unknown(f"{name}/{version}", text))).content
    fact = CODEC.fact(replace(stored, content=packed))
    assert fact.body == Unknown(f"{name}/{version}", text)
    again = CODEC.stored(fact)
    assert (again.kind, again.version, again.content) == (name, version, packed)


def test_a_newer_version_of_a_known_kind_is_unknown_too() -> None:
    """What this release may misread it does not read."""
    stored = replace(CODEC.stored(fact_of(Heard("k", "x"))), version=2, content='{"words":"x"}')
    assert CODEC.fact(stored).body == Unknown("heard/2", '{"words":"x"}')


@pytest.mark.parametrize("kind", ["no version", "/1", "name/", "name/x", "name/-1"])
def test_an_unknown_body_must_say_its_kind_and_version(kind: str) -> None:
    """Without both it could not be written as it was."""
    with pytest.raises(JournalError, match="not a kind and a version"):
        CODEC.stored(fact_of(Unknown(kind, "{}")))


@dataclass(frozen=True, slots=True)
class Poured:
    """A third form of a kind, for the test of upgrades only."""

    litres: float
    into: str
    why: str = "thirst"


POURED = Codec(
    [
        Kind(
            "poured",
            Poured,  # type: ignore[arg-type]  # no body of the garden has had an older form yet
            version=3,
            upgrades={
                1: lambda plain: {"ml": plain["ml"], "into": "pot " + plain["pot"]},
                2: lambda plain: {"litres": plain["ml"] / 1000, "into": plain["into"]},
            },
        )
    ]
)


@pytest.mark.parametrize(
    ("version", "content"),
    [
        (1, '{"ml":500,"pot":"7"}'),
        (2, '{"ml":500,"into":"pot 7"}'),
        (3, '{"litres":0.5,"into":"pot 7"}'),
    ],
)
def test_older_forms_are_read_step_by_step(version: int, content: str) -> None:
    """Each version is lifted to the next until it is the newest; a later field has its default."""
    stored = replace(a_stored(), kind="poured", version=version, content=content)
    assert POURED.fact(stored).body == Poured(0.5, "pot 7", "thirst")


def a_stored() -> Stored:
    """Return some fact in columns."""
    return CODEC.stored(fact_of(Heard("k", "x")))


# --- refusals ------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("body", "says"),
    [
        (Given("p-1", float("nan")), "given: volume_l: nan is not a finite number"),
        (Given("p-1", float("-inf")), "given: volume_l: -inf is not a finite number"),
        (Given(7, 1.0), "given: pot_id: 7 is not text"),
        (Given("p-1", True), "given: volume_l: True is not a finite number"),
        (Claimed("\ud800"), "text that is no text"),
        ("words", "no form for str"),
        (
            Decided(Tell("k", "notice", ("a",), NOON, NOON.replace(tzinfo=None))),
            "decided: action.until: .* is not a moment with a time zone",
        ),
    ],
)
def test_what_would_not_come_back_is_refused(body: Any, says: str) -> None:
    """The refusal names the kind, the field and the value."""
    with pytest.raises(JournalError, match=says):
        CODEC.stored(fact_of(body))


@pytest.mark.parametrize(
    "changes",
    [{"id": "\ud800"}, {"who": "\udcff"}, {"channel": "\ud800"}, {"supersedes": "\ud800"}],
)
def test_columns_hold_text_that_is_text(changes: dict[str, str]) -> None:
    """Half a surrogate pair in a column is refused; inside a body JSON can carry it."""
    with pytest.raises(JournalError, match="text that is no text"):
        CODEC.stored(fact_of(Heard("k", "x"), **changes))
    odd = fact_of(Heard("k", "\ud800"))
    assert CODEC.fact(CODEC.stored(odd)) == odd


@pytest.mark.parametrize("name", list(DECIMALS))
@pytest.mark.parametrize("hole", [np.nan, np.inf])
def test_weather_with_holes_is_refused(name: str, hole: float) -> None:
    """A raw table is not kept: it has to be filled first."""
    column = np.array([1.0, hole, 3.0])
    table = replace(table_of_hours(3, 5, [1, 1]), **{name: column})
    with pytest.raises(JournalError, match=f"hours: {name} has a value that is not a finite"):
        CODEC.stored(fact_of(WeatherHours("here", table)))


@pytest.mark.parametrize("which", ["valid_at", "recorded_at"])
def test_a_time_without_a_zone_is_refused(which: str) -> None:
    """The journal keeps UTC, and does not guess."""
    with pytest.raises(JournalError, match="no time zone"):
        CODEC.stored(fact_of(Heard("k", "x"), **{which: NOON.replace(tzinfo=None)}))


@pytest.mark.parametrize("confidence", [float("nan"), "sure", None])
def test_a_confidence_is_a_number(confidence: Any) -> None:
    """How sure somebody is must be a finite number."""
    with pytest.raises(JournalError, match="confidence"):
        CODEC.stored(fact_of(Heard("k", "x"), confidence=confidence))


@pytest.mark.parametrize(
    "content",
    [
        "",
        "{",
        "[]",
        "null",
        '{"key":"k"}',
        '{"key":"k","text":1}',
        '{"key":"k","text":"x","more":1}',
        "[" * 100_000,
        b"not compressed",
        zlib.compress(b"\xff"),
    ],
)
def test_damaged_content_is_a_journal_error(content: str | bytes) -> None:
    """Whatever stands where JSON of the right form should, only a `JournalError` comes out."""
    with pytest.raises(JournalError, match="fact f-1: "):
        CODEC.fact(replace(a_stored(), content=content))


@given(st.data())
@settings(deadline=None)
def test_any_change_of_a_table_is_read_or_refused_but_never_crashes(data: st.DataObject) -> None:
    """A column that lost its type or its length is a `JournalError`."""
    stored = CODEC.stored(fact_of(WeatherHours("here", table_of_hours(4, 9, [1, 2, 1]))))
    assert isinstance(stored.content, str)
    plain = json.loads(stored.content)
    name = data.draw(st.sampled_from([field.name for field in fields(HourlyWeather)]))
    json_like = st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=3),
        lambda inner: st.lists(inner, max_size=5),
        max_leaves=6,
    )
    plain["hours"][name] = data.draw(json_like)
    try:
        fact = CODEC.fact(replace(stored, content=json.dumps(plain)))
    except JournalError:
        return
    assert isinstance(fact.body, WeatherHours)


def test_a_garden_that_could_not_be_is_refused_when_read() -> None:
    """What a vessel's own check refuses is a `JournalError` that says where it lies."""

    @settings(max_examples=1, deadline=None)
    @given(values(GardenVersion).filter(lambda version: version.garden.pots))
    def check(version: GardenVersion) -> None:
        stored = CODEC.stored(fact_of(version))
        text = stored.content
        plain = json.loads(text if isinstance(text, str) else zlib.decompress(text))
        plain["garden"]["pots"][0]["vessel"]["height_m"] = -1.0
        with pytest.raises(JournalError, match=r"garden\.pots\[0\]\.vessel: .*height -1 m"):
            CODEC.fact(replace(stored, content=json.dumps(plain)))

    check()


# --- what was once written -----------------------------------------------------------------------
WRITTEN_BY_FORM_1 = (Path(__file__).parent / "written_by_form_1.jsonl").read_text().splitlines()


def test_what_form_1_wrote_can_be_read_for_ever() -> None:
    """Only guards against change: a line of each kind, kept as written, is still understood."""
    bodies = set()
    for line in WRITTEN_BY_FORM_1:
        fact = CODEC.fact(replace(a_stored(), **json.loads(line)))
        bodies.add(type(fact.body))
        assert same(CODEC.fact(CODEC.stored(fact)), fact)
    assert bodies == set(BODIES)
