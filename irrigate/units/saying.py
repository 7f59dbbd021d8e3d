"""Quantities said as a person would, rounded to what a person can use."""

from __future__ import annotations

from irrigate.units.constants import INCH_M, US_GALLON_L


def in_litres(volume_l: float) -> str:
    """Say a volume [L] in mL (to 10, from 100 to 50) or L (to 0.1, from 20 to 1)."""
    if volume_l == 0:
        return "0 L"
    if volume_l < 0.1:
        return f"{max(round(volume_l * 100), 1) * 10} mL"
    if round(volume_l * 20) < 20:
        return f"{round(volume_l * 20) * 50} mL"
    return f"{_short(round(volume_l, 1) if volume_l < 20 else round(volume_l))} L"


def in_gallons(volume_l: float) -> str:
    """Say a volume [L] in US cups (to ¼), quarts (to ¼) or gallons (to ¼, from 5 to ½ …)."""
    if volume_l == 0:
        return "0 gal"
    gallons = volume_l / US_GALLON_L
    if gallons < 0.25 - 1 / 128:
        cups = max(round(gallons * 64), 1) / 4
        return f"{_fraction(cups)} {_plural('cup', cups)}"
    if gallons < 1 - 1 / 32:
        return f"{_fraction(round(gallons * 16) / 4)} qt"
    step = 0.25 if gallons < 5 else 0.5 if gallons < 20 else 1.0
    return f"{_fraction(round(gallons / step) * step)} gal"


def in_cans(volume_l: float, can_l: float) -> str:
    """Say a volume [L] in cans: to ⅛ below a half, ¼ below 2, ½ below 5, then whole ones."""
    if volume_l == 0:
        return "0 cans"
    cans = volume_l / can_l
    step = 1 / 8 if cans < 0.5 else 1 / 4 if cans < 2 else 1 / 2 if cans < 5 else 1
    rounded = max(round(cans / step), 1) * step
    return f"{_fraction(rounded)} {_plural('can', rounded)}"


def in_seconds_of_hose(volume_l: float, hose_l_s: float) -> str:
    """Say a volume [L] as a time at the hose, to 5 s below a minute and 10 s above."""
    seconds = volume_l / hose_l_s
    step = 5 if seconds < 57.5 else 10
    whole = max(round(seconds / step), 1 if volume_l > 0 else 0) * step
    minutes, left = divmod(whole, 60)
    said = [f"{minutes} min"] if minutes else []
    if left or not minutes:
        said.append(f"{left} s")
    return f"{' '.join(said)} of hose"


def in_celsius(temperature_c: float) -> str:
    """Say a temperature [°C] in whole °C."""
    return f"{_short(round(temperature_c))} °C"


def in_fahrenheit(temperature_c: float) -> str:
    """Say a temperature [°C] in whole °F."""
    return f"{_short(round(temperature_c * 1.8 + 32))} °F"


def in_centimetres(length_m: float) -> str:
    """Say a length [m] in whole cm, from a metre on in metres to 5 cm, from 10 m on to 1 m."""
    if round(length_m * 100) < 100:
        return f"{round(length_m * 100)} cm"
    if length_m >= 10:
        return f"{round(length_m)} m"
    return f"{_short(round(length_m * 20) / 20)} m"


def in_inches(length_m: float) -> str:
    """Say a length [m] in inches (to ½, from 12 to 1), from 3 ft in feet (to ½, from 20 to 1)."""
    inches = length_m / INCH_M
    if inches < 11.75:
        return f"{_fraction(round(inches * 2) / 2)} in"
    if inches < 35.5:
        return f"{round(inches)} in"
    if inches >= 240:
        return f"{round(inches / 12)} ft"
    return f"{_fraction(round(inches / 6) / 2)} ft"


def in_percent(share: float) -> str:
    """Say a share [0–1] in whole percent."""
    return f"{_short(round(share * 100))} %"


def say_volume(volume_l: float, *, us_units: bool) -> str:
    """Say a volume [L] in the gardener's units."""
    return in_gallons(volume_l) if us_units else in_litres(volume_l)


def say_length(length_m: float, *, us_units: bool) -> str:
    """Say a length [m] in the gardener's units."""
    return in_inches(length_m) if us_units else in_centimetres(length_m)


def say_area(area_m2: float, *, us_units: bool) -> str:
    """Say an area [m²] in square feet or square metres, finer below one of them."""
    size = area_m2 / (12 * INCH_M) ** 2 if us_units else area_m2
    return f"{_short(round(size, 2 if size < 1 else 1))} {'ft²' if us_units else 'm²'}"


def say_temperature(temperature_c: float, *, us_units: bool) -> str:
    """Say a temperature [°C] in the gardener's units."""
    return in_fahrenheit(temperature_c) if us_units else in_celsius(temperature_c)


def say_rain(depth_mm: float, *, us_units: bool) -> str:
    """Say a depth of rain [mm] in millimetres or inches, finer where there is little."""
    if us_units:
        inches = depth_mm / (INCH_M * 1000)
        return f"{_short(round(inches, 1 if inches >= 0.5 else 2))} in"
    return f"{_short(round(depth_mm, 0 if depth_mm >= 5 else 1))} mm"


def say_dose(volume_l: float, *, can_l: float, hose_l_s: float | None = None) -> str:
    """Say how much to give: in seconds of hose where the flow was measured, else in cans."""
    if hose_l_s is not None:
        return in_seconds_of_hose(volume_l, hose_l_s)
    return in_cans(volume_l, can_l)


def _fraction(number: float) -> str:
    """Write a multiple of an eighth as people do: 1½, not 1.5."""
    whole, eighths = divmod(round(number * 8), 8)
    glyph = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")[eighths]
    return f"{whole or ''}{glyph}" or "0"


def _plural(word: str, number: float) -> str:
    return word if 0 < number <= 1 else f"{word}s"


def _short(number: float) -> str:
    """Write a number without a useless “.0” or “-0”."""
    return f"{number:.2f}".rstrip("0").rstrip(".") if number else "0"
