"""Edits of the garden file by the tool: the gardener's own lines and comments stay as they are.

An edit says what shall be different. `edited` splices it into the text and reads the result again:
unless its values are exactly the old ones with the edit applied, nothing comes of it. `apply_edits`
also holds the result to everything that the garden file is held to, and writes it only over the
very content that the edits were made for.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from irrigate.errors import GardenFileError, InputError
from irrigate.settings.edit_values import (
    FORBIDDEN,
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
    refuse_forbidden,
)
from irrigate.settings.garden_file import settings_from
from irrigate.settings.line_changes import difference
from irrigate.settings.nodes import plain, read_tree
from irrigate.settings.replacing import replace_content, turn_at
from irrigate.settings.source import LARGEST_FILE_BYTES, Source, read_source, source_of
from irrigate.settings.splicing import spliced
from irrigate.settings.steps import carried_out, in_order

__all__ = [
    "FORBIDDEN", "AddPot", "Edit", "Proposal", "RemoveAtTop", "RemoveFromMix", "RemoveFromPlace",
    "RemoveFromPot", "RenamePot", "SetAtTop", "SetInMix", "SetInPlace", "SetInPot", "TakeOutPot",
    "apply_edits", "difference", "edited", "proposed",
]  # fmt: skip

_BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class Proposal:
    """What edits would make of a garden file: to be shown first, then applied by its digest.

    ``digest`` is that of the content the edits were made for, ``new_digest`` of what would be
    written; the two are equal where the edits change nothing.
    """

    digest: str
    new_digest: str
    content: bytes
    difference: str


def edited(
    text: str, edits: Sequence[Edit], *, by_page: bool = False, name: str = "garden.yaml"
) -> str:
    """Return the text with the edits made, every other byte kept; an `InputError` if it cannot be.

    ``by_page`` refuses what only a person at the file itself may change (`FORBIDDEN`).
    """
    mark = _BYTE_ORDER_MARK if text.startswith(_BYTE_ORDER_MARK) else ""
    old = text.removeprefix(mark)
    tree = _tree(old, name)
    new = old
    for edit in edits:
        try:
            new, tree = _made(new, tree, edit, by_page)
        except GardenFileError as broken:
            raise _cannot(name, edit) from broken
        except InputError as wrong:
            raise InputError(f"{name}: {wrong}") from None
    _hold_against(new, tree, name, edits)
    return mark + new


def _made(text: str, tree: dict[str, Any], edit: Edit, by_page: bool) -> tuple[str, dict[str, Any]]:
    for step in edit.steps(tree):
        if by_page:
            refuse_forbidden(step)
        tree = carried_out(tree, step)
        text = spliced(text, step)
        read_tree(_source(text, "the edited file"))  # what follows is laid out on this
    return text, tree


def _hold_against(text: str, tree: dict[str, Any], name: str, edits: Sequence[Edit]) -> None:
    """Read the new text; refuse it unless it says exactly what it should."""
    if in_order(_tree(text, name)) != in_order(tree):
        raise _cannot(name, edits[-1] if len(edits) == 1 else None)


def _cannot(name: str, edit: Edit | None) -> InputError:
    what = f"{edit.about} is" if edit else "what is to be changed is"
    return InputError(
        f"{name}: {what} written in a way that cannot be changed from here without harm to the "
        "lines around it; change it by hand; nothing was written"
    )


def _tree(text: str, name: str) -> dict[str, Any]:
    tree: dict[str, Any] = plain(read_tree(_source(text, name)))
    return tree


def _source(text: str, name: str) -> Source:
    return source_of(text.encode("utf-8", "surrogatepass"), name)


def proposed(path: Path, edits: Sequence[Edit], *, by_page: bool = False) -> Proposal:
    """Return what the edits would make of the file, checked whole; nothing is written."""
    source = read_source(path)
    text = source.content.decode("utf-8")
    new = edited(text, edits, by_page=by_page, name=source.name)
    content = new.encode("utf-8")
    if len(content) > LARGEST_FILE_BYTES:
        limit = f"{LARGEST_FILE_BYTES // 1000} kB"
        raise InputError(f"{source.name}: it would be larger than {limit}; nothing was written")
    try:
        settings_from(source_of(content, source.name), path.parent)
    except GardenFileError as wrong:
        raise _refused(source.name, wrong) from None
    return Proposal(
        digest=_digest(source.content),
        new_digest=_digest(content),
        content=content,
        difference=difference(text, new, source.name),
    )


def _refused(name: str, wrong: GardenFileError) -> GardenFileError:
    said = f"{name}: with this change the file could not be used; nothing was written"
    return GardenFileError([said, *wrong.faults])


def apply_edits(
    path: Path, edits: Sequence[Edit], expect_digest: str, *, by_page: bool = False
) -> str:
    """Write the edits into the file, if it still is what ``expect_digest`` says.

    Returns the digest of the new content (that of `Settings.digest`). An `InputError` if somebody
    else saved it meanwhile, if the result would not be in order, or if it cannot be written; the
    file is then as it was.
    """
    with turn_at(path) as target:
        if _digest(read_source(path).content) != expect_digest:
            raise _changed_meanwhile(path)
        proposal = proposed(path, edits, by_page=by_page)
        if proposal.digest != expect_digest:
            raise _changed_meanwhile(path)
        if proposal.new_digest != expect_digest:

            def unchanged() -> None:
                if _digest(read_source(path).content) != expect_digest:
                    raise _changed_meanwhile(path)

            replace_content(target, proposal.content, unchanged)
    return proposal.new_digest


def _changed_meanwhile(path: Path) -> InputError:
    return InputError(f"{path.name} was changed meanwhile; nothing was written")


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
