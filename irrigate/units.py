"""Quantities as people write and say them; inside, everything is SI (and litres).

Reading comes first, saying second. A reader takes a text and returns a number in the unit that
its name ends with, or raises `ValueError` with a text fit for the person who wrote it. A number
without a unit is refused, never guessed. A sayer rounds as a person would.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches

# Exact by definition: the inch (1959), the US gallon of 231 cubic inches, the pound.
INCH_M = 0.0254
US_GALLON_L = 3.785411784
IMPERIAL_GALLON_L = 4.54609
POUND_KG = 0.45359237

FRACTIONS = {
    "¼": 1 / 4, "½": 1 / 2, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3,
    "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8,
}  # fmt: skip

_WORDS = {
    "three quarters of": 3 / 4, "a quarter of": 1 / 4, "half of": 1 / 2, "a half": 1 / 2,
    "half": 1 / 2, "quarter": 1 / 4, "an": 1, "a": 1, "one": 1, "two": 2, "three": 3, "four": 4,
    "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
}  # fmt: skip

_GLYPHS = "".join(FRACTIONS)
_NUMBER = re.compile(
    r"\s*(?P<sign>[-−+]?)\s*(?:"
    rf"(?P<whole>[0-9]{{0,6}})\s?(?P<glyph>[{_GLYPHS}])"
    r"|(?:(?P<mixed>[0-9]{1,6})\s+)?(?P<over>[0-9]{1,4})\s?[/⁄]\s?(?P<under>[0-9]{1,4})(?![0-9.])"
    r"|(?P<decimal>[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9})(?![0-9.]))"
)
_UNIT = re.compile(rf"[^0-9{_GLYPHS}+−-]*")


@dataclass(frozen=True, slots=True)
class _Measure:
    """One kind of quantity: what it is called, two units to suggest, and every spelling."""

    called: str
    suggest: tuple[str, str]
    units: dict[str, float]


def _spellings(table: dict[str, float]) -> dict[str, float]:
    return {word.strip(): size for words, size in table.items() for word in words.split(",")}


_LENGTH = _Measure("a length", ("cm", "in"), _spellings({
    "mm, millimetre, millimetres, millimeter, millimeters": 0.001,
    "cm, centimetre, centimetres, centimeter, centimeters": 0.01,
    "m, metre, metres, meter, meters": 1.0,
    "in, inch, inches, \", ″, ''": INCH_M,
    "ft, foot, feet, ', ′": 12 * INCH_M,
    "yd, yard, yards": 36 * INCH_M,
}))  # fmt: skip
_VOLUME = _Measure("a volume", ("L", "gal"), _spellings({
    "ml, millilitre, millilitres, milliliter, milliliters": 0.001,
    "cl": 0.01, "dl": 0.1,
    "l, ltr, litre, litres, liter, liters": 1.0,
    "gal, gallon, gallons, us gal, us gallon, us gallons": US_GALLON_L,
    "qt, quart, quarts": US_GALLON_L / 4,
    "pt, pint, pints": US_GALLON_L / 8,
    "cup, cups": US_GALLON_L / 16,
    "fl oz, fluid ounce, fluid ounces": US_GALLON_L / 128,
    "imp gal, imperial gallon, imperial gallons": IMPERIAL_GALLON_L,
}))  # fmt: skip
_MASS = _Measure("a weight", ("kg", "lb"), _spellings({
    "g, gram, grams": 0.001,
    "kg, kilo, kilos, kilogram, kilograms": 1.0,
    "lb, lbs, pound, pounds": POUND_KG,
    "oz, ounce, ounces": POUND_KG / 16,
}))  # fmt: skip
_DURATION = _Measure("a length of time", ("min", "h"), _spellings({
    "s, sec, secs, second, seconds": 1.0,
    "min, mins, minute, minutes": 60.0,
    "h, hr, hrs, hour, hours": 3600.0,
    "d, day, days": 86400.0,
}))  # fmt: skip
_SHARE = _Measure("a share", ("%", "percent"), _spellings({"%, percent, per cent, pct": 0.01}))
_MEASURES = (_LENGTH, _VOLUME, _MASS, _DURATION, _SHARE)

_CELSIUS = ("c", "°c", "℃", "deg c", "celsius", "degrees c", "degrees celsius")
_FAHRENHEIT = ("f", "°f", "℉", "deg f", "fahrenheit", "degrees f", "degrees fahrenheit")


# --- reading -------------------------------------------------------------------------------
def length_m(text: str) -> float:
    """Return the metres in ``30 cm``, ``12 in``, ``1½ ft`` or ``1 ft 6 in``."""
    return _read(text, _LENGTH)


def volume_l(text: str, *, can_l: float | None = None, hose_l_s: float | None = None) -> float:
    """Return the litres in ``19 L``, ``5 gal`` or ``1.5 qt``.

    Where the size of a can [L] or the flow of a hose [L s⁻¹] is known, ``½ can`` and
    ``20 s hose`` are understood too.
    """
    hose = re.fullmatch(r"(.+?)\s*(?:of )?(?:the )?hose", text.strip(), re.IGNORECASE)
    if hose:
        if hose_l_s is None:
            raise ValueError(f"{text}: the flow of the hose is not known; say it in L or gal")
        return duration_s(hose[1]) * hose_l_s
    if can_l is None:
        if re.search(r"\bcans?\b", text, re.IGNORECASE):
            raise ValueError(f"{text}: the size of a can is not known here; say it in L or gal")
        return _not_negative(_read(text, _VOLUME), text)
    with_cans = _VOLUME.units | {"can": can_l, "cans": can_l}
    return _not_negative(_read(text, _Measure(_VOLUME.called, _VOLUME.suggest, with_cans)), text)


def mass_kg(text: str) -> float:
    """Return the kilograms in ``12.4 kg`` or ``2 lb 3 oz``."""
    return _not_negative(_read(text, _MASS), text)


def duration_s(text: str) -> float:
    """Return the seconds in ``30 min``, ``2 h`` or ``1 h 30 min``."""
    return _not_negative(_read(text, _DURATION), text)


def share(text: str) -> float:
    """Return the share (1 for the whole) in ``20 %``; a bare 0 is the same in every unit."""
    if re.fullmatch(r"0(\.0*)?", text.strip()):
        return 0.0
    return _not_negative(_read(text, _SHARE), text)


def temperature_c(text: str) -> float:
    """Return the degrees Celsius in ``96 F`` or ``35 °C``."""
    number, rest = _number(text)
    unit = _plain(rest)
    if unit in _CELSIUS:
        return number
    if unit in _FAHRENHEIT:
        return (number - 32) / 1.8
    bare = text.strip()
    raise ValueError(f"{bare} is not a temperature: say 35 °C or 95 °F")


def flow_l_s(text: str) -> float:
    """Return the litres per second in ``12 L/min``, ``3 gpm`` or ``5 gal in 60 s``."""
    spelled = re.sub(r"\bgpm\b", "gal/min", text.strip(), flags=re.IGNORECASE)
    spelled = re.sub(r"\blpm\b", "L/min", spelled, flags=re.IGNORECASE)
    parts = re.split(r"\s+(?:in|per)\s+|/(?![0-9])", spelled)
    if len(parts) != 2:
        raise ValueError(f"{text} is not a flow: say 12 L/min, 3 gal/min, or 5 gal in 60 s")
    over = parts[1] if re.match(rf"\s*[0-9{_GLYPHS}.]", parts[1]) else f"1 {parts[1]}"
    seconds = duration_s(over)
    if seconds == 0:
        raise ValueError(f"{text}: no water flows in no time; say 12 L/min or 5 gal in 60 s")
    return volume_l(parts[0]) / seconds


def begins_with_number(text: str) -> bool:
    """Return whether a number in figures opens the text, as it does every quantity."""
    return _NUMBER.match(text) is not None


def _read(text: str, measure: _Measure) -> float:
    """Add up the pairs of number and unit in ``text``."""
    total, rest, sign = 0.0, text, 1.0
    while rest.strip():
        number, rest = _number(rest)
        if rest == text or (total and number < 0):
            raise ValueError(_not_understood(text, measure))
        found = _UNIT.match(rest)
        unit = found[0] if found else ""
        rest = rest[len(unit) :]
        if number < 0:
            number, sign = -number, -1.0
        total += number * _size(_plain(unit), text, measure)
    if not text.strip():
        raise ValueError(_not_understood(text, measure))
    return sign * total


def _number(text: str) -> tuple[float, str]:
    """Return the number that ``text`` begins with, and what follows it."""
    found = _NUMBER.match(text)
    if found is None:
        return _number_in_words(text)
    rest = text[found.end() :]
    if re.match(r",[0-9]", rest):
        raise ValueError(f"{text.strip()}: write decimals with a point, as in 1.5")
    if found["glyph"]:
        number = int(found["whole"] or 0) + FRACTIONS[found["glyph"]]
    elif found["under"]:
        if int(found["under"]) == 0:
            raise ValueError(f"{text.strip()}: nothing can be divided by 0")
        number = int(found["mixed"] or 0) + int(found["over"]) / int(found["under"])
    else:
        number = float(found["decimal"])
    return (-number if found["sign"] in ("-", "−") else number), rest


def _number_in_words(text: str) -> tuple[float, str]:
    lowered = text.strip().casefold()
    for words, number in _WORDS.items():
        if lowered.startswith(words + " "):
            rest = lowered[len(words) :].strip()
            return number, re.sub(r"^(?:an?|of) ", "", rest)
    raise ValueError(f"{text.strip() or 'nothing'} does not begin with a number")


def _plain(unit: str) -> str:
    return re.sub(r"\s+", " ", unit.casefold().replace(".", " ").replace(",", " ")).strip()


def _size(unit: str, text: str, measure: _Measure) -> float:
    """Return how much one ``unit`` is, or say what is wrong with it."""
    if unit in measure.units:
        return measure.units[unit]
    one, other = measure.suggest
    bare = text.strip()
    if not unit:
        raise ValueError(f"{bare} has no unit: say {bare} {one} or {bare} {other}")
    for kind in _MEASURES:
        if unit in kind.units:
            raise ValueError(
                f"{bare} is {kind.called}, not {measure.called}: say it in {one} or {other}"
            )
    near = get_close_matches(unit, measure.units, n=1, cutoff=0.6)
    hint = f"did you mean {near[0]}?" if near else f"say it in {one} or {other}"
    raise ValueError(f"{bare}: “{unit}” is not a unit of {measure.called.split(' ', 1)[1]}; {hint}")


def _not_understood(text: str, measure: _Measure) -> str:
    one, other = measure.suggest
    return f"{text.strip() or 'nothing'} is not {measure.called}: say it in {one} or {other}"


def _not_negative(number: float, text: str) -> float:
    if number < 0:
        raise ValueError(f"{text.strip()} is below zero")
    return number


# --- saying --------------------------------------------------------------------------------
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
    """Say a length [m] in whole centimetres, or from a metre on in metres (to 5 cm)."""
    if round(length_m * 100) < 100:
        return f"{round(length_m * 100)} cm"
    return f"{_short(round(length_m * 20) / 20)} m"


def in_inches(length_m: float) -> str:
    """Say a length [m] in inches (to ½, from 12 to 1), or from 3 ft on in feet (to ½)."""
    inches = length_m / INCH_M
    if inches < 11.75:
        return f"{_fraction(round(inches * 2) / 2)} in"
    if inches < 35.5:
        return f"{round(inches)} in"
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
