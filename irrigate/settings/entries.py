"""What every part of a garden file has in common, and what helps to read them.

A description is what a person reads when the entry is missing, and in an editor beside it.
"""

from __future__ import annotations

from typing import ClassVar

from pydantic import BaseModel, ConfigDict

from irrigate.settings.written import Part


class Entry(BaseModel):
    """What every part of the file has in common: no unknown names, nothing changed later.

    ``rule`` is what a JSON schema can say of entries together.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)
    rule: ClassVar[Part] = {}


def listed(value: object) -> object:
    """Let one text stand for a list of one, or of what its commas part."""
    if isinstance(value, str):
        return [part.strip() for part in value.split(",")]
    return value


def blank(value: object) -> object:
    """Let a name with nothing below it stand for an entry with nothing said."""
    return {} if value is None else value


def in_lines(value: object) -> str:
    """Tell the two ways of writing apart; angle brackets keep the tags out of messages."""
    return "<lines>" if isinstance(value, dict | BaseModel) else "<text>"
