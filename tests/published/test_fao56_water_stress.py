"""FAO-56 (Allen, Pereira, Raes, Smith 1998) chapter 8: Examples 36-38, to their printed digits."""

from __future__ import annotations

import pytest

from irrigate.science import root_zone, stress


@pytest.mark.parametrize(
    ("depth_m", "fraction", "printed"),
    [
        (0.4, 0.30, [(36, 11), (68, 20), (48, 14)]),
        (0.8, 0.40, [(72, 29), (136, 54), (96, 38)]),
        (1.2, 0.55, [(108, 59), (204, 112), (144, 79)]),
    ],
    ids=["onion", "tomato", "maize"],
)
def test_example_36_water_at_hand(
    depth_m: float, fraction: float, printed: list[tuple[int, int]]
) -> None:
    """Example 36 (p. 166, Eq 82-83): TAW and RAW in loamy sand, silt and silty clay."""
    soils = [(0.15, 0.06), (0.32, 0.15), (0.35, 0.23)]
    for (capacity, wilting), (total, readily) in zip(soils, printed, strict=True):
        found = stress.total_available_water_mm(capacity, wilting, depth_m)
        assert found == pytest.approx(total, abs=0.501)
        assert stress.readily_available_water_mm(found, fraction) == pytest.approx(
            readily, abs=0.501
        )


# Example 37 (p. 168): Dr at the start, Ks, ETc adj, Dr at the end.
EXAMPLE_37 = [
    (55.0, 1.00, 6.0, 61.0),
    (61.0, 1.00, 6.0, 67.0),
    (67.0, 0.97, 5.8, 72.8),
    (72.8, 0.91, 5.4, 78.3),
    (78.3, 0.85, 5.1, 83.4),
    (83.4, 0.80, 4.8, 88.2),
    (88.2, 0.75, 4.5, 92.6),
    (92.6, 0.70, 4.2, 96.9),
    (96.9, 0.66, 3.9, 100.8),
    (100.8, 0.62, 3.7, 104.5),
]


def test_example_37_ten_days_without_water() -> None:
    """Example 37 (p. 168, Eq 84): tomato, TAW 160, RAW 64, ETo 5 mm, Kc 1.2."""
    total = stress.total_available_water_mm(0.32, 0.12, 0.8)
    readily = stress.readily_available_water_mm(total, 0.40)
    depletion = 55.0
    for start, ks, use, end in EXAMPLE_37:
        assert depletion == pytest.approx(start, abs=0.06)
        found = stress.stress_coefficient(total, readily, depletion)
        assert found == pytest.approx(ks, abs=0.006)
        assert found * 6.0 == pytest.approx(use, abs=0.06)
        left, passed = root_zone.day_with_early_water(depletion, 0.0, found * 6.0, total)
        assert passed == 0.0
        depletion = float(left)
        assert depletion == pytest.approx(end, abs=0.06)


def test_example_37_by_the_exact_integral() -> None:
    """The exact integral of Eq 84 ends Example 37's ten days within 1 mm of the daily steps.

    It is the lower of the two: the print lets each day use water at the rate of its start.
    """
    stored = 160.0 - 55.0
    for _, _, _, end in EXAMPLE_37:
        stored -= float(stress.draw_down(stored, 96.0, 6.0))
        assert 160.0 - stored <= end + 0.06
    assert 160.0 - stored == pytest.approx(104.5, abs=1.0)


# Example 38 (p. 172-173): RAW, water of the morning, ETc, DP, Dr at the end; Dr starts at 23.
EXAMPLE_38 = [
    (23, 40.0, 5.5, 17, 5),
    (24, 0.0, 6.1, 0, 12),
    (24, 0.0, 4.0, 0, 16),
    (25, 0.0, 2.9, 0, 18),
    (25, 0.0, 2.5, 0, 21),
    (26, 6.0, 2.7, 0, 18),
    (26, 0.0, 4.7, 0, 22),
    (26, 0.0, 2.8, 0, 25),
    (27, 0.0, 2.2, 0, 27),
    (27, 27.0, 6.3, 0, 6),
]


def test_example_38_schedule() -> None:
    """Example 38 (p. 172-173, Eq 85-88): depletion, deep percolation and RAW, all water early.

    The print takes DP on day 1 as 40 - 23 without the day's ETc, against its own Eq 88. It rounds
    Dr to whole millimetres along the way, hence the tolerance.
    """
    depletion = 23.0
    for day, (readily, water, use, passed, end) in enumerate(EXAMPLE_38):
        total = 130.0 * (0.30 + 0.05 * day / 9.0)
        assert stress.readily_available_water_mm(total, 0.6) == pytest.approx(readily, abs=0.6)
        left, found = root_zone.day_with_early_water(depletion, water, use, total)
        assert found == pytest.approx(passed, abs=0.5)
        depletion = float(left)
        assert depletion == pytest.approx(end, abs=0.8)
        assert stress.stress_coefficient(total, readily, depletion) > 0.97


def test_depletion_fraction_moves_with_demand() -> None:
    """Table 22, footnote 2: p = p(table) + 0.04 (5 - ETc), between 0.1 and 0.8."""
    assert stress.adjusted_depletion_fraction(0.30, 10.0) == pytest.approx(0.10)
    assert stress.adjusted_depletion_fraction(0.30, 5.0) == pytest.approx(0.30)
    assert stress.adjusted_depletion_fraction(0.80, 2.0) == 0.8
