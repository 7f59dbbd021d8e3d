"""The central run of one pot written out: equations with their numbers put in."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import UTC, datetime

from irrigate import units
from irrigate.cli.tables import table
from irrigate.cli.week_ahead import WIDTH, said_ahead
from irrigate.garden.explanation import Explanation, HourLine
from irrigate.garden.pots import Garden, Place
from irrigate.science.hour_in_full import HourInFull
from irrigate.service.wording import clock

INTRODUCTION = """\
The working
Worked with the middle of whatever is not known of the pot, and with the
forecast as it stands, without rain to come. In SI units, by the garden's clock.
Equations are numbered as in FAO Irrigation and Drainage Paper 56 (Allen and
others, 1998)."""


def working(told: Explanation, garden: Garden) -> Iterator[str]:
    """Yield the lines of the working."""
    yield INTRODUCTION
    yield ""
    yield from _believed(told, garden)
    yield ""
    yield from _weather(told, garden)
    yield ""
    hour = told.hours[told.chosen]
    span = f"{_clock(garden, hour.begins_s)}-{_clock(garden, hour.ends_s)}"
    yield f"3  The hour that asks most, {span}, in full"
    yield from _at_place(told.place, hour)
    yield from hour_written_out(told.sky, garden.site.elevation_m)
    if hour.hours < 1.0:
        yield _line("of it", f"{hour.hours:.3f} h: {hour.et0_mm:.4f} mm")
    yield ""
    yield from _plant(told, hour)
    yield ""
    yield from _surface(told, hour)
    yield ""
    yield from _held_back(told, hour)
    yield ""
    yield from _balance(told, garden)


def _line(name: str, said: str, equation: str = "") -> str:
    """Return a line with its equation at the right edge."""
    text = f"   {name:<8} {said}"
    return f"{text}{equation:>{max(WIDTH - len(text), len(equation) + 2)}}" if equation else text


def _clock(garden: Garden, at_s: float) -> str:
    return clock(garden, datetime.fromtimestamp(at_s, UTC))


# --- 1, 2: what it begins with --------------------------------------------------------------
def _believed(told: Explanation, garden: Garden) -> Iterator[str]:
    pot = told.believed
    available = pot.start_l - pot.limit_l
    yield "1  What is believed of the pot"
    yield _line("full", f"{pot.full_l:.3f} L after draining")
    yield _line("limit", f"{pot.limit_l:.3f} L are beyond the plant's reach")
    yield _line(
        "TAW", f"{pot.full_l:.3f} - {pot.limit_l:.3f} = {pot.available_l:.3f} L available", "Eq 82"
    )
    yield _line(
        "1 - p", f"{pot.dry_point:.3f}: below {pot.dry_l:.3f} L available it holds back", "Eq 83"
    )
    yield _line("thirst", f"{pot.use_factor:.3f} of what the equations say")
    yield _line(
        "water",
        f"{pot.start_l:.3f} L at {clock(garden, told.begins)}; available {available:.3f} L,"
        f" {units.in_percent(available / pot.available_l)}",
    )
    yield _line(
        "surface",
        f"TEW {pot.evaporable_mm:.2f} mm, REW {pot.readily_mm:.2f} mm,"
        f" missing De {pot.start_surface_mm:.2f} mm",
        "Eq 73",
    )


def _weather(told: Explanation, garden: Garden) -> Iterator[str]:
    until = said_ahead(garden, told.until, told.begins, exact=True)
    yield f"2  Reference ET at the place until {until}"
    headings = ("until", "T °C", "ea kPa", "Rs open", "Rs here", "u2 open", "u2 here", "ET0 mm")
    rows = [
        (
            _clock(garden, hour.ends_s),
            f"{hour.temperature_c:.1f}",
            f"{hour.vapour_pressure_kpa:.3f}",
            f"{hour.solar_open_mj_m2:.3f}",
            f"{hour.solar_open_mj_m2 * hour.sunlit:.3f}",
            f"{hour.wind_open_m_s:.2f}",
            f"{hour.wind_open_m_s * hour.wind_share:.2f}",
            f"{hour.et0_mm:.4f}",
        )
        for hour in told.hours
    ]
    yield _indented(table(headings, rows, width=WIDTH - 3))
    total = math.fsum(hour.et0_mm for hour in told.hours)
    yield f"   Together {total:.3f} mm. Rs in MJ m⁻² in the hour, u2 in m/s."


def _indented(drawn: str) -> str:
    return "\n".join(f"   {line}" for line in drawn.splitlines())


# --- 3: one hour's reference ET --------------------------------------------------------------
def _at_place(place: Place, hour: HourLine) -> Iterator[str]:
    said = f"{place.name}: shade {units.in_percent(place.shade)}"
    if place.sun_from is not None and place.sun_until is not None:
        said += f", sun {place.sun_from:%H:%M}-{place.sun_until:%H:%M}"
    yield _line("place", f"{said}, wind {units.in_percent(place.wind)} of that on open ground")
    here = hour.solar_open_mj_m2 * hour.sunlit
    yield _line("Rs", f"{hour.solar_open_mj_m2:.3f} × {hour.sunlit:.3f} = {here:.3f} MJ m⁻²")
    wind = hour.wind_open_m_s * hour.wind_share
    yield _line("u2", f"{hour.wind_open_m_s:.2f} × {hour.wind_share:.2f} = {wind:.2f} m/s")


def hour_written_out(sky: HourInFull, elevation_m: float) -> Iterator[str]:
    """Yield one hour's reference ET by Eq 53, in the order of FAO-56's Example 19."""
    T, ea, u2 = sky.temperature_c, sky.vapour_pressure_kpa, sky.wind_2m_m_s
    yield _line("Δ", f"4098 × {sky.saturation_kpa:.3f} / ({T:.1f} + 237.3)² ="
                f" {sky.slope_kpa_c:.3f} kPa/°C", "Eq 13")  # fmt: skip
    yield _line("γ", f"0.000665 × {sky.pressure_kpa:.1f} = {sky.psychrometric_kpa_c:.4f} kPa/°C",
                "Eq 7, 8")  # fmt: skip
    yield _line("e°(T)", f"{sky.saturation_kpa:.3f} kPa; e°(T) - ea = {sky.saturation_kpa:.3f}"
                f" - {ea:.3f} = {sky.deficit_kpa:.3f} kPa", "Eq 11")  # fmt: skip
    yield _line("J", f"{sky.day_of_year}; dr {sky.relative_distance:.4f}, δ"
                f" {sky.declination_rad:.4f} rad, Sc {sky.seasonal_correction_h:.4f} h",
                "Eq 23, 24, 32")  # fmt: skip
    yield _line("ω", f"{sky.hour_angle_rad:.3f} rad, from {sky.begins_rad:.4f} to"
                f" {sky.ends_rad:.4f}; sunset at {sky.sunset_rad:.4f}", "Eq 25, 29-31")  # fmt: skip
    yield _line("Ra", f"{sky.extraterrestrial_mj_m2:.3f} MJ m⁻²", "Eq 28")
    yield _line("Rso", f"(0.75 + 0.00002 × {elevation_m:.0f}) {sky.extraterrestrial_mj_m2:.3f} ="
                f" {sky.clear_sky_mj_m2:.3f} MJ m⁻²", "Eq 37")  # fmt: skip
    yield _line("Rns", f"0.77 × {sky.solar_mj_m2:.3f} = {sky.net_shortwave_mj_m2:.3f} MJ m⁻²",
                "Eq 38")  # fmt: skip
    yield _line("Rs/Rso", f"{sky.relative_shortwave:.3f} of the open sky"
                f"{'' if sky.sun_up else ', as before sunset'}; {_cloudiness(sky)}")  # fmt: skip
    yield _line("σT⁴", f"2.043e-10 ({T:.1f} + 273.16)⁴ = {sky.black_body_mj_m2:.3f};"
                f" 0.34 - 0.14 √{ea:.3f} = {sky.emissivity:.3f}")  # fmt: skip
    yield _line("Rnl", f"{sky.black_body_mj_m2:.3f} × {sky.emissivity:.3f} × {sky.cloudiness:.3f} ="
                f" {sky.net_longwave_mj_m2:.3f} MJ m⁻²", "Eq 39")  # fmt: skip
    yield _line("Rn", f"{sky.net_shortwave_mj_m2:.3f} - {sky.net_longwave_mj_m2:.3f} ="
                f" {sky.net_radiation_mj_m2:.3f} MJ m⁻²", "Eq 40")  # fmt: skip
    share, number = ("0.1", "Eq 45") if sky.sun_up else ("0.5", "Eq 46")
    available = sky.net_radiation_mj_m2 - sky.ground_heat_mj_m2
    yield _line("G", f"{share} × {sky.net_radiation_mj_m2:.3f} = {sky.ground_heat_mj_m2:.3f};"
                f" Rn - G = {available:.3f} MJ m⁻²", number)  # fmt: skip
    below = f"{sky.denominator_kpa_c:.4f}"
    yield _line("", f"Δ + γ (1 + 0.34 u2) = {sky.slope_kpa_c:.4f} + {sky.psychrometric_kpa_c:.4f}"
                f" (1 + 0.34 × {u2:.2f}) = {below}")  # fmt: skip
    yield _line("", f"0.408 × {sky.slope_kpa_c:.3f} × {available:.3f} / {below} ="
                f" {sky.radiation_mm:.2f} mm (sun)")  # fmt: skip
    per_wind = f"{sky.psychrometric_kpa_c:.4f} × 37 / ({T:.1f} + 273)"
    yield _line("", f"{per_wind} × {u2:.2f} × {sky.deficit_kpa:.3f} / {below} ="
                f" {sky.drying_mm:.2f} mm (air)")  # fmt: skip
    dew = "; dew, taken as 0" if sky.et0_mm < 0.0 else ""
    yield _line("ET0", f"{sky.radiation_mm:.4f} + {sky.drying_mm:.4f} = {sky.et0_mm:.4f}, or"
                f" {sky.et0_mm + 0.0:.2f} mm/h{dew}", "Eq 53")  # fmt: skip


def _cloudiness(sky: HourInFull) -> str:
    if not 0.3 <= sky.relative_shortwave <= 1.0:
        bound = "0.3" if sky.relative_shortwave < 0.3 else "1"
        return f"held at {bound}: 1.35 × {bound} - 0.35 = {sky.cloudiness:.3f}"
    return f"1.35 × {sky.relative_shortwave:.3f} - 0.35 = {sky.cloudiness:.3f}"


# --- 4, 5, 6: plant, surface, stress ---------------------------------------------------------
def _plant(told: Explanation, hour: HourLine) -> Iterator[str]:
    plant, thirst = told.plant, told.believed.use_factor
    h = plant.climate_height_m
    yield "4  What the plant asks in that hour"
    yield _line("day", f"that ends with it: u2 {plant.wind_2m_m_s:.2f} m/s (held within 1-6), RHmin"
                f" {plant.humidity_min_pct:.0f} % (20-80)")  # fmt: skip
    by_height = min(1.0 + 0.1 * h, 1.20)
    yield _line("Kcb", f"by height: min(1.0 + 0.1 × {h:.2f}, 1.20) = {by_height:.3f}", "Eq 101")
    yield _line("", f"climate: [0.04 (u2 - 2) - 0.004 (RHmin - 45)] ({h:.2f}/3)^0.3 ="
                f" {plant.climate_term:.3f}")  # fmt: skip
    yield _line("", f"full cover: {by_height:.3f} + {plant.climate_term:.3f} ="
                f" {plant.by_height:.3f}", "Eq 99")  # fmt: skip
    if math.isfinite(plant.own):
        yield _line("", f"the crop's own {plant.mid_season:.2f}, adjusted:"
                    f" {plant.own:.3f}; the smaller counts", "Eq 70")  # fmt: skip
    yield _line("Fr", f"leaves of {plant.leaf_resistance_s_m:.0f} s/m at Δ {plant.slope_kpa_c:.3f}:"
                f" {plant.stomatal:.3f}; Fr × Kcb = {plant.full_cover:.3f}", "Eq 102")  # fmt: skip
    yield _line("density", f"1 - exp(-0.7 × {plant.leaf_area_index:.1f}) = {plant.density:.3f}",
                "Eq 97")  # fmt: skip
    yield _line("shadow", f"{plant.width_m:.2f} m wide, {plant.height_m:.2f} m tall, noon sun"
                f" {math.degrees(plant.noon_sun_rad):.0f}°: {plant.shadow_m2:.4f} m²",
                "Box 18")  # fmt: skip
    yield _line("asks", "ET0 × Kcb × density × shadow × thirst, 1 mm on 1 m² being 1 L:")
    factors = f"{plant.full_cover:.3f} × {plant.density:.3f} × {plant.shadow_m2:.4f}"
    asked_ml = hour.asked_l * 1000.0
    yield _line("", f"{hour.et0_mm:.4f} × {factors} × {thirst:.3f} = {asked_ml:.1f} mL")


def _surface(told: Explanation, hour: HourLine) -> Iterator[str]:
    top, pot = told.surface, told.believed
    yield "5  What the surface loses in that hour"
    yield _line("Kcb", f"over the pot's own top, at most 1.2: {top.basal:.3f}")
    yield _line("Kc max", f"1.1 + {told.plant.climate_term:.3f}, at least Kcb + 0.05:"
                f" {top.most:.3f}", "Eq 72")  # fmt: skip
    yield _line("few", f"{pot.exposed_share:.3f} of the top is exposed", "Eq 75")
    yield _line("Ke/few", f"min[({top.most:.3f} - {top.basal:.3f})/{pot.exposed_share:.3f},"
                f" {top.most:.3f}] = {top.rate:.3f} while wet", "Eq 71")  # fmt: skip
    yield _line("Kr", f"{top.left_mm:.2f} mm left of {pot.evaporable_mm:.2f}; slower below"
                f" {top.threshold_mm:.2f}: {top.reduction:.3f}", "Eq 74")  # fmt: skip
    cover = f" × {pot.cover:.2f} (mulch)" if pot.cover < 1.0 else ""
    yield _line("wet", f"{hour.et0_mm:.4f} × {top.rate:.3f}{cover} = {top.asked_mm:.4f} mm;"
                f" drying over the hour {top.lost_mm:.4f} mm")  # fmt: skip
    yield _line("dries", f"{top.lost_mm:.4f} × {pot.exposed_share:.3f} × {pot.surface_m2:.4f} m² ="
                f" {hour.dried_l * 1000.0:.1f} mL")  # fmt: skip


def _held_back(told: Explanation, hour: HourLine) -> Iterator[str]:
    pot = told.believed
    left = max(hour.begin_l - pot.limit_l, 0.0)
    yield "6  How the plant holds back in that hour"
    yield _line("Ks", f"min({left:.3f} / {pot.dry_l:.3f}, 1) = {hour.stress:.3f} at its start",
                "Eq 84")  # fmt: skip
    yield _line("drinks", f"{hour.drunk_l * 1000.0:.1f} of {hour.asked_l * 1000.0:.1f} mL, with Ks"
                " falling as the water does")  # fmt: skip


# --- 7: the water ----------------------------------------------------------------------------
def _balance(told: Explanation, garden: Garden) -> Iterator[str]:
    pot = told.believed
    yield "7  The water, line by line (Eq 85, without rain or watering)"
    headings = ("until", "ET0 mm", "asks mL", "Ks", "drinks mL", "dries mL", "water L", "left")
    begun = ("at start", "", "", "", "", "", f"{pot.start_l:.3f}",
             units.in_percent((pot.start_l - pot.limit_l) / pot.available_l))  # fmt: skip
    rows = [
        (
            _clock(garden, hour.ends_s),
            f"{hour.et0_mm:.4f}",
            f"{hour.asked_l * 1000.0:.1f}",
            f"{hour.stress:.3f}",
            f"{hour.drunk_l * 1000.0:.1f}",
            f"{hour.dried_l * 1000.0:.1f}",
            f"{hour.end_l:.3f}",
            units.in_percent(hour.share_left),
        )
        for hour in told.hours
    ]
    yield _indented(table(headings, [begun, *rows], width=WIDTH - 3))
    drunk = math.fsum(hour.drunk_l for hour in told.hours)
    dried = math.fsum(hour.dried_l for hour in told.hours)
    yield (
        f"   {pot.start_l:.3f} - {drunk:.3f} - {dried:.3f} ="
        f" {told.hours[-1].end_l:.3f} L at the next round"
    )
