"""YAML as the gardener wrote it: texts, lists and mappings, each with its place in the file.

YAML's own guesses at what a word means are not used: ``22:00`` unquoted would be 1320, ``no``
false, ``010`` eight, and the second of two equal keys would silently win. Here every scalar stays
the text that was written; what it means is decided by the field it stands in. One pass over the
parser's events builds the tree, so that nothing is expanded before it was looked at: references
(``&``, ``*``, ``<<``) and tags (``!``) are refused, which leaves no way to make a small file grow.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from irrigate.errors import GardenFileError
from irrigate.settings.source import Mark, Source

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
DEEPEST = 12
"""A garden file needs five levels."""

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Text:
    """A scalar, as written; ``plain`` when it stands without quotes."""

    text: str
    plain: bool
    mark: Mark

    @property
    def empty(self) -> bool:
        """Whether nothing was written, in any of YAML's ways."""
        return self.plain and self.text in ("", "~", "null", "Null", "NULL")


@dataclass(frozen=True, slots=True)
class List:
    """A list of nodes."""

    items: tuple[Node, ...]
    mark: Mark


@dataclass(frozen=True, slots=True)
class Mapping:
    """Entries in the order they were written; no key twice."""

    entries: tuple[tuple[Text, Node], ...]
    mark: Mark

    def get(self, key: str) -> Node | None:
        """Return what stands under ``key``, or None."""
        return next((value for name, value in self.entries if name.text == key), None)


Node = Text | List | Mapping


def read_tree(source: Source) -> Mapping:
    """Return the mapping that the file holds; a `GardenFileError` with every fault of its form."""
    builder = _Builder(source)
    try:
        top = builder.document()
    except yaml.MarkedYAMLError as wrong:
        builder.faults.append(_form_fault(source, wrong))
        top = None
    except yaml.YAMLError as wrong:
        builder.faults.append(source.fault(Mark(1, 1), f"is not YAML ({_first_line(str(wrong))})"))
        top = None
    if top is not None and not isinstance(top, Mapping):
        what = "the file must be made of lines such as “garden: Back yard”"
        builder.faults.append(source.fault(top.mark, what))
    if builder.faults:
        raise GardenFileError(builder.faults)
    if not isinstance(top, Mapping):
        raise GardenFileError([source.fault(Mark(1, 1), "the file is empty")])
    return top


@dataclass(frozen=True, slots=True)
class Places:
    """Where every node of a tree stands, by its path: its value, and for an entry its key."""

    values: dict[Path, Mark]
    keys: dict[Path, Mark]


def places(top: Node) -> Places:
    """Map every path of the tree to its places in the file."""
    found = Places({}, {})
    waiting: list[tuple[Path, Node]] = [((), top)]
    while waiting:
        path, node = waiting.pop()
        found.values[path] = node.mark
        if isinstance(node, List):
            waiting += [((*path, index), item) for index, item in enumerate(node.items)]
        elif isinstance(node, Mapping):
            for key, value in node.entries:
                found.keys[(*path, key.text)] = key.mark
                waiting.append(((*path, key.text), value))
    return found


def plain(node: Node) -> Any:
    """Return the tree as dicts, lists and strings; None for an empty scalar."""
    if isinstance(node, Text):
        return None if node.empty else node.text
    if isinstance(node, List):
        return [plain(item) for item in node.items]
    return {key.text: plain(value) for key, value in node.entries}


class _Builder:
    """Builds the tree out of the parser's events, noting faults as it meets them."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.faults: list[str] = []
        self.events: Iterator[Any] = yaml.parse(source.text, Loader=_LOADER)

    def document(self) -> Node | None:
        """Return the one document's root, or None if there is none."""
        root: Node | None = None
        documents = 0
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self.note(_mark(event), "“---” begins a second document; one file, one garden")
                    break
            elif isinstance(event, yaml.NodeEvent):
                root = self.node(event, 0)
        if isinstance(root, Text) and root.empty:
            return None
        return root

    def node(self, event: Any, depth: int) -> Node:
        """Return the node that begins with ``event``."""
        mark = _mark(event)
        if depth > DEEPEST:
            raise GardenFileError(
                [*self.faults, self.source.fault(mark, f"is nested more than {DEEPEST} deep")]
            )
        if isinstance(event, yaml.AliasEvent):
            self.note(mark, f"“*{event.anchor}” refers to another place; write it out here")
            return Text("", True, mark)
        if event.anchor is not None:
            self.note(
                mark, f"“&{event.anchor}” is not understood here; put it in quotes or take it out"
            )
        if event.tag is not None:
            self.note(
                mark, f"“{event.tag}” is not understood here; put it in quotes or take it out"
            )
        if isinstance(event, yaml.ScalarEvent):
            return Text(event.value, not event.style, mark)
        if isinstance(event, yaml.SequenceStartEvent):
            return self.list(mark, depth)
        return self.mapping(mark, depth)

    def list(self, mark: Mark, depth: int) -> List:
        """Return the list that has just begun."""
        items: list[Node] = []
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            items.append(self.node(event, depth + 1))
        return List(tuple(items), mark)

    def mapping(self, mark: Mark, depth: int) -> Mapping:
        """Return the mapping that has just begun, the second of two equal keys left out."""
        entries: dict[str, tuple[Text, Node]] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            key = self.node(event, depth + 1)
            value = self.node(next(self.events), depth + 1)
            if not isinstance(key, Text):
                self.note(key.mark, "a name is expected before the colon")
            elif key.text == "<<" and key.plain:
                self.note(key.mark, "“<<” is not understood here; write the lines out")
            elif key.empty:
                self.note(key.mark, "a name is missing before the colon")
            elif key.text in entries:
                first = entries[key.text][0].mark.line
                self.note(
                    key.mark, f"“{key.text}” is already in line {first}; take one of them out"
                )
            else:
                entries[key.text] = (key, value)
        return Mapping(tuple(entries.values()), mark)

    def note(self, mark: Mark, what: str) -> None:
        """Keep a fault and go on."""
        self.faults.append(self.source.fault(mark, what))


def _mark(event: Any) -> Mark:
    return Mark(event.start_mark.line + 1, event.start_mark.column + 1)


_REASONS = (
    ("mapping values are not allowed", "a second colon, or a line that is indented too far"),
    ("block sequence entries", "a list begins on a line of its own, below its name"),
    ("expected ':'", "a colon is missing in the line before, or a space after it"),
    ("escape character", "“\\” means something else between double quotes; use single ones"),
    ("unexpected end of stream", "a quote is opened here and never closed"),
    ("unexpected document indicator", "a quote is opened here and never closed"),
    ("did not find expected", "does not fit what stands above: a wrong indent, an open bracket?"),
    ("cannot start any token", "a value may not begin with this character; put it in quotes"),
    ("nesting depth", f"is nested more than {DEEPEST} deep"),
)


def _form_fault(source: Source, wrong: yaml.MarkedYAMLError) -> str:
    """Say in the gardener's words why the parser gave up."""
    problem, context = wrong.problem or "", wrong.context or ""
    quoted = "quoted scalar" in context and "escape" not in problem
    at = wrong.context_mark if quoted else wrong.problem_mark or wrong.context_mark
    mark = Mark(at.line + 1, at.column + 1) if at is not None else Mark(1, 1)
    tab = re.match(r"[ ]*\t", source.line(mark.line))
    if tab:
        return source.fault(Mark(mark.line, tab.end()), "a tab; indent with spaces instead")
    for symptom, what in _REASONS:
        if symptom in problem:
            return source.fault(mark, what)
    return source.fault(mark, f"this cannot be read ({_first_line(problem)})")


def _first_line(text: str) -> str:
    return text.strip().splitlines()[0] if text.strip() else "no reason given"
