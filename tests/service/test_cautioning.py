"""Cautions in messages: their words, once a day for a pot, and no silence over a frost."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from irrigate.garden.actions import Caution, Hold, Line, Tell
from irrigate.garden.events import Decided, Fact, RoundTold
from irrigate.garden.pots import Basin, Garden, Manner
from irrigate.garden.rounds import round_key
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.service.caution_words import caution_said
from irrigate.service.cautioning import not_yet_said
from irrigate.service.thinking import Decision, decide_round, think
from irrigate.service.wording import told
from tests.garden.makers import a_garden, a_pot, filled, standing_of, summer, version

HOUR = timedelta(hours=1)
EVENING = datetime(2026, 7, 11, 1, 30, tzinfo=UTC)  # Friday 18:30
MORNING = datetime(2026, 7, 11, 14, 0, tzinfo=UTC)
GARDEN = a_garden(
    a_pot("1", name="fig"), a_pot("2", name="basil"), a_pot("3", name="3"),
    manner=Manner(can_l=8.0),
)  # fmt: skip
US = replace(GARDEN, manner=Manner(us_units=True, can_l=7.571))

WORDS = [
    (
        GARDEN, Caution("cold night", ("p-1", "p-2"), air_c=-2.2),
        "Frost tonight, down to -2 °C: bring in or cover 1 fig and 2 basil. Mind ice on the paths.",
    ),
    (
        US, Caution("cold night", ("p-2",), air_c=4.0),
        "A cold night, down to 39 °F: bring in or cover 2 basil.",
    ),
    (
        GARDEN, Caution("standing water", ("p-3", "p-1")),
        ("Water has stood for over a day under 3 and 1 fig: pour it away (roots drown in it, "
        "mosquitoes breed), and say: 3 saucer emptied."),
    ),
    (
        GARDEN, Caution("dry mix", ("p-2",)),
        ("Too dry to take water at once: 2 basil. Half now, the rest after half an hour, or much "
        "of it runs past."),
    ),
    (
        GARDEN, Caution("hot pot", ("p-1",), air_c=38.0),
        ("In such a sun the roots in dark pots get too hot: shade the sides of 1 fig, wrap it in "
        "white, or stand pots close together."),
    ),
    (
        US, Caution("heavy", ("p-1",), each_kg=(47.3,)),
        "Heavy when wet: 1 fig (about 100 lb). Roll it, or leave it in place; do not carry it.",
    ),
    (
        GARDEN, Caution("heavy", ("p-1", "p-2"), each_kg=(47.3, 21.0)),
        ("Heavy when wet: 1 fig (about 45 kg) and 2 basil (about 20 kg). Roll them, or leave them "
        "in place; do not carry them."),
    ),
    (
        GARDEN, Caution("hot hours", air_c=36.4),
        "36 °C at 18:30: go when it is cooler if you can, and drink.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("garden", "caution", "said"), WORDS, ids=[case[1].kind for case in WORDS])
def test_the_words(garden: Garden, caution: Caution, said: str) -> None:
    """Each in a line or two, in the gardener's units, with what to do."""
    assert caution_said(garden, caution, EVENING) == said


def line(pot_id: str, verdict: str = "leave", dose_l: float = 0.0) -> Line:
    """Return a verdict."""
    return Line(pot_id, verdict, dose_l, 1, 0.1, 0.0, 0.2, (None,) * 3,  # type: ignore[arg-type]
                (0.4, 0.5, 0.6), {})  # fmt: skip


def a_tell(*cautions: Caution, lines: tuple[Line, ...], at: datetime = EVENING) -> Tell:
    """Return a round's message with some cautions."""
    until = MORNING if at == EVENING else at + timedelta(hours=11)
    return Tell(round_key(at), "round", ("Ann",), at, until, lines, 12.0, 0.0, cautions=cautions)


def test_a_frost_in_the_evenings_message() -> None:
    """The title counts it, and what is on the list is watered after the night, not before."""
    frost = Caution("cold night", ("p-1", "p-2"), air_c=-1.0)
    lines = (line("p-1", "water", 2.0), line("p-2"), line("p-3"))
    title, body = told(GARDEN, a_tell(frost, lines=lines))
    assert title == "18:30: water 1, bring in 2"
    assert "Mind ice on the paths. Water 1 fig tomorrow, not before the cold.\nAnswer:" in body
    _, in_the_morning = told(GARDEN, a_tell(frost, lines=lines, at=MORNING))
    assert "tomorrow, not before" not in in_the_morning


def test_with_nothing_to_water_the_title_says_what_there_is_to_do() -> None:
    """A phone at work shows the title alone."""
    stands = Caution("standing water", ("p-3",))
    title, body = told(GARDEN, a_tell(stands, lines=(line("p-1"), line("p-3"))))
    assert title == "18:30: pour off 1"
    assert body.endswith("and say: 3 saucer emptied.")


# --- once a day ------------------------------------------------------------------------------
def test_once_a_day_of_each_pot() -> None:
    """What was said of a pot in the morning is not said in the evening; of another pot it is."""
    frost = Caution("cold night", ("p-1", "p-2"), air_c=1.0)
    heat = Caution("hot hours", air_c=36.0)
    weight = Caution("heavy", ("p-1", "p-2"), each_kg=(30.0, 40.0))
    journal = MemoryJournal()
    morning = MORNING - 24 * HOUR - timedelta(minutes=30)
    said = a_tell(replace(frost, pot_ids=("p-1",)), heat, replace(weight, pot_ids=("p-1",),
                  each_kg=(30.0,)), lines=())  # fmt: skip
    journal.append([Fact("d", morning, morning, Decided(said))])
    left = not_yet_said((frost, heat, weight), GARDEN, journal, EVENING)
    assert left == (replace(frost, pot_ids=("p-2",)), replace(weight, pot_ids=("p-2",),
                    each_kg=(40.0,)))  # fmt: skip
    next_day = not_yet_said((frost, heat, weight), GARDEN, journal, MORNING)
    assert next_day[:2] == (frost, heat)


def test_advice_that_stays_true_once_a_week() -> None:
    """How heavy a pot is, or that it is dark, is not said again within seven days."""
    dark = Caution("hot pot", ("p-1",), air_c=38.0)
    weight = Caution("heavy", ("p-1",), each_kg=(30.0,))
    journal = MemoryJournal()
    journal.append([Fact("d", MORNING, MORNING, Decided(a_tell(dark, weight, lines=())))])
    for days, left in ((0, ()), (1, ()), (6, ()), (7, (dark, weight))):
        now = MORNING + timedelta(days=days)
        assert not_yet_said((dark, weight), GARDEN, journal, now) == left


# --- through the service ---------------------------------------------------------------------
def decided(garden: Garden, coldest_c: float, **store: float) -> Decision:
    """Decide an evening's round late in the season, with nothing to water."""
    begun = EVENING - timedelta(days=20)
    evening = begun + timedelta(hours=1)
    first = RoundTold(round_key(evening), {}, {}, till_ran=True)
    last = RoundTold(round_key(EVENING - 24 * HOUR), {}, {})
    journal = MemoryJournal()
    journal.append([
        version(garden, begun), Fact("first", evening, evening, first),
        Fact("last", EVENING - 24 * HOUR, EVENING - 24 * HOUR, last),
    ])  # fmt: skip
    now = EVENING - timedelta(minutes=30)
    standing = filled(standing_of(garden, 24, now))
    shape = standing.belief.water_l.shape
    arrays = {name: np.full(shape, value) for name, value in store.items()}
    standing = replace(standing, belief=replace(standing.belief, **arrays))
    table = summer(12)
    night = (table.end_s > EVENING.timestamp() + 6 * 3600) & (table.end_s <= MORNING.timestamp())
    table = replace(table, temperature_c=np.where(night, coldest_c, table.temperature_c))
    return decide_round(think(standing, table), EVENING, journal)


SPROUTS = a_garden(a_pot("1", size_m=(0.05, 0.05)), a_pot("2", "lettuce", size_m=(0.05, 0.05)))


def test_a_frost_breaks_the_silence() -> None:
    """With nothing to water the round is silent on a mild night, and speaks before a frost."""
    assert isinstance(decided(SPROUTS, 15.0).action, Hold)
    spoken = decided(SPROUTS, -1.0)
    assert isinstance(spoken.action, Tell)
    assert spoken.title.startswith("18:30: bring in ")
    assert "Frost tonight, down to -1 °C: bring in or cover 1 pepper" in spoken.body


def test_water_that_stands_breaks_the_silence_too() -> None:
    """A saucer that has held water for two days is worth a walk."""
    pot = a_pot("1", size_m=(0.05, 0.05), basin=Basin("saucer", 2.0, 0.01))
    spoken = decided(a_garden(pot), 15.0, below_l=1.5, stood_h=47.0)
    assert spoken.title == "18:30: pour off 1"
    assert isinstance(decided(a_garden(pot), 15.0, below_l=1.5, stood_h=2.0).action, Hold)
