"""What `irrigate outlook` says below its table, of a garden thought of in this process."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np

from irrigate.cli.cautions_ahead import cautions_ahead, found_ahead
from irrigate.cli.outlook_text import one_pot
from irrigate.garden.pots import Basin, Garden
from irrigate.service.thinking import Thought, think
from tests.garden.makers import a_garden, a_pot, filled, standing_of, summer

NOON = datetime(2026, 7, 10, 19, 0, tzinfo=UTC)  # 12:00 in the garden
GARDEN = a_garden(
    a_pot("1", name="mint", basin=Basin("saucer", 2.0, 0.01), size_m=(0.1, 0.1)),
    a_pot("2", name="fig", colour="black"),
)


def thought(garden: Garden, *, below_l: float, stood_h: float, warmer_c: float) -> Thought:
    """Return the week ahead from noon, with so much below pot 1 for so long."""
    standing = filled(standing_of(garden, 16, NOON))
    below, stood = (np.zeros_like(standing.belief.water_l) for _ in range(2))
    below[0], stood[0] = below_l, stood_h
    belief = replace(standing.belief, below_l=below, stood_h=stood)
    table = summer(12)
    return think(
        replace(standing, belief=belief),
        replace(table, temperature_c=table.temperature_c + warmer_c),
    )


def test_what_there_is_to_do_besides_water() -> None:
    """Standing water and a dark pot on a hot afternoon; what belongs to a round stays there."""
    hot = thought(GARDEN, below_l=1.5, stood_h=30.0, warmer_c=12.0)
    assert [(one.kind, one.pot_ids) for one in found_ahead(hot)] == [
        ("standing water", ("p-1",)), ("hot pot", ("p-2",)),
    ]  # fmt: skip
    first, second = cautions_ahead(hot)
    assert first.startswith("Water has stood for over a day under 1 mint: pour it away")
    assert "shade the sides of 2 fig" in second


def test_a_plain_day_adds_nothing() -> None:
    """Neither standing water nor heat nor cold: the table stands alone."""
    plain = thought(GARDEN, below_l=0.0, stood_h=0.0, warmer_c=0.0)
    assert list(cautions_ahead(plain)) == []


def test_one_pot_says_what_stands_below_it() -> None:
    """In the gardener's units, of what the saucer holds; nothing where there is none."""
    plain = thought(GARDEN, below_l=1.5, stood_h=2.0, warmer_c=0.0)
    assert "In its saucer: probably 1.5 L of the 2 L that it holds." in one_pot(
        plain, GARDEN.pots[0]
    )
    assert "saucer" not in one_pot(plain, GARDEN.pots[1])
