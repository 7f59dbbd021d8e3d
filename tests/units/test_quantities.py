"""Quantities as people write and say them."""

from __future__ import annotations

import math
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate import units

CAN_L = 7.6


@pytest.mark.parametrize(
    ("read", "text", "expected"),
    [
        (units.length_m, "30 cm", 0.30),
        (units.length_m, "30cm", 0.30),
        (units.length_m, '12"', 0.3048),
        (units.length_m, "1 ft 6 in", 0.4572),
        (units.length_m, "5' 6\"", 1.6764),
        (units.length_m, "1½ ft", 0.4572),
        (units.length_m, "1 1/2 ft", 0.4572),
        (units.length_m, "20 FT", 6.096),
        (units.length_m, ".5 m", 0.5),
        (units.elevation_m, "-86 m", -86.0),
        (units.elevation_m, "−282 ft", -85.9536),
        (units.volume_l, "19 L", 19.0),
        (units.volume_l, "19 litres", 19.0),
        (units.volume_l, "250 mL", 0.25),
        (units.volume_l, "1.5 qt", 1.419529),
        (units.volume_l, "half a gallon", 1.892706),
        (units.volume_l, "a quarter of a gallon", 0.946353),
        (units.volume_l, "2 fl. oz", 0.059147),
        (units.duration_s, "1 h 30 min", 5400.0),
        (units.share, "20 %", 0.2),
        (units.share, "12.5%", 0.125),
        (units.share, "0", 0.0),
        (units.temperature_c, "35 °C", 35.0),
        (units.temperature_c, "-4 C", -4.0),
        (units.flow_l_s, "12 L/min", 0.2),
        (units.flow_l_s, "3 gpm", 0.1892706),
        (units.flow_l_s, "5 gal in 60 s", 0.3154510),
        (units.flow_l_s, "1/2 gal / min", 0.0315451),
        (units.mass_kg, "2 lb 3 oz", 0.992233),
    ],
)
def test_what_people_write(read, text, expected):
    """Each way of writing a quantity is read as what it says."""
    assert read(text) == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "expected"),
    [("½ can", 3.8), ("a can", 7.6), ("half a can", 3.8), ("1½ cans", 11.4), ("two cans", 15.2)],
)
def test_cans(text, expected):
    """Where the size of a can is known, cans are a unit like others."""
    assert units.volume_l(text, can_l=CAN_L) == pytest.approx(expected)


@pytest.mark.parametrize("text", ["20 s hose", "20 s of hose", "20 sec of the hose"])
def test_hose(text):
    """Where the flow of the hose is known, seconds of hose are a volume."""
    assert units.volume_l(text, hose_l_s=0.2) == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("read", "text", "said"),
    [
        (units.volume_l, "19", "19 has no unit: say 19 L or 19 gal"),
        (units.length_m, "30", "30 has no unit: say 30 cm or 30 in"),
        (units.elevation_m, "30", "30 has no unit: say 30 m or 30 ft"),
        (units.share, "20", "20 has no unit: say 20 %"),
        (units.share, "0.2", "0.2 has no unit: say 20 %"),
        (units.temperature_c, "96", "96 has no unit: say 96 °C or °F"),
        (units.volume_l, "30 cm", "30 cm is a length, not a volume: say it in L or gal"),
        (units.length_m, "19 L", "19 L is a volume, not a length: say it in cm or in"),
        (
            units.volume_l,
            "5 galons",
            "5 galons: “galons” is not known as a unit of volume; did you mean gallons?",
        ),
        (units.volume_l, "1,5 L", "1,5 L: write decimals with a point, as in 1.5"),
        (units.volume_l, "-1 L", "-1 L is below zero"),
        (units.volume_l, "1/0 L", "1/0 L: nothing can be divided by 0"),
        (units.volume_l, "some water", "“some water” is not a volume: say it in L or gal"),
        (units.volume_l, "", "“” is not a volume: say it in L or gal"),
        (
            units.volume_l,
            "½ can",
            "½ can: the size of a can is not known here; say it in L or gal",
        ),
        (
            units.volume_l,
            "20 s hose",
            "20 s hose: the flow of the hose is not known; say it in L or gal",
        ),
        (
            units.flow_l_s,
            "12 L",
            "12 L is not a flow: say 12 L/min, 3 gal/min, or 5 gal in 60 s",
        ),
    ],
)
def test_what_cannot_be_read(read, text, said):
    """Whatever is not a quantity of its kind is refused with how to say it."""
    with pytest.raises(ValueError) as refused:  # noqa: PT011  # the text is compared whole
        read(text)
    assert str(refused.value) == said


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (units.in_litres(2.0), "2 L"),
        (units.in_litres(0.348), "350 mL"),
        (units.in_litres(14.9), "14.9 L"),
        (units.in_litres(54.9), "55 L"),
        (units.in_gallons(1.5 * units.US_GALLON_L), "1½ gal"),
        (units.in_gallons(0.5), "2 cups"),
        (units.in_gallons(1.0), "1 qt"),
        (units.in_cans(3.8, CAN_L), "½ can"),
        (units.in_cans(7.6, CAN_L), "1 can"),
        (units.in_cans(11.0, CAN_L), "1½ cans"),
        (units.in_cans(1.9, CAN_L), "¼ can"),
        (units.in_cans(0.01, CAN_L), "⅛ can"),
        (units.in_seconds_of_hose(4.0, 0.2), "20 s of hose"),
        (units.in_seconds_of_hose(18.0, 0.2), "1 min 30 s of hose"),
        (units.in_fahrenheit(36.1), "97 °F"),
        (units.in_celsius(-0.2), "0 °C"),
        (units.in_centimetres(0.384), "38 cm"),
        (units.in_centimetres(1.21), "1.2 m"),
        (units.in_inches(0.3048), "12 in"),
        (units.in_inches(1.35), "4½ ft"),
        (units.in_inches(30.0), "98 ft"),
        (units.in_centimetres(1500.2), "1500 m"),
        (units.in_percent(0.2), "20 %"),
        (units.say_rain(6.4, us_units=True), "0.25 in"),
        (units.say_rain(12.4, us_units=False), "12 mm"),
        (units.say_dose(3.8, can_l=CAN_L), "½ can"),
        (units.say_dose(4.0, can_l=CAN_L, hose_l_s=0.2), "20 s of hose"),
    ],
)
def test_what_people_say(said, expected):
    """Each quantity is said as a person would say it."""
    assert said == expected


volumes = st.floats(0.0, 400.0, allow_subnormal=False)


@given(volumes)
def test_litres_come_back(volume_l):
    """What is said in litres is read as what was meant, within the rounding."""
    step = 0.01 if volume_l < 0.095 else 0.05 if volume_l < 1 else 0.1 if volume_l < 20 else 1
    back = units.volume_l(units.in_litres(volume_l))
    assert abs(back - volume_l) <= step * 0.501 or 0 < volume_l < step


@given(volumes)
def test_gallons_come_back(volume_l):
    """What is said in US measures is read as what was meant, within a quarter of the unit said."""
    said = units.in_gallons(volume_l)
    unit = {"cup": 1 / 16, "cups": 1 / 16, "qt": 1 / 4}.get(said.rsplit(" ", 1)[1], 1.0)
    step = unit * units.US_GALLON_L * (0.25 if volume_l < 18.5 else 0.5 if volume_l < 75 else 1)
    back = units.volume_l(said)
    assert abs(back - volume_l) <= step * 0.51 or 0 < volume_l < step


@given(st.floats(0.0, 60.0, allow_subnormal=False), st.floats(1.0, 15.0))
def test_cans_come_back(volume_l, can_l):
    """What is said in cans is read as what was meant, within half of its step."""
    cans = volume_l / can_l
    step = 1 / 8 if cans < 0.5 else 1 / 4 if cans < 2 else 1 / 2 if cans < 5 else 1
    back = units.volume_l(units.in_cans(volume_l, can_l), can_l=can_l)
    assert abs(back / can_l - cans) <= step * 0.501 or 0 < cans < step


@given(st.floats(0.0, 60.0, allow_subnormal=False), st.floats(0.02, 0.5))
def test_seconds_of_hose_come_back(volume_l, hose_l_s):
    """What is said in seconds of hose is read as what was meant, within half of 10 s."""
    back = units.volume_l(units.in_seconds_of_hose(volume_l, hose_l_s), hose_l_s=hose_l_s)
    assert abs(back - volume_l) <= 5.001 * hose_l_s


@given(st.floats(-30.0, 60.0))
def test_temperatures_come_back(temperature_c):
    """What is said in °C and in °F is read as what was meant, within half a degree."""
    assert abs(units.temperature_c(units.in_celsius(temperature_c)) - temperature_c) <= 0.5001
    back = units.temperature_c(units.in_fahrenheit(temperature_c))
    assert abs(back - temperature_c) <= 0.5001 / 1.8


@given(st.floats(0.0, 4.0))
def test_lengths_come_back(length_m):
    """What is said in metric and in US lengths is read as what was meant, within the rounding."""
    centimetres = units.length_m(units.in_centimetres(length_m))
    assert abs(centimetres - length_m) <= (0.00501 if length_m < 0.995 else 0.02501)
    inches = units.length_m(units.in_inches(length_m))
    assert abs(inches - length_m) <= (0.5001 if length_m < 0.9 else 3.001) * units.INCH_M


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text):
    """No text makes a reader fail in any other way than by refusing it."""
    for read in (
        units.length_m,
        units.elevation_m,
        units.volume_l,
        units.mass_kg,
        units.duration_s,
        units.share,
        units.temperature_c,
        units.flow_l_s,
    ):
        with suppress(ValueError):
            assert math.isfinite(read(text))
