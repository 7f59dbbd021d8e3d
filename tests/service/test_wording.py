"""What people read, in their units; and that a gardener who reads it knows how much to pour."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from irrigate import units
from irrigate.garden.actions import Caution, Line, Tell
from irrigate.garden.pots import Basin, Garden, Manner
from irrigate.outside.gardener import Habits, SimulatedGardener
from irrigate.outside.inbox.memory import MemoryInbox
from irrigate.planning.truth import true_garden, watered
from irrigate.ports import Message
from irrigate.service.wording import (
    called,
    clock,
    day_part,
    dose_words,
    garden_fault,
    listed,
    moment,
    told,
)
from tests.garden.makers import START, a_garden, a_pot, summer

METRIC = Manner(can_l=8.0)
US = Manner(us_units=True, can_l=7.571)
HOSE = Manner(can_l=8.0, hose_l_s=0.2)
GARDEN = a_garden(
    a_pot("1", name="Old red", walk=0), a_pot("2", name="pepper", walk=1),
    a_pot("7a", name="7a", walk=2), a_pot("12", name="mint", walk=3),
)  # fmt: skip
EVENING = datetime(2026, 7, 11, 1, 30, tzinfo=UTC)  # Friday 18:30
MORNING = datetime(2026, 7, 11, 14, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


def line(pot_id: str, verdict: str = "leave", dose_l: float = 0.0, **more: object) -> Line:
    """Return a verdict."""
    usual = Line(pot_id, verdict, dose_l, 1, 0.1, 0.0, 0.2, (None, None, None),  # type: ignore[arg-type]
                 (0.4, 0.5, 0.6), {})  # fmt: skip
    return replace(usual, **more)  # type: ignore[arg-type]


def tell(*lines: Line, occasion: str = "round", **more: object) -> Tell:
    """Return something to say at the evening's round."""
    usual = Tell("round 2026-07-11T01:30Z", occasion, ("Ann",), EVENING, MORNING, lines,  # type: ignore[arg-type]
                 highest_c=31.0, rain_mm=0.0)  # fmt: skip
    return replace(usual, **more)  # type: ignore[arg-type]


def in_manner(manner: Manner) -> Garden:
    """Return the garden of a gardener with these measures."""
    return replace(GARDEN, manner=manner)


def test_a_round_in_full() -> None:
    """Three lists in walking order, the sky, what will not last, and how to answer."""
    noon = MORNING + 29 * HOUR
    title, body = told(GARDEN, tell(
        line("p-1", "water", 6.0, passes=2), line("p-2", "feel", 2.0),
        line("p-7a", thirsty_at=(noon, noon, None)), line("p-12", chance_even_full=0.8),
        rain_mm=3.0,
    ))  # fmt: skip
    assert title == "18:30: water 1, feel 1"
    assert body == (
        "Water\n"
        "  1 Old red: ¾ can, in 2 goes with a rest between\n"
        "Feel first; water only if dry at the second knuckle\n"
        "  2 pepper: ¼ can\n"
        "Leave 7a until 07:00 tomorrow.\n"
        "Up to 31 °C; 3 mm of rain forecast, not counted on.\n"
        "Full enough now, but will not last until 07:00 tomorrow: 12 mint. "
        "Move it into shade, or water in between.\n"
        "Answer: all, all but 1, none, or 1: 2 L."
    )


def test_nothing_to_water() -> None:
    """A round without work says so, and what comes next."""
    next_day = MORNING + 35 * HOUR
    lines = [line(one) for one in ("p-2", "p-7a", "p-12")]
    title, body = told(
        GARDEN, tell(line("p-1", thirsty_at=(None, next_day, None)), *lines, highest_c=None)
    )
    assert title == "18:30: nothing to water"
    assert body == (
        "Nothing now for your 4 pots; next probably 1 Old red, Sunday evening.\n"
        "The weather is not known."
    )


def test_many_to_leave_are_a_count() -> None:
    """More than two pots to leave are counted, with the one that comes next."""
    _, body = told(GARDEN, tell(line("p-1", "water", 4.0), *map(line, ("p-2", "p-7a", "p-12"))))
    assert "Leave the other 3 until 07:00 tomorrow; no other wants water within the week." in body


def test_a_warning() -> None:
    """Between rounds: which, until when, how much now, and by when it will be thirsty."""
    noon = EVENING + timedelta(hours=18, minutes=20)
    early, late = noon - 2 * HOUR, noon + 3 * HOUR
    title, body = told(GARDEN, tell(
        line("p-1", "water", 4.0, thirsty_at=(early, noon, late)),
        line("p-12", "water", 1.0, thirsty_at=(EVENING, EVENING, noon)),
        occasion="warning", until=MORNING + 11 * HOUR, highest_c=38.0,
    ))  # fmt: skip
    assert title == "Will not last until 18:00 tomorrow: 1 Old red and 12 mint"
    assert body == (
        "1 Old red: ½ can now; thirsty probably at 13:00, between 11:00 and 16:00\n"
        "12 mint: ⅛ can now; probably thirsty already\n"
        "Up to 38 °C, no rain to count on.\n"
        "If you cannot water now, shade helps. Mind the heat yourself."
    )


def test_us_gardeners_read_their_own_units() -> None:
    """°F, am and pm, quarts in the answer, gallons in the first evening's example."""
    garden = in_manner(US)
    title, body = told(garden, tell(line("p-1", "water", 7.571), highest_c=38.0, rain_mm=12.7))
    assert title == "6:30 pm: water 1"
    assert "1 Old red: 1 can" in body
    assert "Up to 100 °F; 0.5 in of rain forecast, not counted on." in body
    assert body.endswith("or 1: 2 qt.")
    title, body = told(garden, tell(*map(line, ("p-1", "p-2")), till_ran=True))
    assert title == "6:30 pm: water everything till it runs, twice"
    assert "(1 till it ran 3 qt)" in body


def test_a_reservoir_is_filled_and_its_share_said() -> None:
    """The whole dose first, then what of it goes below; where all does, that alone."""
    both = line("p-1", "water", 6.0, below_l=4.0)
    _, body = told(GARDEN, tell(both, line("p-2", "water", 4.0, below_l=4.0)))
    assert "  1 Old red: fill: about ¾ can, ½ can of it into the reservoir\n" in body
    assert "  2 pepper: fill the reservoir: about ½ can\n" in body
    _, body = told(GARDEN, tell(both, occasion="warning"))
    assert "1 Old red: fill: about ¾ can, ½ can of it into the reservoir now; probably" in body


def test_small_doses_are_exact_where_water_would_stand() -> None:
    """0.3 L is an eighth of a can (1 L) where the rest runs away, and 300 mL over a saucer."""
    pots = (replace(GARDEN.pots[0], basin=Basin("saucer", 1.0, 0.01)), *GARDEN.pots[1:])
    lines = (line("p-1", "water", 0.3), line("p-2", "water", 0.3))
    _, body = told(replace(GARDEN, pots=pots), tell(*lines))
    assert "  1 Old red: 300 mL\n  2 pepper: ⅛ can\n" in body


def test_the_first_evening_speaks_of_reservoirs_where_there_are_any() -> None:
    """Those who have one fill it, too."""
    pots = (replace(GARDEN.pots[0], basin=Basin("reservoir", 4.0)), *GARDEN.pots[1:])
    evening = tell(*map(line, ("p-1", "p-2")), till_ran=True)
    assert "Fill the reservoirs, too.\n" in told(replace(GARDEN, pots=pots), evening)[1]
    assert "reservoir" not in told(GARDEN, evening)[1]


def test_small_words() -> None:
    """Times, days, names and faults as people say them."""
    assert clock(GARDEN, EVENING + timedelta(minutes=14), coarse=True) == "18:30"
    assert clock(GARDEN, EVENING + timedelta(minutes=16), coarse=True) == "19:00"
    assert clock(in_manner(US), EVENING - timedelta(hours=6, minutes=30)) == "noon"
    assert moment(GARDEN, EVENING + 48 * HOUR, EVENING) == "Sunday 18:30"
    assert day_part(GARDEN, EVENING + 48 * HOUR) == "Sunday evening"
    assert day_part(GARDEN, EVENING + 10 * HOUR, short=True) == "Sat night"
    assert called(GARDEN.pots[2]) == "7a", "a name that is the label is not said twice"
    assert [listed(list("abcde")[:count]) for count in range(6)] == [
        "", "a", "a and b", "a, b and c", "a, b, c and d", "a, b, c and 2 more",
    ]  # fmt: skip
    assert garden_fault(["garden.yaml:3:5: no", "other"]) == (
        "The garden file has a fault\n"
        "I go on with the last good one. garden.yaml:3:5: no (and 1 more)\n"
        "irrigate check shows all of it."
    )


@given(st.floats(0.05, 40.0), st.sampled_from([METRIC, US, HOSE]))
def test_a_dose_said_is_a_dose_understood(litres: float, manner: Manner) -> None:
    """What is said of a dose reads back to within the smallest measure of a can or hose."""
    said = dose_words(in_manner(manner), litres)
    back = units.volume_l(said, can_l=manner.can_l, hose_l_s=manner.hose_l_s)
    step = 1.0 if manner.hose_l_s else manner.can_l / 8.0
    assert abs(back - litres) <= max(step, 0.15 * litres)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from(["water", "feel", "leave"]), min_size=4, max_size=4),
    st.lists(st.floats(0.05, 12.0), min_size=4, max_size=4),
    st.sampled_from([METRIC, US, HOSE]),
    st.booleans(),
    st.sampled_from([0.0, 0.4, 1.0]),
)
def test_the_simulated_gardener_pours_what_was_written(
    verdicts: list[str], doses: list[float], manner: Manner, warned: bool, below: float
) -> None:
    """A gardener who knows nothing but the words of a message waters the right pots as much."""
    garden = in_manner(manner)
    lines = [
        line(
            pot.id,
            verdict,
            dose if verdict != "leave" else 0.0,
            below_l=below * dose if verdict != "leave" else 0.0,
        )
        for pot, verdict, dose in zip(garden.pots, verdicts, doses, strict=True)
        if not warned or verdict == "water"
    ]
    occasion = "warning" if warned else "round"
    title, body = told(garden, tell(*lines, occasion=occasion))
    inbox = MemoryInbox()
    gardener = SimulatedGardener(
        true_garden(garden, START, "words"), summer(), inbox,
        Habits(forgets=0.0, silent=0.0, roughly=0.0),
    )  # fmt: skip
    key = f"{occasion} {START + HOUR:%Y-%m-%dT%H:%MZ}"
    gardener.deliver(Message(key, garden.people[0], title, body))
    gardener.live(START + 2 * HOUR)
    given_l = gardener.truth.tally().given_l
    by_id = {one.pot_id: one for one in lines}
    for row, pot in enumerate(garden.pots):
        asked = by_id.get(pot.id)
        if asked is None or asked.verdict == "leave":
            assert given_l[row] == 0.0
        elif asked.verdict == "water":
            said = dose_words(garden, asked.dose_l)
            expected = units.volume_l(said, can_l=manner.can_l, hose_l_s=manner.hose_l_s)
            assert given_l[row] == pytest.approx(expected)
        else:
            said = dose_words(garden, asked.dose_l)
            full = units.volume_l(said, can_l=manner.can_l, hose_l_s=manner.hose_l_s)
            assert given_l[row] in (0.0, pytest.approx(full))
    answers = [item.text for item in inbox.waiting()]
    if any(one.verdict != "leave" for one in lines):
        assert len(answers) == 1
        assert warned == (answers[0] != "all")


def test_the_simulated_gardener_empties_saucers() -> None:
    """Told that water has stood too long under a pot, it pours it away and says so."""
    pots = (replace(GARDEN.pots[0], basin=Basin("saucer", 2.0, 0.01)), *GARDEN.pots[1:])
    garden = replace(GARDEN, pots=pots)
    truth = watered(true_garden(garden, START, "saucer"), 0, 30.0)
    assert truth.standing.belief.below_l[0, 0] == pytest.approx(2.0)
    inbox = MemoryInbox()
    gardener = SimulatedGardener(truth, summer(), inbox, Habits(forgets=0.0, silent=0.0))
    stands = Caution("standing water", ("p-1",))
    title, body = told(garden, tell(line("p-1"), cautions=(stands,)))
    key = f"round {START + HOUR:%Y-%m-%dT%H:%MZ}"
    gardener.deliver(Message(key, garden.people[0], title, body))
    gardener.live(START + 2 * HOUR)
    assert gardener.truth.standing.belief.below_l[0, 0] == 0.0
    assert [item.text for item in inbox.waiting()] == ["1 saucer emptied"]
