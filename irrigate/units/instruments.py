"""Quantities that instruments tell, or labels: areas of leaves, light of lamps, salt of water.

The same rules hold as in `irrigate.units.reading`: a number without a unit is refused.
"""

from __future__ import annotations

import re

from irrigate.units.constants import INCH_M
from irrigate.units.reading import Measure, quantity

_SQUARE_FOOT_M2 = (12 * INCH_M) ** 2


def _squares(table: dict[str, float]) -> dict[str, float]:
    """Return every spelling of every square, with a small two and with a large one."""
    found: dict[str, float] = {}
    for words, size in table.items():
        short, *names = (word.strip() for word in words.split(","))
        squared = (f"square {name}" for name in names)
        for word in (f"{short}²", f"{short}2", f"sq {short}", f"sq{short}", *squared):
            found[word] = size
    return found


AREA = Measure("an area", ("m2", "ft2"), _squares({
    "cm, centimetre, centimetres, centimeter, centimeters": 1e-4,
    "m, metre, metres, meter, meters": 1.0,
    "in, inch, inches": INCH_M**2,
    "ft, foot, feet": _SQUARE_FOOT_M2,
}))  # fmt: skip
LIGHT = Measure("light on an area", ("W/m2",), {
    "w/m²": 1.0, "w/m2": 1.0, "w / m²": 1.0, "w / m2": 1.0, "w per m²": 1.0, "w per m2": 1.0,
    "w/sqm": 1.0, "w/sq m": 1.0, "watts/m²": 1.0, "watts/m2": 1.0, "watts per m²": 1.0,
    "watts per m2": 1.0, "watts per square metre": 1.0, "watts per square meter": 1.0,
})  # fmt: skip
# A meter's EC is told in mS/cm, which is the same as dS/m: common practice, no source.
SALT = Measure("salt in water", ("dS/m", "uS/cm"), {
    "ds/m": 1.0, "ms/cm": 1.0, "ec": 1.0, "us/cm": 0.001, "µs/cm": 0.001, "μs/cm": 0.001,
    "ms/m": 0.01,
})  # fmt: skip


def area_m2(text: str) -> float:
    """Return the square metres in ``0.6 m2``, ``600 cm²`` or ``6 sq ft``."""
    return _positive(quantity(_small_two(text), AREA), text)


def light_w_m2(text: str) -> float:
    """Return the watts per square metre in ``60 W/m2``.

    What a lamp takes, or what it gives by a plant's eye (PPFD), is refused with a hint.
    """
    if re.search(r"mol", text, re.IGNORECASE):
        # From memory: white LEDs give 4.5 to 5 micromoles for each joule of their light.
        raise ValueError(
            f"{text.strip()} is told by a plant's eye; say it in W/m2 (about 5 umol/m2/s of a "
            "white lamp make 1 W/m2)"
        )
    if re.fullmatch(r"\s*[0-9.]+\s*(?:w|watts?|kw)\s*", text, re.IGNORECASE):
        raise ValueError(
            f"{text.strip()} is what the lamp takes; say the light at the leaves, in W/m2: at most "
            "its watts shared out over the square metres it lights"
        )
    return _positive(quantity(_small_two(text), LIGHT), text)


def salt_ds_m(text: str) -> float:
    """Return the dS/m in ``0.9 dS/m``, ``900 uS/cm``, ``0.9 mS/cm`` or ``EC 0.9``."""
    if re.search(r"\bpp[mt]\b|\btds\b|\bg/l\b|\bmg/l\b", text, re.IGNORECASE):
        raise ValueError(
            f"{text.strip()} depends on how the meter counts; say its EC, in dS/m or uS/cm"
        )
    bare = re.fullmatch(r"\s*EC\s*[:=]?\s*(?P<rest>.+)", text, re.IGNORECASE)
    said = bare["rest"] if bare else text
    if bare and re.fullmatch(r"[0-9.]+\s*", said):
        said = f"{said} EC"
    return _positive(quantity(said, SALT), text)


def _small_two(text: str) -> str:
    """Write squares with a small two, so that it cannot be taken for the next number."""
    return re.sub(r"(?<=[a-zA-Z])\s?2(?![0-9.])", "²", text)


def _positive(number: float, text: str) -> float:
    if number < 0:
        raise ValueError(f"{text.strip()} is below zero")
    return number
