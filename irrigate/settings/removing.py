"""An entry taken out of the garden file's text; the comments that stood in it stay."""

from __future__ import annotations

from irrigate.errors import InputError
from irrigate.settings.extents import Entry, Layout, Piece


def taken_out(layout: Layout, mapping: Piece, holder: Entry | None, entry: Entry) -> str:
    """Return the text without an entry of ``mapping``, which is the value of ``holder``."""
    if mapping.braces:
        return _out_of_braces(layout, mapping, entry)
    text, column = layout.text, layout.column(entry.key.start)
    start = layout.line_start(entry.key.start)
    end = layout.end_of_own_comments(entry, column)
    kept = kept_lines(layout, start, end - 1, mark=entry.key.text, column=column)
    if len(mapping.entries) > 1:
        return text[:start] + kept + text[end:]
    if holder is None or holder.colon is None:
        raise InputError(f"“{entry.key.text}” is written in an unusual way: change it by hand")
    beside = holder.colon + 1
    return f"{text[:beside]} {{}}{text[beside:start]}{kept}{text[end:]}"


def kept_lines(
    layout: Layout, start: int, end: int, *, mark: str | None = None, column: int = 0
) -> str:
    """Return what stays of lines whose values go: their comments, each on a line of its own.

    With a ``mark`` each comment says what it stood beside, and begins in ``column``.
    """
    kept, at = "", start
    while at <= end and at < len(layout.text):
        stop, following = layout.line_end(at), layout.next_line(at)
        line_break = layout.text[stop:following] or layout.line_break(at)
        for comment in layout.comments_in(at, stop):
            line = layout.text[at:stop]
            indent = line[: len(line) - len(line.lstrip(" "))]
            if mark is None:
                kept += f"{indent}{comment}{line_break}"
            else:
                kept += f"{' ' * column}{marked(comment, mark)}{line_break}"
        at = following
    return kept


def marked(comment: str, mark: str) -> str:
    """Return a comment that says what it stood beside."""
    words = comment.lstrip("#").strip()
    return f"# ({mark}) {words}" if words else comment


def _out_of_braces(layout: Layout, mapping: Piece, entry: Entry) -> str:
    text = layout.text
    index = mapping.entries.index(entry)
    before = mapping.entries[index - 1] if index else None
    comma = layout.comma_after(entry.end, mapping.end)
    stop = entry.end if comma is None else comma + 1
    # The last one takes the comma before it along, unless there is one at the end as well.
    loose = layout.comma_after(before.end, entry.key.start) if before and comma is None else None
    line = layout.line_start(entry.key.start)
    ends = layout.line_end(stop)
    if (
        mapping.start < line
        and not text[line : entry.key.start].strip()
        and layout.only_comment(stop, ends)
        and ends < len(text)
    ):
        kept = kept_lines(
            layout, line, stop, mark=entry.key.text, column=layout.column(entry.key.start)
        )
        return _without(text[:line], loose) + kept + text[layout.next_line(stop) :]
    return _out_of_line(layout, entry, stop, loose)


def _out_of_line(layout: Layout, entry: Entry, stop: int, loose: int | None) -> str:
    """Take an entry out of a line that it shares with others."""
    text, start = layout.text, entry.key.start
    while stop < len(text) and text[stop] in " \t":
        stop += 1
    comments = layout.comments_in(start, stop)
    kept = ""
    if comments:
        separator = layout.line_break(start) + " " * (layout.column(start) + 1)
        kept = separator.join(marked(comment, entry.key.text) for comment in comments) + separator
    elif loose is not None and not layout.comments_in(loose, start):
        return text[:loose] + text[entry.end :]
    elif text[stop : stop + 1] in ("\n", "\r", "}") and stop > start:
        start = _back(text, start)
    return _without(text[:start], loose) + kept + text[stop:]


def _without(text: str, at: int | None) -> str:
    return text if at is None else text[:at] + text[at + 1 :]


def _back(text: str, at: int) -> int:
    while text[at - 1] in " \t":
        at -= 1
    return at
