"""The garden file taken in: new plants and vessels, corrections, and pots that change places."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np

from irrigate.garden.actions import Tell
from irrigate.garden.events import Fact, GardenVersion
from irrigate.garden.pots import Garden
from irrigate.garden.vessels import RoundTaper
from irrigate.outside.journal.memory import MemoryJournal
from irrigate.ports import GardenText
from irrigate.service.gardening import take_garden
from tests.garden.makers import START, a_garden, a_pot

LATER = START + timedelta(days=2)


class Written:
    """A garden file that says what it is told to."""

    def __init__(self, garden: Garden, digest: str) -> None:
        self.text = GardenText(without_ids(garden), digest)

    def read(self) -> GardenText:
        """Return it."""
        return self.text


def without_ids(garden: Garden) -> Garden:
    """Return a garden as a file describes it."""
    pots = tuple(replace(pot, id="", vessel_id="", plant_id="") for pot in garden.pots)
    return replace(garden, pots=pots)


def taken(journal: MemoryJournal, garden: Garden, digest: str, at: object = START) -> Garden:
    """Take a garden in and return it as it now stands on record."""
    journal.append(take_garden(Written(garden, digest), journal, None, at).facts)  # type: ignore[arg-type]
    return last_garden(journal)


def last_garden(journal: MemoryJournal) -> Garden:
    """Return the garden on record."""
    body = journal.facts((GardenVersion,))[-1].body
    assert isinstance(body, GardenVersion)
    return body.garden


def test_another_plant_keeps_pot_and_vessel() -> None:
    """Replanting renews the plant's identity alone; repotting the vessel's alone."""
    journal = MemoryJournal()
    first = taken(journal, a_garden(a_pot("1")), "a").pots[0]
    second = taken(journal, a_garden(a_pot("1", crop="tomato")), "b", LATER).pots[0]
    assert (second.id, second.vessel_id) == (first.id, first.vessel_id)
    assert second.plant_id != first.plant_id
    bigger = a_pot("1", crop="tomato", vessel=RoundTaper.of_volume(30.0))
    third = taken(journal, a_garden(bigger), "c", LATER + timedelta(hours=1)).pots[0]
    assert (third.id, third.plant_id) == (first.id, second.plant_id)
    assert third.vessel_id != first.vessel_id
    moved = replace(bigger, place="porch", canopy_width_m=0.8)
    fourth = taken(journal, a_garden(moved), "d", LATER + timedelta(hours=2)).pots[0]
    assert (fourth.plant_id, fourth.vessel_id) == (third.plant_id, third.vessel_id)


def test_a_correction_keeps_every_identity() -> None:
    """What was described wrongly was never another plant or pot."""
    journal = MemoryJournal()
    first = taken(journal, a_garden(a_pot("1")), "a").pots[0]
    corrected = a_pot("1", crop="tomato", vessel=RoundTaper.of_volume(30.0), since="always")
    second = taken(journal, a_garden(corrected), "b", LATER).pots[0]
    assert (second.id, second.plant_id, second.vessel_id) == (
        first.id, first.plant_id, first.vessel_id,
    )  # fmt: skip
    assert second.crop.name == "tomato"


def test_the_same_file_again_is_nothing_new() -> None:
    """A digest that is known makes no fact."""
    journal = MemoryJournal()
    taken(journal, a_garden(a_pot("1")), "a")
    assert take_garden(Written(a_garden(a_pot("1")), "a"), journal, "a", LATER).facts == ()


def test_a_pot_gone_and_one_come_is_asked_about() -> None:
    """They are taken for two pots, and the gardener is told how to say that they are one."""
    journal = MemoryJournal()
    first = taken(journal, a_garden(a_pot("1"), a_pot("7")), "a")
    swapped = take_garden(Written(a_garden(a_pot("1"), a_pot("9")), "b"), journal, None, LATER)
    journal.append(swapped.facts)
    assert swapped.question is not None
    assert isinstance(swapped.question.action, Tell)
    assert "was: 7" in swapped.question.body
    assert last_garden(journal).pots[0].id == first.pots[0].id
    assert last_garden(journal).pots[1].id != first.pots[1].id


def test_a_change_since_yesterday_corrects_what_was_read_since() -> None:
    """The superseding version stands in its place, and nothing else of it changes."""
    journal = MemoryJournal()
    taken(journal, a_garden(a_pot("1"), a_pot("2")), "a")
    taken(journal, a_garden(a_pot("1"), a_pot("2", place="porch")), "b", LATER)
    since = replace(a_pot("1", size_m=(0.9, 0.9)), since="2026-07-10")
    garden = a_garden(since, a_pot("2", place="porch"))
    facts = take_garden(Written(garden, "c"), journal, None, LATER + timedelta(hours=5)).facts
    made = [fact for fact in facts if isinstance(fact.body, GardenVersion)]
    assert [bool(fact.supersedes) for fact in made] == [False, True, False]
    assert [sizes(fact) for fact in made] == [[0.9, 0.5]] * 3
    assert [places(fact) for fact in made] == [
        ["yard", "yard"], ["yard", "porch"], ["yard", "porch"],
    ]  # fmt: skip


def sizes(fact: Fact) -> list[float]:
    """Return the plants' widths in a version."""
    assert isinstance(fact.body, GardenVersion)
    return [float(np.round(pot.canopy_width_m, 3)) for pot in fact.body.garden.pots]


def places(fact: Fact) -> list[str]:
    """Return the pots' places in a version."""
    assert isinstance(fact.body, GardenVersion)
    return [pot.place for pot in fact.body.garden.pots]
