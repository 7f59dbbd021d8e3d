"""What moved in one pot, and what its plant felt of it, since the pot was first seen."""

from __future__ import annotations

from dataclasses import dataclass

from irrigate.garden.belief import FELT, LEDGER, Belief, moved_l


@dataclass(frozen=True, slots=True)
class MovedSoFar:
    """Water and hours since the pot was first seen, means of what is believed.

    Parameters
    ----------
    rained_l, given_l, transpired_l, evaporated_l, drained_l : what moved [L].
    corrected_l : what observations put into the belief or took out of it [L].
    thirsty_h, wilting_h, wet_h : hours below the dry point, with hung leaves, with roots that lack
        air [h].
    """

    rained_l: float
    given_l: float
    transpired_l: float
    evaporated_l: float
    drained_l: float
    corrected_l: float
    thirsty_h: float
    wilting_h: float
    wet_h: float

    @property
    def change_l(self) -> float:
        """Water in less water out [L]."""
        gained = self.rained_l + self.given_l + self.corrected_l
        return gained - self.transpired_l - self.evaporated_l - self.drained_l


def moved_so_far(belief: Belief, row: int) -> MovedSoFar:
    """Gather what moved in the pot of a row."""
    moved = dict(zip(LEDGER, moved_l(belief)[:, row].tolist(), strict=True))
    felt = dict(zip(FELT, belief.felt_h[:, row].tolist(), strict=True))
    return MovedSoFar(**moved, **felt)
