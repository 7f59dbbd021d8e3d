"""What is wrong with a garden file, each fault in one line: where, what, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from irrigate.settings.likeness import Likeness
from irrigate.settings.nodes import Mapping, Node, Path, Places, Text
from irrigate.settings.readers import did_you_mean
from irrigate.settings.schema import GardenEntry
from irrigate.settings.source import Mark, Source
from irrigate.settings.words import HEIGHTS_M, WIDTHS_OF_POT

_EXPECTED = {
    "dict_type": "lines of its own are expected here, each with a name and a colon",
    "model_type": "lines of its own are expected here, each with a name and a colon",
    "model_attributes_type": "lines of its own are expected here, each with a name and a colon",
    "list_type": "a list is expected here, as in [one, two]",
    "tuple_type": "a list is expected here, as in [one, two]",
}


class Faults:
    """Collects faults with their places, one for each place, and tells them in the file's order."""

    def __init__(self, source: Source, places: Places, likeness: Likeness) -> None:
        self.source = source
        self.places = places
        self.likeness = likeness
        self._found: dict[Mark, str] = {}

    def note(self, path: Path, what: str, *, at_key: bool = False) -> None:
        """Keep what is wrong at a path, unless something is known to be wrong there already."""
        path = self.likeness.written(path)
        self._found.setdefault(self._place(path, at_key=at_key), f"{_called(path)}{what}")

    def note_empty(self, tree: Mapping) -> None:
        """Find the names that nothing was written for."""
        for path, node in _leaves(tree):
            if isinstance(node, Text) and node.empty and not _may_be_empty(path):
                siblings = _siblings(path)
                if siblings and path[-1] not in siblings:
                    continue  # the schema will say that the name itself is not known
                self.note(path, f"has no value{self._comment_hint(node.mark)}")

    def note_schema(self, wrong: ValidationError) -> None:
        """Keep what the schema refused."""
        errors = wrong.errors(include_url=False)
        misspelled = {
            self._note_unknown(self.likeness.written(_written(error)))
            for error in errors
            if error["type"] == "extra_forbidden"
        }
        for error in errors:
            path = _written(error)
            if error["type"] == "missing":
                to_blame = self.likeness.lacking(path)
                if to_blame is not None and not misspelled & {path, to_blame}:
                    self._note_missing(to_blame)
            elif error["type"] != "extra_forbidden":
                self.note(path, self._what(error, path), at_key="[key]" in error["loc"])

    def _note_unknown(self, path: Path) -> Path:
        """Keep that a name is not known; return the path that was probably meant."""
        name, siblings = str(path[-1]), _siblings(path)
        hint = did_you_mean(name, siblings, most=20)
        if name in WIDTHS_OF_POT or name in HEIGHTS_M:
            hint = "a size of two parts needs quotes between brackets"
        elif name[:1].isdigit():
            hint = "a comma between brackets begins a new entry; write decimals with a point"
        self.note(path, f"is not known here; {hint}", at_key=True)
        return (*path[:-1], *(name for name in siblings if hint == f"did you mean {name}?"))

    def _note_missing(self, path: Path) -> None:
        hint = _description(path)
        what = f"“{path[-1]}” is missing{hint and f': {hint}'}"
        self.note(path[:-1], what, at_key=True)

    def told(self) -> list[str]:
        """Return the faults in the order of the file."""
        marks = sorted(self._found, key=lambda mark: (mark.line, mark.column))
        return [self.source.fault(mark, self._found[mark]) for mark in marks]

    def _what(self, error: ErrorDetails, path: Path) -> str:
        if error["type"] in _EXPECTED:
            return _EXPECTED[error["type"]]
        cause = error.get("ctx", {}).get("error")
        what = str(cause) if cause is not None else error["msg"]
        cut = self._cut_by_comment(path)
        return f"{what.partition('; ')[0]}; {cut}" if cut else what

    def _place(self, path: Path, *, at_key: bool) -> Mark:
        """Return where the path stands, or the nearest part of it that was written."""
        for length in range(len(path), 0, -1):
            if at_key and path[:length] in self.places.keys:
                return self.places.keys[path[:length]]
            if path[:length] in self.places.values:
                return self.places.values[path[:length]]
        return Mark(1, 1)

    def _comment_hint(self, mark: Mark) -> str:
        rest = self.source.line(mark.line)[mark.column - 1 :]
        if rest.lstrip().startswith("#"):
            return ": what follows # is a comment; put all of it in quotes if it belongs here"
        return ": write one, or take the line out"

    def _cut_by_comment(self, path: Path) -> str:
        """Say so where a value was cut short by a # that was meant to belong to it."""
        mark = self.places.values.get(path)
        if mark is None:
            return ""
        _, sign, after = self.source.line(mark.line)[mark.column - 1 :].partition(" #")
        if sign and after[:1].isdigit():
            return "what follows # is a comment: put all of it in quotes if it belongs here"
        return ""


def _written(error: ErrorDetails) -> Path:
    """Return an error's path without what the schema's unions and key checks put in."""
    return tuple(
        part for part in error["loc"] if part not in ("[key]", "<lines>", "<text>", "<provider>")
    )


def _called(path: Path) -> str:
    """Say which entry a fault is about, in the file's own names."""
    names = [part for part in path if isinstance(part, str)]
    if not names:
        return ""
    if len(names) > 1 and names[0] in ("pots", "places", "mixes", "plants", "pot kinds"):
        kind = "pot" if names[0] == "pots" else ""
        return " ".join(part for part in (kind, *names[1:2]) if part) + _rest(names[2:])
    return ", ".join(names) + ": "


def _rest(names: list[str]) -> str:
    return "".join(f", {name}" for name in names) + ": "


def _leaves(top: Mapping) -> Iterable[tuple[Path, Node]]:
    waiting: list[tuple[Path, Node]] = [((), top)]
    while waiting:
        path, node = waiting.pop()
        if isinstance(node, Text):
            yield path, node
        elif isinstance(node, Mapping):
            waiting += [((*path, key.text), value) for key, value in node.entries]
        else:
            waiting += [((*path, index), item) for index, item in enumerate(node.items)]


def _may_be_empty(path: Path) -> bool:
    return len(path) == 2 and path[0] == "places"


def _siblings(path: Path) -> list[str]:
    model = _model_at(path[:-1])
    if model is None:
        return []
    return [field.alias or name for name, field in model.model_fields.items()]


def _description(path: Path) -> str:
    model = _model_at(path[:-1])
    if model is None:
        return ""
    for name, field in model.model_fields.items():
        if path[-1] == (field.alias or name):
            return field.description or ""
    return ""


def _model_at(path: Path) -> type[BaseModel] | None:
    """Return the model that describes the mapping at a path."""
    here: Any = GardenEntry
    for part in path:
        model = _model_of(here)
        if model is not None:
            fields = {field.alias or name: field for name, field in model.model_fields.items()}
            if part not in fields:
                return None
            here = fields[str(part)].annotation
        else:
            here = _inside(here)
    return _model_of(here)


def _model_of(annotation: Any) -> type[BaseModel] | None:
    """Return the model among the alternatives of an annotation, if there is one."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) in (Annotated, Union, UnionType):
        for part in get_args(annotation):
            model = _model_of(part)
            if model is not None:
                return model
    return None


def _inside(annotation: Any) -> Any:
    """Return what a list or a dict holds."""
    arguments = get_args(annotation)
    return arguments[-1] if arguments and get_origin(annotation) in (dict, list) else None
