"""The garden file as a JSON schema (2020-12), for editors that complete and check while one types.

It is made out of the models and the catalogue that `check` goes by, so that neither can know a key
that the other does not.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from irrigate.settings.entries import Entry
from irrigate.settings.kind_entries import KindEntry
from irrigate.settings.schema import GardenEntry
from irrigate.settings.stocked_names import stocked
from irrigate.settings.written import HINT, OrCommas, OrElse, Part, Written

_DEFINED = "#/$defs/"
DIALECT = "https://json-schema.org/draft/2020-12/schema"


def garden_schema() -> Part:
    """Return the schema of a garden file."""
    schema = _Collector()
    top = schema.of_model(GardenEntry)
    return {
        "$schema": DIALECT,
        "title": "Garden file",
        "description": "What `irrigate` reads: the site, the rounds, the people, the pots",
        **top,
        "allOf": [
            _catalogue_only("plants", [_in_pots("plant", schema.named(_name_of("plants")))]),
            _catalogue_only(
                "mixes",
                [
                    _in_pots("mix", schema.named(_name_of("mixes"))),
                    {"properties": {"mix": schema.named(_name_of("mixes"))}},
                ],
            ),
            _catalogue_only("pot kinds", [_in_pots("pot", schema.pot_without_own_kinds())]),
        ],
        "$defs": dict(sorted(schema.parts.items())),
    }


class _Collector:
    """Turns types into parts of the schema; what has a name is kept once, and referred to."""

    def __init__(self) -> None:
        self.parts: dict[str, Part] = {}

    def of_model(self, model: type[Entry]) -> Part:
        """Return what a mapping must be, key by key."""
        fields = {field.alias or name: field for name, field in model.model_fields.items()}
        needed = [key for key, field in fields.items() if field.is_required()]
        if any("required" in rule for rule in model.rule.get("anyOf", ())):
            needed = []  # the rule says which of them are needed, and when
        return {
            "type": "object",
            "description": (model.__doc__ or "").splitlines()[0].rstrip("."),
            "properties": {key: self.of_field(field) for key, field in fields.items()},
            **({"required": needed} if needed else {}),
            "additionalProperties": False,
            **model.rule,
        }

    def of_field(self, field: FieldInfo) -> Part:
        """Return what may stand under one key, with what the key is for."""
        part = self.of_type(field.annotation, field.metadata)
        extra = field.json_schema_extra
        return {
            **({"description": field.description} if field.description else {}),
            **part,
            **(extra if isinstance(extra, dict) else {}),
        }

    def of_type(self, annotation: Any, metadata: Iterable[Any] = ()) -> Part:
        """Return what a value of a type may be."""
        marks = list(metadata)
        while get_origin(annotation) is Annotated:
            annotation, *more = get_args(annotation)
            marks = [*more, *marks]
        for mark in reversed(marks):
            if isinstance(mark, Written):
                return self.named(mark)
            if isinstance(mark, OrElse):
                shorter = mark.shorter if isinstance(mark.shorter, dict) else None
                return _either([shorter or self.of_type(mark.shorter), self._bare(annotation)])
            if isinstance(mark, OrCommas):
                return self._listed(mark.item)
        return self._bare(annotation)

    def named(self, written: Written) -> Part:
        """Keep what a type's values are under its name; return a reference to it."""
        name = written.name.replace(" ", "-")
        if name not in self.parts:
            self.parts[name] = written.part()
        return _reference(name)

    def pot_without_own_kinds(self) -> Part:
        """Return what a pot may be where only the catalogue's kinds are there to name."""
        return _either([self._bare(KindEntry), self.named(_name_of("kinds"))])

    def _bare(self, annotation: Any) -> Part:
        """Return what a type without marks of its own may be."""
        if isinstance(annotation, type) and issubclass(annotation, Entry):
            return self._model_named(annotation)
        origin, arguments = get_origin(annotation), get_args(annotation)
        if origin in (Union, UnionType):
            said = [self.of_type(one) for one in arguments if one is not type(None)]
            return said[0] if len(said) == 1 else _either(said)
        if origin is list:
            return {"type": "array", "items": self.of_type(arguments[0])}
        if origin is dict:
            return {
                "type": "object",
                "propertyNames": self.of_type(arguments[0]),
                "additionalProperties": self.of_type(arguments[1]),
            }
        raise TypeError(f"nothing is known of how {annotation} is written")

    def _model_named(self, model: type[Entry]) -> Part:
        words = re.findall("[A-Z][a-z]+", model.__name__.removesuffix("Entry"))
        name = "-".join(["entry", *words]).lower()  # apart from the types of single values
        if name not in self.parts:
            self.parts[name] = {}  # so that a model within itself would end
            self.parts[name] = self.of_model(model)
        return _reference(name)

    def _listed(self, item: Any) -> Part:
        one = self.of_type(item)
        of_one = self.parts[one["$ref"].removeprefix(_DEFINED)]
        pattern = of_one["pattern"].removeprefix("^").removesuffix("$")
        text = {"type": "string", "pattern": f"^{pattern}(,{pattern})*$"}
        hint = {HINT: of_one[HINT], "examples": of_one["examples"]}
        return {"anyOf": [{"type": "array", "items": one, "minItems": 1}, text | hint]}


def _either(ways: list[Part]) -> Part:
    """Let any of several be."""
    return {"anyOf": ways}


def _reference(name: str) -> Part:
    return {"$ref": _DEFINED + name}


def _name_of(shelf: str) -> Written:
    called = {"plants": "catalogue plant", "mixes": "catalogue mix", "kinds": "catalogue kind"}
    return Written(called[shelf], stocked(shelf))


def _catalogue_only(heading: str, parts: list[Part]) -> Part:
    """Hold names to the catalogue's in a file that has none of its own under a heading."""
    return {"if": {"not": {"required": [heading]}}, "then": {"allOf": parts}}


def _in_pots(key: str, part: Part) -> Part:
    of_each = {"type": "object", "properties": {key: part}}
    return {"properties": {"pots": {"additionalProperties": of_each}}}
