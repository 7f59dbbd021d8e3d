"""The central run laid open for one pot: what each of its numbers is, and which equation's."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from irrigate.garden.moved_so_far import MovedSoFar
from irrigate.garden.place_in_full import PlaceInFull
from irrigate.garden.plant_in_full import PlantInFull
from irrigate.garden.pot_in_full import PotInFull
from irrigate.garden.pots import Place, Pot
from irrigate.garden.surface_in_full import SurfaceInFull
from irrigate.garden.weather import HOUR_S


@dataclass(frozen=True, slots=True)
class HourLine:
    """One (part of an) hour: the weather at the pot, and what it did to the water.

    Parameters
    ----------
    begins_s, ends_s : UTC epoch seconds.
    temperature_c, vapour_pressure_kpa : of the air.
    solar_open_mj_m2, wind_open_m_s : on open ground; solar_mj_m2, wind_m_s : at the pots.
    et0_mm : reference evapotranspiration at the place [mm in the time].
    begin_l, begin_surface_mm, begin_below_l, strain : the pot at its start.
    back_l : taken back from below [L]. dried_l, stood_l, breathed_l : evaporated from the surface,
        from the basin, through the wall [L].
    asked_l : what the plant would drink if water were free [L]. reach_l : water within its reach
        when it drinks [L]. stress : Ks then.
    drunk_l : transpired [L].
    end_l, end_surface_mm, end_below_l, share_left : afterwards.
    """

    begins_s: float
    ends_s: float
    temperature_c: float
    vapour_pressure_kpa: float
    solar_open_mj_m2: float
    solar_mj_m2: float
    wind_open_m_s: float
    wind_m_s: float
    et0_mm: float
    begin_l: float
    begin_surface_mm: float
    begin_below_l: float
    strain: float
    back_l: float
    dried_l: float
    stood_l: float
    breathed_l: float
    asked_l: float
    reach_l: float
    stress: float
    drunk_l: float
    end_l: float
    end_surface_mm: float
    end_below_l: float
    share_left: float

    @property
    def hours(self) -> float:
        """How long it is [h]."""
        return (self.ends_s - self.begins_s) / HOUR_S


@dataclass(frozen=True, slots=True)
class Explanation:
    """The whole working for one pot.

    Parameters
    ----------
    pot, place : which. begins, until : the time it spans (UTC).
    believed : the middle values. so_far : what moved before.
    hours : one after the other.
    chosen : index of the hour worked in full, the one that asks most.
    at_place, plant, surface : that hour in full; reference ET over a whole hour.
    stored : the numbers kept with a decision, as they come out now, by name.
    """

    pot: Pot
    place: Place
    begins: datetime
    until: datetime
    believed: PotInFull
    so_far: MovedSoFar
    hours: tuple[HourLine, ...]
    chosen: int
    at_place: PlaceInFull
    plant: PlantInFull
    surface: SurfaceInFull
    stored: dict[str, float]

    @property
    def hour(self) -> HourLine:
        """The hour that is worked in full."""
        return self.hours[self.chosen]
