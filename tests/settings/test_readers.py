"""Times, spans, days, sizes and the like, each out of one text."""

from __future__ import annotations

from contextlib import suppress
from datetime import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.settings import readers
from irrigate.settings.readers import Size


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("07:00", time(7)),
        ("7:05", time(7, 5)),
        ("7 am", time(7)),
        ("12 am", time(0)),
        ("12 pm", time(12)),
        ("6:30 PM", time(18, 30)),
        ("22:00", time(22)),
    ],
)
def test_times_of_day(text, expected):
    """A time may be written by either clock."""
    assert readers.time_of_day(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("mon", (0,)),
        ("Monday, wed", (0, 2)),
        ("mon-fri", (0, 1, 2, 3, 4)),
        ("sat-mon", (0, 5, 6)),
        ("weekdays", (0, 1, 2, 3, 4)),
        ("weekends", (5, 6)),
        ("every day", (0, 1, 2, 3, 4, 5, 6)),
    ],
)
def test_weekdays(text, expected):
    """Days may be written one by one, as a stretch, or by a word for several."""
    assert readers.weekdays(text) == expected


@pytest.mark.parametrize("text", ["t", "s", "mun", "mon-", "1", ""])
def test_what_is_no_day(text):
    """A letter that begins two days is neither of them."""
    with pytest.raises(ValueError, match="is not a day"):
        readers.weekdays(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("knee-high, wider than pot", Size(height_m=0.5, width_of_pot=1.5)),
        ("wider than the pot and knee high", Size(height_m=0.5, width_of_pot=1.5)),
        ("Waist-high", Size(height_m=1.05)),
        ("twice as wide as pot", Size(width_of_pot=2.0)),
        ("seedling", Size(seedling=True)),
    ],
)
def test_sizes_in_words(text, expected):
    """A size in words is a height, a width by the pot's, or both in either order."""
    assert readers.size_in_words(text) == expected


def test_sides():
    """Two lengths are told with the longer first; one stands alone."""
    assert readers.sides("20 cm by 80 cm") == pytest.approx((0.8, 0.2))
    assert readers.sides("80 cm x 20 cm") == pytest.approx((0.8, 0.2))
    assert readers.sides("30 cm") == pytest.approx((0.3,))


@pytest.mark.parametrize("text", ["yes", "no", "true", "False", " NO "])
def test_yes_and_no(text):
    """Yes and no may be written in either language of the file."""
    assert readers.yes_or_no(text) is (text.strip().casefold() in ("yes", "true"))


@given(st.text(max_size=25))
def test_any_text_is_understood_or_refused(text):
    """No text makes a reader fail in any other way than by refusing it."""
    for read in (
        readers.time_of_day,
        readers.span,
        readers.weekdays,
        readers.day,
        readers.yes_or_no,
        readers.number,
        readers.sides,
        readers.wind,
        readers.mulch,
        readers.size_in_words,
    ):
        with suppress(ValueError):
            read(text)


@given(st.times(), st.times())
def test_spans_come_back(begin, end):
    """A span is read as the two times it was written with."""
    begin, end = (one.replace(second=0, microsecond=0) for one in (begin, end))
    if begin != end:
        assert readers.span(f"{begin:%H:%M}-{end:%H:%M}") == (begin, end)
