"""What an answer is worth: as promised, and as it turns out when answers are simulated."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from irrigate.garden.actions import Line, Verdict
from irrigate.garden.balance import missing_l, share_available
from irrigate.garden.belief import FACTORS
from irrigate.garden.believed import Standing
from irrigate.garden.events import Body, Finger, TillRan, Weighed
from irrigate.garden.fold import fold
from irrigate.garden.lasting import in_doubt_a_week, lasts_h, spread_of_log
from irrigate.garden.learning import all_known, seen, sites_of
from irrigate.garden.outlook import full_store, look_ahead, run
from irrigate.garden.question import (
    BY_FAR,
    FEELS,
    WORTH,
    Inquiry,
    Question,
    feeling,
    pouring,
    precision_of,
    question,
    reaches_of,
    settles,
    weighing,
)
from irrigate.garden.rounds import rounds_between
from irrigate.garden.vessels import RoundTaper
from irrigate.garden.watering import FULL_FROM_DRY, FULL_FROM_MOIST, MOIST_SHARE
from tests.garden.makers import DAY, HOUR, START, a_garden, a_pot, fact, filled, standing_of, summer

MEMBERS = 600
GARDEN = a_garden(
    a_pot("1"),
    a_pot("2"),
    a_pot("3", "tomato", vessel=RoundTaper.of_volume(10.0)),
    a_pot("4", "pepper", "bark mix"),
)
IDS = tuple(pot.id for pot in GARDEN.pots)
WEATHER = summer(16)
AT = START + 30 * HOUR
ROUNDS = rounds_between(GARDEN, AT, AT + 7 * DAY)


def lived(start: Standing | None = None) -> Standing:
    """Return a belief thirty hours after every pot was full: who drinks more has less left."""
    after = fold(start or filled(standing_of(GARDEN, MEMBERS)), [], WEATHER, AT, MEMBERS)
    assert after is not None
    return after


LIVED = lived()
AHEAD = look_ahead(LIVED, WEATHER)
AS_IS = run(AHEAD, LIVED.belief.store, AT)
LASTS = lasts_h(AHEAD, LIVED.belief.store, AT)
WEIGHTS = in_doubt_a_week(LASTS, AT, ROUNDS) / (2.0 * spread_of_log(LASTS) ** 2)
REACHES = reaches_of(LIVED, WEIGHTS)
SHARE = np.asarray(share_available(LIVED.belief.water_l, LIVED.traits))[0]
ROOM = np.asarray(missing_l(LIVED.belief.water_l, LIVED.traits))[0]
WHOLE_KG = LIVED.belief.empty_kg[0] + LIVED.belief.water_l[0] + LIVED.belief.below_l[0]


def a_line(pot_id: str, verdict: Verdict = "leave") -> Line:
    """Return a verdict of which only the word matters here."""
    return Line(pot_id, verdict, 0.0, 1, 0.1, 0.0, 0.2, (None, None, None), (0.4, 0.5, 0.6), {})


LINES = tuple(a_line(pot_id) for pot_id in IDS)


def asked(lines: tuple[Line, ...] = LINES, **more: tuple[str, ...]) -> Question | None:
    """Return the question put to this garden now."""
    return question(LIVED, AHEAD, AS_IS, lines, AT, ROUNDS, **more)


# --- by brute force --------------------------------------------------------------------------
def a_feel(rng: np.random.Generator, member: int) -> Body:
    """Answer as a finger would if this member were the truth: its word by a latent normal."""
    latent = SHARE[member] + 0.18 * rng.normal()  # the stated width of the ordered probit
    word = "dry" if latent < 0.35 else "wet" if latent > 0.75 else "moist"
    return Finger("p-1", word)


def some_litres(rng: np.random.Generator, member: int) -> Body:
    """Answer what it took till it ran, if this member were the truth."""
    part = min(SHARE[member] / MOIST_SHARE, 1.0)
    full = rng.random() < FULL_FROM_DRY + (FULL_FROM_MOIST - FULL_FROM_DRY) * part
    took = ROOM[member] * (1.0 if full else rng.random())
    return TillRan("p-1", max(took + np.hypot(0.1, 0.12 * took) * rng.normal(), 0.02))


def a_weight(rng: np.random.Generator, member: int) -> Body:
    """Answer what a scale would show, if this member were the truth."""
    mass = WHOLE_KG[member]
    return Weighed("p-1", mass + np.hypot(0.15, 0.02 * mass) * rng.normal())


def narrowed(body: Body) -> float:
    """Return Σ weight × variance that the whole garden loses when this is folded in."""
    later = AT + timedelta(minutes=1)
    after = fold(LIVED, [fact(body, later, name=repr(body))], WEATHER, later, MEMBERS)
    assert after is not None

    def variances(one: Standing) -> list[np.ndarray]:
        belief = one.belief
        known = all_known(GARDEN.pots, sites_of(belief), belief.remembered)
        return [of_factor.variance for of_factor in known]

    lost = zip(variances(LIVED), variances(after), strict=True)
    return float(sum(WEIGHTS @ (was - now) for was, now in lost))


@pytest.mark.parametrize(
    ("inquiry", "answer"),
    [
        (feeling(0, SHARE), a_feel),
        (pouring(0, SHARE, ROOM, float(LIVED.traits.capacity_l[0].mean())), some_litres),
        (weighing(0, WHOLE_KG), a_weight),
    ],
    ids=["feel", "litres", "weigh"],
)
def test_what_is_promised_is_what_simulated_answers_bring(
    inquiry: Inquiry, answer: Callable[[np.random.Generator, int], Body]
) -> None:
    """Answers drawn from members and folded in narrow the garden as promised, in the mean."""
    rng = np.random.Generator(np.random.Philox(key=4))
    brought = [narrowed(answer(rng, int(rng.integers(MEMBERS)))) for _ in range(150)]
    error = float(np.std(brought)) / np.sqrt(len(brought))
    promised = settles(inquiry, LIVED, REACHES)
    assert promised == pytest.approx(np.mean(brought), abs=3.0 * error + 0.05 * promised)


def test_the_promise_takes_the_step_that_learning_takes() -> None:
    """The precision foreseen for an answer is that which the answer becomes."""
    fits = feeling(0, SHARE).fits
    for number, feel in enumerate(FEELS):
        after = seen(LIVED.belief, 0, fits[number], feel)
        for index, name in enumerate(FACTORS):
            gained = after.seen_precision[index, 0] - LIVED.belief.seen_precision[index, 0]
            foreseen = precision_of(fits, getattr(LIVED.belief, name)[0])[number]
            assert foreseen == pytest.approx(gained, rel=1e-9, abs=1e-9)


# --- how long pots last ----------------------------------------------------------------------
def test_how_long_a_full_pot_lasts_is_what_the_outlook_says() -> None:
    """To the hour, the same as the full run of the week ahead."""
    whole = run(AHEAD, full_store(AHEAD, LIVED.belief.store), AT)
    hours = whole.thirsty_s / 3600.0
    known = np.isfinite(hours)
    # Linear within the hour there, at the hour's end here.
    assert np.all(np.abs(LASTS[known] - hours[known]) <= 1.0 + 1e-3)
    assert np.all(LASTS[~known] == pytest.approx(float(whole.moments_s[-1]) / 3600.0))


def test_only_what_may_go_either_way_is_in_doubt() -> None:
    """A pot that surely lasts the week, or surely no round, leaves nothing in doubt."""
    sure = np.array([[200.0] * 10, [1.0] * 10, [17.0] * 10])
    assert in_doubt_a_week(sure, AT, ROUNDS) == pytest.approx(0.0)
    half = np.array([[1.0] * 5 + [200.0] * 5])
    assert in_doubt_a_week(half, AT, ROUNDS)[0] >= 0.5 * len(ROUNDS)


# --- which question --------------------------------------------------------------------------
def test_the_best_question_is_put() -> None:
    """Litres where a pot is watered anyway, else how it feels; never a weight nobody can take."""
    feel = asked()
    assert feel is not None
    assert feel.sought == "feel"
    litres = asked(tuple(replace(line, verdict="water") for line in LINES))
    assert litres is not None
    assert litres.sought == "litres"
    assert litres.settles > feel.settles > WORTH
    assert sum(feel.reasons[f"chance_{word}"] for word in FEELS) == pytest.approx(1.0)
    low, middle, high = (litres.reasons[f"expected_{level}_l"] for level in (10, 50, 90))
    assert low < middle < high


def test_the_like_pots_are_asked_for_all() -> None:
    """Of two peppers alike and two strangers, one of the pair is asked about: it tells of two."""
    chosen = asked()
    assert chosen is not None
    assert chosen.row in {0, 1}


def test_a_weight_is_asked_for_only_where_there_was_one() -> None:
    """Only of a pot that was weighed before, and then only if that would teach most."""
    known = replace(LIVED.belief, empty_kg=np.full_like(LIVED.belief.empty_kg, 3.0))
    sure = replace(LIVED, belief=known)
    chosen = question(sure, AHEAD, AS_IS, LINES, AT, ROUNDS, weighed=IDS)
    assert chosen is not None
    assert chosen.sought == "weigh", "a scale whose empty pot is known tells more than a finger"
    without = question(sure, AHEAD, AS_IS, LINES, AT, ROUNDS)
    assert without is not None
    assert without.sought == "feel"


def test_nothing_is_asked_of_paused_and_unwell_pots() -> None:
    """A pot without a line is paused; one that is unwell teaches nothing."""
    assert asked(()) is None
    assert asked(unwell=IDS) is None
    left = asked(LINES[1:], unwell=IDS[1:3])
    assert left is None or left.row == 3


def test_a_pot_asked_about_lately_is_asked_again_only_for_far_more() -> None:
    """The other pots come first, unless one teaches so many times as much as any of them."""
    first = asked()
    assert first is not None
    second = asked(lately=(IDS[first.row],))
    assert second is not None
    assert second.row != first.row
    only = asked(LINES[:1], lately=IDS[:1])
    assert only is not None
    assert only.row == 0
    assert first.settles < BY_FAR * second.settles


def test_what_is_known_is_not_asked() -> None:
    """Where thirst and capacity are known already, no answer is worth a minute."""
    belief = LIVED.belief
    sites = np.full_like(belief.seen_precision, 1e4)
    narrow = {name: np.full_like(getattr(belief, name), 0.1) for name in FACTORS}
    known = replace(belief, seen_precision=sites, seen_pull=0.1 * sites, **narrow)
    assert question(replace(LIVED, belief=known), AHEAD, AS_IS, LINES, AT, ROUNDS) is None
