"""What follows besides watering: each rule just on either side of its threshold."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from irrigate.garden.actions import Caution, Line
from irrigate.garden.believed import Standing
from irrigate.garden.cautions import (
    HEAVY_KG,
    cautions,
    cold_night,
    coming_night,
    dry_mix,
    full_kg,
    heavy,
    hot_hours,
    hot_pots,
    standing_water,
)
from irrigate.garden.pots import Basin, Place, Pot
from irrigate.garden.priors import empty_mass_kg
from irrigate.garden.vessels import RoundTaper
from irrigate.garden.water import Store
from irrigate.garden.weather import HourlyWeather
from irrigate.settings import catalogue
from tests.garden.makers import YARD, a_garden, a_pot, standing_of, summer

ZONE = ZoneInfo("America/Los_Angeles")


def at(hour: float, day: int = 10) -> datetime:
    """Return a local moment."""
    local = datetime(2026, 7, day, tzinfo=ZONE) + timedelta(hours=hour)
    return local.astimezone(UTC)


def with_hours(begins: datetime, hours: float, degrees: float) -> HourlyWeather:
    """Return summer days of 25 °C but for some hours."""
    table = summer(12, temperature_c=25.0)
    inside = table.end_s > begins.timestamp()
    inside &= table.end_s <= (begins + timedelta(hours=hours)).timestamp()
    return replace(table, temperature_c=np.where(inside, degrees, table.temperature_c))


def pots_of(caution: Caution | None) -> list[str]:
    """Return the pots of a caution, if there is one."""
    return list(caution.pot_ids) if caution else []


# --- nights ----------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("moment", "begins", "ends"),
    [
        (at(7), at(18), at(9, 11)),
        (at(18.5), at(18.5), at(9, 11)),
        (at(2, 11), at(2, 11), at(9, 11)),
        (at(6, 11), at(18, 11), at(9, 12)),
    ],
    ids=["a morning's", "an evening's", "amid it", "at dawn the next"],
)
def test_the_coming_night(moment: datetime, begins: datetime, ends: datetime) -> None:
    """The morning's round speaks of the evening to come, the evening's of the night begun."""
    assert coming_night(a_garden(), moment) == (begins, ends)


def bearing(label: str, bears_c: float, place: str = "yard") -> Pot:
    """Return a pot whose plant comes through so cold a night."""
    pot = a_pot(label, place=place)
    return replace(pot, crop=replace(pot.crop, bears_c=bears_c))


def test_who_does_not_come_through_the_night() -> None:
    """At 2 °C in its coldest hour: what bears 5 °C or 2 °C suffers, what bears 0 °C does not."""
    tender, near, hardy = bearing("1", 5.0), bearing("2", 2.0), bearing("3", 0.0)
    garden = a_garden(tender, near, hardy)
    found = cold_night(garden, garden.pots, with_hours(at(4, 11), 2, 2.0), at(7))
    assert pots_of(found) == ["p-1", "p-2"]
    assert found is not None
    assert found.air_c == 2.0
    assert cold_night(garden, garden.pots, with_hours(at(12), 2, -3.0), at(7)) is None, "by day"


def test_glass_keeps_a_little_off_and_lamps_burn_indoors() -> None:
    """A plant that bears 0 °C: at -0.5 °C in the open it suffers, not under glass or by lamps."""
    places = (
        YARD, Place("glasshouse", glass=0.7),
        Place("cellar", lamps_w_m2=60.0, lamps_from=time(6), lamps_until=time(22)),
    )  # fmt: skip
    pots = [bearing("1", 0.0), bearing("2", 0.0, "glasshouse"), bearing("3", 0.0, "cellar")]
    garden = a_garden(*pots, places=places)
    assert pots_of(cold_night(garden, pots, with_hours(at(4, 11), 1, -0.5), at(7))) == ["p-1"]
    frozen = with_hours(at(4, 11), 1, -4.0)
    assert pots_of(cold_night(garden, pots, frozen, at(7))) == ["p-1", "p-2"]


# --- heat ------------------------------------------------------------------------------------
PLACES = (
    Place("yard"), Place("crowd", spacing="close"), Place("shade", shade=0.7),
    Place("morning", sun_from=time(6), sun_until=time(11)),
)  # fmt: skip


def test_which_pots_get_hot() -> None:
    """Dark ones in an afternoon's sun above 35 °C, unless something shades their sides."""
    pots = [
        a_pot("1", colour="black"), a_pot("2", colour="dark"), a_pot("3", colour="light"),
        a_pot("4"), a_pot("5", colour="black", place="crowd"),
        a_pot("6", colour="black", place="shade"), a_pot("7", colour="black", place="morning"),
        a_pot("8", colour="black", setting="sunk"),
        a_pot("9", colour="black", basin=Basin("outer pot", 3.0)),
        a_pot("10", colour="black", basin=Basin("saucer", 1.0)),
    ]  # fmt: skip
    garden = a_garden(*pots, places=PLACES)
    hot = with_hours(at(12), 4, 36.0)
    assert pots_of(hot_pots(garden, pots, hot, at(7), at(18.5))) == ["p-1", "p-2", "p-10"]
    assert hot_pots(garden, pots, with_hours(at(12), 4, 34.9), at(7), at(18.5)) is None
    assert hot_pots(garden, pots, hot, at(18.5), at(7, 11)) is None, "the afternoon is over"
    by_night = with_hours(at(22), 3, 38.0)
    assert hot_pots(garden, pots, by_night, at(18.5), at(7, 11)) is None, "there is no sun"


def test_heat_at_the_round_itself() -> None:
    """36 °C in the hour of the round is for people to know; at another hour it is not."""
    found = hot_hours(with_hours(at(18), 2, 36.0), at(18.5))
    assert found == Caution("hot hours", air_c=36.0)
    assert hot_hours(with_hours(at(13), 2, 40.0), at(18.5)) is None


# --- water -----------------------------------------------------------------------------------
def over(basin: Basin | None, below_l: float, stood_h: float) -> tuple[Standing, Store]:
    """Return a garden of one pot with so much water below it for so long."""
    standing = standing_of(a_garden(a_pot("1", basin=basin)), 8)
    shape = standing.belief.water_l.shape
    store = standing.belief.store.put(
        below_l=np.full(shape, below_l), stood_h=np.full(shape, stood_h)
    )
    return standing, store


@pytest.mark.parametrize(
    ("basin", "below_l", "stood_h", "said"),
    [
        (Basin("saucer", 2.0), 1.0, 25.0, True),
        (Basin("outer pot", 2.0), 1.0, 25.0, True),
        (Basin("saucer", 2.0), 1.0, 23.0, False),
        (Basin("saucer", 2.0), 0.05, 40.0, False),
        (Basin("reservoir", 5.0), 5.0, 99.0, False),
        (None, 0.0, 0.0, False),
    ],
    ids=["a saucer", "an outer pot", "not a day yet", "a film", "a reservoir", "nothing below"],
)
def test_water_that_stands(basin: Basin | None, below_l: float, stood_h: float, said: bool) -> None:
    """More than a day under a pot, where it does not belong, and more than a film."""
    standing, store = over(basin, below_l, stood_h)
    found = standing_water(standing, standing.garden.pots, store)
    assert pots_of(found) == (["p-1"] if said else [])


def line(pot_id: str = "p-1", verdict: str = "water", passes: int = 2, dry: float = 0.9) -> Line:
    """Return a verdict on a pot that is too dry to take water with this chance."""
    reasons = {"chance_too_dry_to_take_it": dry}
    return Line(pot_id, verdict, 2.0, passes, 0.9, 0.0, 0.2, (None,) * 3,  # type: ignore[arg-type]
                (0.0, 0.0, 0.1), reasons)  # fmt: skip


def test_a_mix_too_dry_to_take_water() -> None:
    """Said of pots that are watered, where it is likely."""
    lines = [line(), line("p-2", dry=0.4), line("p-3", "leave"), line("p-4", passes=1)]
    assert pots_of(dry_mix(lines)) == ["p-1"]


# --- weight ----------------------------------------------------------------------------------
def test_how_heavy_a_full_pot_is() -> None:
    """A 40 L pot of potting mix weighs between 25 and 60 kg wet; a 3 L pot is no burden.

    Common practice, no source: a wet mix weighs somewhat under a kilogram a litre.
    """
    pots = [
        a_pot("1", vessel=RoundTaper.of_volume(40.0)),
        a_pot("2", vessel=RoundTaper.of_volume(3.0)),
    ]
    standing = standing_of(a_garden(*pots), 16)
    found = heavy(standing, pots)
    assert pots_of(found) == ["p-1"]
    assert found is not None
    assert 25.0 < found.each_kg[0] < 60.0
    assert full_kg(standing, pots[1]) < HEAVY_KG
    with_water = replace(pots[0], basin=Basin("reservoir", 10.0))
    fuller = standing_of(a_garden(with_water), 16)
    assert full_kg(fuller, with_water) == pytest.approx(full_kg(standing, pots[0]) + 10.0, abs=0.5)


def test_clay_is_heavier_than_plastic() -> None:
    """A clay pot of 40 cm weighs some 8 to 13 kg by itself, one of plastic under 2 kg.

    Common practice, no source: what garden centres print beside such pots.
    """
    vessel = catalogue.kinds()["clay pot 40 cm"].value.vessel
    pots = [a_pot("1", vessel=vessel), a_pot("1", vessel=vessel, wall="clay")]
    plastic, clay = (empty_mass_kg(pot) for pot in pots)
    bare = plastic - pots[0].medium.dry_mass_kg(vessel)
    assert 0.3 < bare < 2.0
    assert 8.0 < clay - plastic + bare < 13.0


def test_all_together_in_order_of_urgency() -> None:
    """A cold night first, and the heavy one of those that it asks to bring in; a sunk pot stays."""
    big = RoundTaper.of_volume(60.0)
    pots = [replace(bearing("1", 3.0), vessel=big), replace(bearing("2", 3.0), vessel=big,
            setting="sunk"), bearing("3", -5.0)]  # fmt: skip
    standing = standing_of(a_garden(*pots), 8)
    lines = [line(f"p-{label}", "leave") for label in (1, 2, 3)]
    found = cautions(
        standing,
        standing.belief.store,
        lines,
        (),
        with_hours(at(3, 11), 2, 0.0),
        at(18.5),
        at(7, 11),
    )
    assert [(one.kind, one.pot_ids) for one in found] == [
        ("cold night", ("p-1", "p-2")), ("heavy", ("p-1",)),
    ]  # fmt: skip


def test_a_plain_warm_day_has_none() -> None:
    """25 °C day and night over plain pots: nothing to say."""
    standing = standing_of(a_garden(), 8)
    store = standing.belief.store
    assert (
        cautions(standing, store, [line(dry=0.0)], (), with_hours(at(0), 0, 0.0), at(7), at(18))
        == ()
    )
