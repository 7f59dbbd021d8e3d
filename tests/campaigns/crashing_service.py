"""The service through crashes, late answers and broken files, for as long as one likes.

Run by hand: ``python -m tests.campaigns.crashing_service [examples]`` (120 take some four minutes).
"""

from __future__ import annotations

import sys
from collections import Counter

from hypothesis import settings
from hypothesis.stateful import run_state_machine_as_test

from tests.service.test_cycle_machine import LifeOfAService

TOTAL: Counter[str] = Counter()


class Counted(LifeOfAService):
    """A life that is counted when it ends."""

    def teardown(self) -> None:
        """Count what it came to."""
        messages = self.crashing.messages
        TOTAL.update(
            lives=1,
            crashes=self.crashes,
            messages=len(messages),
            repeated=sum(message.repeated for message in messages),
        )
        super().teardown()


def main() -> int:
    """Live many lives; a failing one is printed as steps to repeat."""
    examples = int(sys.argv[1]) if len(sys.argv) > 1 else 120
    run_state_machine_as_test(  # type: ignore[no-untyped-call]
        Counted, settings=settings(max_examples=examples, stateful_step_count=40, deadline=None)
    )
    print(", ".join(f"{count} {name}" for name, count in TOTAL.items()))
    return 0


if __name__ == "__main__":
    sys.exit(main())
