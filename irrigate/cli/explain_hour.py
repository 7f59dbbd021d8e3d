"""One hour's reference ET at a place written out, from what reaches it to Eq 53."""

from __future__ import annotations

from collections.abc import Iterator

from irrigate import units
from irrigate.cli.explain_lines import line
from irrigate.garden.explanation import Explanation
from irrigate.garden.place_in_full import PlaceInFull
from irrigate.garden.pots import Garden, Ground, Place
from irrigate.garden.surroundings import STILL_M_S
from irrigate.science.hour_in_full import HourInFull

AROUND: dict[Ground, str] = {"green": "watered plants", "bare": "dry ground",
                             "paved": "paving"}  # fmt: skip


def hour_lines(told: Explanation, garden: Garden) -> Iterator[str]:
    """Yield the reference ET of the hour that is worked in full."""
    hour = told.hour
    yield from _at_place(told.place, told.at_place)
    yield from hour_written_out(told.at_place.sky, garden.site.elevation_m)
    if hour.hours < 1.0:
        whole = max(told.at_place.sky.et0_mm, 0.0)
        yield line("of it", f"{whole:.4f} × {hour.hours:.4f} h = {hour.et0_mm:.4f} mm")


def _at_place(place: Place, here: PlaceInFull) -> Iterator[str]:
    yield line("place", f"{place.name}: {_described(place)}")
    if here.sunlit != 1.0:
        direct = f"{1.0 - here.diffuse:.2f}"
        if here.thrown_back:
            direct = f"({direct} + {here.thrown_back:.2f})"
        yield line("sun", _sun_words(place))
        factors = "".join(f" × {factor:.2f}" for factor in (here.unshaded, here.through)
                          if factor != 1.0)  # fmt: skip
        yield line("", f"[{here.diffuse:.2f} + {direct} × {here.direct_share:.3f}]{factors} ="
                   f" {here.sunlit:.4f} of the open ground's")  # fmt: skip
    if here.lamps_mj_m2 > 0.0:
        yield line("lamps", f"{place.lamps_w_m2:.1f} W/m² × 0.0036 × {here.lamps_h:.3f} h ="
                   f" {here.lamps_mj_m2:.3f} MJ m⁻²")  # fmt: skip
    lamps = f" + {here.lamps_mj_m2:.3f}" if here.lamps_mj_m2 > 0.0 else ""
    yield line("Rs", f"{here.solar_open_mj_m2:.3f} × {here.sunlit:.4f}{lamps} ="
               f" {here.solar_mj_m2:.3f} MJ m⁻²")  # fmt: skip
    if place.glass is not None:
        yield line("u2", f"{STILL_M_S:.2f} m/s: still air under glass", "p. 63")
    else:
        yield line("u2", f"{here.wind_open_m_s:.2f} × {place.wind:.2f} = {here.wind_m_s:.2f} m/s")


def _sun_words(place: Place) -> str:
    straight = "the straight one, with the wall's" if place.sunny_wall else "the straight one"
    takers = {"shade": place.shade > 0.0, "glass": place.glass is not None}
    less = " and ".join(name for name in takers if takers[name])
    return f"the sky's share + {straight}{', less ' + less if less else ''} (from memory):"


def _described(place: Place) -> str:
    said = []
    if place.glass is not None:
        said.append(f"under glass or plastic that lets {units.in_percent(place.glass)} in")
    if place.shade > 0.0:
        said.append(f"shade {units.in_percent(place.shade)}")
    if place.sun_from is not None and place.sun_until is not None:
        said.append(f"sun {place.sun_from:%H:%M}-{place.sun_until:%H:%M}")
    if place.sunny_wall:
        said.append("a sunny wall behind")
    if place.lamps_w_m2 > 0.0:
        hours = ""
        if place.lamps_from is not None and place.lamps_until is not None:
            hours = f" {place.lamps_from:%H:%M}-{place.lamps_until:%H:%M}"
        said.append(f"lamps{hours}")
    if place.glass is None:
        said.append(f"wind {units.in_percent(place.wind)} of that on open ground")
    said.append(f"{AROUND[place.ground]} around")
    return ", ".join(said)


def hour_written_out(sky: HourInFull, elevation_m: float) -> Iterator[str]:
    """Yield one hour's reference ET by Eq 53, in the order of FAO-56's Example 19."""
    T, ea, u2 = sky.temperature_c, sky.vapour_pressure_kpa, sky.wind_2m_m_s
    yield line("Δ", f"4098 × {sky.saturation_kpa:.3f} / ({T:.1f} + 237.3)² ="
                f" {sky.slope_kpa_c:.3f} kPa/°C", "Eq 13")  # fmt: skip
    yield line("γ", f"0.000665 × {sky.pressure_kpa:.1f} = {sky.psychrometric_kpa_c:.4f} kPa/°C",
                "Eq 7, 8")  # fmt: skip
    yield line("e°(T)", f"{sky.saturation_kpa:.3f} kPa; e°(T) - ea = {sky.saturation_kpa:.3f}"
                f" - {ea:.3f} = {sky.deficit_kpa:.3f} kPa", "Eq 11")  # fmt: skip
    yield line("J", f"{sky.day_of_year}; dr {sky.relative_distance:.4f}, δ"
                f" {sky.declination_rad:.4f} rad, Sc {sky.seasonal_correction_h:.4f} h",
                "Eq 23, 24, 32")  # fmt: skip
    yield line("ω", f"{sky.hour_angle_rad:.3f} rad, from {sky.begins_rad:.4f} to"
                f" {sky.ends_rad:.4f}; sunset at {sky.sunset_rad:.4f}", "Eq 25, 29-31")  # fmt: skip
    yield line("Ra", f"{sky.extraterrestrial_mj_m2:.3f} MJ m⁻²", "Eq 28")
    yield line("Rso", f"(0.75 + 0.00002 × {elevation_m:.0f}) {sky.extraterrestrial_mj_m2:.3f} ="
                f" {sky.clear_sky_mj_m2:.3f} MJ m⁻²", "Eq 37")  # fmt: skip
    yield line("Rns", f"0.77 × {sky.solar_mj_m2:.3f} = {sky.net_shortwave_mj_m2:.3f} MJ m⁻²",
                "Eq 38")  # fmt: skip
    yield line("Rs/Rso", f"{sky.relative_shortwave:.3f} of the open sky"
                f"{'' if sky.sun_up else ', as before sunset'}; {_cloudiness(sky)}")  # fmt: skip
    yield line("σT⁴", f"2.043e-10 ({T:.1f} + 273.16)⁴ = {sky.black_body_mj_m2:.3f};"
                f" 0.34 - 0.14 √{ea:.3f} = {sky.emissivity:.3f}")  # fmt: skip
    yield line("Rnl", f"{sky.black_body_mj_m2:.3f} × {sky.emissivity:.3f} × {sky.cloudiness:.3f} ="
                f" {sky.open_longwave_mj_m2:.3f} MJ m⁻²", "Eq 39")  # fmt: skip
    if sky.sky_share != 1.0:
        hides = "glass hides it" if sky.sky_share == 0.0 else "the wall hides half"
        yield line("", f"{sky.open_longwave_mj_m2:.3f} × {sky.sky_share:.2f} ="
                f" {sky.net_longwave_mj_m2:.3f} MJ m⁻² to the sky: {hides}")  # fmt: skip
    yield line("Rn", f"{sky.net_shortwave_mj_m2:.3f} - {sky.net_longwave_mj_m2:.3f} ="
                f" {sky.net_radiation_mj_m2:.3f} MJ m⁻²", "Eq 40")  # fmt: skip
    share, number = ("0.1", "Eq 45") if sky.lit else ("0.5", "Eq 46")
    lamps = ", by lamps" if sky.lit and not sky.sun_up else ""
    available = sky.net_radiation_mj_m2 - sky.ground_heat_mj_m2
    yield line("G", f"{share} × {sky.net_radiation_mj_m2:.3f} = {sky.ground_heat_mj_m2:.3f}{lamps};"
                f" Rn - G = {available:.3f} MJ m⁻²", number)  # fmt: skip
    below = f"{sky.denominator_kpa_c:.4f}"
    yield line("", f"Δ + γ (1 + 0.34 u2) = {sky.slope_kpa_c:.4f} + {sky.psychrometric_kpa_c:.4f}"
                f" (1 + 0.34 × {u2:.2f}) = {below}")  # fmt: skip
    yield line("", f"0.408 × {sky.slope_kpa_c:.3f} × {available:.3f} / {below} ="
                f" {sky.radiation_mm:.2f} mm (sun)")  # fmt: skip
    per_wind = f"{sky.psychrometric_kpa_c:.4f} × 37 / ({T:.1f} + 273)"
    yield line("", f"{per_wind} × {u2:.2f} × {sky.deficit_kpa:.3f} / {below} ="
                f" {sky.drying_mm:.2f} mm (air)")  # fmt: skip
    dew = "; dew, taken as 0" if sky.et0_mm < 0.0 else ""
    yield line("ET0", f"{sky.radiation_mm:.4f} + {sky.drying_mm:.4f} = {sky.et0_mm:.4f}, or"
                f" {sky.et0_mm + 0.0:.2f} mm/h{dew}", "Eq 53")  # fmt: skip


def _cloudiness(sky: HourInFull) -> str:
    if not 0.3 <= sky.relative_shortwave <= 1.0:
        bound = "0.3" if sky.relative_shortwave < 0.3 else "1"
        return f"held at {bound}: 1.35 × {bound} - 0.35 = {sky.cloudiness:.3f}"
    return f"1.35 × {sky.relative_shortwave:.3f} - 0.35 = {sky.cloudiness:.3f}"
