"""What reading a garden file yields: the garden, the service's own settings, what to remark."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from irrigate.garden.pots import Garden


@dataclass(frozen=True, slots=True)
class WeatherChoice:
    """Where the weather comes from: a provider by name, or a station's table.

    ``wind_height_m`` is that of the table's wind sensor; a provider knows its own. ``ensemble``
    says whether the provider is asked for its ensemble, too.
    """

    provider: str = "open-meteo"
    csv: Path | None = None
    wind_height_m: float = 2.0
    ensemble: bool = False


@dataclass(frozen=True, slots=True)
class ServiceSettings:
    """What the service needs besides the garden; secrets and folders are not written here."""

    weather: WeatherChoice = WeatherChoice()
    reach: tuple[str, ...] = ("console",)


@dataclass(frozen=True, slots=True)
class Assumed:
    """Values that were not said, and where they were taken from instead."""

    what: tuple[str, ...]
    whence: str


@dataclass(frozen=True, slots=True)
class PotReading:
    """How one pot's description was understood, in words.

    ``more`` is what else was said of pot and plant, ``assumed`` what was not said.
    """

    label: str
    vessel: str
    mix: str
    size: str
    more: tuple[str, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Settings:
    """A garden file, read and resolved.

    Parameters
    ----------
    garden : without identities; ids are empty, walk is the order of the file.
    digest : SHA-256 of the file's bytes.
    renamed : (old label, new label) of every ``was:``.
    service : what the service needs besides the garden.
    remarks : sentences for the gardener: defaults used, readings that could surprise.
    readings : by label, how each pot was understood.
    risk : what is accepted for pots that say nothing of it [0–1].
    unsaid : paths of the keys that the file leaves out, of its top and of its places.
    """

    garden: Garden
    digest: str
    renamed: tuple[tuple[str, str], ...]
    service: ServiceSettings
    remarks: tuple[str, ...]
    readings: Mapping[str, PotReading]
    risk: float
    unsaid: frozenset[tuple[str, ...]] = frozenset()
