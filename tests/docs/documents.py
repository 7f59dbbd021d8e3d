"""The documents that come along, taken apart: fenced blocks and code between backticks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).parents[2]
DOCUMENTS = [*sorted(TOP.glob("*.md")), *sorted((TOP / "deploy").glob("**/*.md"))]

_FENCE = re.compile(
    r"^(?P<indent> *)```(?P<language>\w*)\n(?P<body>.*?)^ *```$", re.MULTILINE | re.DOTALL
)
_CODE = re.compile(r"`([^`\n]+)`")


@dataclass(frozen=True)
class Piece:
    """A piece of code in a document: where it begins, what it is written in, its text."""

    where: str
    language: str
    text: str


def blocks() -> Iterator[Piece]:
    """Yield the fenced blocks of every document, their indent taken off."""
    for path in DOCUMENTS:
        whole = path.read_text(encoding="utf-8")
        for found in _FENCE.finditer(whole):
            body = re.sub(f"^{found['indent']}", "", found["body"], flags=re.MULTILINE)
            yield Piece(_where(path, whole, found.start()), found["language"], body)


def inline() -> Iterator[Piece]:
    """Yield what stands between backticks in the text of every document."""
    for path in DOCUMENTS:
        whole = path.read_text(encoding="utf-8")
        text = _FENCE.sub(lambda fence: re.sub(r"[^\n]", " ", fence[0]), whole)
        for found in _CODE.finditer(text):
            yield Piece(_where(path, whole, found.start()), "", found[1])


def _where(path: Path, text: str, start: int) -> str:
    return f"{path.name}:{text.count(chr(10), 0, start) + 1}"
