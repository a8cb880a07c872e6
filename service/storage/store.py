"""Everything a running service keeps its things in."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from service.storage.database import Database, of_folder
from service.storage.files import Folder
from service.storage.uploads import Uploads


@dataclass(slots=True)
class Store:
    """The data folder with the database, the files and what is under way, and which car a build is of (that never changes)."""

    folder: Path
    database: Database
    files: Folder
    uploads: Uploads
    cars: dict[str, str] = field(default_factory=dict)


def open_store(folder: Path, url: str | None = None, files: str | None = None) -> Store:
    """Open a data folder, made when it is not there, and bring its tables up to this version of the program.

    `url` is that of another database than the folder's own file, `files` that of another place for photographs and papers.
    """
    folder.mkdir(parents=True, exist_ok=True)
    database = Database(url or of_folder(folder))
    database.migrate()
    return Store(folder, database, Folder(files or f"file://{folder.resolve() / 'files'}"), Uploads(folder / "uploads"))
