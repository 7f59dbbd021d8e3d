"""One step carried out on the garden file's text, everything around it kept to the byte.

A comment is never lost. Beside a value that is replaced it stays where it is, or on lines of its
own; beside what is taken out it stays too, and says what it stood beside: ``# (mulch) from the
neighbour``. The caller reads the result and holds it against what it should say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from irrigate.errors import InputError
from irrigate.settings.extents import Entry, Layout, Piece, laid_out
from irrigate.settings.quoting import Value, ambiguous, said, written, written_key
from irrigate.settings.removing import kept_lines, taken_out
from irrigate.settings.steps import KeyPath, Put, Rename, Step, TakeOut


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where a path leads: the mapping, the entry whose value that is, and the entry in it."""

    mapping: Piece
    holder: Entry | None
    entry: Entry | None
    braces: bool


def spliced(text: str, step: Step) -> str:
    """Return the text with a step carried out, of which `steps.carried_out` made sense."""
    layout = laid_out(text)
    spot = _spot(layout, step.path)
    if isinstance(step, Put):
        return _put(layout, spot, step)
    if spot.entry is None:
        raise InputError(f"there is no “{step.path[-1]}” to be changed")
    if isinstance(step, TakeOut):
        return taken_out(layout, spot.mapping, spot.holder, spot.entry)
    return _renamed(layout, spot.entry, step, spot.braces)


def _spot(layout: Layout, path: KeyPath) -> _Spot:
    mapping, holder, braces = layout.top, None, layout.top.braces
    for key in path[:-1]:
        holder = mapping.find(key)
        if holder is None:
            raise InputError(f"there is no “{key}” to be changed")
        mapping = holder.value
        braces = braces or mapping.braces
    return _Spot(mapping, holder, mapping.find(path[-1]), braces)


def _renamed(layout: Layout, entry: Entry, step: Rename, braces: bool) -> str:
    key = entry.key
    after = "plain" if not key.style and ambiguous(key.text) else key.style or None
    new = written_key(step.to, braces=braces, after=after)
    return layout.text[: key.start] + new + layout.text[key.end :]


def _put(layout: Layout, spot: _Spot, step: Put) -> str:
    key, value = step.path[-1], step.value
    if spot.entry is not None:
        return _changed(layout, spot.entry, step, spot.braces)
    if spot.holder is not None and spot.mapping.unwritten:
        return _replaced(layout, spot.holder, written({key: value}, braces=False))
    if not spot.mapping.entries and spot.mapping.braces:
        return _first_in_braces(layout, spot.mapping, f"{written({key: value}, braces=True)[1:-1]}")
    last = spot.mapping.entries[-1]
    beside = spot.mapping.find(step.after) if step.after is not None else None
    if spot.braces:
        new = f"{written_key(key, braces=True)}: {written(value, braces=True)}"
        return _added_in_braces(layout, spot.mapping, beside or last, new)
    return _added_in_lines(layout, beside or last, key, value)


# --- a value in place of another -----------------------------------------------------------
def _changed(layout: Layout, entry: Entry, step: Put, braces: bool) -> str:
    old, value = entry.value, step.value
    if old.plain == said(value):
        return layout.text
    if old.entries and isinstance(value, Mapping) and value:
        text = layout.text
        for key, inside in value.items():
            text = spliced(text, Put((*step.path, key), inside))
        for one in old.entries:
            if one.key.text not in value:
                text = spliced(text, TakeOut((*step.path, one.key.text)))
        return text
    plainly = old.kind == "text" and not old.style and ambiguous(old.text)
    after = "plain" if plainly else old.style or None
    new = written(value, braces=braces, after=after)
    if old.in_lines and (old.entries or old.items):
        return _replaced_lines(layout, entry, new)
    return _replaced(layout, entry, new)


def _replaced(layout: Layout, entry: Entry, new: str) -> str:
    """Write a value where one stands that begins and ends within lines, or none at all."""
    text, old = layout.text, entry.value
    if old.start == old.end:
        lead = " " if entry.colon is not None else ": "
        return text[: old.start] + lead + new + text[old.start :]
    comments = layout.comments_in(old.start, old.end)
    if comments:
        separator = layout.line_break(old.start) + " " * (layout.column(entry.key.start) + 2)
        new += " " + separator.join(comments)
        if text[old.end : layout.line_end(old.end)].strip():
            new += separator
    return text[: old.start] + new + text[old.end :]


def _replaced_lines(layout: Layout, entry: Entry, new: str) -> str:
    """Write a value beside its key where one stood in lines below it; their comments stay."""
    text, old = layout.text, entry.value
    start = layout.line_start(old.start)
    if entry.colon is None or start <= entry.colon:
        raise InputError(f"“{entry.key.text}” is written in an unusual way: change it by hand")
    kept = kept_lines(layout, start, old.end)
    beside = entry.colon + 1
    return f"{text[:beside]} {new}{text[beside:start]}{kept}{text[layout.next_line(old.end) :]}"


# --- a new entry ---------------------------------------------------------------------------
def _first_in_braces(layout: Layout, mapping: Piece, new: str) -> str:
    at = mapping.start + 1
    gap = " " if layout.text[at] == "#" else ""
    return layout.text[:at] + new + gap + layout.text[at:]


def _added_in_braces(layout: Layout, mapping: Piece, beside: Entry, new: str) -> str:
    text, at = layout.text, beside.end
    comma = layout.comma_after(at, mapping.end)
    line = layout.line_start(beside.key.start)
    own_line = mapping.start < line and not text[line : beside.key.start].strip()
    if not own_line:
        return f"{text[:at]}, {new}{text[at:]}"
    separator = layout.line_break(at) + text[line : beside.key.start]
    stop = at if comma is None else comma + 1
    end = layout.line_end(stop)
    if not layout.only_comment(stop, end):
        return f"{text[:at]},{separator}{new}{text[at:]}"
    if comma is None:
        return f"{text[:at]},{text[at:end]}{separator}{new}{text[end:]}"
    return f"{text[:end]}{separator}{new},{text[end:]}"


def _added_in_lines(layout: Layout, beside: Entry, key: str, value: Value) -> str:
    column = layout.column(beside.key.start)
    separator = layout.line_break(beside.end)
    rows = _rows(layout, beside, key, value)
    lines = [" " * column + row for row in rows]
    at = layout.end_of_own_comments(beside, column)
    if at == len(layout.text) and not layout.text.endswith(("\n", "\r")):
        return layout.text + separator + separator.join(lines)
    new = "".join(line + separator for line in lines)
    return layout.text[:at] + new + layout.text[at:]


def _rows(layout: Layout, beside: Entry, key: str, value: Value) -> list[str]:
    """Write an entry in the way of the one beside it: in one line, or in lines below its key."""
    name = written_key(key, braces=False)
    like = beside.value
    if not (isinstance(value, Mapping) and value and like.in_lines and like.entries):
        return [f"{name}: {written(value, braces=False)}"]
    inner = layout.column(like.entries[0].key.start) - layout.column(beside.key.start)
    return [f"{name}:"] + [
        f"{' ' * inner}{written_key(one, braces=False)}: {written(inside, braces=False)}"
        for one, inside in value.items()
    ]
