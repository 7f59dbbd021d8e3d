"""One pot laid open: what its mix holds, what of it the plant can take, and how it loses water."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from irrigate.garden.belief import Belief
from irrigate.garden.media import Medium
from irrigate.garden.pots import Manner, Pot
from irrigate.garden.season import days_since, first_rooted, rooted, rooting_since
from irrigate.garden.traits import FULLEST, Vitals
from irrigate.garden.water import Array, PotTraits, Store
from irrigate.science.salinity import leaching_requirement

CM_PER_M = 100.0


@dataclass(frozen=True, slots=True)
class MixInFull:
    """What the mix of a pot holds after draining, in the laboratory and at home.

    Parameters
    ----------
    filled_l, depth_m : of the mix [L, m].
    base_cm, top_cm : suction at its base and its top once it has drained [cm of water].
    base_theta, top_theta, mean_theta : water there, and on average over the pot [–].
    pores_theta, limit_theta : θs, and the water that the plant cannot take [–].
    home_fill : available water at home as a share of the laboratory's [–].
    shut_in : whether the pores, not the fill, set what it holds at home.
    air : air in it after draining at home, as a share of the volume [–].
    """

    filled_l: float
    depth_m: float
    base_cm: float
    top_cm: float
    base_theta: float
    top_theta: float
    mean_theta: float
    pores_theta: float
    limit_theta: float
    home_fill: float
    shut_in: bool
    air: float


@dataclass(frozen=True, slots=True)
class RootsInFull:
    """How far roots have come into a new mix.

    Parameters
    ----------
    since, days : when they began, and whole days since.
    first, share : of the mix that they reached then, and reach now [–].
    unreached_l : available water where they have not come yet [L].
    """

    since: date
    days: float
    first: float
    share: float
    unreached_l: float


@dataclass(frozen=True, slots=True)
class PotInFull:
    """The middle of what is believed of one pot, and where its water began.

    Parameters
    ----------
    mix, roots : as above; roots None where they are everywhere.
    full_l, limit_l : water after draining, and out of the plant's reach, for whatever reason [L].
    available_l : their difference, TAW of Eq 82 [L].
    dry_point : share of TAW below which use falls, 1 − p [0–1]; dry_l : as litres of TAW.
    use_factor : thirst relative to the equations [–].
    start_l, start_surface_mm : water, and what is missing from the surface layer [L, mm].
    start_below_l, stood_h, strain : water below the mix, for how long it has stood [L, h]; how far
        the leaves are strained from having hung [0–1].
    evaporable_mm, readily_mm : TEW of Eq 73, and REW [mm].
    surface_m2, exposed_share, cover : top of the mix [m²]; few of Eq 75; what a mulch lets by.
    shaded_share : of the top, by the leaves above it [–].
    side_m2, breathes, wall_m2 : wall beside the mix [m²]; reference ET that an area of it gives off
        [–]; their product [m²].
    basin_l, basin_open_m2, suction_per_h : of what stands below.
    opening_m2, catch_m2, sheltered_m2 : opening; as the rain finds it; part under leaves [m²].
    repels_l, air_dry_l, soggy_l : water below which the mix repels, that air leaves in it, and
        above which roots lack air [L].
    leaching : share of the water given that has to run through to wash out salt; None where the
        water's salt was not said, or what the plant bears is not known [–].
    """

    mix: MixInFull
    roots: RootsInFull | None
    full_l: float
    limit_l: float
    available_l: float
    dry_point: float
    dry_l: float
    use_factor: float
    start_l: float
    start_surface_mm: float
    start_below_l: float
    stood_h: float
    strain: float
    evaporable_mm: float
    readily_mm: float
    surface_m2: float
    exposed_share: float
    cover: float
    shaded_share: float
    side_m2: float
    breathes: float
    wall_m2: float
    basin_l: float
    basin_open_m2: float
    suction_per_h: float
    opening_m2: float
    catch_m2: float
    sheltered_m2: float
    repels_l: float
    air_dry_l: float
    soggy_l: float
    leaching: float | None


def pot_in_full(
    pot: Pot, row: int, known: Vitals, traits: PotTraits, start: Store, belief: Belief,
    manner: Manner,
) -> PotInFull:  # fmt: skip
    """Gather the middle of what is believed of a pot.

    Parameters
    ----------
    pot, row : which, and its row in the belief.
    known : what the description says of the pots.
    traits, start : of the central run, each [pot, 1].
    belief : the moment. manner : the garden's.
    """

    def number(values: Array) -> float:
        return float(values[row, 0])

    full, opening = number(traits.capacity_l), number(known.opening_m2)
    available, dry_point = number(traits.available_l), number(traits.dry_point)
    side, wall = pot.vessel.side_area_m2, number(traits.wall_m2)
    bears, salt = pot.crop.salt_ds_m, manner.water_salt_ds_m
    return PotInFull(
        mix=_mix(pot, full, number(known.limit_l), number(known.laboratory_l)),
        roots=_roots(pot, belief, full - number(known.limit_l)),
        full_l=full,
        limit_l=number(traits.limit_l),
        available_l=available,
        dry_point=dry_point,
        dry_l=dry_point * available,
        use_factor=number(traits.use_factor),
        start_l=number(start.water_l),
        start_surface_mm=number(start.surface_mm),
        start_below_l=number(start.below_l),
        stood_h=number(start.stood_h),
        strain=number(start.strain),
        evaporable_mm=number(traits.evaporable_mm),
        readily_mm=number(traits.readily_mm),
        surface_m2=number(traits.surface_m2),
        exposed_share=number(traits.exposed_share),
        cover=number(traits.cover),
        shaded_share=number(traits.sheltered_m2) / opening,
        side_m2=side,
        breathes=wall / side,
        wall_m2=wall,
        basin_l=number(traits.basin_l),
        basin_open_m2=number(traits.basin_open_m2),
        suction_per_h=number(traits.suction_per_h),
        opening_m2=opening,
        catch_m2=number(traits.catch_m2),
        sheltered_m2=number(traits.sheltered_m2),
        repels_l=number(traits.repels_l),
        air_dry_l=number(traits.air_dry_l),
        soggy_l=number(traits.soggy_l),
        leaching=(
            None if bears is None or salt is None else float(leaching_requirement(salt, bears))
        ),
    )


def _mix(pot: Pot, full_l: float, limit_l: float, laboratory_l: float) -> MixInFull:
    medium: Medium = pot.medium
    vessel = pot.vessel
    base_cm = vessel.base_suction_m * CM_PER_M
    top_cm = base_cm + vessel.filled_height_m * CM_PER_M
    filled_l = vessel.filled_volume_l
    return MixInFull(
        filled_l=filled_l,
        depth_m=vessel.filled_height_m,
        base_cm=base_cm,
        top_cm=top_cm,
        base_theta=medium.water_content(base_cm),
        top_theta=medium.water_content(top_cm),
        mean_theta=medium.container_capacity(vessel),
        pores_theta=medium.theta_s,
        limit_theta=medium.lower_limit,
        home_fill=(full_l - limit_l) / laboratory_l if laboratory_l > 0.0 else 0.0,
        shut_in=full_l > (FULLEST - 1e-6) * medium.theta_s * filled_l,
        air=medium.theta_s - full_l / filled_l,
    )


def _roots(pot: Pot, belief: Belief, plain_available_l: float) -> RootsInFull | None:
    """Return how far roots have come; None where they are everywhere, or nothing is known."""
    share = float(rooted((pot,), belief.at)[0, 0])
    since = rooting_since(pot)
    if since is None or share >= 1.0:
        return None
    return RootsInFull(
        since=since,
        days=float(days_since(since, np.array([int(belief.at.timestamp()) + 1]))[0]),
        first=first_rooted(pot),
        share=share,
        unreached_l=(1.0 - share) * plain_available_l,
    )
