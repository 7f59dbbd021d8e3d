"""Edits of gardens written in every style, with comments wherever YAML takes one.

`python -m tests.campaigns.edited_gardens` makes 2,000 of them. Each edit must come out as said on
plain dicts here, every comment must still be there, in its order, and no line may differ that is
not the edited entry's own. An edit and its inverse must give the values back.
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from dataclasses import dataclass
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.settings.edits import (
    AddPot,
    Edit,
    RemoveAtTop,
    RemoveFromMix,
    RemoveFromPlace,
    RemoveFromPot,
    RenamePot,
    SetAtTop,
    SetInMix,
    SetInPlace,
    SetInPot,
    TakeOutPot,
    edited,
)
from irrigate.settings.nodes import places, plain, read_tree
from irrigate.settings.source import source_of

Tree = dict[str, Any]

# --- what the gardens say -----------------------------------------------------------------
TRAPS = [
    "no", "yes", "22:00", "07", "7", "1e5", "0o17", "~", "null", "", "a: b", "#x", "a #b", "- a",
    "it's", 'the "old" one', "{a}", "[a", "a, b", "a\\b", "<<", "=", "@home", "%", "10 %", "é ü",
    "🌱 basil", "2026-05-01", " led", "trailed ", "a:b", "?", "!x", "&x", "*x", "|", ">", "---",
    "knee-high, wider than pot", "30 cm", "nursery 5 gal", "a\u00a0b", "`x`", "x:", "'", '"',
]  # fmt: skip
texts = st.sampled_from(TRAPS) | st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp", "Cn", "Co"],
                  exclude_characters="\ufeff"),
    max_size=8,
)  # fmt: skip
keys = st.sampled_from(
    [
        "plant",
        "pot",
        "place",
        "size",
        "mulch",
        "name",
        "risk",
        "no",
        "a: b",
        "ö",
        "outer pot",
        "leaf area",
        "saucer",
        "sunny wall",
        "repotted",
    ]
)
labels = st.sampled_from(["1", "2", "3", "07", "7", "12a", "no", "1e5", "x.y", "ö"])
mappings = st.dictionaries(keys, texts, max_size=3)
rows = st.dictionaries(keys, texts | texts | mappings, min_size=1, max_size=4)
trees = st.fixed_dictionaries(
    {"places": st.dictionaries(keys, st.none() | mappings, min_size=1, max_size=3)},
    optional={
        "garden": texts,
        "can": texts,
        "rounds": st.lists(texts, min_size=1, max_size=3),
        "mixes": st.dictionaries(keys, rows, min_size=1, max_size=2),
    },
).flatmap(
    lambda top: st.builds(
        lambda pots: {**top, "pots": pots}, st.dictionaries(labels, rows, min_size=2, max_size=4)
    )
)


# --- how they are written -----------------------------------------------------------------
_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 .%-]*[a-z0-9%])?")


class Pen:
    """Writes a tree in a style drawn anew at every turn, each comment with a number of its own."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.notes = 0

    def one_of(self, *choices: str) -> str:
        """Draw one of the choices."""
        return self.draw(st.sampled_from(choices))

    def note(self) -> str:
        """Return a comment that is hard to take for one."""
        self.notes += 1
        return f"# note {self.notes}; {self.one_of('', 'a: {b}, ', '- “x', '# # ', ']')}"

    def text(self, text: str) -> str:
        """Write a text, plain only if it is plain beyond doubt."""
        ways = []
        if _PLAIN.fullmatch(text) and text.lower() != "null":
            ways += ["plain", "plain"]
        way = self.one_of(*ways, "single", "double")
        if way == "plain":
            return text
        if way == "single":
            return "'" + text.replace("'", "''") + "'"
        return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'

    def lines(self, tree: Tree, indent: int) -> list[str]:
        """Write a mapping in lines of its own."""
        lines: list[str] = []
        step = self.draw(st.integers(1, 4))
        for key, value in tree.items():
            lines += self.between(indent)
            head = f"{' ' * indent}{self.text(key)}:"
            if isinstance(value, dict) and value and self.draw(st.booleans()):
                lines.append(head + self.beside())
                lines += self.lines(value, indent + step)
            elif isinstance(value, list) and self.draw(st.booleans()):
                lines.append(head + self.beside())
                for item in value:
                    lines += self.between(indent + 2)
                    lines.append(f"{' ' * indent}  - {self.text(item)}{self.beside()}")
            elif value is None:
                lines.append(head + self.one_of("", " ~", " null") + self.beside())
            else:
                written = head + " " + self.braces(value, indent + step) + self.beside()
                lines += written.split("\n")
        return lines

    def between(self, indent: int) -> list[str]:
        """Write what may stand between two entries."""
        kind = self.one_of("nothing", "nothing", "note", "blank", "shifted")
        if kind == "nothing":
            return []
        shift = self.draw(st.integers(0, 6)) if kind == "shifted" else indent
        return [""] if kind == "blank" else [" " * shift + self.note()]

    def beside(self) -> str:
        """Write what may stand behind an entry."""
        return self.one_of("", "", " ", "note").replace("note", "  " + self.note())

    def braces(self, value: Any, indent: int) -> str:
        """Write a value on one line, or between brackets over several."""
        if isinstance(value, str):
            return self.text(value)
        first, last = "[]" if isinstance(value, list) else "{}"
        parts = (
            [self.text(item) for item in value]
            if isinstance(value, list)
            else [f"{self.text(key)}: {self.inside(one, indent)}" for key, one in value.items()]
        )
        wrapped = self.one_of("never", "never", "often", "always")
        written = first + self.gap(wrapped, indent)
        for index, part in enumerate(parts):
            comma = "," if index + 1 < len(parts) else self.one_of("", "", ",")
            written += part + comma + (self.gap(wrapped, indent) or " " * bool(comma))
        return written + last

    def inside(self, value: Any, indent: int) -> str:
        """Write a value that stands between brackets itself; nothing is written as ~."""
        return "~" if value is None else self.braces(value, indent + 2)

    def gap(self, wrapped: str, indent: int) -> str:
        """Break the line, with a comment or without, or do not."""
        if wrapped == "never" or (wrapped == "often" and self.draw(st.booleans())):
            return ""
        note = self.one_of("", "note").replace("note", "  " + self.note())
        return f"{note}\n{' ' * (indent + 1)}"


@st.composite
def written_gardens(draw: st.DrawFn) -> tuple[Tree, str]:
    """Draw a garden and the text that says it."""
    tree = draw(trees)
    pen = Pen(draw)
    if draw(st.integers(0, 9)) == 0:
        lines = pen.braces(tree, 0).split("\n")
    else:
        lines = pen.between(0) + pen.lines(tree, 0) + pen.between(0)
    ending = draw(st.sampled_from(["\n", "\n", "\r\n", "\r"]))
    text = ending.join(lines) + draw(st.sampled_from([ending, ""]))
    return tree, draw(st.sampled_from(["", "\ufeff"])) + text


# --- what is edited -----------------------------------------------------------------------
@dataclass(frozen=True)
class Case:
    """A written garden, an edit, what it should say then, and the edit that takes it back."""

    text: str
    edit: Edit
    expected: Tree
    back: Edit | None


def _order(tree: Any) -> Any:
    if isinstance(tree, dict):
        return [(key, _order(value)) for key, value in tree.items()]
    return tree


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Draw a garden and an edit that can be made of it."""
    tree, text = draw(written_gardens())
    kind = draw(st.sampled_from([_set, _set, _set, _remove, _add, _out, _rename, _top, _top_out]))
    edit, expected, back = kind(draw, tree)
    return Case(text, edit, expected, back)


def _deep(tree: Tree, heading: str, label: str, entry: Any) -> Tree:
    return {**tree, heading: {**tree[heading], label: entry}}


def _entry(draw: st.DrawFn, tree: Tree) -> tuple[str, str, Any]:
    heading = draw(st.sampled_from([h for h in ("pots", "pots", "places", "mixes") if h in tree]))
    label = draw(st.sampled_from(sorted(tree[heading])))
    return heading, label, tree[heading][label] or {}


SETTING = {"pots": SetInPot, "places": SetInPlace, "mixes": SetInMix}
REMOVING = {"pots": RemoveFromPot, "places": RemoveFromPlace, "mixes": RemoveFromMix}


def _set(draw: st.DrawFn, tree: Tree) -> tuple[Edit, Tree, Edit | None]:
    heading, label, entry = _entry(draw, tree)
    key = draw(st.sampled_from(sorted(entry)) if entry and draw(st.booleans()) else keys)
    value = draw(texts | mappings | st.lists(texts, max_size=2))
    old = entry.get(key)
    laid = value
    if isinstance(old, dict) and isinstance(value, dict):
        laid = {name: value[name] for name in [*old, *value] if name in value}
    back: Edit = (
        SETTING[heading](label, key, old) if key in entry else REMOVING[heading](label, key)
    )
    expected = _deep(tree, heading, label, {**entry, key: laid})
    return SETTING[heading](label, key, value), expected, back


def _remove(draw: st.DrawFn, tree: Tree) -> tuple[Edit, Tree, Edit | None]:
    heading, label, entry = _entry(draw, tree)
    if not entry:
        return _set(draw, tree)
    key = draw(st.sampled_from(sorted(entry)))
    left = {name: value for name, value in entry.items() if name != key}
    back = SETTING[heading](label, key, entry[key])
    return REMOVING[heading](label, key), _deep(tree, heading, label, left), back


def _add(draw: st.DrawFn, tree: Tree) -> tuple[Edit, Tree, Edit | None]:
    label = draw(labels.filter(lambda label: label not in tree["pots"]))
    after = draw(st.none() | st.sampled_from(sorted(tree["pots"])))
    row = draw(rows)
    pots = list(tree["pots"].items())
    at = len(pots) if after is None else [name for name, _ in pots].index(after) + 1
    expected = {**tree, "pots": dict([*pots[:at], (label, row), *pots[at:]])}
    return AddPot(label, row, after), expected, TakeOutPot(label)


def _out(draw: st.DrawFn, tree: Tree) -> tuple[Edit, Tree, Edit | None]:
    label = draw(st.sampled_from(sorted(tree["pots"])))
    before = list(tree["pots"])
    index = before.index(label)
    left = {name: row for name, row in tree["pots"].items() if name != label}
    back = AddPot(label, tree["pots"][label], before[index - 1] if index else None)
    return TakeOutPot(label), {**tree, "pots": left}, back


def _rename(draw: st.DrawFn, tree: Tree) -> tuple[Edit, Tree, Edit | None]:
    label = draw(st.sampled_from(sorted(tree["pots"])))
    to = draw(labels.filter(lambda one: one not in tree["pots"]))
    pots = {
        (to if name == label else name): ({**row, "was": label} if name == label else row)
        for name, row in tree["pots"].items()
    }
    return RenamePot(label, to), {**tree, "pots": pots}, RenamePot(to, label, known_as=label)


def _top(draw: st.DrawFn, tree: Tree) -> tuple[Edit, Tree, Edit | None]:
    key = draw(st.sampled_from(["garden", "can", "rounds", "custom", "an: odd one"]))
    value = draw(texts | st.lists(texts, max_size=2))
    back = SetAtTop(key, tree[key]) if key in tree else RemoveAtTop(key)
    if key in tree or key in ("custom", "an: odd one"):
        return SetAtTop(key, value), {**tree, key: value}, back
    # A key that the file's documentation knows stands behind the nearest that comes before it.
    known = ["garden", "can", "rounds", "places"]
    nearest = [name for name in known[: known.index(key)] if name in tree][-1:]
    items = list(tree.items())
    at = [name for name, _ in items].index(nearest[0]) + 1 if nearest else len(items)
    return SetAtTop(key, value), dict([*items[:at], (key, value), *items[at:]]), back


def _top_out(draw: st.DrawFn, tree: Tree) -> tuple[Edit, Tree, Edit | None]:
    key = draw(st.sampled_from(sorted(tree)))
    left = {name: value for name, value in tree.items() if name != key}
    return RemoveAtTop(key), left, SetAtTop(key, tree[key]) if key != "places" else None


# --- what must hold -----------------------------------------------------------------------
def values(text: str) -> Tree:
    """Return what a text says, as the garden's reader sees it."""
    return plain(read_tree(source_of(text.encode(), "garden.yaml")))


def notes(text: str) -> list[str]:
    """Return the numbers of the comments in a text."""
    return re.findall(r"#[^\r\n]*?note (\d+);", text)


def own_lines(text: str, path: tuple[str, ...]) -> tuple[int, int]:
    """Return the lines, from 0, that the entry at a path may have parts of: first, and past last.

    Between brackets an entry shares commas with those beside it, so their lines count too.
    """
    tree = read_tree(source_of(text.encode(), "garden.yaml"))
    found = places(tree)
    lines = _lines(text)
    around = found.values[path[:-1]]
    shared = any(_opens(lines, found.values[path[:end]]) for end in range(len(path)))
    beside = [key for key in found.keys if key[:-1] == path[:-1]]
    if path not in found.keys:
        return around.line - 1 if shared else 0, len(lines)
    index = beside.index(path)
    first = found.keys[path].line - 1
    if shared:
        first = (found.keys[beside[index - 1]] if index else around).line - 1
    later = [mark.line - 1 for key, mark in found.keys.items() if mark.line - 1 > first]
    inside = [mark.line - 1 for key, mark in found.keys.items() if key[: len(path)] == path]
    past = [line for line in later if line > max(inside)]
    return first, (min(past) + shared if past else len(lines))


def _lines(text: str) -> list[str]:
    """Return the lines with their breaks; a byte order mark is no part of the first."""
    return text.removeprefix("\ufeff").splitlines(keepends=True)


def _opens(lines: list[str], mark: Any) -> bool:
    return lines[mark.line - 1][mark.column - 1 :][:1] == "{"


def _path(edit: Edit) -> tuple[str, ...]:
    if isinstance(edit, SetAtTop | RemoveAtTop):
        return (edit.key,)
    if isinstance(edit, AddPot):
        return ("pots", edit.after) if edit.after else ("pots",)
    if isinstance(edit, TakeOutPot | RenamePot):
        return ("pots", edit.label)
    return (edit.heading, edit.label)  # type: ignore[attr-defined]


def holds_for(case: Case) -> None:
    """Make the edit; hold its values, comments and lines to what they must be."""
    new = edited(case.text, [case.edit])
    if _order(values(new)) != _order(case.expected):
        raise AssertionError(f"{values(new)} instead of {case.expected}")
    if new.startswith("\ufeff") != case.text.startswith("\ufeff"):
        raise AssertionError("the byte order mark came or went")
    if notes(new) != notes(case.text):
        raise AssertionError(f"comments {notes(new)} instead of {notes(case.text)}")
    path = _path(case.edit)
    if path != ("pots",) and not isinstance(case.edit, SetAtTop):
        old_lines, new_lines = _lines(case.text), _lines(new)
        first, past = own_lines(case.text, path)
        kept = len(old_lines) - past
        if old_lines[:first] != new_lines[:first]:
            raise AssertionError("lines above the edited entry differ")
        if kept and old_lines[-kept:] != new_lines[-kept:]:
            raise AssertionError("lines below the edited entry differ")
    if case.back is not None and "places" in case.expected and not _cannot_go_back(case.back):
        back = values(edited(new, [case.back]))
        if _spoken(back) != _spoken(values(case.text)):
            raise AssertionError(f"{back} after going back to {values(case.text)}")


def _spoken(tree: Tree) -> Tree:
    """Take an empty place for one of which nothing is said, as the garden's reader does."""
    return {**tree, "places": {name: said or {} for name, said in tree["places"].items()}}


def _cannot_go_back(edit: Edit) -> bool:
    return isinstance(edit, _WITH_VALUE) and edit.value is None


_WITH_VALUE = (SetInPot, SetInPlace, SetInMix, SetAtTop)


def main(count: int = 2000) -> None:
    """Run the campaign and say which edits were made."""
    made: Counter[str] = Counter()

    @settings(
        max_examples=count, deadline=None, database=None, suppress_health_check=list(HealthCheck)
    )
    @given(cases())
    def campaign(case: Case) -> None:
        holds_for(case)
        made[type(case.edit).__name__] += 1

    campaign()
    told = ", ".join(f"{name} {times}" for name, times in sorted(made.items()))
    print(f"{made.total()} gardens edited, every comment kept: {told}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
