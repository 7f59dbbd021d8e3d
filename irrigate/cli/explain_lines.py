"""How a line of the working is set: its name, the arithmetic, the equation at the right edge."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from datetime import UTC, datetime

from irrigate.cli.week_ahead import WIDTH
from irrigate.garden.pots import Garden
from irrigate.service.wording import clock

BEGINS = 12
ML = 1000.0
# Less than this is 0.00 on the page.
SHOWN = 0.005


def line(name: str, said: str, equation: str = "") -> str:
    """Return a line with its equation at the right edge, on a line of its own if there is no room.

    Words too long for one line are wrapped under their beginning.
    """
    text = textwrap.fill(
        said, WIDTH, initial_indent=f"   {name:<8} ", subsequent_indent=" " * BEGINS,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    if not equation:
        return text
    room = WIDTH - len(text.splitlines()[-1])
    if room < len(equation) + 2:
        return f"{text}\n{equation:>{WIDTH}}"
    return f"{text}{equation:>{room}}"


def added(value: float, digits: int) -> str:
    """Return a term of a sum with its sign between spaces: ``+ 0.035`` or ``- 0.007``."""
    return f"{'-' if value < 0.0 else '+'} {abs(value):.{digits}f}"


def clock_of(garden: Garden, at_s: float) -> str:
    """Return a moment [UTC epoch s] by the garden's clock."""
    return clock(garden, datetime.fromtimestamp(at_s, UTC))


def indented(drawn: str) -> str:
    """Return a table set in by the margin of the lines."""
    return "\n".join(f"   {row}".rstrip() for row in drawn.splitlines())


def drawn_down(
    name: str, stored: float, threshold: float, wanted: float, taken: float, unit: str,
    equation: str = "",
) -> Iterator[str]:  # fmt: skip
    """Yield how much is taken in the time from a store that gives less below a threshold.

    All in one unit with two digits: what is stored, below what it gives less, what is wanted,
    what is taken (`irrigate.science.stress.draw_down`).
    """
    if stored - wanted >= threshold:
        yield line(name, f"{taken:.2f} {unit}: all of it, for more than {threshold:.2f} {unit} is"
                   " left", equation)  # fmt: skip
        return
    if threshold < SHOWN:
        yield line(name, f"freely until it is empty: min({stored:.2f}, {wanted:.2f}) = {taken:.2f}"
                   f" {unit}", equation)  # fmt: skip
        return
    freely = min(wanted, max(stored - threshold, 0.0))
    low = min(stored, threshold)
    if freely < SHOWN:
        yield line(name, "ever more slowly, summed over the time:")
        yield line("", f"{low:.2f} × [1 - exp(-{wanted:.2f}/{threshold:.2f})] = {taken:.2f} {unit}",
                   equation)  # fmt: skip
        return
    yield line(name, f"{freely:.2f} {unit} freely, the rest ever more slowly, summed over the"
               " time:")  # fmt: skip
    yield line("", f"{freely:.2f} + {low:.2f} × [1 - exp(-({wanted:.2f} - {freely:.2f})/"
               f"{threshold:.2f})] = {taken:.2f} {unit}", equation)  # fmt: skip
