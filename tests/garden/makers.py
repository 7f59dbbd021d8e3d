"""Gardens out of the catalogue, and weather for them, for tests."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import numpy as np
from hypothesis import strategies as st

from irrigate.garden.adoption import adopted
from irrigate.garden.events import Body, Fact, GardenVersion
from irrigate.garden.fold import Standing
from irrigate.garden.pots import Garden, Manner, Person, Place, Pot, RoundTime, Site
from irrigate.garden.traits import vitals
from irrigate.garden.vessels import RoundTaper, Vessel
from irrigate.garden.weather import HourlyWeather
from irrigate.settings import catalogue
from tests.garden.hourly_tables import clear_summer

SITE = Site(37.6, -120.8, 40.0, "America/Los_Angeles")
# Midnight UTC; 17:00 the day before in the garden's zone.
START = datetime(2026, 7, 10, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)

YARD = Place("yard", wind=0.5)
PLACES = (YARD, Place("terrace", wind=1.0), Place("porch", shade=0.4, wind=0.4, rain=0.0))
ROUNDS = (RoundTime(time(7)), RoundTime(time(18, 30)))


def a_pot(
    label: str, crop: str = "pepper", medium: str = "potting mix", vessel: Vessel | None = None,
    place: str = "yard", size_m: tuple[float, float] = (0.5, 0.5), **more: object,
) -> Pot:  # fmt: skip
    """Return a pot of the catalogue's plant and mix, its identities made from its label."""
    pot = Pot(
        id=f"p-{label}",
        vessel_id=f"v-{label}",
        plant_id=f"g-{label}",
        label=label,
        name=crop,
        crop=catalogue.crops()[crop].value,
        medium=catalogue.media()[medium].value,
        vessel=vessel or RoundTaper.of_volume(14.9),
        place=place,
        canopy_width_m=size_m[0],
        canopy_height_m=size_m[1],
        walk=int(label) if label.isdigit() else 0,
    )
    return replace(pot, **more)  # type: ignore[arg-type]


def a_garden(*pots: Pot, **more: object) -> Garden:
    """Return a garden of these pots, with two rounds a day and one person."""
    garden = Garden(
        name="test garden",
        site=SITE,
        places=PLACES,
        pots=pots or (a_pot("1"),),
        rounds=ROUNDS,
        people=(Person("Ann", ("phone",), ((time(6, 30), time(21)),)),),
        manner=Manner(can_l=8.0),
    )
    return replace(garden, **more)  # type: ignore[arg-type]


def three_pots() -> Garden:
    """Return a pepper, a thirsty tomato in a bucket, and a shaded lettuce in a box."""
    return a_garden(
        a_pot("1"),
        a_pot("2", "tomato", "bark mix", RoundTaper.of_volume(10.0), "terrace", (0.7, 1.1)),
        a_pot("3", "lettuce", "coir", RoundTaper.of_volume(6.0), "porch", (0.25, 0.2)),
    )


def standing_of(garden: Garden, members: int = 8, at: datetime = START) -> Standing:
    """Return the first belief about a garden."""
    known = vitals(garden.pots)
    return Standing(garden, known, adopted(None, garden, known, at, members))


def filled(standing: Standing) -> Standing:
    """Return the same with every pot at container capacity and its surface wet."""
    belief = standing.belief
    water = np.broadcast_to(standing.traits.capacity_l, belief.water_l.shape).copy()
    belief = replace(
        belief,
        water_l=water,
        surface_mm=np.zeros_like(water),
        opening_balance_l=water.copy(),
        ledger_l=np.zeros_like(belief.ledger_l),
    )
    return replace(standing, belief=belief)


def summer(days: int = 8, begins: datetime = START - 4 * DAY, **columns: float) -> HourlyWeather:
    """Return clear days; a column named is the same number in every hour."""
    table = clear_summer(24 * days, SITE, int(begins.timestamp()))
    constant = {name: np.full(len(table), value) for name, value in columns.items()}
    return replace(table, **constant)  # type: ignore[arg-type]


def with_rain(table: HourlyWeather, at: datetime, depth_mm: float) -> HourlyWeather:
    """Return the table with rain in the hour that ends at or after a moment."""
    rain = table.rain_mm.copy()
    rain[int(np.searchsorted(table.end_s, at.timestamp()))] = depth_mm
    return replace(table, rain_mm=rain)


def fact(
    body: Body, at: datetime, known: datetime | None = None, name: str | None = None, **more: str
) -> Fact:
    """Return a fact, by default known at once, named by its kind and moment."""
    fact_id = name or f"{type(body).__name__} {getattr(body, 'pot_id', '')} {at.isoformat()}"
    return Fact(fact_id, at, known or at, body, **more)  # type: ignore[arg-type]


def version(garden: Garden, at: datetime = START) -> Fact:
    """Return the fact of a garden version."""
    return fact(GardenVersion(garden, f"digest {at.isoformat()}"), at)


# --- strategies ----------------------------------------------------------------------------
crops = st.sampled_from(sorted(catalogue.crops().entries))
media = st.sampled_from(sorted(catalogue.media().entries))
vessels = st.sampled_from(sorted(catalogue.kinds().entries)).map(
    lambda name: catalogue.kinds()[name].value.vessel
)


@st.composite
def any_pots(draw: st.DrawFn, label: str = "1") -> Pot:
    """Draw a pot of any kind, mix, plant and size that the catalogue knows."""
    return a_pot(
        label,
        draw(crops),
        draw(media),
        draw(vessels),
        draw(st.sampled_from([place.name for place in PLACES])),
        (draw(st.floats(0.05, 1.5)), draw(st.floats(0.05, 2.5))),
        mulch=draw(st.sampled_from([0.0, 0.3, 0.8])),
    )


@st.composite
def any_gardens(draw: st.DrawFn, most: int = 3) -> Garden:
    """Draw a garden of a few such pots."""
    count = draw(st.integers(1, most))
    return a_garden(*(draw(any_pots(str(number + 1))) for number in range(count)))


@st.composite
def any_weather(draw: st.DrawFn, days: int = 8) -> HourlyWeather:
    """Draw days between cool and scorching, some with rain."""
    table = summer(days)
    count = len(table)
    rng = np.random.Generator(np.random.Philox(key=draw(st.integers(0, 2**32))))
    wet = rng.random(count) < draw(st.sampled_from([0.0, 0.02, 0.2]))
    return replace(
        table,
        temperature_c=table.temperature_c + draw(st.floats(-15.0, 15.0)),
        vapour_pressure_kpa=table.vapour_pressure_kpa * draw(st.floats(0.3, 1.0)),
        solar_mj_m2=table.solar_mj_m2 * rng.uniform(0.2, 1.0, count),
        wind_2m_m_s=draw(st.floats(0.0, 6.0)) * rng.uniform(0.2, 1.5, count),
        rain_mm=np.where(wet, np.round(rng.exponential(4.0, count), 1), 0.0),
    )
