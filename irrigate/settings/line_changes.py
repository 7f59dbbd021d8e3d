"""What an edit changes, as a few lines to be shown before it is made."""

from __future__ import annotations

import re
from difflib import unified_diff

_BREAK = re.compile("\r\n|\r|\n")


def difference(old: str, new: str, name: str = "garden.yaml") -> str:
    """Return the changed lines, each with a line around it; empty where nothing changes.

    Lines that go begin with a minus, lines that come with a plus. How lines end is not shown.
    """
    changes = unified_diff(
        _lines(old), _lines(new), f"{name} before", f"{name} after", n=1, lineterm=""
    )
    return "\n".join(changes)


def _lines(text: str) -> list[str]:
    lines = _BREAK.split(text.removeprefix("\ufeff"))
    return lines[:-1] if lines[-1] == "" else lines
