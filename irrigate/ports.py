"""The openings in the wall: what the service asks of the world outside.

Each protocol has a real adapter and an in-memory sibling in `irrigate.outside`, both shipped.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Protocol

from irrigate.garden.events import Fact
from irrigate.garden.member_hours import MemberHours
from irrigate.garden.pots import Garden, Person, Site
from irrigate.garden.weather import HourlyWeather


class Clock(Protocol):
    """The time, and whether it can be trusted."""

    def now(self) -> datetime:
        """Return the present moment (UTC, aware)."""

    def monotonic_s(self) -> float:
        """Return seconds on a clock that never steps."""


@dataclass(frozen=True, slots=True)
class Fetched:
    """What a weather source knew at one moment: hours gone by and hours to come, raw (NaN).

    ``told_by`` is who tells the hours gone by, where that is another source.
    ``members`` is its ensemble, if it has one and it is new; ``members_run`` tells one run of it
    from another. Where stations of one's own took part, ``measured_by`` names them and
    ``measured_s`` has the ends of the hours that they told [UTC epoch s]; hours gone by that end
    after ``awaited_s`` and are not among those may still be measured. ``troubles`` are other
    sources that failed meanwhile, by name, and why.
    """

    source: str
    model_run: str
    attribution: str
    fetched_at: datetime
    hours: HourlyWeather
    remarks: tuple[str, ...] = ()
    members: MemberHours | None = None
    members_run: str = ""
    told_by: str = ""
    measured_by: str = ""
    measured_s: frozenset[int] = frozenset()
    awaited_s: int | None = None
    troubles: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Trouble:
    """A source of weather that has failed since some moment, and why it did the last time."""

    source: str
    since: datetime
    why: str


class WeatherSource(Protocol):
    """One provider of weather; a fetch may take seconds, and raises `WeatherError`."""

    name: str

    def fetch(self, site: Site, now: datetime) -> Fetched:
        """Return hours past and to come around ``now``."""


class Weather(Protocol):
    """The newest weather at hand, without waiting for it."""

    def latest(self, now: datetime) -> Fetched | None:
        """Return the newest fetch not yet returned, or None."""


@dataclass(frozen=True, slots=True)
class Message:
    """What one person is to read: a title fit for a lock screen, and a body.

    ``repeated`` marks one that may have been received before a crash. ``expires_at`` (UTC) is
    when it stops being of use: it is not delivered later than that.
    """

    key: str
    person: Person
    title: str
    body: str
    urgent: bool = False
    repeated: bool = False
    expires_at: datetime | None = None


class Channel(Protocol):
    """One way to reach people; ``deliver`` may take seconds, and raises `DeliveryError`."""

    name: str

    def deliver(self, message: Message) -> None:
        """Hand the message over, or raise."""


@dataclass(frozen=True, slots=True)
class Receipt:
    """What became of one message at one attempt, told by whoever delivers.

    ``person`` is "name/way": each way to reach somebody has receipts of its own. ``final`` is
    False while it will be tried again.
    """

    key: str
    person: str
    ok: bool
    attempt: int
    at: datetime
    detail: str = ""
    final: bool = True


class Outbox(Protocol):
    """Takes messages for delivery and returns receipts as they come."""

    def post(self, message: Message) -> None:
        """Accept a message; returns at once."""

    def receipts(self) -> list[Receipt]:
        """Return the receipts since the last call."""


@dataclass(frozen=True, slots=True)
class Item:
    """One thing that a person or a device handed in, in its own words.

    ``key`` makes a repeat harmless; ``at`` is when it was so, if said, else None.
    """

    key: str
    received_at: datetime
    who: str
    channel: str
    text: str
    at: datetime | None = None


class Inbox(Protocol):
    """Durable before "logged" is said; works while the daemon is down."""

    def put(self, item: Item) -> None:
        """Keep the item; it is on disk when this returns."""

    def waiting(self) -> list[Item]:
        """Return what has not been marked done, in order of arrival."""

    def done(self, keys: Sequence[str]) -> None:
        """Forget the items: their facts are in the journal."""


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """A belief at one moment, as bytes, and how much of the journal it has seen."""

    valid_at: datetime
    position: int
    format: int
    content: bytes


class Journal(Protocol):
    """The append-only record; the daemon alone writes."""

    def append(self, facts: Sequence[Fact], *, durable: bool = False) -> None:
        """Add facts in one transaction; a known id is passed over. ``durable``: on the platter."""

    def claim(self, fact: Fact) -> bool:
        """Append a `Claimed` fact durably unless its key was claimed before; say which."""

    def claimed(self, key: str) -> bool:
        """Return whether the key has been claimed."""

    def position(self) -> int:
        """Return how many facts there are; it only grows."""

    def since(self, position: int) -> list[Fact]:
        """Return the facts appended after ``position``, in order of appending."""

    def facts(
        self,
        kinds: Sequence[type] | None = None,
        *,
        valid_after: datetime | None = None,
        valid_until: datetime | None = None,
    ) -> list[Fact]:
        """Return facts by (valid_at, recorded_at, id): after (exclusive) and until (inclusive)."""

    def newest(self, kind: type, *, valid_until: datetime | None = None) -> Fact | None:
        """Return the last fact of a kind in the total order, without reading the rest."""

    def oldest(self, kind: type) -> Fact | None:
        """Return the first fact of a kind."""

    def fact(self, fact_id: str) -> Fact | None:
        """Return one fact."""

    def save_checkpoint(self, checkpoint: Checkpoint) -> None:
        """Keep a checkpoint beside the facts; only the newest few are kept."""

    def checkpoint(self, before: datetime, position: int) -> Checkpoint | None:
        """Return the newest checkpoint valid at or before ``before`` that saw <= ``position``."""

    def drop_checkpoints(self, valid_after: datetime) -> None:
        """Forget checkpoints valid after this moment: a late fact changed what they hold."""

    def backup(self, path: Path) -> None:
        """Copy the whole journal to ``path`` while it stays in use."""

    def close(self) -> None:
        """Let go of it."""


@dataclass(frozen=True, slots=True)
class GardenText:
    """What the garden file says: the garden without identities minted yet, and its digest."""

    garden: Garden
    digest: str
    renamed: tuple[tuple[str, str], ...] = ()  # (old label, new label)


class GardenFile(Protocol):
    """The YAML that the gardener wrote; raises `GardenFileError` with every fault."""

    def read(self) -> GardenText:
        """Read, check and resolve it; ids are empty strings, to be minted by the cycle."""
