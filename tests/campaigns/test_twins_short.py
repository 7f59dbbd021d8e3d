"""The short version of the twins: one matched garden, a few days (the whole: `twins.py`)."""

from __future__ import annotations

import numpy as np

from tests.campaigns.twin_asking import five_for_every_pot, nobody, some, ten_in_all
from tests.campaigns.twins import coverage_of, crps_l, error_h, kinds, life, told_the_truth

MATCHED, MISMATCHED = kinds()


def test_ten_reports_teach_forty_pots() -> None:
    """Ten reports in all cut the median error of the litres.

    By more than a fifth in these four gardens; over many the campaign finds more than a half.
    """
    keys = ("short 1", "short 4", "short 5", "short 6")
    before = [error_h(life(MATCHED, key, 3, nobody)[-1]) for key in keys]
    after = [error_h(life(MATCHED, key, 3, ten_in_all)[-1]) for key in keys]
    assert np.median(after) < 0.8 * np.median(before)


def test_intervals_hold_in_either_garden() -> None:
    """Eighty percent intervals hold seven to nine times in ten, in a garden of other equations too.

    A single garden errs as a whole: its level is one draw, so the bounds are wider than those
    asked of many gardens.
    """
    for kind in (MATCHED, MISMATCHED):
        inside = coverage_of(life(kind, "short 2", 5, some(0.2, 1)))
        assert 0.65 < inside.mean() < 0.95, kind.name


def test_five_reports_are_nearly_all_there_is_to_know() -> None:
    """After five reports of every pot the CRPS is within a quarter of that with all known."""
    learnt = life(MATCHED, "short 3", 8, five_for_every_pot)[5:]
    limit = life(MATCHED, "short 3", 8, nobody, known=told_the_truth)[5:]
    scores = [np.mean([crps_l(one).mean() for one in part]) for part in (learnt, limit)]
    assert scores[0] < 1.25 * scores[1]
