"""A copy of a data folder's database as it is at one moment, while others go on writing to it; and what such a copy holds."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from service.storage import books
from service.storage.database import Full, says_full

#: How long is waited for a writer of another process.
_BUSY_SECONDS = 60


class BadDatabase(Exception):
    """A file that is no database of ours, or a damaged one: says why."""


@dataclass(frozen=True, slots=True)
class Held:
    """What a database names that stands outside of it: originals with their bytes, by hash, and the ids of books that are done."""

    originals: dict[str, int]
    books: tuple[str, ...]


def take(source: Path, to: Path) -> None:
    """Copy a SQLite file that may be in use, by SQLite's online backup, into one file without a log beside it. Raises Full, BadDatabase.

    All of it is read in one step: whoever writes meanwhile is not held up, and is not in the copy.
    """
    with _told(source), closing(_open(source, "rw")) as live, closing(sqlite3.connect(to)) as copy:
        live.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")


def held(copy: Path) -> Held:
    """What a copy names. Raises BadDatabase when SQLite's own check finds anything wrong with it."""
    with _told(copy), closing(_open(copy, "ro&immutable=1")) as connection:
        wrong = [row[0] for row in connection.execute("PRAGMA integrity_check(5)") if row[0] != "ok"]
        if wrong:
            raise BadDatabase(f"{copy.name} is damaged: {wrong[0]}")
        tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        if "revision" not in tables:
            raise BadDatabase(f"{copy.name} holds no records of ours")
        originals = dict(connection.execute("SELECT sha256, bytes FROM file")) if "file" in tables else {}
        done = connection.execute("SELECT id FROM book WHERE state = ?", (books.DONE,)).fetchall() if "book" in tables else []
        return Held(originals, tuple(row[0] for row in done))


def forget_books(copy: Path, ids: Iterable[str]) -> None:
    """Forget books in a copy whose files were removed since it was taken. Raises Full."""
    with _told(copy), closing(sqlite3.connect(copy)) as connection, connection:
        connection.executemany("DELETE FROM book WHERE id = ?", [(id,) for id in ids])


def _open(file: Path, mode: str) -> sqlite3.Connection:
    return sqlite3.connect(f"file:{quote(str(file.resolve()))}?mode={mode}", uri=True, timeout=_BUSY_SECONDS)


@contextmanager
def _told(file: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        if isinstance(error, sqlite3.OperationalError) and says_full(error):
            raise Full(str(error)) from error
        raise BadDatabase(f"{file.name} cannot be read as a database: {error}") from error
