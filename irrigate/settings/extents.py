"""The garden file's text with the extent of every key, value and comment in it.

`nodes` says where things begin; whoever changes the text has to know where they end as well. A
block's end, to a YAML parser, is the beginning of what follows; here it is the end of what was
written, so that comments and blank lines below stay outside.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_COMMENT = re.compile(r"#[^\r\n]*")
_BLOCK_HEADER = re.compile(r"[|>][-+0-9]*[ \t]+(#[^\r\n]*)")
_COLON = re.compile(r"[ \t]*:")
_BREAK = re.compile("\r\n|\r|\n")


@dataclass(frozen=True, slots=True)
class Piece:
    """One value or key: its extent in characters, and what is inside.

    ``style`` is the quote or block sign of a text, "" where it stands plain; ``braces`` tells a
    mapping or list between brackets from one in lines of its own.
    """

    kind: str
    start: int
    end: int
    text: str = ""
    style: str = ""
    braces: bool = False
    entries: tuple[Entry, ...] = ()
    items: tuple[Piece, ...] = ()

    @property
    def unwritten(self) -> bool:
        """Whether nothing stands there, in any of YAML's ways."""
        empty = ("", "~", "null", "Null", "NULL")
        return self.kind == "text" and not self.style and self.text in empty

    @property
    def in_lines(self) -> bool:
        """Whether it is a mapping or a list in lines of its own."""
        return self.kind != "text" and not self.braces

    @property
    def plain(self) -> Any:
        """What it says, as `nodes.plain` would return it."""
        if self.kind == "text":
            return None if self.unwritten else self.text
        if self.kind == "list":
            return [item.plain for item in self.items]
        return {entry.key.text: entry.value.plain for entry in self.entries}

    def find(self, key: str) -> Entry | None:
        """Return the entry of that key, or None."""
        return next((entry for entry in self.entries if entry.key.text == key), None)


@dataclass(frozen=True, slots=True)
class Entry:
    """A key, its colon (None where it has none), and its value."""

    key: Piece
    colon: int | None
    value: Piece

    @property
    def end(self) -> int:
        """Where the entry ends, without what follows on its line."""
        return max(self.value.end, self.key.end, -1 if self.colon is None else self.colon + 1)


@dataclass(frozen=True, slots=True)
class Layout:
    """A text, its tree of pieces, and the extents of its comments."""

    text: str
    top: Piece
    comments: tuple[tuple[int, int], ...]

    def line_start(self, at: int) -> int:
        """Return where the line begins that ``at`` is in."""
        return max(self.text.rfind("\n", 0, at), self.text.rfind("\r", 0, at)) + 1

    def line_end(self, at: int) -> int:
        """Return where the line ends that ``at`` is in, before its break."""
        found = _BREAK.search(self.text, at)
        return found.start() if found else len(self.text)

    def next_line(self, at: int) -> int:
        """Return where the line after the one of ``at`` begins, or the text's end."""
        found = _BREAK.search(self.text, at)
        return found.end() if found else len(self.text)

    def end_of_own_comments(self, entry: Entry, column: int) -> int:
        """Return where the line begins that no longer belongs to an entry in lines.

        Comments below it that are indented further than its key are about what is in it.
        """
        end = at = self.next_line(entry.end)
        while at < len(self.text):
            stop = self.line_end(at)
            line = self.text[at:stop]
            indent = len(line) - len(line.lstrip(" "))
            if line.strip() and not (indent > column and self.only_comment(at, stop)):
                break
            at = self.next_line(at)
            end = at if line.strip() else end
        return end

    def line_break(self, at: int) -> str:
        """Return the line break to use near ``at``: that of its line, or the one before."""
        here = _BREAK.search(self.text, at)
        if here is None:
            here = next(iter(_BREAK.finditer(self.text)), None)
        return here[0] if here else "\n"

    def column(self, at: int) -> int:
        """Return how far from its line's beginning ``at`` is."""
        return at - self.line_start(at)

    def comments_in(self, start: int, end: int) -> list[str]:
        """Return the comments that begin within an extent."""
        return [self.text[a:b] for a, b in self.comments if start <= a < end]

    def only_comment(self, start: int, end: int) -> bool:
        """Return whether an extent of one line holds nothing, or nothing but a comment."""
        left = next((a for a, _ in self.comments if start <= a < end), end)
        return not self.text[start:left].strip()

    def comma_after(self, at: int, end: int) -> int | None:
        """Return where the next thing after ``at`` is a comma, comments passed over."""
        while at < end:
            comment = next((b for a, b in self.comments if a == at), None)
            if comment is not None:
                at = comment
            elif self.text[at] == ",":
                return at
            elif self.text[at].isspace():
                at += 1
            else:
                return None
        return None


def laid_out(text: str) -> Layout:
    """Return the layout of a text that `nodes.read_tree` has found to be in order."""
    top = _piece(text, yaml.compose(text, Loader=_LOADER))
    return Layout(text, top, tuple(_comments(text, top)))


def _piece(text: str, node: Any) -> Piece:
    start, end = node.start_mark.index, node.end_mark.index
    if isinstance(node, yaml.ScalarNode):
        if node.style in ("|", ">"):
            end = start + len(text[start:end].rstrip())
        return Piece("text", start, end, node.value, node.style or "")
    braces = text[start : start + 1] in ("{", "[") and text[end - 1 : end] in ("}", "]")
    if isinstance(node, yaml.SequenceNode):
        items = tuple(_piece(text, item) for item in node.value)
        end = end if braces or not items else max(start + 1, items[-1].end)
        return Piece("list", start, end, braces=braces, items=items)
    entries = tuple(_entry(text, key, value) for key, value in node.value)
    end = end if braces or not entries else entries[-1].end
    return Piece("mapping", start, end, braces=braces, entries=entries)


def _entry(text: str, key_node: Any, value_node: Any) -> Entry:
    key, value = _piece(text, key_node), _piece(text, value_node)
    beside = _COLON.match(text, key.end)
    colon = beside.end() - 1 if beside else None
    if value.start == value.end and not value.style:
        at = key.end if colon is None else colon + 1
        return Entry(key, colon, Piece("text", at, at))
    if colon is None:  # on a line of its own, after a key that was marked with “?”
        between = _COMMENT.sub(lambda found: " " * len(found[0]), text[key.end : value.start])
        colon = key.end + between.index(":")
    return Entry(key, colon, value)


def _comments(text: str, top: Piece) -> Iterator[tuple[int, int]]:
    """Find the comments: whatever a # begins outside of the texts."""
    at = 0
    for piece in [*_texts(top), Piece("text", len(text), len(text))]:
        yield from (found.span() for found in _COMMENT.finditer(text, at, piece.start))
        if piece.style in ("|", ">"):
            header = _BLOCK_HEADER.match(text, piece.start)
            if header:
                yield header.span(1)
        at = max(at, piece.end)


def _texts(piece: Piece) -> Iterator[Piece]:
    if piece.kind == "text":
        yield piece
    for item in piece.items:
        yield from _texts(item)
    for entry in piece.entries:
        yield entry.key
        yield from _texts(entry.value)
