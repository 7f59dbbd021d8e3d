"""A fact as the journal writes it down: a few columns, and its body as JSON text."""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from typing import Any, NoReturn

from irrigate.errors import JournalError
from irrigate.garden import events
from irrigate.garden.events import Body, Claimed, Fact, Unknown
from irrigate.outside.journal.shapes import shape_of, where_and_what
from irrigate.outside.journal.tables import rounded_table

Plain = dict[str, Any]

COMPRESSED_ABOVE = 1024
"""Bytes of text above which a body is kept compressed."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of body: its name for ever, the version of its form, and how to read older forms.

    Any change of a form that its defaults do not cover takes a new version, and an entry in
    ``upgrades``: from the version it reads, to the plain form of the next.
    """

    name: str
    body: type[Body]
    version: int = 1
    upgrades: Mapping[int, Callable[[Plain], Plain]] = field(default_factory=dict)


KINDS: tuple[Kind, ...] = (
    Kind("weather", events.WeatherHours),
    Kind("forecast", events.Forecast),
    Kind("forecast members", events.ForecastMembers),
    Kind("forecast scored", events.ForecastScored),
    Kind("rain at pots", events.RainAtPots),
    Kind("pot seen", events.PotSeen),
    Kind("garden", events.GardenVersion),
    Kind("planted", events.Planted),
    Kind("canopy", events.CanopyMeasured),
    Kind("resized", events.Resized),
    Kind("marked", events.Marked),
    Kind("tended", events.Tended),
    Kind("given", events.Given),
    Kind("till ran", events.TillRan),
    Kind("weighed", events.Weighed),
    Kind("finger", events.Finger),
    Kind("wilting", events.Wilting),
    Kind("probe", events.Probe),
    Kind("probe raw", events.ProbeRaw),
    Kind("drained", events.Drained),
    Kind("foretold", events.Foretold),
    Kind("round told", events.RoundTold),
    Kind("round answered", events.RoundAnswered),
    Kind("decided", events.Decided),
    Kind("claimed", events.Claimed),
    Kind("delivered", events.Delivered),
    Kind("heard", events.Heard),
    Kind("refused", events.Refused),
    Kind("retracted", events.Retracted),
)


@dataclass(frozen=True, slots=True)
class Stored:
    """A fact in columns; ``claim`` is the key of a `Claimed`, else None; times in UTC µs."""

    id: str
    valid_us: int
    recorded_us: int
    kind: str
    version: int
    content: str | bytes
    who: str
    channel: str
    confidence: float
    supersedes: str | None
    claim: str | None


class Codec:
    """Writes facts down and reads them back, by a table of kinds."""

    def __init__(self, kinds: Iterable[Kind] = KINDS) -> None:
        self._by_name = {kind.name: kind for kind in kinds}
        self._by_body = {kind.body: kind for kind in self._by_name.values()}

    def known(self, bodies: Iterable[type] | None = None) -> list[tuple[str, int]]:
        """Return the name and the newest readable version of each kind (of all, for None)."""
        chosen = self._by_body if bodies is None else [b for b in bodies if b is not Unknown]
        return [(self._by_body[body].name, self._by_body[body].version) for body in chosen]

    def stored(self, fact: Fact) -> Stored:
        """Return the fact in columns, its weather rounded; what cannot be kept is refused."""
        kind, version, text = self._written(fact)
        stored = Stored(
            id=fact.id,
            valid_us=microseconds(fact.valid_at),
            recorded_us=microseconds(fact.recorded_at),
            kind=kind,
            version=version,
            content=packed(text),
            who=fact.who,
            channel=fact.channel,
            confidence=_plain(float, fact.confidence, f"fact {fact.id}: confidence"),
            supersedes=fact.supersedes,
            claim=fact.body.key if isinstance(fact.body, Claimed) else None,
        )
        for words in (stored.id, stored.who, stored.channel, stored.supersedes, stored.claim, text):
            _refuse_broken_text(fact.id, words)
        return stored

    def fact(self, stored: Stored) -> Fact:
        """Return the fact that the columns hold."""
        return Fact(
            id=stored.id,
            valid_at=moment(stored.valid_us),
            recorded_at=moment(stored.recorded_us),
            body=self._read(stored),
            who=stored.who,
            channel=stored.channel,
            confidence=stored.confidence,
            supersedes=stored.supersedes,
        )

    def _written(self, fact: Fact) -> tuple[str, int, str]:
        """Return name, version and text of a fact's body."""
        body = fact.body
        if isinstance(body, Unknown):
            name, _, version = body.kind.rpartition("/")
            if not name or not version.isdecimal():
                raise JournalError(f"fact {fact.id}: {body.kind!r} is not a kind and a version")
            return name, int(version), body.payload
        kind = self._by_body.get(type(body))
        if kind is None:
            raise JournalError(f"fact {fact.id}: the journal has no form for {type(body).__name__}")
        plain = _plain(kind.body, body, f"fact {fact.id}: {kind.name}")
        text = json.dumps(plain, separators=(",", ":"), allow_nan=False)
        return kind.name, kind.version, text

    def _read(self, stored: Stored) -> Body:
        """Return the body; a kind or version that is not known stays as it was written."""
        kind = self._by_name.get(stored.kind)
        text = unpacked(stored.id, stored.content)
        if kind is None or stored.version > kind.version:
            return Unknown(f"{stored.kind}/{stored.version}", text)
        try:
            plain = json.loads(text, parse_constant=_refuse_constant)
            for version in range(stored.version, kind.version):
                plain = kind.upgrades[version](plain)
            body: Body = shape_of(kind.body).value(plain)
        except (ValueError, LookupError, TypeError, ArithmeticError, RecursionError) as error:
            why = where_and_what(error) if isinstance(error, ValueError) else repr(error)
            raise JournalError(
                f"fact {stored.id}: what the journal holds as {stored.kind}/{stored.version} "
                f"cannot be read: {why}"
            ) from error
        return body


def rounded(body: Body) -> Body:
    """Return the body with its weather as it will be kept, so that what is used is what is kept."""
    if isinstance(body, events.WeatherHours | events.Forecast):
        return replace(body, hours=rounded_table(body.hours))
    return body


def packed(text: str) -> str | bytes:
    """Return the text, compressed if it is long."""
    content = text.encode("utf-8", errors="surrogatepass")
    return zlib.compress(content, 9) if len(content) > COMPRESSED_ABOVE else text


def unpacked(fact_id: str, content: str | bytes) -> str:
    """Return the text that was packed."""
    if isinstance(content, str):
        return content
    try:
        return zlib.decompress(content).decode("utf-8")
    except (zlib.error, UnicodeDecodeError) as error:
        raise JournalError(f"fact {fact_id}: its content is damaged: {error}") from error


def microseconds(at: datetime) -> int:
    """Return a moment as whole microseconds since 1970 (UTC)."""
    if at.utcoffset() is None:
        raise JournalError(f"{at.isoformat()} has no time zone: the journal keeps UTC only")
    return (at - _EPOCH) // _MICROSECOND


def moment(us: int) -> datetime:
    """Return the moment so many microseconds after 1970 (UTC)."""
    return _EPOCH + timedelta(microseconds=us)


def _plain(hint: Any, value: Any, where: str) -> Any:
    try:
        return shape_of(hint).plain(value)
    except ValueError as error:
        raise JournalError(f"{where}: {where_and_what(error)}") from error


def _refuse_broken_text(fact_id: str, words: str | None) -> None:
    try:
        (words or "").encode("utf-8")
    except UnicodeEncodeError as error:
        raise JournalError(f"fact {fact_id!a}: text that is no text: {words!a}") from error


def _refuse_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a finite number")
