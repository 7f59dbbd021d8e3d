"""How long one hour of fifty pots × two hundred members takes in the exact draw-down.

``python -m tests.benchmarks.draw_down`` prints a small table; nothing is asserted.
"""

from __future__ import annotations

import timeit

import numpy as np

from irrigate.science.stress import draw_down

POTS, MEMBERS, CALLS, ROUNDS = 50, 200, 200, 7


def measure() -> dict[str, float]:
    """Return the best time of a call in microseconds, by precision."""
    rng = np.random.default_rng(1)
    found = {}
    for kind in (np.float32, np.float64):
        stored = rng.uniform(0.0, 30.0, (POTS, MEMBERS)).astype(kind)
        threshold = rng.uniform(0.0, 20.0, (POTS, MEMBERS)).astype(kind)
        demand = rng.uniform(0.0, 1.0, (POTS, MEMBERS)).astype(kind)
        timer = timeit.Timer(lambda s=stored, t=threshold, d=demand: draw_down(s, t, d))
        best = min(timer.repeat(ROUNDS, CALLS)) / CALLS
        found[f"draw_down {kind.__name__} [us]"] = 1e6 * best
    return found


def main() -> None:
    """Print what was measured."""
    for name, value in measure().items():
        print(f"{name:28s} {value:8.1f}")


if __name__ == "__main__":
    main()
