"""Gardens out of the catalogue, and weather for them, for tests."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import numpy as np
from hypothesis import strategies as st

from irrigate.garden.adoption import adopted
from irrigate.garden.believed import Standing
from irrigate.garden.events import Body, Fact, GardenVersion
from irrigate.garden.pots import Basin, Garden, Manner, Person, Place, Pot, RoundTime, Site
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
        opening_balance_l=water + belief.below_l,
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


NAMES = tuple(place.name for place in PLACES)
# The plain case stands first everywhere: it is what an example shrinks to.
basins = st.one_of(
    st.none(),
    st.builds(
        Basin,
        st.sampled_from(["saucer", "outer pot", "reservoir"]),
        st.floats(0.2, 8.0),
        st.sampled_from([0.0, 0.01, 0.03]),
    ),
)


def _days_before(*days: int) -> st.SearchStrategy[date | None]:
    """Draw no date, or one so many days before `START`."""
    dates = [START.date() - timedelta(days=number) for number in days]
    return st.sampled_from([None, *dates])


@st.composite
def any_pots(draw: st.DrawFn, label: str = "1", *, settled: bool = False) -> Pot:
    """Draw a pot of any kind, mix, plant, size, wall and basin that the catalogue knows.

    ``settled``: its plant neither grows nor spreads its roots nor changes its leaves.
    """
    grows = {} if settled else {
        "planted": draw(_days_before(0, 15, 40, 75, 110, 200)),
        "repotted": draw(_days_before(1, 12, 60)),
        "root_ball": draw(st.sampled_from([None, 0.2, 0.9])),
    }  # fmt: skip
    pot = a_pot(
        label,
        draw(crops),
        draw(media),
        draw(vessels),
        draw(st.sampled_from(NAMES)),
        (draw(st.floats(0.05, 1.5)), draw(st.floats(0.05, 2.5))),
        mulch=draw(st.sampled_from([0.0, 0.3, 1.0])),
        wall=draw(st.sampled_from(["plastic", "clay", "fabric", "wood"])),
        setting=draw(st.sampled_from(["standing", "hanging", "sunk"])),
        basin=draw(basins),
        leaf_area_m2=draw(st.sampled_from([None, None, 0.1, 1.2])),
        rain_catch=draw(st.sampled_from([None, 0.5, 2.0])),
        **grows,
    )
    return replace(pot, crop=replace(pot.crop, leaves_by_month=())) if settled else pot


@st.composite
def any_places(draw: st.DrawFn, name: str = "yard") -> Place:
    """Draw a place in the open or under glass, bare or green, close or alone, lit or shaded."""
    lamps = draw(st.sampled_from([None, (60.0, time(5), time(21)), (120.0, time(18), time(2))]))
    window = draw(st.sampled_from([None, (time(6), time(11, 30)), (time(15), time(22))]))
    watts, lamps_from, lamps_until = lamps or (0.0, None, None)
    sun_from, sun_until = window or (None, None)
    return Place(
        name,
        shade=draw(st.sampled_from([0.0, 0.4])),
        sun_from=sun_from,
        sun_until=sun_until,
        wind=draw(st.sampled_from([0.5, 1.0, 0.2])),
        rain=draw(st.sampled_from([1.0, 0.0])),
        glass=draw(st.sampled_from([None, None, 0.7])),
        ground=draw(st.sampled_from(["bare", "green", "paved"])),
        sunny_wall=draw(st.booleans()),
        spacing=draw(st.sampled_from(["apart", "close", "alone"])),
        lamps_w_m2=watts,
        lamps_from=lamps_from,
        lamps_until=lamps_until,
    )


@st.composite
def any_gardens(
    draw: st.DrawFn, most: int = 3, *, settled: bool = False, places: bool = True
) -> Garden:
    """Draw a garden of a few such pots, at such places or at `PLACES`."""
    count = draw(st.integers(1, most))
    pots = [draw(any_pots(str(number + 1), settled=settled)) for number in range(count)]
    where = tuple(draw(any_places(name)) for name in NAMES) if places else PLACES
    return a_garden(*pots, places=where)


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
