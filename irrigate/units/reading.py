"""Quantities read from what people write.

A reader takes a text and returns a number in the unit that its name ends with, or raises
`ValueError` with a text fit for the person who wrote it. A number without a unit is refused, never
guessed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches

from irrigate.units.constants import IMPERIAL_GALLON_L, INCH_M, POUND_KG, US_GALLON_L
from irrigate.units.saying import in_percent

FRACTIONS = {
    "¼": 1 / 4, "½": 1 / 2, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3,
    "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8,
}  # fmt: skip

WORDS = {
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
class Measure:
    """One kind of quantity: what it is called, units to suggest, and every spelling."""

    called: str
    suggest: tuple[str, ...]
    units: dict[str, float]

    def but(self, called: str, suggest: tuple[str, ...], **more: float) -> Measure:
        """Return the same by another name, with more units."""
        return Measure(called, suggest, self.units | more)

    @property
    def hint(self) -> str:
        """What to do about a quantity of another kind."""
        return f"say it in {' or '.join(self.suggest)}"


def _spellings(table: dict[str, float]) -> dict[str, float]:
    return {word.strip(): size for words, size in table.items() for word in words.split(",")}


LENGTH = Measure("a length", ("cm", "in"), _spellings({
    "mm, millimetre, millimetres, millimeter, millimeters": 0.001,
    "cm, centimetre, centimetres, centimeter, centimeters": 0.01,
    "m, metre, metres, meter, meters": 1.0,
    "in, inch, inches, \", ″, ''": INCH_M,
    "ft, foot, feet, ', ′": 12 * INCH_M,
    "yd, yard, yards": 36 * INCH_M,
}))  # fmt: skip
VOLUME = Measure("a volume", ("L", "gal"), _spellings({
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
MASS = Measure("a weight", ("kg", "lb"), _spellings({
    "g, gram, grams": 0.001,
    "kg, kilo, kilos, kilogram, kilograms": 1.0,
    "lb, lbs, pound, pounds": POUND_KG,
    "oz, ounce, ounces": POUND_KG / 16,
}))  # fmt: skip
DURATION = Measure("a length of time", ("min", "h"), _spellings({
    "s, sec, secs, second, seconds": 1.0,
    "min, mins, minute, minutes": 60.0,
    "h, hr, hrs, hour, hours": 3600.0,
    "d, day, days": 86400.0,
}))  # fmt: skip
SHARE = Measure("a share", ("%",), _spellings({"%, percent, per cent, pct": 0.01}))
ELEVATION = LENGTH.but("a height", ("m", "ft"))
MEASURES = (LENGTH, VOLUME, MASS, DURATION, SHARE)

_CELSIUS = ("c", "°c", "℃", "deg c", "celsius", "degrees c", "degrees celsius")
_FAHRENHEIT = ("f", "°f", "℉", "deg f", "fahrenheit", "degrees f", "degrees fahrenheit")
TEMPERATURES = (*_CELSIUS, *_FAHRENHEIT)


def length_m(text: str) -> float:
    """Return the metres in ``30 cm``, ``12 in``, ``1½ ft`` or ``1 ft 6 in``."""
    return quantity(text, LENGTH)


def elevation_m(text: str) -> float:
    """Return the metres in ``30 m`` or ``100 ft``, below the sea less than zero."""
    return quantity(text, ELEVATION)


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
    if can_l is not None:
        with_cans = VOLUME.but(VOLUME.called, VOLUME.suggest, can=can_l, cans=can_l)
        return _not_negative(quantity(text, with_cans), text)
    if re.search(r"\bcans?\b", text, re.IGNORECASE):
        raise ValueError(f"{text}: the size of a can is not known here; say it in L or gal")
    return _not_negative(quantity(text, VOLUME), text)


def mass_kg(text: str) -> float:
    """Return the kilograms in ``12.4 kg`` or ``2 lb 3 oz``."""
    return _not_negative(quantity(text, MASS), text)


def duration_s(text: str) -> float:
    """Return the seconds in ``30 min``, ``2 h`` or ``1 h 30 min``."""
    return _not_negative(quantity(text, DURATION), text)


def share(text: str) -> float:
    """Return the share (1 for the whole) in ``20 %``; a bare 0 is the same in every unit."""
    if re.fullmatch(r"0(\.0*)?", text.strip()):
        return 0.0
    bare = re.fullmatch(r"0?\.[0-9]{1,6}", text.strip())
    if bare:
        raise ValueError(f"{text.strip()} has no unit: say {in_percent(float(bare[0]))}")
    return _not_negative(quantity(text, SHARE), text)


def temperature_c(text: str) -> float:
    """Return the degrees Celsius in ``96 F`` or ``35 °C``."""
    found = _number(text)
    if found is not None:
        number, unit = found[0], _plain(found[1])
        if unit in _CELSIUS:
            return number
        if unit in _FAHRENHEIT:
            return (number - 32) / 1.8
        if not unit:
            raise ValueError(f"{text.strip()} has no unit: say {text.strip()} °C or °F")
    raise ValueError(f"{text.strip()} is not a temperature: say it in °C or °F")


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


def quantity(text: str, measure: Measure) -> float:
    """Add up the pairs of number and unit in ``text``; the sum, in the measure's own unit."""
    total, sign, rest = 0.0, 1.0, text
    while True:
        found = _number(rest)
        if found is None or (found[0] < 0 and rest is not text):
            raise ValueError(f"“{text.strip()}” is not {measure.called}: {measure.hint}")
        number, rest = found
        if number < 0:
            number, sign = -number, -1.0
        unit = _UNIT.match(rest)
        written = unit[0] if unit else ""
        total += number * _size(_plain(written), text, measure)
        rest = rest[len(written) :]
        if not rest.strip():
            return sign * total


def _number(text: str) -> tuple[float, str] | None:
    """Return the number that ``text`` begins with and what follows it, or None."""
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


def _number_in_words(text: str) -> tuple[float, str] | None:
    lowered = text.strip().casefold()
    for words, number in WORDS.items():
        if lowered.startswith(words + " "):
            rest = lowered[len(words) :].strip()
            return number, re.sub(r"^(?:an?|of) ", "", rest)
    return None


def _plain(unit: str) -> str:
    return re.sub(r"\s+", " ", unit.casefold().replace(".", " ").replace(",", " ")).strip()


def _size(unit: str, text: str, measure: Measure) -> float:
    """Return how much one ``unit`` is, or say what is wrong with it."""
    if unit in measure.units:
        return measure.units[unit]
    bare = text.strip()
    if not unit:
        said = " or ".join(f"{bare} {suggested}" for suggested in measure.suggest)
        raise ValueError(f"{bare} has no unit: say {said}")
    for kind in MEASURES:
        if unit in kind.units:
            raise ValueError(f"{bare} is {kind.called}, not {measure.called}: {measure.hint}")
    near = get_close_matches(unit, measure.units, n=1, cutoff=0.6)
    spelled = {word.casefold(): word for word in measure.suggest}
    hint = f"did you mean {spelled.get(near[0], near[0])}?" if near else measure.hint
    called = re.sub("^an? ", "", measure.called)
    raise ValueError(f"{bare}: “{unit}” is not known as a unit of {called}; {hint}")


def _not_negative(number: float, text: str) -> float:
    if number < 0:
        raise ValueError(f"{text.strip()} is below zero")
    return number
