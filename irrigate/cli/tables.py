"""Tables for the terminal: rich, imported on use, with a width that a pipe keeps too."""

from __future__ import annotations

import io
from collections.abc import Sequence

NARROWEST, WIDEST = 60, 110


def table(
    headings: Sequence[str], rows: Sequence[Sequence[str]], *, width: int = 90,
    names_wrap: bool = False,
) -> str:  # fmt: skip
    """Return a plain table; the first column is left-aligned, the others right.

    Where it is too wide the other columns give way, or with ``names_wrap`` the first.
    """
    from rich.console import Console
    from rich.table import Table

    drawn = Table(box=None, pad_edge=False, header_style="", padding=(0, 2, 0, 0))
    for number, heading in enumerate(headings):
        drawn.add_column(heading, justify="left" if number == 0 else "right",
                         no_wrap=(number == 0) != names_wrap)  # fmt: skip
    for row in rows:
        drawn.add_row(*row)
    into = io.StringIO()
    Console(
        file=into, width=min(max(width, NARROWEST), WIDEST), color_system=None, highlight=False,
        markup=False, emoji=False,
    ).print(drawn)  # fmt: skip
    return "\n".join(line.rstrip() for line in into.getvalue().splitlines())
