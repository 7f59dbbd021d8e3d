"""The central run of one pot written out: equations with their numbers put in."""

from __future__ import annotations

import math
from collections.abc import Iterator

from irrigate import units
from irrigate.cli.explain_hour import hour_lines
from irrigate.cli.explain_lines import ML, clock_of, indented
from irrigate.cli.explain_plant import (
    below_lines,
    breathing_lines,
    drinking_lines,
    plant_lines,
    surface_lines,
)
from irrigate.cli.explain_pot import mix_lines, so_far_lines, water_lines
from irrigate.cli.tables import table
from irrigate.cli.week_ahead import WIDTH, said_ahead
from irrigate.garden.explanation import Explanation, HourLine
from irrigate.garden.pots import Garden

INTRODUCTION = """\
The working
Worked with the middle of whatever is not known of the pot, and with the
forecast as it stands, without rain to come. In SI units, by the garden's clock.
Equations and pages without a name are those of FAO Irrigation and Drainage
Paper 56 (Allen and others, 1998). What does not bear on this pot is left out."""

Section = tuple[str, Iterator[str]]


def working(told: Explanation, garden: Garden) -> Iterator[Section]:
    """Yield the sections of the working in order: a heading, and its lines."""
    hour = told.hour
    span = f"{clock_of(garden, hour.begins_s)}-{clock_of(garden, hour.ends_s)}"
    until = said_ahead(garden, told.until, told.begins, exact=True)
    yield "The pot and its mix", mix_lines(told, garden)
    yield "What is believed of its water", water_lines(told, garden)
    yield "Since it was first seen", so_far_lines(told)
    yield f"Reference ET at the place until {until}", _weather(told, garden)
    yield f"The hour that asks most, {span}: its reference ET", hour_lines(told, garden)
    yield "What the plant asks in that hour", plant_lines(told)
    if hour.begin_below_l > 0.0:
        yield "What comes back from below in that hour", below_lines(told)
    yield "What the surface loses in that hour", surface_lines(told)
    yield "How the plant holds back in that hour", drinking_lines(told)
    if told.believed.wall_m2 > 0.0:
        yield "What the wall gives off in that hour", breathing_lines(told)
    yield "The water, line by line (Eq 85, without rain or watering)", _balance(told, garden)


def numbered(sections: Iterator[Section]) -> Iterator[str]:
    """Yield the lines of sections, with their numbers."""
    for number, (heading, lines) in enumerate(sections, start=1):
        yield ""
        yield f"{number}  {heading}"
        yield from lines


def _weather(told: Explanation, garden: Garden) -> Iterator[str]:
    headings = ("until", "T °C", "ea kPa", "Rs open", "Rs here", "u2 open", "u2 here", "ET0 mm")
    rows = [
        (
            clock_of(garden, hour.ends_s),
            f"{hour.temperature_c:.1f}",
            f"{hour.vapour_pressure_kpa:.3f}",
            f"{hour.solar_open_mj_m2:.3f}",
            f"{hour.solar_mj_m2:.3f}",
            f"{hour.wind_open_m_s:.2f}",
            f"{hour.wind_m_s:.2f}",
            f"{hour.et0_mm:.4f}",
        )
        for hour in told.hours
    ]
    yield indented(table(headings, rows, width=WIDTH - 3))
    total = math.fsum(hour.et0_mm for hour in told.hours)
    yield f"   Together {total:.3f} mm. Rs in MJ m⁻² in the hour, u2 in m/s."


# --- the water line by line -----------------------------------------------------------------
def _balance(told: Explanation, garden: Garden) -> Iterator[str]:
    pot = told.believed
    wall, below = pot.wall_m2 > 0.0, told.hours[0].begin_below_l > 0.0
    # The reference ET stands in a table of its own already: it gives way where room is short.
    narrow = wall or below
    headings = [
        "until", *([] if narrow else ["ET0 mm"]), "asks mL", "Ks", *(["back mL"] if below else []),
        "dries mL", "drinks mL", *(["wall mL"] if wall else []), "water L",
        *(["below L"] if below else []), "left",
    ]  # fmt: skip
    if narrow:
        headings = [heading.partition(" ")[0] for heading in headings]

    def columns(hour: HourLine) -> list[str]:
        back = [f"{hour.back_l * ML:.1f}"] if below else []
        breathed = [f"{hour.breathed_l * ML:.1f}"] if wall else []
        under = [f"{hour.end_below_l:.3f}"] if below else []
        return [
            clock_of(garden, hour.ends_s), *([] if narrow else [f"{hour.et0_mm:.4f}"]),
            f"{hour.asked_l * ML:.1f}",
            f"{hour.stress:.3f}", *back, f"{hour.dried_l * ML:.1f}", f"{hour.drunk_l * ML:.1f}",
            *breathed, f"{hour.end_l:.3f}", *under, units.in_percent(hour.share_left),
        ]  # fmt: skip

    share = min(max((pot.start_l - pot.limit_l) / pot.available_l, 0.0), 1.0)
    begun = ["at start", *[""] * (4 + below + wall + (not narrow)), f"{pot.start_l:.3f}",
             *([f"{pot.start_below_l:.3f}"] if below else []), units.in_percent(share)]  # fmt: skip
    rows = [begun, *map(columns, told.hours)]
    yield indented(table(headings, rows, width=WIDTH - 3))
    if narrow:
        yield "   In mL, but in L what is left in the mix and below it."
    yield from _sums(told, wall=wall, below=below)


def _sums(told: Explanation, *, wall: bool, below: bool) -> Iterator[str]:
    pot, last = told.believed, told.hours[-1]

    def total(name: str) -> float:
        return math.fsum(getattr(hour, name) for hour in told.hours)

    names = ["drunk", "dried", *(["through the wall"] if wall else [])]
    losses = [total("drunk_l"), total("dried_l"), *([total("breathed_l")] if wall else [])]
    back = total("back_l")
    said = f"{pot.start_l:.3f}"
    if below:
        names.insert(0, "back from below")
        said += f" + {back:.3f}"
    said += "".join(f" - {loss:.3f}" for loss in losses)
    yield f"   In the mix, {', '.join(names)}:"
    yield f"   {said} = {last.end_l:.3f} L at the next round"
    if below:
        yield "   Below it, taken back, evaporated:"
        yield (
            f"   {pot.start_below_l:.3f} - {back:.3f} - {total('stood_l'):.3f} ="
            f" {last.end_below_l:.3f} L at the next round"
        )
