"""Units of the trade against NIST Handbook 44, Appendix C, and NIST SP 811 (2008), Appendix B.8.

The exact values were read as other works quote them; those of SP 811 are given to seven figures.
"""

from __future__ import annotations

import pytest

from irrigate import units

# NIST Handbook 44, Appendix C: exact.
EXACT = [
    (units.length_m, "1 in", 0.0254),
    (units.length_m, "1 ft", 0.3048),
    (units.length_m, "1 yd", 0.9144),
    (units.volume_l, "1 gal", 231 * 0.254**3),
    (units.volume_l, "1 qt", 231 * 0.254**3 / 4),
    (units.volume_l, "1 cup", 0.2365882365),
    (units.volume_l, "1 fl oz", 0.0295735295625),
    (units.mass_kg, "1 lb", 0.45359237),
    (units.mass_kg, "1 oz", 0.028349523125),
]

# NIST SP 811 (2008), Appendix B.8, seven figures.
ROUNDED = [
    (units.volume_l, "1 gal", 3.785412),
    (units.volume_l, "1 qt", 0.9463529),
    (units.volume_l, "1 pt", 0.4731765),
    (units.volume_l, "1 cup", 0.2365882),
    (units.volume_l, "1 fl oz", 0.02957353),
    (units.volume_l, "1 imp gal", 4.54609),
    (units.mass_kg, "1 lb", 0.4535924),
    (units.mass_kg, "1 oz", 0.02834952),
]


@pytest.mark.parametrize(("read", "text", "expected"), EXACT)
def test_exact_values(read, text, expected):
    """Each unit is what Handbook 44 defines it to be."""
    assert read(text) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("read", "text", "expected"), ROUNDED)
def test_seven_figures(read, text, expected):
    """Each unit agrees with SP 811 to the seven figures printed there."""
    assert read(text) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "celsius"), [("32 F", 0.0), ("212 F", 100.0), ("-40 F", -40.0), ("96 F", 320 / 9)]
)
def test_fahrenheit(text, celsius):
    """Degrees Fahrenheit follow t(°C) = (t(°F) − 32)/1.8 of SP 811, Appendix B.8."""
    assert units.temperature_c(text) == pytest.approx(celsius)


def test_trade_sizes_differ_from_gallons():
    """A gallon is not a trade gallon: a #5 pot of 14.9 L is 3.9 gal, a bucket of 5 gal 18.9 L."""
    assert units.volume_l("5 gal") == pytest.approx(18.9, abs=0.05)
    assert units.volume_l("3.9 gal") == pytest.approx(14.9, abs=0.2)
