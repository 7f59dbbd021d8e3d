"""Areas, light and salt: every spelling is read, what cannot be told apart is refused."""

from __future__ import annotations

import math
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate import units


@pytest.mark.parametrize(
    ("text", "square_metres"),
    [
        ("0.6 m2", 0.6),
        ("0.6 m²", 0.6),
        ("600 cm2", 0.06),
        ("½ square metre", 0.5),
        ("6 sq ft", 6 * 0.09290304),
        ("6 ft²", 6 * 0.09290304),
        ("100 in2", 100 * 0.00064516),
    ],
)
def test_areas(text, square_metres):
    """A foot is 0.3048 m by definition (international yard, 1959), so its square 0.0929 m²."""
    assert units.area_m2(text) == pytest.approx(square_metres)


@pytest.mark.parametrize(
    ("text", "ds_m"),
    [
        ("0.9 dS/m", 0.9),
        ("900 uS/cm", 0.9),
        ("900 µS/cm", 0.9),
        ("900 μS/cm", 0.9),
        ("0.9 mS/cm", 0.9),
        ("90 mS/m", 0.9),
        ("EC 0.9", 0.9),
        ("EC: 0.9 mS/cm", 0.9),
        ("0.9 EC", 0.9),
    ],
)
def test_salt(text, ds_m):
    """1 dS/m = 1 mS/cm = 1000 µS/cm = 100 mS/m, by the prefixes of the SI."""
    assert units.salt_ds_m(text) == pytest.approx(ds_m)


@pytest.mark.parametrize("text", ["60 W/m2", "60W/m²", "60 watts per square metre", "60 w per m2"])
def test_light(text):
    """Light on an area, in watts per square metre."""
    assert units.light_w_m2(text) == 60.0


@pytest.mark.parametrize(
    ("read", "text", "said"),
    [
        (units.area_m2, "0.6", "0.6 has no unit: say 0.6 m2 or 0.6 ft2"),
        (units.area_m2, "0.6 m", "0.6 m is a length, not an area: say it in m2 or ft2"),
        (units.area_m2, "-1 m2", "-1 m2 is below zero"),
        (units.light_w_m2, "60", "60 has no unit: say 60 W/m2"),
        (
            units.light_w_m2,
            "60 W",
            (
                "60 W is what the lamp takes; say the light at the leaves, in W/m2: at most its "
                "watts shared out over the square metres it lights"
            ),
        ),
        (
            units.light_w_m2,
            "200 umol/m2/s",
            (
                "200 umol/m2/s is told by a plant's eye; say it in W/m2 (about 5 umol/m2/s of a "
                "white lamp make 1 W/m2)"
            ),
        ),
        (units.salt_ds_m, "0.9", "0.9 has no unit: say 0.9 dS/m or 0.9 uS/cm"),
        (
            units.salt_ds_m,
            "0.9 dS",
            "0.9 dS: “ds” is not known as a unit of salt in water; did you mean dS/m?",
        ),
        (
            units.salt_ds_m,
            "450 ppm",
            "450 ppm depends on how the meter counts; say its EC, in dS/m or uS/cm",
        ),
    ],
)
def test_what_cannot_be_read(read, text, said):
    """What has no unit, or another measure's, is refused with what to write instead."""
    with pytest.raises(ValueError) as refused:  # noqa: PT011 - the whole text is compared below
        read(text)
    assert str(refused.value) == said


def test_areas_are_said():
    """An area is said in the gardener's units."""
    assert units.say_area(0.6, us_units=False) == "0.6 m²"
    assert units.say_area(0.6, us_units=True) == "6.5 ft²"


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text):
    """No text makes a reader fail in any other way than by refusing it."""
    for read in (units.area_m2, units.light_w_m2, units.salt_ds_m):
        with suppress(ValueError):
            assert math.isfinite(read(text))
