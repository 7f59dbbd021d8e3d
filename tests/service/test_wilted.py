"""Wet and wilted: told and marked, taught nothing, and taken back with the answer."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from irrigate.garden.events import Marked
from irrigate.outside.journal.memory import MemoryJournal
from tests.service.worlds import (
    FIRST_NOW,
    World,
    believed,
    believed_after_restart,
    believed_from_the_first,
    same,
)

HOUR = timedelta(hours=1)
TITLE = "hangs its leaves though it is wet"


def world_at(folder: Path, hours: float) -> World:
    """Return a world so many hours after the start; its pots were soaked at the first round."""
    world = World(MemoryJournal(), folder)
    world.step()
    world.until(FIRST_NOW + 3 * HOUR)
    world.say("1 2 3 till it ran twice", at=FIRST_NOW + 2.5 * HOUR)
    world.until(FIRST_NOW + hours * HOUR)
    return world


def marked(world: World) -> list[tuple[str, bool]]:
    """Return the marks that were set, with the labels of their pots."""
    garden = world.memory.garden
    assert garden is not None
    return [
        (garden.pot(fact.body.pot_id).label, fact.body.on)
        for fact in world.journal.facts((Marked,))
        if isinstance(fact.body, Marked)
    ]


def noticed(world: World) -> list[str]:
    """Return what the phone was told of wet and wilted plants."""
    return [f"{one.title}\n{one.body}" for one in world.messages if TITLE in one.title]


def said(world: World, *texts: str) -> None:
    """Hand in answers one after another, and let the service take them."""
    for text in texts:
        world.say(text)
        world.step()
        world.now += timedelta(minutes=20)


def test_felt_wet_and_wilting(tmp_path: Path) -> None:
    """Said in one breath, the pot is marked, told of once with what helps, and teaches nothing."""
    world = world_at(tmp_path, 30)
    said(world, "2 wet, 2 wilting")
    assert marked(world) == [("2", True)]
    (text,) = noticed(world)
    assert text.splitlines() == [
        "2 pepper hangs its leaves though it is wet",
        "Shade it, do not water it, and look at its roots: it may have had too much.",
        "I shall learn nothing from it until you say: 2 well again.",
    ]
    silent = world_at(tmp_path, 30)
    silent.until(world.now)
    assert same(believed(world), believed(silent)), "both teach nothing, from that moment on"
    assert same(believed(world), believed_after_restart(world))
    assert same(believed(world), believed_from_the_first(world))


def test_until_it_is_well_again(tmp_path: Path) -> None:
    """Marked once; what is observed of it teaches nothing until somebody says that it is well."""
    world = world_at(tmp_path, 30)
    said(world, "2 wet, 2 wilting")
    before = believed(world)
    said(world, "2 dry", "2 wilting")
    row = before.row(before.pot_ids[1])
    assert (believed(world).seen_precision[:, row] == before.seen_precision[:, row]).all()
    assert len(noticed(world)) == 1
    said(world, "2 well again", "2 dry")
    assert marked(world) == [("2", True), ("2", False)]
    assert not (believed(world).seen_precision[:, row] == before.seen_precision[:, row]).all()


@pytest.mark.parametrize("texts", [("1 wet", "1 wilting"), ("1 wilting", "1 still wet")])
def test_in_either_order(tmp_path: Path, texts: tuple[str, str]) -> None:
    """A finger that comes a little later tells the same, and the wilting is unlearnt."""
    world = world_at(tmp_path, 30)
    said(world, *texts)
    assert marked(world) == [("1", True)]
    assert len(noticed(world)) == 1
    assert same(believed(world), believed_from_the_first(world))


def test_surely_wet_by_the_belief(tmp_path: Path) -> None:
    """Four hours after a soaking, in the evening, a wilting needs no finger."""
    world = world_at(tmp_path, 6.0)
    said(world, "3 wilting")
    assert marked(world) == [("3", True)]
    assert len(noticed(world)) == 1


@pytest.mark.parametrize(
    "texts",
    [
        ("1 wilting",),  # thirty hours later it is surely not wet
        ("1 dry, 1 wilting",),
        ("1 wilting", "1 2 L", "1 wet"),  # wet by now, and no wonder
        ("1 2 L", "1 wet, 1 wilting"),  # leaves take a while to stand up again
        ("1 wilting, 2 wet",),
    ],
)
def test_thirst_is_not_taken_for_roots(tmp_path: Path, texts: tuple[str, ...]) -> None:
    """A plant that may well be thirsty is not marked."""
    world = world_at(tmp_path, 30)
    said(world, *texts)
    assert marked(world) == []
    assert noticed(world) == []


def test_just_watered_it_hangs_for_a_while(tmp_path: Path) -> None:
    """Soaked half an hour ago from thirst, its wilting is no sign of bad roots."""
    world = world_at(tmp_path, 30)
    said(world, "1 till it ran twice", "1 wilting")
    assert marked(world) == []


def test_undo_takes_the_mark_back(tmp_path: Path) -> None:
    """Undone, the answer and the mark that came of it are as if never said."""
    world = world_at(tmp_path, 30)
    said(world, "2 wet, 2 wilting", "undo")
    plain = world_at(tmp_path, 30)
    plain.until(world.now)
    world.until(world.now)
    assert same(believed(world), believed(plain))
    said(world, "2 wilting")
    assert len(noticed(world)) == 1
