"""One hour worked in full, digit by digit as the source prints it.

Allen, Pereira, Raes, Smith 1998, FAO Irrigation and Drainage Paper 56, Example 19 (p. 75-76):
N'Diaye in Senegal, 1 October, 16°13' N, 16°15' W, 8 m; 14-15 h and 02-03 h, a zone one hour west
of Greenwich.
"""

from __future__ import annotations

import pytest

from irrigate.cli.explain_hour import hour_written_out
from irrigate.science import air
from irrigate.science.hour_in_full import HourInFull, hour_in_full
from irrigate.science.site import Site
from tests.cli.printed_arithmetic import faults

NDIAYE = Site(16.22, -16.25, 8.0)
AFTERNOON_ENDS_S, NIGHT_ENDS_S = 907257600, 907214400  # 1998-10-01 16:00 and 04:00 UTC


def worked(
    end_s: int, temperature_c: float, humidity: float, solar: float, wind: float, ratio: float,
    **place: float,
) -> HourInFull:  # fmt: skip
    """Return an hour at N'Diaye from what the example is given, and what a place changes."""
    saturation = float(air.saturation_vapour_pressure_kpa(temperature_c))
    return hour_in_full(
        NDIAYE,
        end_s,
        temperature_c=temperature_c,
        vapour_pressure_kpa=saturation * humidity,
        solar_mj_m2=solar,
        wind_2m_m_s=wind,
        pressure_kpa=float(air.pressure_kpa(8.0)),
        relative_shortwave=ratio,
        sky_share=place.get("sky_share", 1.0),
        lamps=bool(place.get("lamps", False)),
    )


@pytest.fixture
def afternoon() -> HourInFull:
    """Return 14-15 h: 38 °C, 52 %, 2.450 MJ m⁻², 3.3 m/s."""
    return worked(AFTERNOON_ENDS_S, 38.0, 0.52, 2.450, 3.3, 2.450 / 2.658)


@pytest.fixture
def night() -> HourInFull:
    """Return 02-03 h: 28 °C, 90 %, 1.9 m/s, with the ratio of 0.8 that the example assumes."""
    return worked(NIGHT_ENDS_S, 28.0, 0.90, 0.0, 1.9, 0.8)


# Name, what is printed for 14-15 h, what is printed for 02-03 h; to the last printed digit.
PRINTED = [
    ("slope_kpa_c", "0.358", "0.220"),
    ("psychrometric_kpa_c", "0.0673", "0.0673"),
    ("saturation_kpa", "6.625", "3.780"),
    ("vapour_pressure_kpa", "3.445", "3.402"),
    ("deficit_kpa", "3.180", "0.378"),
    ("relative_distance", "1.0001", "1.0001"),
    ("declination_rad", "-0.0753", "-0.0753"),
    ("seasonal_correction_h", "0.1889", "0.1889"),
    ("hour_angle_rad", "0.682", "-2.46"),
    ("extraterrestrial_mj_m2", "3.543", "0"),
    ("clear_sky_mj_m2", "2.658", "0"),
    ("net_shortwave_mj_m2", "1.887", "0"),
    ("black_body_mj_m2", "1.915", "1.681"),
    ("emissivity", "0.080", "0.082"),
    ("cloudiness", "0.894", "0.730"),
    ("net_longwave_mj_m2", "0.137", "0.100"),
    ("net_radiation_mj_m2", "1.749", "-0.100"),
    ("ground_heat_mj_m2", "0.175", "-0.050"),
    ("radiation_mm", "0.46", "-0.01"),
    ("et0_mm", "0.63", "0.00"),
]


@pytest.mark.parametrize(("name", "by_day", "by_night"), PRINTED)
def test_every_number_of_example_19(
    afternoon: HourInFull, night: HourInFull, name: str, by_day: str, by_night: str
) -> None:
    """Each intermediate value of both hours has the printed digits."""
    for hour, printed in ((afternoon, by_day), (night, by_night)):
        places = len(printed.partition(".")[2])
        # "-0.000" and "0.000" are the same number; half a unit more for sums of rounded ones.
        assert getattr(hour, name) == pytest.approx(float(printed), abs=0.501 * 10.0**-places)


def test_the_wind_terms_of_example_19(afternoon: HourInFull, night: HourInFull) -> None:
    """The aerodynamic terms are printed as 0.17 mm by day and 0.01 mm by night.

    The night's is 0.018 from the printed intermediate values themselves: the source cuts it off.
    """
    assert round(afternoon.drying_mm, 2) == 0.17
    assert night.drying_mm == pytest.approx(0.01, abs=0.01)


def test_the_angles_of_the_afternoon(afternoon: HourInFull) -> None:
    """Eq 29 and 30 are printed as 0.5512 and 0.8130; the day as J 274."""
    assert (round(afternoon.begins_rad, 4), round(afternoon.ends_rad, 4)) == (0.5512, 0.813)
    assert afternoon.day_of_year == 274


def test_the_written_hour_shows_the_printed_digits(afternoon: HourInFull) -> None:
    """What a reader sees of the hour holds the digits that Example 19 prints, and no wide line."""
    lines = list(hour_written_out(afternoon, 8.0))
    text = "\n".join(lines)
    for _, printed, _ in PRINTED:
        assert printed in text
    for printed in ("0.5512", "0.8130", "0.922", "1.574", "0.17"):
        assert printed in text
    assert max(map(len, lines)) <= 80


def test_a_sky_half_hidden_takes_half_of_the_printed_loss() -> None:
    """The night's Rnl is printed as 0.100: half of it is Rn, and Eq 46 halves that again for G."""
    hour = worked(NIGHT_ENDS_S, 28.0, 0.90, 0.0, 1.9, 0.8, sky_share=0.5)
    assert round(hour.open_longwave_mj_m2, 3) == 0.100
    assert hour.net_radiation_mj_m2 == pytest.approx(-0.050, abs=0.0005)
    assert hour.ground_heat_mj_m2 == pytest.approx(-0.025, abs=0.0005)
    text = "\n".join(hour_written_out(hour, 8.0))
    assert "0.100 × 0.50 = 0.050 MJ m⁻² to the sky: the wall hides half" in text
    assert faults(text) == []


def test_lamps_in_the_dark_under_glass_make_it_day_for_the_ground() -> None:
    """No loss to the sky: Rn is 0.77 of the lamps' light (Eq 38), and G a tenth of it (Eq 45)."""
    hour = worked(NIGHT_ENDS_S, 28.0, 0.90, 0.5, 0.5, 0.8, sky_share=0.0, lamps=1.0)
    assert not hour.sun_up
    assert hour.net_radiation_mj_m2 == pytest.approx(0.77 * 0.5)
    assert hour.ground_heat_mj_m2 == pytest.approx(0.077 * 0.5)
    text = "\n".join(hour_written_out(hour, 8.0))
    assert "0.1 × 0.385 = 0.039, by lamps" in text
    assert "glass hides it" in text
    assert faults(text) == []
