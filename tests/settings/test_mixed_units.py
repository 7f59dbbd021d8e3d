"""US and metric side by side in one file: each quantity by its own unit, all said in one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.settings.garden_file import settings_of

# NIST Special Publication 811 (2008), appendix B.8: one inch is 2.54 cm and one foot 30.48 cm
# exactly, one US gallon 3.785412 L.
INCH_M, FOOT_M, GALLON_L = 0.0254, 0.3048, 3.785412

MIXED = """\
site: {latitude: 38.6, longitude: -121.3, elevation: 100 ft, time zone: America/Los_Angeles}
units: %s
can: 9 L
hose: 5 gal in 60 s
rounds: [7 am, "18:30"]
places: {porch: }
pot kinds:
  tub: {round: 15 in, base: 30 cm, height: 1 ft, headspace: 2 cm}
plants:
  bird pepper: {like: hot pepper, tall: 40 cm, wide: 14 in}
pots:
  1: {plant: basil, pot: 5 gal, size: {wide: 14 in, tall: 40 cm}, place: porch}
  2: {plant: basil, pot: 18.927 L, size: {wide: 35.56 cm, tall: 15¾ in}, place: porch}
  3: {plant: bird pepper, pot: tub, place: porch}
  4: {like: 3, pot: {trough: 80 cm by 8 in, height: 6 in}}
"""


@pytest.mark.parametrize("units", ["US", "metric"])
def test_each_quantity_is_read_by_its_own_unit(units):
    """What messages are written in changes nothing of what was read."""
    garden = settings_of(MIXED % units).garden
    one, two, three, four = garden.pots
    assert garden.site.elevation_m == pytest.approx(100 * FOOT_M)
    assert garden.manner.can_l == 9
    assert garden.manner.hose_l_s == pytest.approx(5 * GALLON_L / 60, rel=1e-6)
    assert one.vessel.volume_l == pytest.approx(two.vessel.volume_l, rel=1e-4)
    assert one.canopy_width_m == pytest.approx(two.canopy_width_m)
    assert (one.canopy_width_m, one.canopy_height_m) == pytest.approx((14 * INCH_M, 0.4))
    assert two.canopy_height_m == pytest.approx(15.75 * INCH_M)
    assert (three.vessel.height_m, three.crop.width_m) == pytest.approx((FOOT_M, 14 * INCH_M))
    assert four.vessel.opening_area_m2 == pytest.approx(0.8 * 8 * INCH_M)


def test_all_is_said_in_the_gardeners_own():
    """Whatever a quantity was written in, it is said in the file's `units`."""
    us, metric = settings_of(MIXED % "US").readings, settings_of(MIXED % "metric").readings
    assert us["1"].size == us["2"].size == "14 in wide, 16 in tall"
    assert metric["1"].size == metric["2"].size == "36 cm wide, 40 cm tall"
    assert us["2"].vessel.startswith("round, 5 gal")
    assert metric["1"].vessel.startswith("round, 18.9 L")


@given(st.integers(2, 60))
def test_inches_and_centimetres_agree(inches):
    """A pot measured in inches is the pot measured in centimetres."""
    rows = (
        "pots:\n  1: {{plant: fig, pot: {{round: {0} in, height: {0} in}}, place: porch}}\n"
        "  2: {{plant: fig, pot: {{round: {1} cm, height: {1} cm}}, place: porch}}\n"
    )
    text = MIXED[: MIXED.index("pots:\n", MIXED.index("plants:"))] % "metric"
    if not 0.2 < 0.5 * (inches * INCH_M) ** 3 * 1000 < 400:
        return  # smaller than a pot may be, or larger
    one, two = settings_of(text + rows.format(inches, f"{inches * 2.54:.2f}")).garden.pots
    assert one.vessel.volume_l == pytest.approx(two.vessel.volume_l, rel=1e-9)
