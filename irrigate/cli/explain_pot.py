"""One pot written out: its mix, its roots, its water, and what moved so far."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from irrigate import units
from irrigate.cli.explain_lines import ML, line
from irrigate.cli.outlook_text import said_ahead_or_past
from irrigate.garden.balance import STRAIN_COSTS
from irrigate.garden.explanation import Explanation
from irrigate.garden.exposure import LEAVES_HOLD_MM
from irrigate.garden.pot_in_full import MixInFull, PotInFull, RootsInFull
from irrigate.garden.pots import Garden, Wall
from irrigate.garden.priors import HOME_FILL
from irrigate.garden.season import ROOTING_DAYS
from irrigate.garden.surroundings import rain_share
from irrigate.garden.traits import FULLEST, LEAST_AIR
from irrigate.science.salinity import LEACHING_CEILING, NOT_SALTY_DS_M
from irrigate.science.wetting import LEAST_TAKEN
from irrigate.service.wording import clock

WALLS: dict[Wall, str] = {"clay": "from memory", "fabric": "Million & Yeager 2022",
                          "wood": "from memory"}  # fmt: skip


def mix_lines(told: Explanation, garden: Garden) -> Iterator[str]:
    """Yield what the pot holds once it has drained, and what goes with the pot itself."""
    pot, medium = told.believed, told.pot.medium
    mix = pot.mix
    limit = mix.limit_theta * mix.filled_l
    yield line("mix", f"{mix.filled_l:.3f} L of {medium.name}, {mix.depth_m * 100.0:.1f} cm deep;"
               f" its top {pot.surface_m2:.4f} m²")  # fmt: skip
    yield from _curve(told, mix)
    laboratory = mix.mean_theta * mix.filled_l
    yield line("drained", f"{mix.mean_theta:.4f} × {mix.filled_l:.3f} = {laboratory:.3f} L, as a"
               " laboratory soaks it")  # fmt: skip
    yield line("limit", f"{mix.limit_theta:.3f} × {mix.filled_l:.3f} = {limit:.3f} L that no plant"
               " can take")  # fmt: skip
    held = f", for {FULLEST:g} of the pores fill at most" if mix.shut_in else ""
    yield line("home", f"watered from above it fills to {mix.home_fill:.4f} of what lies between"
               f"{held} (about {HOME_FILL} at first, then learnt)")  # fmt: skip
    yield line("full", f"{limit:.3f} + {mix.home_fill:.4f} ({laboratory:.3f} - {limit:.3f}) ="
               f" {pot.full_l:.3f} L")  # fmt: skip
    yield line("air", f"{mix.pores_theta:.3f} - {pot.full_l:.3f}/{mix.filled_l:.3f} ="
               f" {mix.air:.3f} of the mix once drained")  # fmt: skip
    yield line("", f"too wet above {pot.soggy_l:.3f} L, where under {LEAST_AIR:.2f} of it is air")
    if pot.roots is not None:
        yield from _roots(pot.roots, pot.full_l, limit)
    yield from _wall(told)
    yield from _rain(told)
    yield from _salt(told, garden)


def _curve(told: Explanation, mix: MixInFull) -> Iterator[str]:
    medium = told.pot.medium
    low, high = medium.theta_r, medium.theta_s
    n = f"{medium.n:.4g}"
    yield line("θ(h)", "θr + (θs - θr)/[1 + (α h)^n]^(1 - 1/n), suction h in cm as high as it"
               " stands:", "van Genuchten 1980")  # fmt: skip
    yield line("", f"{low:.4g} + ({high:.4g} - {low:.4g})/[1 + ({medium.alpha_per_cm:.4g} ×"
               f" {mix.top_cm:.2f})^{n}]^(1 - 1/{n}) = {mix.top_theta:.4f}")  # fmt: skip
    yield line("", f"at the top; at the base, h {mix.base_cm:.1f} cm, {mix.base_theta:.4f}")
    yield line("", f"mean over the pot, each height by its area: {mix.mean_theta:.4f}")


def _roots(roots: RootsInFull, full_l: float, limit_l: float) -> Iterator[str]:
    yield line("roots", f"{roots.days:.0f} days since {roots.since.isoformat()}, everywhere by day"
               f" {ROOTING_DAYS:.0f} (from memory):")  # fmt: skip
    yield line("", f"{roots.first:.2f} + (1 - {roots.first:.2f}) × {max(roots.days, 0.0):.0f}/"
               f"{ROOTING_DAYS:.0f} = {roots.share:.4f} of the mix reached")  # fmt: skip
    yield line("", f"(1 - {roots.share:.4f}) × ({full_l:.3f} - {limit_l:.3f}) ="
               f" {roots.unreached_l:.3f} L where they have not come")  # fmt: skip


def _wall(told: Explanation) -> Iterator[str]:
    pot = told.believed
    if pot.wall_m2 > 0.0:
        yield line("wall", f"{told.pot.wall} breathes: {pot.breathes:.2f} × {pot.side_m2:.4f} m² ="
                   f" {pot.wall_m2:.4f} m² of ET0", WALLS[told.pot.wall])  # fmt: skip


def _rain(told: Explanation) -> Iterator[str]:
    pot, share = told.believed, rain_share(told.place)
    if share <= 0.0:
        return
    catch = pot.catch_m2 / pot.opening_m2
    said = f"{pot.opening_m2:.4f} m²"
    if catch != 1.0:
        said = f"{catch:.2f} (caught) × {said}"
    if share != 1.0:
        said = f"{share:.2f} (gets here) × {said}"
    yield line("rain", f"none is counted on; 1 mm × {said} = {share * pot.catch_m2:.4f} L")
    if pot.sheltered_m2 > 0.0:
        kept = LEAVES_HOLD_MM * pot.sheltered_m2
        yield line("", f"less what leaves keep of a shower, up to {LEAVES_HOLD_MM} ×"
                   f" {pot.sheltered_m2:.4f} = {kept:.4f} L",
                   "Dunkerley & Booth 1999")  # fmt: skip


def _salt(told: Explanation, garden: Garden) -> Iterator[str]:
    pot, water = told.believed, garden.manner.water_salt_ds_m
    bears = told.pot.crop.salt_ds_m
    if water is None:
        return
    if bears is None or pot.leaching is None:
        yield line("salt", f"{water:.2f} dS/m in the water; what {told.pot.crop.name} bears is not"
                   " known, so nothing has to run through")  # fmt: skip
        return
    if water < NOT_SALTY_DS_M:
        yield line("salt", f"water of {water:.2f} dS/m is not salty (below {NOT_SALTY_DS_M}):"
                   " nothing has to run through", "FAO-29")  # fmt: skip
        return
    if 5.0 * bears <= water:
        yield line("salt", f"water of {water:.2f} dS/m is more than {bears:.2f} dS/m in the mix can"
                   f" be kept to: {pot.leaching:.3f} of it, the most that is advised, should run"
                   " through", "FAO-29 Eq 9")  # fmt: skip
        return
    yield line("salt", f"min[{water:.2f}/(5 × {bears:.2f} - {water:.2f}), {LEACHING_CEILING}] ="
               f" {pot.leaching:.3f} of the water should run through", "FAO-29 Eq 9")  # fmt: skip


# --- its water ------------------------------------------------------------------------------
def water_lines(told: Explanation, garden: Garden) -> Iterator[str]:
    """Yield what is believed of the pot's water at the start, and where its thresholds are."""
    pot = told.believed
    at, limit = clock(garden, told.begins), pot.mix.limit_theta * pot.mix.filled_l
    if pot.roots is not None:
        yield line("limit", f"{limit:.3f} + {pot.roots.unreached_l:.3f} = {pot.limit_l:.3f} L out"
                   " of the plant's reach")  # fmt: skip
    yield line("TAW", f"{pot.full_l:.3f} - {pot.limit_l:.3f} = {pot.available_l:.3f} L available",
               "Eq 82")  # fmt: skip
    yield line("1 - p", f"{pot.dry_point:.4f} × {pot.available_l:.3f} = {pot.dry_l:.3f} L; below,"
               " it holds back", "Eq 83")  # fmt: skip
    yield line("thirst", f"{pot.use_factor:.3f} of what the equations say")
    yield line("water", f"{pot.start_l:.3f} L at {at}: {_available(pot)}")
    yield line("surface", f"TEW {pot.evaporable_mm:.2f} mm, REW {pot.readily_mm:.2f} mm, missing De"
               f" {pot.start_surface_mm:.2f} mm", "Eq 73")  # fmt: skip
    yield from _below(told, garden)
    if pot.start_l < pot.repels_l:
        yield from _repels(pot)
    if pot.strain >= 0.0005:
        yield line("strain", f"{pot.strain:.3f} from hanging: 1 - {STRAIN_COSTS} ×"
                   f" {pot.strain:.3f} = {1.0 - STRAIN_COSTS * pot.strain:.4f} of its usual use",
                   "Ismail & Davies 2000")  # fmt: skip


def _available(pot: PotInFull) -> str:
    left = pot.start_l - pot.limit_l
    if left < 0.0:
        return "nothing available"
    share = units.in_percent(left / pot.available_l)
    return f"{pot.start_l:.3f} - {pot.limit_l:.3f} = {left:.3f} L available, {share}"


def _below(told: Explanation, garden: Garden) -> Iterator[str]:
    pot, basin = told.believed, told.pot.basin
    if basin is None:
        return
    holds = f"{basin.kind} of {pot.basin_l:.3f} L"
    if pot.start_below_l <= 0.0:
        yield line("below", f"{holds}: nothing stands in it")
        return
    since = ""
    if basin.kind != "reservoir" and pot.stood_h > 0.0:
        begun = said_ahead_or_past(garden, told.begins - timedelta(hours=pot.stood_h), told.begins)
        since = f", without a break since {begun} ({pot.stood_h:.1f} h)"
    yield line("below", f"{holds}: {pot.start_below_l:.3f} L stand in it{since}")


def _repels(pot: PotInFull) -> Iterator[str]:
    lost = 1.0 - LEAST_TAKEN
    span = pot.repels_l - pot.air_dry_l
    share = 1.0 - lost * min((pot.repels_l - pot.start_l) / span, 1.0)
    yield line("repels", f"below {pot.repels_l:.3f} L (air-dry is {pot.air_dry_l:.3f} L) part of"
               " any water runs past. Of the first it takes")  # fmt: skip
    yield line("", f"1 - {lost} × min[({pot.repels_l:.3f} - {pot.start_l:.3f})/({pot.repels_l:.3f}"
               f" - {pot.air_dry_l:.3f}), 1] = {share:.3f}", "from memory")  # fmt: skip


# --- so far ---------------------------------------------------------------------------------
def so_far_lines(told: Explanation) -> Iterator[str]:
    """Yield what moved, drained and was felt since the pot was first seen."""
    moved, pot = told.so_far, told.believed
    right = abs(moved.corrected_l) >= 0.5 / ML
    names = "rain + given - drunk - evaporated - drained"
    yield line("moved", f"{names}{' + set right by what was seen' if right else ''}:")
    said = (f"{moved.rained_l:.3f} + {moved.given_l:.3f} - {moved.transpired_l:.3f} -"
            f" {moved.evaporated_l:.3f} - {moved.drained_l:.3f}")  # fmt: skip
    if right:
        said += f" {'-' if moved.corrected_l < 0.0 else '+'} {abs(moved.corrected_l):.3f}"
    yield line("", f"{said} = {moved.change_l + 0.0:.3f} L")
    if moved.drained_l >= 0.5 / ML:
        yield line("washed", f"{moved.drained_l:.3f} / {pot.available_l:.3f} ="
                   f" {moved.drained_l / pot.available_l:.2f} times what it can give has drained,"
                   " and feed with it")  # fmt: skip
    yield line("felt", f"thirsty {moved.thirsty_h:.1f} h, wilting {moved.wilting_h:.1f} h, too wet"
               f" {moved.wet_h:.1f} h")  # fmt: skip
