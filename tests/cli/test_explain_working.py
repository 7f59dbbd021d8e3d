"""The working as a student reads it: every sum on the page holds, and nothing idle stands there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate.cli.explain_working import INTRODUCTION, numbered, working
from irrigate.garden.believed import Standing
from irrigate.garden.events import Given, Tended
from irrigate.garden.explaining import explained
from irrigate.garden.fold import fold
from irrigate.garden.pots import Basin, Garden, Manner, Place, Pot
from irrigate.garden.vessels import RoundTaper, Trough
from irrigate.garden.weather import HourlyWeather
from tests.cli.printed_arithmetic import equations, faults
from tests.garden.makers import (
    DAY,
    HOUR,
    START,
    YARD,
    a_garden,
    a_pot,
    any_gardens,
    any_weather,
    fact,
    summer,
    version,
)
from tests.garden.stirring import stirred, wets

WIDTH = 80
MORNING = START + DAY + 14 * HOUR  # 07:00 by the garden's clock
ROWS = re.compile(r"   (at start|\d\d:\d\d) .*")


def page_of(standing: Standing, weather: HourlyWeather, until: datetime) -> str:
    """Return the working of the first pot, as it is printed."""
    told = explained(standing, weather, until, standing.garden.pots[0].id)
    return "\n".join([INTRODUCTION, *numbered(working(told, standing.garden))])


def morning(pot: Pot, place: Place = YARD, *facts: object, **manner: float) -> str:
    """Return the page of a pot on the second morning of clear days, up to the evening."""
    garden = a_garden(
        replace(pot, place=place.name), places=(place,), manner=Manner(can_l=8.0, **manner)
    )
    standing = fold(None, [version(garden), *facts], summer(), MORNING, 16)  # type: ignore[list-item]
    assert standing is not None
    return page_of(standing, summer(), MORNING + 12 * HOUR)


def balance_rows(page: str) -> Iterator[tuple[dict[str, float], dict[str, float]]]:
    """Yield each row of the last table with the row before it, by the first word of the heading."""
    rows = page[page.index("The water, line by line") :].splitlines()[1:]
    names = rows[0].split()
    names = [name for name in names if name not in {"mm", "mL", "L"}]
    numbers = []
    for row in rows[1:]:
        if not ROWS.fullmatch(row):
            break
        cells = row.replace("at start", "").replace(" %", "").split()
        numbers.append([float(cell) for cell in cells if ":" not in cell])
    first = dict(zip([name for name in names if name in {"water", "below", "left"}], numbers[0],
                     strict=True))  # fmt: skip
    before = first
    for cells in numbers[1:]:
        now = dict(zip(names[1:], cells, strict=True))
        yield before, now
        before = now


# --- any pot ----------------------------------------------------------------------------------
@settings(max_examples=60, deadline=None)
@given(any_gardens(most=1), any_weather(), st.integers(0, 47), st.integers(30, 900), wets())
def test_every_sum_on_the_page_holds(
    garden: Garden, weather: HourlyWeather, later_h: int, minutes: int, wet: float
) -> None:
    """Worked out again from the printed digits, each result is the printed one, for any pot."""
    begins = START + later_h * HOUR
    page = page_of(stirred(garden, wet, begins), weather, begins + timedelta(minutes=minutes))
    assert faults(page) == []
    assert len(list(equations(page))) >= 40
    assert max(map(len, page.splitlines())) <= WIDTH
    assert not re.search(r"nan|inf\b|…|None", page)


@settings(max_examples=30, deadline=None)
@given(any_gardens(most=1), any_weather(), st.integers(60, 2000), wets())
def test_the_table_of_the_water_adds_up(
    garden: Garden, weather: HourlyWeather, minutes: int, wet: float
) -> None:
    """Each printed line is the one before less its losses, plus what came back (Eq 85)."""
    page = page_of(stirred(garden, wet), weather, START + timedelta(minutes=minutes))
    count = 0
    for before, now in balance_rows(page):
        lost = now["dries"] + now["drinks"] + now.get("wall", 0.0) - now.get("back", 0.0)
        # Two stores to half a millilitre, up to four flows to a twentieth of one.
        assert now["water"] == pytest.approx(before["water"] - lost / 1000.0, abs=0.0013)
        if "below" in now:
            assert now["below"] <= before["below"] - now["back"] / 1000.0 + 0.0011
        count += 1
    assert count >= minutes // 60


# --- four pots --------------------------------------------------------------------------------
PEPPER = a_pot("1", "pepper", vessel=RoundTaper.of_volume(10.2))
DAYS_TO_LATE = sum(PEPPER.crop.stages_d[:3]) + 5
IDLE = ("roots ", "wall ", "below ", "strain", "repels", "salt ", "lamps", "sun  ", "crown", "Fr ",
        "season", "glass", "leaves ", "comes back", "mulch", "covered")  # fmt: skip


def test_a_plain_pot_has_a_short_page() -> None:
    """A pepper in a nursery pot, watered the evening before: nothing that does not apply."""
    page = morning(PEPPER, YARD, fact(Given("p-1", 3.0), MORNING - 12 * HOUR))
    names = [row[3:12] for row in page.splitlines() if row.startswith("   ")]
    assert not [word for word in IDLE if any(word in name for name in names)]
    assert not [word for word in ("glass", "saucer", "reservoir", "lamps") if word in page]
    assert len(page.splitlines()) < 135
    assert faults(page) == []


def said(page: str, *wanted: str) -> None:
    """Check that a page says each of these, however its lines are broken."""
    flat = " ".join(page.split())
    assert [words for words in wanted if words not in flat] == []
    assert faults(page) == []


def test_a_repotted_fig_in_a_bag_shows_wall_saucer_roots_and_leaves() -> None:
    """On a paved terrace with a sunny wall, a saucer below, after a large can of hard water."""
    fig = a_pot(
        "1", "fig", vessel=RoundTaper.of_volume(38.0), size_m=(0.9, 1.4), wall="fabric",
        basin=Basin("saucer", 3.0, 0.06), repotted=date(2026, 6, 25), root_ball=0.4,
        leaf_area_m2=1.6,
    )  # fmt: skip
    fig = replace(fig, crop=replace(fig.crop, salt_ds_m=1.5, bare_stem=0.3))
    terrace = Place("terrace", wind=0.6, ground="paved", sunny_wall=True,
                    sun_from=time(9), sun_until=time(18))  # fmt: skip
    page = morning(fig, terrace, fact(Given("p-1", 9.0), MORNING - HOUR), water_salt_ds_m=1.2)
    said(
        page,
        "16 days since 2026-06-25", "0.40 + (1 - 0.40) × 16/28 = 0.7429 of the mix reached",
        "fabric breathes: 0.55 ×", "Million & Yeager 2022", "saucer of 3.000 L",
        "min[1.20/(5 × 1.50 - 1.20), 0.15] = 0.150 of the water should run through",
        "(0.75 + 0.09)", "the wall hides half", "leaves of 150 s/m", "Eq 102",
        "measured: 1.6000 m² / (0.7854 × 0.900²) = 2.515", "above its bare stem", "(paving)",
        "What comes back from below", "L evaporate", "What the wall gives off",
        "times what it can give has drained",
    )  # fmt: skip


def test_basil_under_glass_with_lamps_shows_both_and_its_season() -> None:
    """Glass takes sun, wind and the sky's cold; lamps add; the plant grows by its stages."""
    basil = a_pot("1", "basil", "coir", RoundTaper.of_volume(2.5), size_m=(0.25, 0.3),
                  planted=date(2026, 6, 1))  # fmt: skip
    house = Place("house", glass=0.7, spacing="close", ground="green", lamps_w_m2=60.0,
                  lamps_from=time(5), lamps_until=time(22))  # fmt: skip
    page = morning(basil, house)
    said(
        page, "lets 70 % in", "60.0 W/m² × 0.0036 × 1.000 h = 0.216 MJ m⁻²",
        "0.50 m/s: still air under glass", "× 0.00 = 0.000 MJ m⁻² to the sky", "day 40 since",
        "described as 0.250 by 0.300 m", "pots stand close", "(watered plants)",
    )  # fmt: skip
    assert "none is counted on" not in page


def test_a_covered_lettuce_over_a_reservoir_shows_what_comes_back() -> None:
    """The cover stops the surface; the reservoir feeds the mix, and may stand for long."""
    lettuce = a_pot("1", "lettuce", vessel=Trough.of_volume(20.0), size_m=(0.25, 0.2),
                    basin=Basin("reservoir", 6.0), mulch=1.0)  # fmt: skip
    page = morning(lettuce, YARD, fact(Tended("p-1", "reservoir filled"), START + DAY))
    said(page, "covered nothing dries from it", "reservoir of 6.000 L", "exp(-0.7 × 1.0000)")
    assert "without a break" not in page


def test_a_dry_wilted_pot_shows_repelling_and_strain() -> None:
    """So dry that water runs past, and leaves that have hung: both with their numbers."""
    garden = a_garden(replace(PEPPER, place="yard"))
    page = page_of(stirred(garden, 0.05), summer(), START + 12 * HOUR)
    said(page, "part of any water runs past", "of its usual use", "fading over 24 h")


def test_tiring_leaves_and_a_calendar_s_leaves_are_told_apart() -> None:
    """In the late stage by Eq 66, in a perennial by the day of the year."""
    tired = replace(PEPPER, planted=START.date() - timedelta(days=DAYS_TO_LATE))
    said(morning(tired), "tire in the late stage", "late season")
    crop = replace(PEPPER.crop, leaves_by_month=(0.0, 0.0, 0.2, 0.5, 0.8, 0.9, 0.7, *[0.6] * 5))
    page = morning(replace(PEPPER, crop=crop))
    said(page, "of the year: it bears")


# --- the reader itself ------------------------------------------------------------------------
RIGHT = {
    # FAO-56 Example 19, as printed.
    "   Rns      0.77 × 2.450 = 1.887 MJ m⁻²": 1,
    "   σT⁴      2.043e-10 (38.0 + 273.16)⁴ = 1.915; 0.34 - 0.14 √3.445 = 0.080": 2,
    "   Rnl      1.915 × 0.080 × 0.894 = 0.137 MJ m⁻²                     Eq 39": 1,
    "   2.317 - 0.142 - 0.081 = 2.094 L at the next round": 1,
    "   density  1 - exp(-0.7 × 3.000) = 0.8775": 1,
}


@pytest.mark.parametrize(("row", "count"), RIGHT.items())
def test_right_sums_are_read_and_hold(row: str, count: int) -> None:
    """The reader finds each sum of a line, and none of them at fault."""
    assert len(list(equations(row))) == count
    assert faults(row) == []


@pytest.mark.parametrize(
    ("row", "instead"),
    [(row, row.replace(old, new)) for row, old, new in (
        ("   Rns      0.77 × 2.450 = 1.887 MJ m⁻²", "1.887", "1.889"),
        ("   density  1 - exp(-0.7 × 3.000) = 0.8775", "3.000", "3.010"),
        ("   2.317 - 0.142 - 0.081 = 2.094 L at the next round", "2.094", "2.097"),
        ("   asks     0.6560 × 0.2491 × 0.926 × 0.8691 × 1000 = 131.6 mL", " × 0.8691", ""),
    )],
)  # fmt: skip
def test_a_wrong_digit_is_noticed(row: str, instead: str) -> None:
    """One digit off, or a factor left out, and the page is at fault."""
    assert faults(row) == []
    assert len(faults(instead)) == 1
