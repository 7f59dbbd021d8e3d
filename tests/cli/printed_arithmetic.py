"""Reads printed arithmetic as a reader with a calculator would, and says where it does not hold.

``1.050 - 0.0069 = 1.043``: the left side is worked out from the digits that stand there; what is
printed on the right must be reached within the rounding of the numbers it is made of.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from itertools import pairwise

NUMBER = re.compile(r"\d+(?:\.\d+)?(?:e-?\d+)?")
UNITS = re.compile(r" (?:MJ m⁻²|W/m²|m²|mm|mL|cm|h|L|m)(?![\w/°])")
SPOKEN = re.compile(r"\([a-z][a-z ]*\)")
FUNCTIONS = {"exp": math.exp, "min": min, "max": max, "sqrt": math.sqrt}
WORD = re.compile(r"(?<![\w.])(?!(?:exp|min|max)\b|[²⁴])[^\W\d_][\w°']*|[%;:]")
RESULT = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?(?![\d.])(?!\s*[-+×/(^√²⁴\[])")
# What the sources print as such is not rounded; behind a × or over a / it may be a measured one.
CONSTANTS = {
    "0.1", "0.3", "0.4", "0.5", "0.7", "1.0", "1.1", "1.2", "1.4", "2.5", "0.04", "0.004", "0.05",
    "0.14", "0.25", "0.34", "0.35", "0.75", "0.77", "1.20", "1.35",
}  # fmt: skip


def equations(page: str) -> Iterator[tuple[str, str]]:
    """Yield (left side, number on the right) of everything on a page that can be worked out."""
    for row in page.splitlines():
        sums_up = re.match(r"   [\d.]+ [-+] ", row)
        said = row.strip() if sums_up else re.split(r"\s{2,}", row[12:].strip())[0]
        parts = UNITS.sub("", SPOKEN.sub("", said)).split(" = ")
        for left, right in pairwise(parts):
            result = RESULT.match(right)
            expression = WORD.split(left)[-1].strip(" ,")
            if result and re.search(r"[-+×/^√²(]", expression.lstrip("-")):
                yield expression, result[0]


def formula(expression: str) -> str:
    """Return printed arithmetic as a formula of Python."""
    text = expression.replace("[", "(").replace("]", ")").replace("²", "**2").replace("⁴", "**4")
    text = text.replace("×", "*").replace("^", "**")
    text = re.sub(r"√([\d.]+)", r"sqrt(\1)", text).replace("√(", "sqrt(")
    # What stands side by side is multiplied.
    text = re.sub(r"([\d)]) +(?=\(|sqrt)", r"\1 * ", text)
    return re.sub(r"\) +(?=\d)", ") * ", text)


def half_a_unit(number: str) -> float:
    """Return half a unit in the last digit of a printed number; none for a whole one."""
    digits, _, power = number.partition("e")
    places = len(digits.partition(".")[2])
    return 0.5 * 10.0 ** (int(power or 0) - places) if "." in digits else 0.0


def strays_by(expression: str, printed: str) -> float:
    """Return how far a result strays beyond what rounding explains; 0 or less if it holds."""
    text = formula(expression)
    value = _worked(text)
    slack = half_a_unit(printed) if "." in printed else 0.5
    product = re.search(r"[*/(]", text) is not None
    for found in NUMBER.finditer(text):
        before, after = text[: found.start()].rstrip(), text[found.end() :].lstrip()
        amid = before.endswith("*") or after.startswith("/")
        if product and found[0] in CONSTANTS and not amid:
            continue
        for sign in (-1.0, 1.0):
            moved = float(found[0]) + sign * half_a_unit(found[0])
            other = _worked(f"{text[: found.start()]}{moved!r}{text[found.end() :]}")
            slack += 0.5 * abs(other - value) * 1.05
    return abs(value - float(printed)) - slack - 1e-12 * abs(value)


def _worked(text: str) -> float:
    return float(eval(text, {"__builtins__": {}}, FUNCTIONS))


def faults(page: str) -> list[str]:
    """Return every equation on a page that does not hold."""
    return [
        f"{left} = {right}: off by {strays_by(left, right):.3g}"
        for left, right in equations(page)
        if strays_by(left, right) > 0.0
    ]
