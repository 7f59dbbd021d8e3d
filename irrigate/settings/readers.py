"""From one written text to one value: times, spans, days, sizes; each refusal says how to mend it.

Every reader takes the text as it stands in the file and raises `ValueError` with words for the
gardener. Quantities with units are read by `irrigate.units`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from difflib import get_close_matches
from typing import TypeVar

from irrigate import units
from irrigate.settings.words import HEIGHTS_M, MULCHES, WEEKDAYS, WIDTHS_OF_POT, WINDS

Kept = TypeVar("Kept")

_CLOCK = re.compile(r"([0-9]{1,2})(?::([0-9]{2}))?\s*(am|pm|a\.m\.|p\.m\.)?", re.IGNORECASE)


def did_you_mean(word: str, known: Iterable[str], *, most: int = 12) -> str:
    """Suggest the nearest of the known words, or list them where there are few."""
    names = list(dict.fromkeys(known))
    folded = {name.casefold(): name for name in names}
    near = get_close_matches(word.casefold(), folded, n=1, cutoff=0.6)
    if near:
        return f"did you mean {folded[near[0]]}?"
    if 0 < len(names) <= most:
        return f"there is {', '.join(names)}"
    return "" if names else "there is none yet"


def time_of_day(text: str) -> time:
    """Read ``07:00``, ``7 am`` or ``6:30 pm``."""
    run_together = re.fullmatch(r"([0-9]{1,2})([0-9]{2})", text.strip())
    if run_together:
        raise ValueError(f"{text} is not a time of day: write {run_together[1]}:{run_together[2]}")
    found = _CLOCK.fullmatch(text.strip())
    if found is None or (found[2] is None and found[3] is None):
        raise ValueError(f"{text} is not a time of day: write 07:00 or 7 am")
    hour, minute = int(found[1]), int(found[2] or 0)
    half = (found[3] or "").lower().replace(".", "")
    if half:
        if not 1 <= hour <= 12:
            raise ValueError(f"{text} is not a time of day: write 07:00 or 7 am")
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour > 23 or minute > 59:
        raise ValueError(f"{text} is not a time of day: the last one is 23:59")
    return time(hour, minute)


def span(text: str) -> tuple[time, time]:
    """Read ``21:30-06:30``; it may pass midnight."""
    parts = re.split(r"\s*(?:-|–|\bto\b|\buntil\b)\s*", text.strip())
    if len(parts) != 2:
        raise ValueError(f"{text}: write two times, as in 07:00-21:00")
    begin, end = time_of_day(parts[0]), time_of_day(parts[1])
    if begin == end:
        raise ValueError(f"{text}: begins when it ends; write two different times")
    return begin, end


def weekdays(text: str) -> tuple[int, ...]:
    """Read ``mon``, ``mon-fri``, ``weekdays``, ``weekends``, or several after commas."""
    days: set[int] = set()
    for part in re.split(r"\s*,\s*", text.strip()):
        word = part.casefold()
        if word in ("weekdays", "weekday"):
            days |= {0, 1, 2, 3, 4}
        elif word in ("weekends", "weekend"):
            days |= {5, 6}
        elif word in ("every day", "daily"):
            days |= set(range(7))
        else:
            ends = [_weekday(end) for end in re.split(r"\s*[-–]\s*", word, maxsplit=1)]
            days |= {(ends[0] + step) % 7 for step in range((ends[-1] - ends[0]) % 7 + 1)}
    return tuple(sorted(days))


def _weekday(word: str) -> int:
    found = [index for index, day in enumerate(WEEKDAYS) if len(word) > 1 and day.startswith(word)]
    if len(found) != 1:
        raise ValueError(f"“{word}” is not a day: write mon, tue, wed, thu, fri, sat or sun")
    return found[0]


def day(text: str) -> date:
    """Read ``2026-04-20``."""
    wrong = f"{text} is not a date: write year-month-day, as in 2026-04-20"
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text.strip()):
        raise ValueError(wrong)
    try:
        read = date.fromisoformat(text.strip())
    except ValueError:
        raise ValueError(wrong) from None
    if not 1950 <= read.year <= 2100:
        raise ValueError(f"{text}: the year must lie between 1950 and 2100")
    return read


ALWAYS = "always"


def since(text: str) -> str:
    """Read ``2026-07-03``, ``2026-07-03 18:30`` or ``always``; return ISO 8601, or ``always``."""
    if text.strip().casefold() == ALWAYS:
        return ALWAYS
    parts = re.split(r"\s+|[Tt](?=[0-9])", text.strip(), maxsplit=1)
    try:
        begun = day(parts[0])
    except ValueError as wrong:
        if not text.strip()[:1].isdigit():
            raise ValueError(
                f"“{text}” is not a date: write 2026-07-03, 2026-07-03 18:30, or {ALWAYS}"
            ) from None
        raise ValueError(str(wrong)) from None
    if len(parts) == 1:
        return begun.isoformat()
    return datetime.combine(begun, time_of_day(parts[1])).isoformat(timespec="minutes")


def yes_or_no(text: str) -> bool:
    """Read ``yes`` or ``no``."""
    word = text.strip().casefold()
    if word in ("yes", "true"):
        return True
    if word in ("no", "false"):
        return False
    raise ValueError(f"“{text}” is neither yes nor no")


def number(text: str) -> float:
    """Read a number that has no unit."""
    if re.fullmatch(r"[-−+]?[0-9]{1,4},[0-9]+", text.strip()):
        raise ValueError(f"{text}: write decimals with a point, as in 1.5")
    if not re.fullmatch(r"[-−+]?([0-9]{1,9}(\.[0-9]{0,12})?|\.[0-9]{1,12})", text.strip()):
        raise ValueError(f"{text} is not a number")
    return float(text.strip().replace("−", "-"))


def sides(text: str) -> tuple[float, ...]:
    """Read one length [m], or two as in ``80 cm by 20 cm``, the longer first."""
    parts = re.split(r"\s*(?:\bby\b|×|(?<![a-z])x(?![a-z]))\s*", text.strip(), flags=re.IGNORECASE)
    if len(parts) > 2:
        raise ValueError(f"{text}: write one length or two, as in 80 cm by 20 cm")
    lengths = sorted((units.length_m(part) for part in parts), reverse=True)
    if not all(0.01 <= length <= 5 for length in lengths):
        raise ValueError(f"{text} is out of range: 1 cm (½ in) to 5 m (16 ft)")
    return tuple(lengths)


def wind(text: str) -> float:
    """Read ``sheltered``, ``yard``, ``open`` or a percent of the wind on open ground."""
    return _word_or_share(text, WINDS, "of the wind on open ground")


def mulch(text: str) -> float:
    """Read ``yes``, ``no``, what it is made of, or the percent of the surface it covers.

    A percent is taken as an organic mulch; the result is the share of evaporation it takes away.
    """
    word = text.strip().casefold()
    if word in MULCHES:
        return MULCHES[word]
    covered = _word_or_share(text, MULCHES, "of the surface covered")
    if covered > 1:
        raise ValueError(f"{text}: no more than 100 % can be covered")
    return covered * MULCHES["yes"]


def word_of(text: str, table: Mapping[str, Kept], what: str, shown: Iterable[str]) -> Kept:
    """Return what a word stands for; else refuse it, naming the nearest word or those shown.

    ``what`` is what the word is about, as in ``wall``.
    """
    word = " ".join(text.casefold().replace("-", " ").split())
    if word in table:
        return table[word]
    near = get_close_matches(word, table, n=1, cutoff=0.75)
    hint = f"did you mean {near[0]}?" if near else f"write {_either(shown)}"
    raise ValueError(f"“{text}” is no {what} known here; {hint}")


def _either(words: Iterable[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} or {last}" if first else last


def _word_or_share(text: str, table: dict[str, float], of_what: str) -> float:
    word = text.strip().casefold()
    if word in table:
        return table[word]
    if re.match(r"[-−+.]?[0-9]", word):
        return units.share(text)
    near = get_close_matches(word, table, n=1, cutoff=0.6)
    hint = f"did you mean {near[0]}?" if near else f"write {', '.join(table)}, or a % {of_what}"
    raise ValueError(f"“{text}” is not known here; {hint}")


@dataclass(frozen=True, slots=True)
class Size:
    """A plant's size as it was said: metres, or widths of the pot; None where not said."""

    width_m: float | None = None
    height_m: float | None = None
    width_of_pot: float | None = None
    seedling: bool = False


def size_in_words(text: str) -> Size:
    """Read ``knee-high, wider than pot``, one of the two, or ``seedling``."""
    height = width = None
    for part in re.split(r"\s*,\s*|\s+and\s+", text.strip()):
        word = re.sub(r"\s+", " ", part.casefold())
        word = re.sub(r"\b(?:the|its|a) pot\b", "pot", word)
        high = re.sub(r"[ -]?high$", "-high", word)
        if word in ("seedling", "a seedling"):
            if part != text.strip():
                raise ValueError(f"{text}: “seedling” says width and height already")
            return Size(seedling=True)
        if high in HEIGHTS_M and height is None:
            height = HEIGHTS_M[high]
        elif word in WIDTHS_OF_POT and width is None:
            width = WIDTHS_OF_POT[word]
        else:
            raise ValueError(f"“{part}” {_not_a_size(word, high)}")
    return Size(height_m=height, width_of_pot=width)


def _not_a_size(word: str, high: str) -> str:
    if word in WIDTHS_OF_POT or high in HEIGHTS_M:
        return "says the same measure a second time"
    near = get_close_matches(word, ["seedling", *HEIGHTS_M, *WIDTHS_OF_POT], n=1, cutoff=0.5)
    hint = f"did you mean {near[0]}?" if near else "write as in knee-high, wider than pot"
    return f"is not a size; {hint}"


def effort(text: str) -> str:
    """Return what one round may take, once it can be read as cans, a volume, or a time."""
    effort_l(text, can_l=1.0, hose_l_s=1.0)
    return text


def effort_l(text: str, *, can_l: float, hose_l_s: float | None) -> float:
    """Return the litres in ``6 cans``, ``50 L`` or, with a hose of known flow, ``20 min``.

    Parameters
    ----------
    text : as it was written.
    can_l : what a can holds [L].
    hose_l_s : flow of the hose [L s⁻¹], if it was measured.

    Raises
    ------
    ValueError : it is none of these, none at all, or a time without a hose.
    """
    try:
        litres = units.volume_l(text, can_l=can_l)
    except ValueError:
        try:
            seconds = units.duration_s(text)
        except ValueError:
            raise ValueError(f"{text}: write cans, a volume or a time, as in 6 cans") from None
        if hose_l_s is None:
            raise ValueError(
                f"{text}: for a time, say how fast the hose is, as in hose: 10 L in 40 s"
            ) from None
        litres = seconds * hose_l_s
    if litres <= 0.0:
        raise ValueError(f"{text}: must be more than nothing; take the line out for no limit")
    return litres
