"""One hour of a plant and its pot written out: what is asked, what comes back, what is lost."""

from __future__ import annotations

import math
from collections.abc import Iterator

from irrigate.cli.explain_hour import AROUND
from irrigate.cli.explain_lines import ML, added, drawn_down, line
from irrigate.garden.balance import (
    OPEN_WATER,
    STRAIN_COSTS,
    STRAIN_FADES_H,
    WALL_DRIES_BELOW,
)
from irrigate.garden.explanation import Explanation
from irrigate.garden.leaves import PSYCHROMETRIC_KPA_C
from irrigate.garden.plant_in_full import PlantInFull
from irrigate.garden.traits import DRYING_SHARE

# Less than this in width and height together is rounding, not growth.
LEAST_CHANGE_M = 0.001


def plant_lines(told: Explanation) -> Iterator[str]:
    """Yield from the plant's size to what it asks in the hour."""
    plant = told.plant
    yield from _size(told)
    yield line("day", f"to its end: u2 {plant.wind_2m_m_s:.2f} m/s, RHmin"
               f" {plant.humidity_min_pct:.1f} % (held to 1-6 and 20-80)")  # fmt: skip
    yield from _full_cover(plant)
    yield from _density(told)
    yield from _reach(told)
    yield from _asks(told)


def _size(told: Explanation) -> Iterator[str]:
    plant = told.plant
    since = ""
    wide, tall = plant.told_m
    if abs(plant.width_m - wide) + abs(plant.height_m - tall) > LEAST_CHANGE_M:
        since = f"; described as {wide:.3f} by {tall:.3f} m"
    yield line("size", f"{plant.width_m:.3f} m wide, {plant.height_m:.3f} m tall{since}")
    season = plant.season
    if season is not None and told.pot.planted is not None:
        over = season.days >= season.begins_d + season.lasts_d
        stage = "its stages are over" if over else season.stage
        ends = season.begins_d + season.lasts_d
        yield line("season", f"day {season.days:.0f} since {told.pot.planted.isoformat()}: {stage}"
                   f" ({season.begins_d:.0f}-{ends:.0f}); by its stages {season.cover:.3f} of full"
                   " cover. Only its growth goes by it", "Table 11, p. 95-97")  # fmt: skip


def _full_cover(plant: PlantInFull) -> Iterator[str]:
    h = plant.climate_height_m
    by_height = min(1.0 + 0.1 * h, 1.20)
    wind = min(max(plant.wind_2m_m_s, 1.0), 6.0)
    humidity = min(max(plant.humidity_min_pct, 20.0), 80.0)
    yield line("Kcb", f"by height: min(1.0 + 0.1 × {h:.3f}, 1.20) = {by_height:.3f}", "Eq 101")
    yield line("", "climate: [0.04 (u2 - 2) - 0.004 (RHmin - 45)] (h/3)^0.3:")
    yield line("", f"[0.04 ({wind:.2f} - 2) - 0.004 ({humidity:.1f} - 45)] ({h:.3f}/3)^0.3 ="
               f" {plant.climate_term:.4f}")  # fmt: skip
    yield line("", f"full cover: {by_height:.3f} {added(plant.climate_term, 4)} ="
               f" {plant.by_height:.3f}", "Eq 99")  # fmt: skip
    if math.isfinite(plant.own):
        yield line("", f"the crop's own {plant.mid_season:.2f}, adjusted: {plant.own:.3f}; the"
                   " smaller counts", "Eq 70")  # fmt: skip
    smaller = min(plant.by_height, plant.own)
    if plant.leaf_resistance_s_m != 100.0:
        yield from _stomata(plant)
        yield line("", f"Fr × Kcb = {plant.stomatal:.4f} × {smaller:.3f} ="
                   f" {plant.full_cover:.3f}")  # fmt: skip


def _stomata(plant: PlantInFull) -> Iterator[str]:
    slope, gamma, u2 = plant.slope_kpa_c, PSYCHROMETRIC_KPA_C, plant.wind_2m_m_s
    own = plant.leaf_resistance_s_m
    yield line("Fr", f"leaves of {own:.0f} s/m, not 100: [Δ + γ (1 + 0.34 u2)]/[Δ + γ (1 + 0.34 u2"
               f" {own:.0f}/100)], at Δ {slope:.4f}:")  # fmt: skip
    above = slope + gamma * (1.0 + 0.34 * u2)
    yield line("", f"{slope:.4f} + {gamma} (1 + 0.34 × {u2:.2f}) = {above:.4f}")
    yield line("", f"{above:.4f}/[{slope:.4f} + {gamma} (1 + 0.34 × {u2:.2f} × {own / 100.0:.2f})]"
               f" = {plant.stomatal:.4f}", "Eq 102")  # fmt: skip


def _density(told: Explanation) -> Iterator[str]:
    plant, measured = told.plant, told.pot.leaf_area_m2
    if measured is not None:
        yield line("leaves", f"measured: {measured:.4f} m² / (0.7854 × {plant.told_m[0]:.3f}²) ="
                   f" {plant.leaf_area_index:.3f} times the canopy")  # fmt: skip
    yield line("density", f"1 - exp(-0.7 × {plant.leaf_area_index:.3f}) = {plant.density:.4f}",
               "Eq 97")  # fmt: skip


def _reach(told: Explanation) -> Iterator[str]:
    plant, pot, place = told.plant, told.pot, told.place
    crown, sun = plant.crown_m, max(plant.noon_sun_rad, math.pi / 6.0)
    if pot.crop.bare_stem > 0.0:
        yield line("crown", f"{plant.height_m:.3f} × (1 - {pot.crop.bare_stem:.2f}) = {crown:.3f} m"
                   " tall above its bare stem")  # fmt: skip
    yield line("canopy", f"0.7854 × {plant.width_m:.3f}² = {plant.canopy_m2:.4f} m² from above")
    held = ", taken as 30°" if plant.noon_sun_rad < math.pi / 6.0 else ""
    yield line("shadow", f"noon sun {math.degrees(plant.noon_sun_rad):.1f}°{held}, tan"
               f" {math.tan(sun):.4f}:")  # fmt: skip
    yield line("", f"0.7854 × {plant.width_m:.3f} √({plant.width_m:.3f}² +"
               f" ({crown:.3f}/{math.tan(sun):.4f})²) = {plant.shadow_m2:.4f} m²",
               "Box 18")  # fmt: skip
    stands = "hanging" if pot.setting == "hanging" else f"pots stand {place.spacing}"
    yield line("ground", f"{stands}: ({plant.apart:.1f} × {plant.width_m:.3f})² ="
               f" {plant.ground_m2:.4f} m² of its own")  # fmt: skip
    power = 1.0 / (1.0 + plant.height_m)
    effective = min(plant.shadow_m2 / plant.ground_m2, 1.0) ** power
    yield line("fc eff", f"min({plant.shadow_m2:.4f}/{plant.ground_m2:.4f}, 1)^(1/(1 +"
               f" {plant.height_m:.3f})) = {effective:.4f}")  # fmt: skip
    yield line("reach", f"{plant.ground_m2:.4f} × min(1, 2 × {plant.canopy_m2:.4f}/"
               f"{plant.ground_m2:.4f}, {effective:.4f}) = {plant.reached_m2:.4f} m²",
               "Eq 98")  # fmt: skip
    yield line("uses", f"Kcb × density × reach: {plant.full_cover:.3f} × {plant.density:.4f} ×"
               f" {plant.reached_m2:.4f} = {plant.free_m2:.4f} m²")  # fmt: skip
    binds = plant.free_m2 > plant.limit_m2
    stomata = f"{plant.stomatal:.4f} × " if plant.leaf_resistance_s_m != 100.0 else ""
    held = "and it is held to that" if binds else "not reached"
    yield line("limit", f"{plant.limit:.1f} × {stomata}{plant.shadow_m2:.4f} ="
               f" {plant.limit_m2:.4f} m² ({AROUND[place.ground]}), {held}",
               "p. 202-203")  # fmt: skip


def _asks(told: Explanation) -> Iterator[str]:
    plant, hour, pot = told.plant, told.hour, told.believed
    least = min(plant.free_m2, plant.limit_m2)
    if plant.leaf_share < 1.0:
        yield from _leaf_share(told)
        yield line("", f"{least:.4f} × {plant.leaf_share:.4f} = {plant.leaf_m2:.4f} m²")
    strain = ""
    if hour.strain >= 0.00005:
        left = 1.0 - STRAIN_COSTS * hour.strain
        yield line("strain", f"by then {hour.strain:.4f}, fading over {STRAIN_FADES_H:.0f} h: 1 -"
                   f" {STRAIN_COSTS} × {hour.strain:.4f} = {left:.4f}")  # fmt: skip
        strain = f" × {left:.4f}"
    yield line("asks", f"ET0 × that × thirst{' × strain' if strain else ''}, 1 mm on 1 m² being"
               " 1 L:")  # fmt: skip
    yield line("", f"{hour.et0_mm:.4f} × {plant.leaf_m2:.4f} × {pot.use_factor:.3f}{strain} × 1000"
               f" = {hour.asked_l * ML:.1f} mL")  # fmt: skip


def _leaf_share(told: Explanation) -> Iterator[str]:
    plant, crop, season = told.plant, told.pot.crop, told.plant.season
    if crop.leaves_by_month or season is None:
        yield line("leaves", f"day {plant.day_of_year:.0f} of the year: it bears"
                   f" {plant.leaf_share:.4f} of them (from memory)")  # fmt: skip
        return
    gone = max(season.days - season.begins_d, 0.0)
    yield line("leaves", "tire in the late stage:")
    yield line("", f"1 - (1 - {crop.kcb_end:.2f}/{crop.kcb_mid:.2f}) × min({gone:.0f}/"
               f"{season.lasts_d:.0f}, 1) = {plant.leaf_share:.4f}", "Eq 66")  # fmt: skip


# --- what comes back from below ---------------------------------------------------------------
def below_lines(told: Explanation) -> Iterator[str]:
    """Yield what the mix takes back from below it, and what evaporates there, in the hour."""
    pot, hour = told.believed, told.hour
    lacks = max(pot.full_l - hour.begin_l, 0.0)
    yield line("lacks", f"max({pot.full_l:.4f} - {hour.begin_l:.4f}, 0) = {lacks:.4f} L")
    yield line("back", f"min[{hour.begin_below_l:.4f}, {lacks:.4f} × (1 - exp(-{pot.suction_per_h}"
               f" × {hour.hours:.4f}))] = {hour.back_l:.4f} L")  # fmt: skip
    left = hour.begin_below_l - hour.back_l
    if pot.basin_open_m2 > 0.0:
        yield line("open", f"min[{left:.4f}, {hour.et0_mm:.4f} × {OPEN_WATER} ×"
                   f" {pot.basin_open_m2:.4f}] = {hour.stood_l:.4f} L evaporate",
                   "Table 12")  # fmt: skip
    yield line("stands", f"{hour.begin_below_l:.4f} - {hour.back_l:.4f} - {hour.stood_l:.4f} ="
               f" {hour.end_below_l:.4f} L afterwards")  # fmt: skip


# --- surface --------------------------------------------------------------------------------
def surface_lines(told: Explanation) -> Iterator[str]:
    """Yield what the surface of the mix loses in the hour."""
    top, pot, plant, hour = told.surface, told.believed, told.plant, told.hour
    if pot.cover <= 0.0:
        yield line("covered", "nothing dries from it")
        return
    canopy = 0.25 * math.pi * plant.now_m[0] ** 2
    if plant.borne < 1.0:
        yield line("leaves", f"{plant.borne:.4f} of them there: 1 - exp(-0.7 ×"
                   f" {plant.leaf_area_index:.3f} × {plant.borne:.4f}) ="
                   f" {plant.shade_density:.4f}", "Eq 97")  # fmt: skip
    yield line("shaded", f"min(1, {canopy:.4f}/{pot.surface_m2:.4f}) × {plant.shade_density:.4f} ="
               f" {pot.shaded_share:.4f} of the top")  # fmt: skip
    yield line("few", f"1 - (1 - {DRYING_SHARE}) × {pot.shaded_share:.4f} ="
               f" {pot.exposed_share:.4f} exposed, for air gets in",
               "Eq 75")  # fmt: skip
    over = "canopy" if top.over_m2 > pot.surface_m2 else "top"
    yield line("Kcb", f"over the {over}: {plant.leaf_m2:.4f}/{top.over_m2:.4f} = {top.basal:.3f}")
    yield line("Kc max", f"max[1.1 {added(plant.climate_term, 4)}, min({top.basal:.3f}, 1.2) +"
               f" 0.05] = {top.most:.3f}", "Eq 72")  # fmt: skip
    yield line("Ke/few", f"by energy max(2 × {top.most:.3f} - {top.basal:.3f}, 0.05)/"
               f"{pot.exposed_share:.4f} = {top.by_energy:.3f}", "Eq 71, 98")  # fmt: skip
    yield line("", f"while wet min({top.by_energy:.3f}, {top.most:.3f}) = {top.rate:.3f}")
    cover = f" × {pot.cover:.2f} (mulch)" if pot.cover < 1.0 else ""
    asked = hour.et0_mm * top.rate * pot.cover
    yield line("wet", f"{hour.et0_mm:.4f} × {top.rate:.3f}{cover} = {asked:.3f} mm")
    yield line("slows", f"below ({pot.evaporable_mm:.2f} - {pot.readily_mm:.2f}) × min(1,"
               f" {top.most:.3f}/{top.by_energy:.3f}) = {top.threshold_mm:.2f} mm left"
               )  # fmt: skip
    left = max(pot.evaporable_mm - hour.begin_surface_mm, 0.0)
    lost = hour.end_surface_mm - hour.begin_surface_mm
    yield line("left", f"{pot.evaporable_mm:.2f} - {hour.begin_surface_mm:.2f} = {left:.2f} mm")
    yield from drawn_down("drying", left, top.threshold_mm, asked, lost, "mm", "Eq 74")
    whole = lost * pot.exposed_share * pot.surface_m2
    held = ""
    if hour.dried_l < whole - 1e-9:
        held = ", held to what air can draw from the mix"
    yield line("dries", f"{lost:.4f} × {pot.exposed_share:.4f} × {pot.surface_m2:.4f} × 1000 ="
               f" {whole * ML:.1f} mL{held}")  # fmt: skip


# --- how it holds back, and the wall --------------------------------------------------------
def drinking_lines(told: Explanation) -> Iterator[str]:
    """Yield what the plant drinks of what it asks in the hour."""
    pot, hour = told.believed, told.hour
    back = f" + {hour.back_l:.4f}" if hour.back_l > 0.0 else ""
    yield line("reach", f"max({hour.begin_l:.4f}{back} - {hour.dried_l:.4f} - {pot.limit_l:.4f}, 0)"
               f" = {hour.reach_l:.4f} L")  # fmt: skip
    yield line("Ks", f"min({hour.reach_l:.4f}/{pot.dry_l:.4f}, 1) = {hour.stress:.3f} at its start",
               "Eq 84")  # fmt: skip
    yield from drawn_down(
        "drinks", hour.reach_l * ML, pot.dry_l * ML, hour.asked_l * ML, hour.drunk_l * ML, "mL"
    )


def breathing_lines(told: Explanation) -> Iterator[str]:
    """Yield what a breathing wall gives off in the hour."""
    pot, hour = told.believed, told.hour
    wanted = hour.et0_mm * pot.wall_m2
    mix = hour.begin_l + hour.back_l - hour.dried_l - hour.drunk_l
    # The surface may have drawn the mix down to what air leaves in it, give or take rounding.
    left, whole = max(mix - pot.air_dry_l, 0.0), pot.full_l - pot.air_dry_l
    threshold = WALL_DRIES_BELOW * whole
    yield line("wet", f"{hour.et0_mm:.4f} × {pot.wall_m2:.4f} × 1000 = {wanted * ML:.2f} mL")
    back = f" + {hour.back_l:.4f}" if hour.back_l > 0.0 else ""
    yield line("left", f"max({hour.begin_l:.4f}{back} - {hour.dried_l:.4f} - {hour.drunk_l:.4f} -"
               f" {pot.air_dry_l:.4f}, 0) = {left:.4f} L above what air leaves in the mix, half of"
               " what no plant can take", "Eq 73")  # fmt: skip
    yield line("slows", f"below {WALL_DRIES_BELOW} × ({pot.full_l:.4f} - {pot.air_dry_l:.4f}) ="
               f" {threshold:.4f} L left (from memory)")  # fmt: skip
    yield from drawn_down(
        "breathes", left * ML, threshold * ML, wanted * ML, hour.breathed_l * ML, "mL"
    )
