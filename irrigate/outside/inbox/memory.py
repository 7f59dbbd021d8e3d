"""An inbox that lives as long as the process: for the demo, and for trying out."""

from __future__ import annotations

from collections.abc import Sequence
from threading import Lock

from irrigate.outside.inbox.paper import file_name, read, written
from irrigate.ports import Item


class MemoryInbox:
    """`irrigate.ports.Inbox` without a folder; what one could not keep is refused here too."""

    def __init__(self) -> None:
        self._turn = Lock()
        self._items: dict[str, Item] = {}

    def put(self, item: Item) -> None:
        """Keep the item, unless one of its key is waiting already."""
        kept = read(written(item))
        with self._turn:
            self._items.setdefault(kept.key, kept)

    def waiting(self) -> list[Item]:
        """Return what has not been marked done, in order of arrival."""
        with self._turn:
            return sorted(self._items.values(), key=file_name)

    def done(self, keys: Sequence[str]) -> None:
        """Forget the items: their facts are in the journal."""
        with self._turn:
            for key in keys:
                self._items.pop(key, None)

    def has_waiting(self) -> bool:
        """Return whether there is anything to look at."""
        return bool(self._items)
