"""Everything a running service keeps its things in."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from service.storage import answers
from service.storage.database import Database, Full, of_folder
from service.storage.files import Folder
from service.storage.uploads import Uploads

_ADDRESS = "address"


@dataclass(slots=True)
class Store:
    """The data folder with the database, the files and what is under way, and which car a build is of (that never changes)."""

    folder: Path
    database: Database
    files: Folder
    uploads: Uploads
    cars: dict[str, str] = field(default_factory=dict)

    def note_address(self, address: str) -> None:
        """Keep the address that the service was last started on, for the command line."""
        (self.folder / _ADDRESS).write_text(f"{address}\n", encoding="utf-8")

    def address(self) -> str | None:
        """The address that the service was last started on."""
        file = self.folder / _ADDRESS
        return file.read_text(encoding="utf-8").strip() or None if file.exists() else None


def open_store(folder: Path, url: str | None = None, files: str | None = None) -> Store:
    """Open a data folder, made when it is not there, and bring its tables up to this version of the program.

    `url` is that of another database than the folder's own file, `files` that of another place for photographs and papers.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    database = Database(url or of_folder(folder))
    database.migrate()
    with suppress(Full), database.writing() as connection:
        answers.forget_old(connection)
    return Store(folder, database, Folder(files or f"file://{folder.resolve() / 'files'}"), Uploads(folder / "uploads"))
