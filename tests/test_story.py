"""A dry month in Calder Flat, told from end to end in simulated time.

Five invented pots, a simulated gardener who reads the messages and does most of what they say, a
real garden behind it that the service never sees, and weather without a drop of rain.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from irrigate.garden.actions import Hold, Tell
from irrigate.garden.balance import share_available
from irrigate.garden.belief import LEDGER, moved_l
from irrigate.garden.events import GardenVersion, RoundAnswered
from irrigate.garden.pots import Garden, Person, Pot
from irrigate.garden.rounds import in_span, rounds_between
from irrigate.garden.weather import HourlyWeather
from irrigate.outside.channels.direct import DirectOutbox
from irrigate.outside.gardener import Habits, SimulatedGardener
from irrigate.outside.inbox.memory import MemoryInbox
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.outside.weather.memory import ForecastError, TableWeather
from irrigate.planning.policies import fixed_daily
from irrigate.planning.truth import Tally, true_garden
from irrigate.ports import GardenText, Message
from irrigate.service.cycle import Memory, Ports, run_once
from irrigate.service.thinking import Thought
from irrigate.settings.garden_file import YamlGardenFile
from tests.garden.makers import summer

GARDEN = """\
garden: Five pots in Calder Flat
site: {latitude: 37.6, longitude: -120.8, elevation: 40 m, time zone: America/Los_Angeles}
units: metric
can: 8 L
rounds: [07:00, 19:00]
quiet: 21:30-06:30
reach: [phone]
people: [{name: Wren, reach: [phone], hours: [06:30-08:30, 17:00-21:00]}]
places: {driveway: {wind: open}, step: {wind: yard}, plum: {shade: 40 %, wind: sheltered}}
pots:
  1: {plant: tomato, pot: bucket 5 gal, size: "chest-high, wider than pot", place: driveway}
  2: {plant: pepper, pot: nursery 5 gal, size: "knee-high, wider than pot", place: driveway}
  3: {plant: fig, pot: nursery 15 gal, size: "head-high, wider than pot", place: driveway}
  4: {plant: basil, pot: nursery 1 gal, size: {wide: 30 cm, tall: 35 cm}, place: step}
  5: {plant: lettuce, pot: window box 60 cm, size: "ankle-high, as wide as pot", place: plum}
"""
ZONE = ZoneInfo("America/Los_Angeles")
BEGIN = datetime(2026, 7, 1, 23, 30, tzinfo=UTC)  # the afternoon of 1 July
END = BEGIN + timedelta(days=31)
# Half past these hours UTC: when messages are due and answers come, and now and then between.
HOURS = (1, 2, 5, 9, 13, 14, 16, 18, 20, 22, 23)
DAY = timedelta(days=1)
MEMBERS = 16
FORGOTTEN = datetime(2026, 7, 12, 2, 0, tzinfo=UTC)


class Phone:
    """The garden file with its people reached by the simulated gardener."""

    def __init__(self, path: Path) -> None:
        text = YamlGardenFile(path).read()
        people = tuple(Person(one.name, ("gardener",), one.can_act) for one in text.garden.people)
        self.text = replace(text, garden=replace(text.garden, people=people))

    def read(self) -> GardenText:
        """Return it."""
        return self.text


class Clock:
    """Stands until it is moved."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def now(self) -> datetime:
        """Return where it stands."""
        return self.at

    def monotonic_s(self) -> float:
        """Return the same as seconds."""
        return self.at.timestamp()


@dataclass(frozen=True)
class Month:
    """What became of the month."""

    garden: Garden
    journal: MemoryJournal
    gardener: SimulatedGardener
    weather: HourlyWeather
    actions: list[Tell | Hold]
    sent: list[tuple[datetime, Message]]
    thoughts: list[tuple[Thought, np.ndarray]]

    def tells(self, occasion: str) -> list[Tell]:
        """Return what was told on such occasions."""
        told = [one for one in self.actions if isinstance(one, Tell)]
        return [one for one in told if one.occasion == occasion]

    @property
    def tally(self) -> Tally:
        """What the month came to, by pot."""
        return self.gardener.truth.tally()


def dry_month() -> HourlyWeather:
    """Return 22 to 40 °C, without rain, with a cooler week in the middle."""
    table = summer(50, BEGIN - timedelta(days=4, minutes=30))
    into = (table.end_s - BEGIN.timestamp()) / 86400.0
    cool = np.exp(-(((into - 16.0) / 3.0) ** 2))
    return replace(table, temperature_c=np.round(table.temperature_c + 6.0 - 9.0 * cool, 2))


def next_step(at: datetime) -> datetime:
    """Return the next moment at which the service is woken."""
    days = (at.replace(hour=0), at.replace(hour=0) + DAY)
    return min(
        day.replace(hour=hour) for day in days for hour in HOURS if day.replace(hour=hour) > at
    )


@pytest.fixture(scope="module")
def month(tmp_path_factory: pytest.TempPathFactory) -> Month:
    """Live through the month once."""
    path = tmp_path_factory.mktemp("story") / "garden.yaml"
    path.write_text(GARDEN, encoding="utf-8")
    weather = dry_month()
    garden = Phone(path).read().garden
    gardener = SimulatedGardener(
        true_garden(garden, BEGIN, "story"), weather, inbox := MemoryInbox(),
        Habits(forgets=0.0, forgets_on=(FORGOTTEN,), silent=0.3),
    )  # fmt: skip
    clock = Clock(BEGIN)
    journal = MemoryJournal()
    ports = Ports(
        journal, inbox, TableWeather(weather, error=ForecastError("story"), source="invented"),
        DirectOutbox([gardener], clock), Phone(path), MEMBERS,
    )  # fmt: skip
    told = Month(garden, journal, gardener, weather, [], [], [])
    memory = Memory()
    while clock.at < END:
        gardener.live(clock.at)
        taken = run_once(clock.at, memory, ports)
        memory = taken.memory
        told.actions.extend(taken.actions)
        told.sent.extend((clock.at, one) for one in gardener.read[len(told.sent) :])
        if taken.thought is not None:
            told.thoughts.append((taken.thought, gardener.truth.share.copy()))
        clock.at = next_step(clock.at)
    return told


def test_the_first_evening_gives_every_state_at_once(month: Month) -> None:
    """The very first message asks to water everything till it runs, twice, and it is done."""
    first = month.tells("round")[0]
    assert first.till_ran
    assert first.at.astimezone(ZONE).hour == 19
    assert month.gardener.answers[0][1] == "all"
    # The next morning the belief is narrow, and near the truth.
    thought, truth = next(
        pair for pair in month.thoughts if pair[0].now > first.at + timedelta(hours=10)
    )
    share = share_available(thought.standing.belief.water_l, thought.standing.traits)
    assert np.all(np.abs(np.median(share, axis=1) - truth) < 0.25)


def test_every_round_has_one_message_and_no_other(month: Month) -> None:
    """For the first two weeks each round says something; never twice, never for no round."""
    keys = [one.key for one in month.tells("round")]
    assert len(keys) == len(set(keys))
    rounds = rounds_between(month.garden, BEGIN, END)
    told_at = {one.at for one in month.tells("round")}
    early = [at for at in rounds if at < BEGIN + 14 * DAY]
    assert set(early) <= told_at
    assert told_at <= {*rounds, *rounds_between(month.garden, END, END + DAY)}


def test_nothing_is_said_in_quiet_hours(month: Month) -> None:
    """Between 21:30 and 06:30 the phone is silent, but for a plant that would be lost.

    The message of the morning's round comes at its notice, 06:30.
    """
    for at, message in month.sent:
        local = at.astimezone(ZONE).time()
        assert message.urgent or not in_span(local, month.garden.manner.quiet), message.title


def test_the_forgotten_evening_is_met(month: Month) -> None:
    """Saturday's round is not walked and not answered; the next message is about thirstier pots."""
    assert month.gardener.missed == ["round 2026-07-12T02:00Z"]
    answered = {
        fact.body.round_key
        for fact in month.journal.facts((RoundAnswered,))
        if isinstance(fact.body, RoundAnswered)
    }
    assert "round 2026-07-12T02:00Z" not in answered
    tells = {one.at: one for one in month.tells("round")}
    before, after = tells[FORGOTTEN - DAY], tells[FORGOTTEN + timedelta(hours=12)]
    asked = [sum(line.verdict != "leave" for line in one.lines) for one in (before, after)]
    assert asked[1] >= 1


def test_each_pot_is_asked_for_as_often_as_it_needs(month: Month) -> None:
    """The tomato in its bucket is watered nearly every time, the shaded lettuce is mostly left."""
    labels = {pot.id: pot.label for pot in _pots(month)}
    asked = dict.fromkeys("12345", 0)
    for tell in month.tells("round")[1:]:
        for line in tell.lines:
            asked[labels[line.pot_id]] += line.verdict != "leave"
    rounds = len(month.tells("round")) - 1
    assert asked["1"] > 0.8 * rounds
    assert asked["5"] < 0.6 * rounds


def _pots(month: Month) -> tuple[Pot, ...]:
    versions = month.journal.facts((GardenVersion,))
    body = versions[-1].body
    assert isinstance(body, GardenVersion)
    return body.garden.pots


def test_the_garden_fares_better_than_by_half_a_can_each_morning(month: Month) -> None:
    """Fewer thirsty hours than with the same dose for all every morning, and less water wasted."""
    daily = fixed_daily(true_garden(month.garden, BEGIN, "story"), month.weather, END).tally()
    ours = month.tally
    assert ours.thirsty_h.sum() < daily.thirsty_h.sum()
    assert ours.drained_l.sum() < daily.drained_l.sum()


def test_the_belief_holds_the_truth(month: Month) -> None:
    """Of all hours and pots, the real share lies in the belief's middle nine tenths in most."""
    inside = total = 0
    for thought, truth in month.thoughts[11:]:
        share = share_available(thought.standing.belief.water_l, thought.standing.traits)
        low, high = np.quantile(share, (0.05, 0.95), axis=1)
        inside += int(np.sum((truth >= low - 0.02) & (truth <= high + 0.02)))
        total += truth.size
    assert inside / total > 0.6


def test_the_books_of_the_month_balance(month: Month) -> None:
    """Believed and real, what came in is what went out and what is there."""
    truth = month.gardener.truth
    moved = moved_l(truth.standing.belief)
    came = moved[LEDGER.index("given_l")] + moved[LEDGER.index("rained_l")]
    went = sum(moved[LEDGER.index(name)] for name in ("transpired_l", "evaporated_l", "drained_l"))
    first = true_garden(month.garden, BEGIN, "story").standing.belief.water_l[:, 0]
    left = truth.standing.belief.water_l[:, 0]
    correction = moved[LEDGER.index("corrected_l")]
    assert first + came + correction - went == pytest.approx(left, abs=1e-9)
    assert np.all(np.abs(correction) < 1e-5), "the truth is corrected by rounding only"
    assert moved[LEDGER.index("rained_l")].sum() == 0.0, "it was a dry month"
