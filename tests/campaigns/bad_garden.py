"""Gardens that went wrong: mutations of a sound file, by the thousand.

`python -m tests.campaigns.bad_garden` runs 2,000 of them. Whatever was done to the file, it is read
or refused with faults that each name a line; nothing else may come out.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.errors import GardenFileError
from irrigate.settings.garden_file import settings_from
from irrigate.settings.source import source_of
from tests.settings.gardens import FULL, GARDEN

GARDENS = [GARDEN.splitlines(), FULL.splitlines()]
WORDS = sorted(set(re.findall(r"[\w.:%-]+", GARDEN + FULL)))

NASTY = [
    "", "~", "null", "yes", "no", "on", "off", "0", "-1", "010", "1e9", ".nan", ".inf", "22:00",
    "1320", "[]", "{}", "[[]]", "{a: b}", "*x", "&x", "<<", "<<: {a: 1}", "!!python/none", "|", ">",
    "'", '"', "#", "# x", ": ", "- ", "? ", "---", "...", "\t", "\u2028", "\x00", "é", "🌱", "½",
    "9" * 40, "1/0 L", "1,5 L", "900 L", "0 L", "-3 cm", "5 gal", "19", "19 cm", "x" * 500,
    "all", "7", "__class__", "{wide: 50 cm, tall: ~}", "trade #5", "%", "50 %", "500 %",
    "60 W/m2", "60 W/m2, 06:00-22:00", "-5 C", "m2", "2026-05-01 from", "from 3 L", "1e9 m2", "EC",
    "clay", "hanging", "paved",
]  # fmt: skip


@st.composite
def mutations(draw: st.DrawFn) -> bytes:
    """Draw the bytes of a garden file with one to three things done to it."""
    lines = list(draw(st.sampled_from(GARDENS)))
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(lines) - 1))
        lines = draw(st.sampled_from(DEEDS))(draw, lines, at) or [""]
    content = "\n".join(lines).encode("utf-8", "surrogatepass")
    if draw(st.integers(0, 9)) == 0:
        position = draw(st.integers(0, len(content)))
        content = content[:position] + draw(st.binary(max_size=3)) + content[position + 1 :]
    return content


def _drop(_draw: st.DrawFn, lines: list[str], at: int) -> list[str]:
    return lines[:at] + lines[at + 1 :]


def _double(_draw: st.DrawFn, lines: list[str], at: int) -> list[str]:
    return [*lines[: at + 1], *lines[at:]]


def _move(draw: st.DrawFn, lines: list[str], at: int) -> list[str]:
    to = draw(st.integers(0, len(lines) - 1))
    rest = lines[:at] + lines[at + 1 :]
    return [*rest[:to], lines[at], *rest[to:]]


def _indent(draw: st.DrawFn, lines: list[str], at: int) -> list[str]:
    by = draw(st.sampled_from(["  ", " ", "\t", "      "]))
    changed = by + lines[at] if draw(st.booleans()) else lines[at].removeprefix(by)
    return [*lines[:at], changed, *lines[at + 1 :]]


def _spoil_value(draw: st.DrawFn, lines: list[str], at: int) -> list[str]:
    name, colon, _ = lines[at].partition(":")
    value = draw(st.sampled_from(NASTY) | st.sampled_from(WORDS) | st.text(max_size=12))
    return [*lines[:at], f"{name}{colon} {value}", *lines[at + 1 :]]


def _spoil_word(draw: st.DrawFn, lines: list[str], at: int) -> list[str]:
    words = re.findall(r"[\w.%-]+", lines[at]) or [""]
    old = draw(st.sampled_from(words))
    new = draw(st.sampled_from(NASTY) | st.sampled_from(WORDS) | st.just(old[1:]))
    return [*lines[:at], lines[at].replace(old, new, 1), *lines[at + 1 :]]


def _spoil_letter(draw: st.DrawFn, lines: list[str], at: int) -> list[str]:
    line = lines[at]
    position = draw(st.integers(0, len(line)))
    letter = draw(st.sampled_from("{}[]:,#&*!|>'\"%@`-? 0aZ½\t\\") | st.characters())
    skipped = draw(st.integers(0, 1))
    return [*lines[:at], line[:position] + letter + line[position + skipped :], *lines[at + 1 :]]


def _cut(_draw: st.DrawFn, lines: list[str], at: int) -> list[str]:
    return lines[:at]


DEEDS = [_drop, _double, _move, _indent, _spoil_value, _spoil_word, _spoil_letter, _cut]


def holds_for(content: bytes) -> bool:
    """Read the bytes; every fault must name a line. Return whether they were in order."""
    try:
        read = settings_from(source_of(content, "garden.yaml"), Path())
    except GardenFileError as refused:
        if not refused.faults:
            raise AssertionError("refused without a fault") from None
        for fault in refused.faults:
            if not re.match(r"garden\.yaml:[1-9][0-9]*:[1-9][0-9]*: .", fault) or "\n" in fault:
                raise AssertionError(f"a fault without its place: {fault!r}") from None
        return False
    if not read.garden.pots:
        raise AssertionError("a garden without pots")
    return True


def main(count: int = 2000) -> None:
    """Run the campaign and say how many of the mutated gardens were still in order."""
    sound: list[bool] = []

    @settings(
        max_examples=count, deadline=None, database=None, suppress_health_check=list(HealthCheck)
    )
    @given(mutations())
    def campaign(content: bytes) -> None:
        sound.append(holds_for(content))

    campaign()
    print(f"{len(sound)} mutated gardens: {sum(sound)} still in order, the rest refused in words")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
