"""Values written as YAML: plain where every reader of YAML sees the same text in it, else quoted.

Our reader takes ``no`` and ``22:00`` for the texts that they are; an editor or a table program that
opens the same file may not. A text that others would take for a number, a time, a date or a yes is
therefore quoted; numbers, dates and yes or no that were given as such are written plain.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from typing import Any, TypeAlias

import yaml
from yaml.resolver import Resolver

from irrigate.errors import InputError

# The two do not agree on every plain text between brackets.
_LOADERS: tuple[Any, ...] = (getattr(yaml, "CSafeLoader", yaml.SafeLoader), yaml.SafeLoader)
_SIGNS_OF_BRACES = frozenset("[]{},?")
_OTHER_NUMBERS = re.compile(
    r"[-+]?(0o[0-7]+|0x[0-9a-fA-F]+|(\.[0-9]+|[0-9]+\.?[0-9]*)(e[-+]?[0-9]+)?)", re.IGNORECASE
)
_NOTHING = ("", "~", "null", "Null", "NULL")

Value: TypeAlias = "str | float | date | Mapping[str, Value] | Sequence[Value]"
"""What may be written: a text, a number, a yes or no, a date; or a mapping or a list of them."""


def said(value: Value) -> Any:
    """Return a value as the file's reader will see it: texts in dicts and lists."""
    if isinstance(value, Mapping):
        return {_text(key): said(inside) for key, inside in value.items()}
    if isinstance(value, list | tuple):
        return [said(inside) for inside in value]
    return _text(value)


def written(value: Value, *, braces: bool, after: str | None = None) -> str:
    """Write a value on one line; ``braces`` if it will stand between brackets.

    ``after`` is the quote of the text whose place it takes: "'" or '"' is kept; "plain" says that
    a text stood there plain that others would not have taken for one, so this one may too.
    """
    if isinstance(value, Mapping):
        inside = (
            f"{written_key(key, braces=True)}: {written(one, braces=True)}"
            for key, one in value.items()
        )
        return "{" + ", ".join(inside) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(written(one, braces=True) for one in value) + "]"
    text = _text(value)
    if not isinstance(value, str) and _reads_back(text, braces, False):
        return text
    return _quoted(text, braces=braces, key=False, after=after)


def written_key(key: str, *, braces: bool, after: str | None = None) -> str:
    """Write a key; a pot's number stays plain."""
    text = _text(key)
    number = isinstance(number_or_text(text), int)
    return _quoted(text, braces=braces, key=True, after=after or ("plain" if number else None))


def number_or_text(label: str) -> int | str:
    """Return a pot's label as a number where it is one in every reading of it."""
    is_number = label.isascii() and label.isdecimal() and str(int(label)) == label
    return int(label) if is_number else label


def ambiguous(text: str) -> bool:
    """Return whether some reader of YAML takes the text for something else where it is plain."""
    tag = Resolver().resolve(yaml.ScalarNode, text, (True, False))  # type: ignore[no-untyped-call]
    return bool(tag != "tag:yaml.org,2002:str" or _OTHER_NUMBERS.fullmatch(text))


def _quoted(text: str, *, braces: bool, key: bool, after: str | None) -> str:
    if after not in ("'", '"') and _may_be_plain(text, after == "plain"):
        if _reads_back(text, braces, key):
            return text
        after = None
    single = after == "'" or (after != '"' and "'" not in text and ('"' in text or "\\" in text))
    if single:
        return "'" + text.replace("'", "''") + "'"
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _may_be_plain(text: str, even_if_ambiguous: bool) -> bool:
    if text in _NOTHING or text != text.strip():
        return False
    return even_if_ambiguous or not ambiguous(text)


@lru_cache(maxsize=4096)
def _reads_back(text: str, braces: bool, key: bool) -> bool:
    """Ask YAML's readers whether a plain text would come back as it is."""
    if braces and not _SIGNS_OF_BRACES.isdisjoint(text):
        return False
    entry = f"{text}: x" if key else f"x: {text}"
    document = "{" + entry + "}" if braces else entry
    return all(_is_there(document, text, key, loader) for loader in _LOADERS)


def _is_there(document: str, text: str, key: bool, loader: Any) -> bool:
    try:
        top = yaml.compose(document, Loader=loader)
    except yaml.YAMLError:
        return False
    if not isinstance(top, yaml.MappingNode) or len(top.value) != 1:
        return False
    found = top.value[0][0 if key else 1]
    return isinstance(found, yaml.ScalarNode) and not found.style and found.value == text


def _text(value: object) -> str:
    """Return one value's text, or say why it cannot be written."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        if not math.isfinite(value):
            raise InputError(f"{value} is not a number that can be written: give a finite one")
        return f"{Decimal(repr(value)):f}".removesuffix(".0")
    if isinstance(value, int | str):
        text = str(value)
        stray = next((sign for sign in text if _unwritable(sign)), None)
        if stray is not None:
            shown = "".join("�" if _unwritable(sign) else sign for sign in text)
            raise InputError(
                f"“{shown}” holds a character that cannot be written (U+{ord(stray):04X}): "
                "take it out"
            )
        return text
    if isinstance(value, date) and not isinstance(value, datetime):
        return value.isoformat()
    raise InputError(
        f"{value!r} cannot be written: give a text, a number, a date, or lines of them"
    )


def _unwritable(sign: str) -> bool:
    return unicodedata.category(sign) in ("Cc", "Cs", "Zl", "Zp") or sign in "\ufeff\ufffe\uffff"
