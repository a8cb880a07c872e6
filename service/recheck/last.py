"""What a recheck compares with, and what it keeps for the next one."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from service.recheck.items import Item
from service.storage import found
from service.storage.found import Found, FoundFiles
from service.storage.store import Store


class Last:
    """What was last found of builds: of the store's in its database, of others in a folder."""

    def __init__(self, folder: Path, store: Store | None) -> None:
        self._files, self._store = FoundFiles(folder), store

    def get(self, item: Item) -> Found | None:
        """What was last found of a build; None when nothing was."""
        if item.place or self._store is None:
            return self._files.get(_name(item))
        with self._store.database.reading() as connection:
            return found.get(connection, item.name)

    def keep(self, new: Mapping[Item, Found]) -> None:
        """Keep what was found now."""
        for item, one in new.items():
            if item.place:
                self._files.put(_name(item), one)
        if self._store is not None:
            with self._store.database.writing() as connection:
                found.put(connection, {item.name: one for item, one in new.items() if not item.place})


def _name(item: Item) -> str:
    return f"{item.place} {item.name}".strip()
