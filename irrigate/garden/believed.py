"""A belief together with the garden that it is about."""

from __future__ import annotations

from dataclasses import dataclass

from irrigate.garden.balance import PotTraits
from irrigate.garden.belief import Belief
from irrigate.garden.pots import Garden
from irrigate.garden.traits import Vitals, pot_traits


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """A belief together with the garden that it is about, and what the garden alone says."""

    garden: Garden
    known: Vitals
    belief: Belief

    @property
    def traits(self) -> PotTraits:
        """The numbers that the balance steps with."""
        return pot_traits(self.garden, self.known, self.belief)
