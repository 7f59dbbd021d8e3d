"""Twins: what the tool believes of gardens whose truth is known, before and after it learns.

Run by hand: ``python -m tests.campaigns.twins [gardens]`` (6 gardens of 40 pots take some minutes).
Errors in litres are told in ET-hours of a summer day: 24 h × litres / what the pot used that day,
so that a night does not count. Intervals are by a bootstrap clustered by pot.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from irrigate.garden.balance import missing_l
from irrigate.garden.believed import Standing
from irrigate.garden.learning import all_known, sites_of
from irrigate.garden.priors import USE
from irrigate.garden.shared import Spreads
from irrigate.garden.weather import Floats
from tests.campaigns.twin_asking import five_for_every_pot, nobody, one_a_day, some, ten_in_all
from tests.campaigns.twin_garden import START, summer_of_greensboro, twin_garden
from tests.campaigns.twin_life import Asks, Morning, Slips, lived, noise_l
from tests.campaigns.twin_truths import Matched, Mismatched, RealGarden

MEDIAN_OF_NORMAL = 0.6745
SLIPS = Slips(other_pot=0.03, pounds=0.05)
SPLITS = {
    "pot 0.10, group 0.35, garden 0.20": USE,
    "pot 0.25, group 0.25, garden 0.20": replace(USE, pot=0.25, group=0.25),
    "pot 0.10, group 0.15, garden 0.40": replace(USE, group=0.15, garden=0.40),
}


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of real garden, and how people err in it."""

    name: str
    make: Callable[[str, Spreads], RealGarden]
    slips: Slips


def kinds() -> tuple[Kind, Kind]:
    """Return the matched and the mismatched one."""
    garden, weather = twin_garden(), summer_of_greensboro()
    return (
        Kind("matched", lambda key, use: Matched(garden, weather, START, key, use), Slips()),
        Kind("mismatched", lambda key, use: Mismatched(garden, weather, START, key, use), SLIPS),
    )


def life(
    kind: Kind, key: str, days: int, asks: Asks, use: Spreads = USE,
    known: Callable[[RealGarden], Callable[[Standing], Standing]] | None = None,
) -> list[Morning]:  # fmt: skip
    """Live one garden."""
    real = kind.make(key, use)
    seed = sum(map(ord, key))
    return lived(
        twin_garden(), real, summer_of_greensboro(), START, days, asks, seed, kind.slips,
        known(real) if known else None,
    )  # fmt: skip


# --- scores --------------------------------------------------------------------------------
def error_h(morning: Morning) -> Floats:
    """Return the error of the median, in ET-hours [pot]."""
    middle = np.median(morning.expected_l, axis=1)
    return 24.0 * np.abs(middle - morning.took_l) / np.maximum(morning.took_l, 0.05)


def as_answers(morning: Morning, seed: int) -> Floats:
    """Return the members' litres with the noise of an answer [pot, member]."""
    rng = np.random.default_rng(seed)
    wide = noise_l(morning.expected_l)
    return morning.expected_l + wide * rng.standard_normal(morning.expected_l.shape)


def inside_80(morning: Morning, seed: int = 1) -> Floats:
    """Return whether each told amount lies within the 80 % interval [pot]."""
    low, high = np.quantile(as_answers(morning, seed), (0.1, 0.9), axis=1)
    return (morning.told_l >= low) & (morning.told_l <= high)


def crps_l(morning: Morning, seed: int = 1) -> Floats:
    """Return the continuous ranked probability score of the told litres [pot, L].

    E|X − y| − ½ E|X − X'| over the members (Gneiting & Raftery 2007, J. Am. Stat. Assoc.
    102:359, Eq 21).
    """
    members = np.sort(as_answers(morning, seed), axis=1)
    count = members.shape[1]
    to_truth = np.abs(members - morning.told_l[:, None]).mean(axis=1)
    rank = 2.0 * np.arange(1, count + 1) - count - 1.0
    between = (members * rank).sum(axis=1) * 2.0 / count**2
    return to_truth - 0.5 * between


def spread_of(values: Floats, statistic: Callable[[Floats], float], draws: int = 400) -> str:
    """Return a statistic with its 90 % interval, pots drawn with replacement [pot, ...]."""
    rng = np.random.default_rng(7)
    found = [statistic(values[rng.integers(0, len(values), len(values))]) for _ in range(draws)]
    low, high = np.quantile(found, (0.05, 0.95))
    return f"{statistic(values):.3g} ({low:.3g}–{high:.3g})"


def coverage_of(mornings: list[Morning]) -> Floats:
    """Return whether each told amount lay within its interval [pot, day]."""
    return np.stack([inside_80(one) for one in mornings], axis=1)


# --- what was asked ------------------------------------------------------------------------
def coverage(kind: Kind, gardens: int, use: Spreads = USE) -> str:
    """Return how often what was told lay in the 80 % interval, with every fifth pot told of."""
    inside = np.concatenate(
        [
            coverage_of(life(kind, f"cover {number}", 12, some(0.2, number), use))
            for number in range(gardens)
        ]
    )
    return f"{inside.size} pot-days: {spread_of(inside, lambda part: float(part.mean()))}"


def ten_reports(kind: Kind, gardens: int, use: Spreads = USE) -> tuple[float, str]:
    """Return by what share ten reports in all cut the median error, and it in words."""
    before, after = [], []
    for number in range(gardens):
        key = f"ten {number}"
        before.append(error_h(life(kind, key, 4, nobody, use)[-1]))
        after.append(error_h(life(kind, key, 4, ten_in_all, use)[-1]))
    both = np.stack([np.concatenate(before), np.concatenate(after)], axis=1)

    def cut(part: Floats) -> float:
        return 1.0 - float(np.median(part[:, 1]) / np.median(part[:, 0]))

    medians = np.median(both, axis=0)
    words = f"{medians[0]:.1f} -> {medians[1]:.1f} ET-hours, cut by {spread_of(both, cut)}"
    return cut(both), words


def a_question_a_day(kind: Kind, gardens: int, use: Spreads = USE) -> tuple[float, str]:
    """Return the error after two weeks of one question a day against five reports of every pot.

    The best that any reader of these answers could do is told too: the exact posterior's spread of
    log use (the tree), as hours of the day's use, of which the median of a normal is 0.67.
    """
    asked, full, none, best = [], [], [], []
    for number in range(gardens):
        key = f"one {number}"
        last: list[Standing] = []
        asked.append(error_h(life(kind, key, 15, kept(one_a_day(), last), use)[-1]))
        best.append(MEDIAN_OF_NORMAL * 24.0 * spread_of_room(last[-1]))
        full.append(error_h(life(kind, key, 15, five_for_every_pot, use)[-1]))
        none.append(error_h(life(kind, key, 15, nobody, use)[-1]))
    both = np.stack([np.concatenate(part) for part in (asked, full, none)], axis=1)

    def ratio(part: Floats) -> float:
        return float(np.median(part[:, 0]) / np.median(part[:, 1]))

    medians = np.median(both, axis=0)
    words = (
        f"{medians[0]:.2f} against {medians[1]:.2f} ET-hours (nothing learnt: {medians[2]:.1f}; "
        f"at best {np.median(np.concatenate(best)):.2f}), ratio {spread_of(both, ratio)}"
    )
    return ratio(both), words


def kept(asks: Asks, last: list[Standing]) -> Asks:
    """Return the same questions, keeping what was believed when each was put."""

    def asking(day: int, believed: Standing) -> dict[int, str]:
        last.append(believed)
        return asks(day, believed)

    return asking


def spread_of_room(believed: Standing) -> Floats:
    """Return the tree's spread of log use as a share of what each pot lacks [pot]."""
    belief = believed.belief
    known = all_known(believed.garden.pots, sites_of(belief), belief.remembered)[0]
    room = np.log(np.maximum(missing_l(belief.water_l, believed.traits), 1e-3))
    use = belief.log_use - belief.log_use.mean(axis=1, keepdims=True)
    slope = (use * room).mean(axis=1) / use.var(axis=1)
    return np.asarray(np.sqrt(known.variance) * slope)


def five_each(kind: Kind, gardens: int, use: Spreads = USE) -> tuple[float, str]:
    """Return the CRPS after five reports of every pot against that with every factor known."""
    learnt, limit = [], []
    for number in range(gardens):
        key = f"five {number}"
        mornings = life(kind, key, 9, five_for_every_pot, use)
        learnt.append(np.mean([crps_l(one) for one in mornings[5:]], axis=0))
        mornings = life(kind, key, 9, nobody, use, told_the_truth)
        limit.append(np.mean([crps_l(one) for one in mornings[5:]], axis=0))
    both = np.stack([np.concatenate(learnt), np.concatenate(limit)], axis=1)

    def ratio(part: Floats) -> float:
        return float(part[:, 0].mean() / part[:, 1].mean())

    means = both.mean(axis=0)
    words = f"{means[0]:.3f} against {means[1]:.3f} L, ratio {spread_of(both, ratio)}"
    return ratio(both), words


def told_the_truth(real: RealGarden) -> Callable[[Standing], Standing]:
    """Return a belief that knows every factor of a matched garden."""
    assert isinstance(real, Matched)
    true = real.standing.belief

    def known(believed: Standing) -> Standing:
        belief = believed.belief
        shape = belief.water_l.shape
        factors = {
            name: np.broadcast_to(getattr(true, name), shape).copy()
            for name in ("log_use", "log_capacity", "dry_point")
        }
        told = replace(believed, belief=replace(belief, **factors))
        full = np.broadcast_to(told.traits.capacity_l, shape).copy()
        return replace(told, belief=replace(told.belief, water_l=full))

    return known


def main() -> int:
    """Print every number that was asked for, of both kinds of garden."""
    gardens = int(sys.argv[1]) if len(sys.argv) > 1 else 6
    for kind in kinds():
        print(f"{kind.name}, {gardens} gardens of 40 pots in 8 groups")
        print("  80 % intervals hold,", coverage(kind, gardens))
        print("  ten reports in all:", ten_reports(kind, gardens)[1])
        print("  a question a day for two weeks:", a_question_a_day(kind, gardens)[1])
        if kind.name == "matched":
            print("  five reports of every pot, CRPS:", five_each(kind, gardens)[1])
    for name, use in list(SPLITS.items())[1:]:
        for kind in kinds():
            print(f"{kind.name}, other spreads than believed: {name}")
            print("  80 % intervals hold,", coverage(kind, gardens, use))
            print("  ten reports in all:", ten_reports(kind, gardens, use)[1])
    return 0


if __name__ == "__main__":
    sys.exit(main())
