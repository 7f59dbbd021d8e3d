"""Water into reservoirs and slow water, as people say it, and what it does to a belief."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from irrigate.errors import AnswerError
from irrigate.garden.answers import Context, read_answer
from irrigate.garden.belief import LEDGER, imbalance_l
from irrigate.garden.believed import Standing
from irrigate.garden.events import Body, Given, RoundAnswered, RoundTold, Tended, TillRan
from irrigate.garden.fold import fold
from irrigate.garden.on_pot import on_pot
from irrigate.garden.pots import Basin, Manner
from irrigate.service.replies import spoken
from tests.garden.makers import START, a_garden, a_pot, fact, standing_of, summer, version

HOUR = timedelta(hours=1)
ROUND = datetime(2026, 7, 10, 14, 0, tzinfo=UTC)  # 7:00 in the garden
NOW = ROUND + timedelta(minutes=25)
KEY = "round 2026-07-10T14:00Z"
GARDEN = a_garden(
    a_pot("3", walk=0), a_pot("7", walk=1, basin=Basin("reservoir", 5.0)),
    a_pot("9", walk=2, basin=Basin("saucer", 1.5, 0.02)), a_pot("L", walk=3),
    manner=Manner(can_l=8.0),
)  # fmt: skip
TOLD = RoundTold(KEY, {"p-3": 2.0, "p-7": 5.5}, {}, below_l={"p-7": 4.0})
CONTEXT = Context(GARDEN, (TOLD, ROUND), NOW)
FILLED = Tended("p-7", "reservoir filled", None, KEY)

READINGS: list[tuple[str, list[tuple[datetime, Body]]]] = [
    ("7 reservoir filled", [(NOW, FILLED)]),
    ("7 Reservoir full", [(NOW, FILLED)]),
    ("7 reservoir took 4 L", [(NOW, replace(FILLED, volume_l=4.0))]),
    ("7 reservoir filled with ½ can", [(NOW, replace(FILLED, volume_l=4.0))]),
    ("7 reservoir 4 L", [(NOW, Given("p-7", 4.0, "reservoir", 0.05, KEY))]),
    ("7 reservoir ½ can", [(NOW, Given("p-7", 4.0, "reservoir", 0.15, KEY))]),
    ("all reservoirs filled", [(NOW, FILLED)]),
    ("9 saucer emptied", [(NOW, Tended("p-9", "saucer emptied"))]),
    ("9 outer pot emptied", [(NOW, Tended("p-9", "saucer emptied"))]),
    ("all saucers emptied", [(NOW, Tended("p-9", "saucer emptied"))]),
    ("9 2 L over 3 h", [(NOW - 3 * HOUR, Given("p-9", 2.0, "emitter", 0.1, None, 3.0))]),
    ("3 drip 2 L over 30 min", [(NOW - HOUR / 2, Given("p-3", 2.0, "emitter", 0.1, KEY, 0.5))]),
    ("9 drip 2 L/h for 3 h", [(NOW - 3 * HOUR, Given("p-9", 6.0, "emitter", 0.1, None, 3.0))]),
    ("9 drip 2 L/h 90 min", [(NOW - 1.5 * HOUR, Given("p-9", 3.0, "emitter", 0.1, None, 1.5))]),
    (
        "9 2 L over 3 h, at 6:10",
        [(ROUND - 50 * HOUR / 60, Given("p-9", 2.0, "emitter", 0.1, None, 3.0))],
    ),
    (
        "all",
        [
            (ROUND, RoundAnswered(KEY, "all", ("p-3", "p-7"))),
            (ROUND, Given("p-3", 2.0, "as told", 0.15, KEY)),
            (ROUND, Given("p-7", 1.5, "as told", 0.15, KEY)),
            (ROUND, FILLED),
        ],
    ),
]

REFUSALS = [
    ("3 reservoir filled", "pot 3 has no reservoir in the garden file"),
    ("9 reservoir 2 L", "pot 9 has no reservoir in the garden file"),
    ("7 reservoir", "say for example: 7 reservoir filled"),
    ("7 reservoir leaks", "“leaks” is not an amount"),
    ("7 drip 2 h", "say its flow, as in 7 drip 2 L/h for 3 h, or how much it was: 7 6 L over 3 h"),
    ("3 2 L over 3 weeks", "weeks"),
    ("3 2 L over 90 h", "90 h is no time for one watering"),
    ("3 drip 40 L/h for 8 h", "pot 3 cannot have had that much"),
]


@pytest.mark.parametrize(("text", "said"), READINGS, ids=[text for text, _ in READINGS])
def test_readings(text: str, said: list[tuple[datetime, Body]]) -> None:
    """Each form is read as its facts; slow water ends when it is spoken of, unless dated."""
    assert list(read_answer(text, CONTEXT).said) == said


@pytest.mark.parametrize(("text", "why"), REFUSALS, ids=[text for text, _ in REFUSALS])
def test_refusals(text: str, why: str) -> None:
    """What cannot be is refused with the way to say it."""
    with pytest.raises(AnswerError) as refused:
        read_answer(text, CONTEXT)
    assert why in str(refused.value)


def test_us_gardeners_get_examples_of_their_own_and_these_are_understood() -> None:
    """What a refusal proposes can be said: ½ gph for 3 h, or 1½ gal over 3 h, are the same."""
    garden = replace(GARDEN, manner=replace(GARDEN.manner, us_units=True))
    context = replace(CONTEXT, garden=garden)
    with pytest.raises(AnswerError, match="9 drip ½ gph for 3 h, or how much it was: 9 1½ gal"):
        read_answer("9 drip 3 h", context)
    by_flow, by_volume = (
        read_answer(text, context).said for text in ("9 drip ½ gph for 3 h", "9 1½ gal over 3 h")
    )
    assert by_flow[0][0] == by_volume[0][0]
    assert isinstance(by_flow[0][1], Given)
    assert isinstance(by_volume[0][1], Given)
    assert by_flow[0][1].volume_l == pytest.approx(by_volume[0][1].volume_l)


def test_a_first_evenings_all_fills_reservoirs_too() -> None:
    """Watered twice till it ran, and the reservoir full."""
    told = RoundTold(KEY, {"p-7": 1.0}, {}, till_ran=True)
    reading = read_answer("all", Context(GARDEN, (told, ROUND), NOW))
    assert [body for _, body in reading.said[1:]] == [TillRan("p-7", None, True, KEY), FILLED]


def test_what_is_said_back() -> None:
    """In the gardener's units, with where it went and how long it took."""
    for text, reply in (
        ("7 reservoir took 4 L", "7 pepper reservoir took 4 L, and is full"),
        ("7 reservoir 4 L", "7 pepper had 4 L into its reservoir"),
        ("7 reservoir filled", "7 pepper reservoir filled"),
        ("9 2 L over 3 h", "9 pepper had 2 L over 3 h from 04:25"),
    ):
        assert spoken(read_answer(text, CONTEXT), CONTEXT) == reply
    assert spoken(read_answer("all", CONTEXT), CONTEXT) == "the round was done at 07:00"


# --- what it does ----------------------------------------------------------------------------
def after(body: Body, below_l: float) -> tuple[Standing, Standing]:
    """Return the garden before and after a fact about pot 7, so much being in its reservoir."""
    standing = standing_of(GARDEN, 16)
    below = np.zeros_like(standing.belief.below_l)
    below[1] = below_l
    belief = replace(
        standing.belief, below_l=below, opening_balance_l=standing.belief.water_l + below
    )
    before = replace(standing, belief=belief)
    return before, replace(before, belief=on_pot(before, fact(body, START), 1, unwell=False))


def moved(standing: Standing, name: str) -> np.ndarray:
    """Return a column of the ledger of pot 7 [member]."""
    return np.asarray(standing.belief.ledger_l[LEDGER.index(name), 1])


def test_litres_into_the_reservoir_stay_below() -> None:
    """Of 4 L into 5 L that hold 2 L, three stay and one runs over; the mix gets none at once."""
    before, later = after(Given("p-7", 4.0, "reservoir", 0.0), 2.0)
    assert np.array_equal(later.belief.water_l, before.belief.water_l)
    assert later.belief.below_l[1] == pytest.approx(5.0)
    assert moved(later, "given_l") == pytest.approx(4.0)
    assert moved(later, "drained_l") == pytest.approx(1.0)
    assert np.abs(imbalance_l(later.belief)).max() < 1e-12


def test_filled_is_full_whatever_was_believed() -> None:
    """With the litres it took, the belief before is set right, and the ledger says so."""
    _, full = after(Tended("p-7", "reservoir filled"), 2.0)
    assert full.belief.below_l[1] == pytest.approx(5.0)
    assert moved(full, "given_l") == pytest.approx(3.0)
    _, told = after(Tended("p-7", "reservoir filled", 4.5), 2.0)
    assert told.belief.below_l[1] == pytest.approx(5.0)
    assert moved(told, "given_l") == pytest.approx(4.5)
    assert moved(told, "corrected_l") == pytest.approx(-1.5)
    for standing in (full, told):
        assert np.abs(imbalance_l(standing.belief)).max() < 1e-12


def test_a_filled_reservoir_is_an_answer_to_its_round() -> None:
    """Who says that it was filled has walked up to the pot: its round gives no water besides."""
    told = fact(TOLD, START + HOUR)
    filled = fact(replace(FILLED, round_key=KEY), START + 1.2 * HOUR)
    dry = replace(TOLD, water_l={"p-7": 5.5})
    only = fact(dry, START + HOUR)
    garden = replace(GARDEN, manner=replace(GARDEN.manner, keeps_rounds=1.0))
    standing = fold(None, [version(garden), only, filled], summer(), START + 2 * HOUR, 16)
    assert standing is not None
    assert moved(standing, "given_l").max() <= 5.0 + 1e-9
    silent = fold(None, [version(garden), told], summer(), START + 2 * HOUR, 16)
    assert silent is not None
    assert np.median(moved(silent, "given_l")) == pytest.approx(5.5, rel=0.15)
