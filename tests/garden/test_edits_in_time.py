"""A changed description in time: from when on it holds, and what keeps its identity."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.garden.edits_in_time import Known, renewed, since_moment, took_hold, versions
from irrigate.garden.pots import Garden, Pot
from irrigate.garden.vessels import RoundTaper
from tests.garden.makers import DAY, HOUR, START, YARD, a_garden, a_pot

NOW = START + 5 * DAY
OLDEST = NOW - 14 * DAY
ZONE = ZoneInfo("America/Los_Angeles")
FIRST = a_garden(a_pot("1"), a_pot("2"))
HISTORY = (Known("first", START, FIRST),)


def edited(garden: Garden, label: str, **changes: object) -> Garden:
    """Return a garden with one row changed."""
    pots = tuple(
        replace(pot, **changes) if pot.label == label else pot  # type: ignore[arg-type]
        for pot in garden.pots
    )
    return replace(garden, pots=pots)


def widths(garden: Garden) -> list[float]:
    """Return the width of every plant."""
    return [pot.canopy_width_m for pot in garden.pots]


def test_an_edit_holds_from_when_it_was_read() -> None:
    """Without a word on when, the whole edited garden holds from now on, and no sooner."""
    garden = edited(FIRST, "1", canopy_width_m=0.9)
    (version,) = versions(HISTORY, garden, NOW, OLDEST)
    assert (version.at, version.garden, version.replaces) == (NOW, garden, None)


def test_since_a_day_is_noon_of_it_in_the_gardens_zone() -> None:
    """A date without a time is its noon; a date with one is that moment."""
    assert since_moment("2026-07-12", ZONE) == datetime(2026, 7, 12, 19, tzinfo=UTC)
    assert since_moment("2026-07-12T18:30", ZONE) == datetime(2026, 7, 13, 1, 30, tzinfo=UTC)
    assert since_moment("2026-07-12 18:30", ZONE) == datetime(2026, 7, 13, 1, 30, tzinfo=UTC)


def test_a_change_since_an_earlier_day_holds_from_then() -> None:
    """A version is put in at that moment with this row alone changed; before it nothing is."""
    garden = edited(FIRST, "1", canopy_width_m=0.9, since="2026-07-12")
    earlier, present = versions(HISTORY, garden, NOW, OLDEST)
    assert earlier.at == datetime(2026, 7, 12, 19, tzinfo=UTC)
    assert widths(earlier.garden) == [0.9, 0.5]
    assert earlier.replaces is None
    assert present.garden == garden


def test_versions_in_between_are_corrected() -> None:
    """What another edit said meanwhile stays, and this row is as it had been since then."""
    second = edited(FIRST, "2", canopy_width_m=0.7)
    history = (*HISTORY, Known("second", START + 3 * DAY, second))
    garden = edited(second, "1", canopy_width_m=0.9, since="2026-07-11")
    first, corrected, present = versions(history, garden, NOW, OLDEST)
    assert widths(first.garden) == [0.9, 0.5]
    assert (corrected.at, corrected.replaces) == (START + 3 * DAY, "second")
    assert widths(corrected.garden) == [0.9, 0.7]
    assert present.garden == garden


def test_since_that_stood_there_before_is_about_an_earlier_edit() -> None:
    """A row edited again without touching its since changes now."""
    first = edited(FIRST, "1", since="2026-07-11")
    garden = edited(first, "1", canopy_width_m=0.9)
    (version,) = versions((Known("first", START, first),), garden, NOW, OLDEST)
    assert version.at == NOW


def test_no_change_reaches_further_back_than_can_be_corrected() -> None:
    """An older since holds from the oldest moment that can still be; a later one from now."""
    history = (Known("first", NOW - 40 * DAY, FIRST),)
    garden = edited(FIRST, "1", canopy_width_m=0.9, since="2026-05-01")
    earlier, _ = versions(history, garden, NOW, OLDEST)
    assert earlier.at == OLDEST
    ahead = edited(FIRST, "1", canopy_width_m=0.9, since="2026-08-01")
    assert [version.at for version in versions(history, ahead, NOW, OLDEST)] == [NOW]


def test_a_pot_added_since_yesterday_was_there_yesterday() -> None:
    """It comes into the garden of that moment, with the place that it needs."""
    porch = replace(YARD, name="new place")
    pot = a_pot("3", place="new place", since="2026-07-13")
    garden = replace(FIRST, pots=(*FIRST.pots, pot), places=(*FIRST.places, porch))
    earlier, _ = versions(HISTORY, garden, NOW, OLDEST)
    assert [one.label for one in earlier.garden.pots] == ["1", "2", "3"]
    assert earlier.garden.place("new place") == porch


@pytest.mark.parametrize(
    ("new", "expected"),
    [
        (a_pot("1"), (False, False)),
        (a_pot("1", size_m=(0.9, 0.9), place="porch"), (False, False)),
        (a_pot("1", crop="tomato"), (True, False)),
        (a_pot("1", vessel=RoundTaper.of_volume(20.0)), (False, True)),
        (a_pot("1", medium="coir"), (False, True)),
        (a_pot("1", crop="tomato", medium="coir"), (True, True)),
        (a_pot("1", crop="tomato", medium="coir", since="always"), (False, False)),
    ],
)
def test_what_is_new_in_a_pot(new: Pot, expected: tuple[bool, bool]) -> None:
    """Another plant is a new plant, another pot or mix a new vessel; a correction is neither."""
    assert renewed(a_pot("1"), new) == expected


def test_a_correction_takes_hold_now() -> None:
    """“always” invalidates nothing that was believed before."""
    new = a_pot("1", size_m=(0.9, 0.9), since="always")
    assert took_hold(a_pot("1"), new, ZONE, NOW) == NOW


@given(
    st.lists(st.integers(0, 9), max_size=3, unique=True),
    st.lists(st.tuples(st.sampled_from(["1", "2"]), st.integers(-3, 14)), max_size=2),
)
def test_the_last_version_is_the_edited_garden(
    days: list[int], edits: list[tuple[str, int]]
) -> None:
    """Whatever the dates: versions rise, none is ahead of now, the last is the file as it reads."""
    history = [Known(f"v{day}", NOW - day * DAY - HOUR, FIRST) for day in sorted(days)[::-1]]
    garden = FIRST
    for label, ago in edits:
        since = (date(2026, 7, 15) - timedelta(days=ago)).isoformat()
        garden = edited(garden, label, canopy_width_m=0.9, since=since)
    made = versions(history, garden, NOW, OLDEST)
    moments = [version.at for version in made]
    assert moments == sorted(moments)
    assert moments[-1] == NOW
    assert made[-1].garden == garden
    known = {one.fact_id: one.at for one in history}
    for version in made[:-1]:
        assert version.at < NOW
        assert version.replaces is None or known[version.replaces] == version.at
