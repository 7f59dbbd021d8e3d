"""Between rounds: who is told of a pot that was left out, when, and when nobody is."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from irrigate.garden.actions import Hold, Line, Tell
from irrigate.garden.balance import PotTraits
from irrigate.garden.outlook import Outlook
from irrigate.garden.pots import Garden, Person
from irrigate.garden.warning import about_to_be_lost, warning
from tests.garden.makers import a_garden, a_pot, standing_of

ZONE = ZoneInfo("America/Los_Angeles")
GARDEN = a_garden(a_pot("1"), a_pot("2"))


def at(hour: int, minute: int = 0, day: int = 10) -> datetime:
    """Return a local moment."""
    return datetime(2026, 7, day, hour, minute, tzinfo=ZONE).astimezone(UTC)


EVENING, MORNING = at(18, 30), at(7, day=11)


def line(pot_id: str, thirsty: datetime | None, chance: float = 0.9) -> Line:
    """Return a verdict on a pot that will be thirsty at a moment."""
    return Line(pot_id, "water", 2.0, 1, chance, 0.0, 0.2, (thirsty, thirsty, None),
                (0.4, 0.5, 0.6), {})  # fmt: skip


def view(start: datetime, until: datetime, shares: tuple[float, float]) -> Outlook:
    """Return a run at whose end the two pots hold these shares of available water."""
    traits: PotTraits = standing_of(GARDEN, 4).traits
    end = traits.limit_l + np.array(shares)[:, np.newaxis] * traits.available_l
    water = np.stack([traits.capacity_l * np.ones_like(end), end])
    seconds = (until - start).total_seconds()
    return Outlook(start, np.array([0.0, seconds]), water, np.full(end.shape, np.inf), traits)


def warned(
    now: datetime, *lines: Line, garden: Garden = GARDEN, until: datetime = EVENING,
    shares: tuple[float, float] = (0.3, 0.3), known: frozenset[str] = frozenset(),
) -> Tell | Hold | None:  # fmt: skip
    """Ask for a warning."""
    return warning(garden, lines, view(now, until, shares), now, until, known)


def test_thirst_before_the_round_is_said_in_good_time() -> None:
    """Two hours of lead before noon's thirst, and nobody can act later in time: say it now."""
    told = warned(at(10, 15), line("p-1", at(12, 30)), line("p-2", at(20)))
    assert isinstance(told, Tell)
    assert (told.occasion, told.people, told.urgent) == ("warning", ("Ann",), False)
    assert [one.pot_id for one in told.lines] == ["p-1"]
    assert (told.at, told.until) == (at(10, 15), EVENING)


def test_not_sooner_than_need_be() -> None:
    """At nine somebody can still act after ten, and thirst is at 14:30: hold until half past 12."""
    held = warned(at(9), line("p-1", at(14, 30)))
    assert isinstance(held, Hold)
    assert held.why == "somebody can still act later, in good time"
    assert held.until == at(12, 30)


@pytest.mark.parametrize(
    ("lines", "known"),
    [
        ([line("p-1", at(12), chance=0.5)], frozenset[str]()),
        ([line("p-1", at(17, 31))], frozenset[str]()),
        ([line("p-1", None)], frozenset[str]()),
        ([line("p-1", at(12))], frozenset({"p-1"})),
    ],
    ids=["no more likely than not", "soon enough watered at the round", "past the week", "known"],
)
def test_silence(lines: list[Line], known: frozenset[str]) -> None:
    """Nothing is said of what is unlikely, soon due anyway, far off, or known already."""
    assert warned(at(11), *lines, known=known) is None


def test_quiet_hours_hold() -> None:
    """In quiet hours a pot that will merely be thirsty waits."""
    held = warned(at(22), line("p-1", at(23)), until=MORNING)
    assert isinstance(held, Hold)
    assert held.why == "quiet hours"


def test_a_plant_that_would_be_lost_breaks_the_quiet() -> None:
    """At the end of its water before the round it is said at night, urgently, and to everybody."""
    lines = (line("p-1", at(23)), line("p-2", at(23)))
    people = (Person("Ann", can_act=((time(7), time(9)),)), Person("Bob", can_act=()))
    garden = replace(GARDEN, people=people)
    told = warned(at(22), *lines, garden=garden, until=MORNING, shares=(0.02, 0.3))
    assert isinstance(told, Tell)
    assert told.urgent
    assert told.people == ("Ann", "Bob")
    assert [one.pot_id for one in told.lines] == ["p-1"], "the other is only thirsty"


def test_nobody_can_act() -> None:
    """Where nobody can act now or later in time, the warning is held and says so."""
    away = replace(GARDEN, people=(Person("Ann", can_act=((time(18), time(20)),)),))
    held = warned(at(11), line("p-1", at(13)), garden=away)
    assert isinstance(held, Hold)
    assert held.why == "nobody can act now"


def test_only_those_who_can_act_are_told() -> None:
    """Of two people the one at work is left in peace."""
    people = (
        Person("Home", can_act=((time(7), time(21)),)),
        Person("Work", can_act=((time(18), time(21)),)),
    )
    told = warned(at(11), line("p-1", at(13)), garden=replace(GARDEN, people=people))
    assert isinstance(told, Tell)
    assert told.people == ("Home",)


def test_pots_due_now_take_along_those_due_later() -> None:
    """One message for both, when the first of them is due."""
    told = warned(at(11), line("p-1", at(13)), line("p-2", at(16, 30)))
    assert isinstance(told, Tell)
    assert [one.pot_id for one in told.lines] == ["p-1", "p-2"]


def test_about_to_be_lost() -> None:
    """A pot below 5 % of its available water before the round, more likely than not."""
    ends = about_to_be_lost(GARDEN, view(at(10), EVENING, (0.04, 0.06)), EVENING)
    assert ends == {"p-1"}


def test_lead_time_is_the_gardeners() -> None:
    """With six hours of lead the same thirst is said at nine."""
    patient = replace(GARDEN, manner=replace(GARDEN.manner, lead_h=6.0))
    assert isinstance(warned(at(9), line("p-1", at(14, 30)), garden=patient), Tell)
    assert warned(at(9), garden=patient) is None
