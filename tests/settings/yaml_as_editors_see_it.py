"""YAML as an editor's language server reads it before it holds it against a JSON schema.

Scalars get their types by the core schema of YAML 1.2.2 (section 10.3.2): 07:00 and yes are texts
there, 38.6 and 7 are numbers. Keys are property names, and so texts as they stand.
"""

from __future__ import annotations

import re
from typing import Any

import yaml

# YAML 1.2.2, section 10.3.2, "Tag Resolution" of the core schema.
CORE = (
    (re.compile(r"null|Null|NULL|~|"), lambda text: None),
    (re.compile(r"true|True|TRUE"), lambda text: True),
    (re.compile(r"false|False|FALSE"), lambda text: False),
    (re.compile(r"[-+]?[0-9]+"), int),
    (re.compile(r"0o[0-7]+"), lambda text: int(text, 0)),
    (re.compile(r"0x[0-9a-fA-F]+"), lambda text: int(text, 0)),
    (re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?"), float),
    (re.compile(r"[-+]?(\.inf|\.Inf|\.INF)"), lambda text: float("inf")),
    (re.compile(r"\.nan|\.NaN|\.NAN"), lambda text: float("nan")),
)


def as_editors_see_it(text: str) -> Any:
    """Return the values of a YAML text by the core schema; `yaml.YAMLError` if it is none."""
    return _value(yaml.compose(text, Loader=yaml.SafeLoader))


def _value(node: Any) -> Any:
    if isinstance(node, yaml.MappingNode):
        return {key.value: _value(value) for key, value in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [_value(item) for item in node.value]
    if node.style is None:
        for pattern, made in CORE:
            if pattern.fullmatch(node.value):
                return made(node.value)
    return node.value
