"""How time and memory of learning grow with the number of pots.

Run by hand: ``python -m tests.benchmarks.learning [most pots]`` (5000 take a few minutes). For each
size one day is folded with a report of every fifth pot, all of it shared, and a week looked ahead;
the exponent is the slope of the logarithms from a quarter of the largest size on.
"""

from __future__ import annotations

import resource
import sys
import time
import tracemalloc
from datetime import timedelta

import numpy as np

from irrigate.garden.believed import Standing
from irrigate.garden.events import GardenVersion, TillRan
from irrigate.garden.fold import fold
from irrigate.garden.outlook import look_ahead, run
from irrigate.garden.pots import Garden
from tests.campaigns.twin_garden import DAY, START, many_groups, summer_of_greensboro
from tests.garden.makers import fact

MEMBERS = 200


def begun(garden: Garden) -> Standing:
    """Return the first belief about a garden."""
    found = fold(None, [fact(GardenVersion(garden, "d"), START)], summer_of_greensboro(), START,
                 MEMBERS)  # fmt: skip
    assert found is not None
    return found


def a_day(standing: Standing) -> Standing:
    """Live a day with a report of every fifth pot, and let all pots learn from it."""
    pots = standing.garden.pots[::5]
    at = standing.belief.at + timedelta(hours=6)
    told = [fact(TillRan(pot.id, 1.0, True), at, name=f"t {pot.id}") for pot in pots]
    later = fold(standing, told, summer_of_greensboro(), standing.belief.at + DAY, MEMBERS)
    assert later is not None
    return later


def look(standing: Standing) -> None:
    """Look a week ahead."""
    ahead = look_ahead(standing, summer_of_greensboro())
    run(ahead, standing.belief.store, standing.belief.at)


def timed(pots: int) -> tuple[float, float, float]:
    """Return seconds of a day and of a look ahead, and the most memory held meanwhile [MiB]."""
    standing = begun(many_groups(pots))
    began = time.process_time()
    later = a_day(standing)
    lived = time.process_time()
    look(later)
    looked = time.process_time()
    tracemalloc.start()
    look(a_day(standing))
    held = tracemalloc.get_traced_memory()[1] / 2**20
    tracemalloc.stop()
    return lived - began, looked - lived, held


def main() -> int:
    """Print the table and the exponents."""
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    sizes = [most // 16, most // 8, most // 4, most // 2, most]
    rows = []
    print("pots   a day with reports [s]   a week ahead [s]   held [MiB]")
    for size in sizes:
        day, week, held = timed(size)
        rows.append((size, day, week, held))
        print(f"{size:5d} {day:18.2f} {week:21.2f} {held:14.0f}")
    table = np.log(np.array(rows)[2:])
    for column, name in ((1, "a day"), (2, "a week ahead"), (3, "memory")):
        slope = np.polyfit(table[:, 0], table[:, column], 1)[0]
        print(f"growth exponent of {name}: {slope:.3f}")
    print(f"resident at most {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
