"""Everything a running service keeps its things in."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from service.storage.database import Database, of_folder


@dataclass(slots=True)
class Store:
    """The database, its folder, and which car a build is of (that never changes)."""

    folder: Path
    database: Database
    cars: dict[str, str] = field(default_factory=dict)


def open_store(folder: Path, url: str | None = None) -> Store:
    """Open a data folder, made when it is not there, and bring its tables up to this version of the program."""
    folder.mkdir(parents=True, exist_ok=True)
    database = Database(url or of_folder(folder))
    database.migrate()
    return Store(folder, database)
