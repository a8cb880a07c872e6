"""The database: SQLite in a file, or PostgreSQL by URL. One writer at a time within a process, any number of readers."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import OperationalError

from service.storage.writer import Writer

#: How long a writer waits for another process (a backup, the command line) to let go of the file.
_BUSY_SECONDS = 30
_READERS = 8
_MIGRATIONS = Path(__file__).with_name("migrations")


class Full(Exception):
    """The disk has no room: nothing of the transaction was kept."""


class Newer(Exception):
    """The tables were made by a newer release of the program, which this one would damage."""


class Database:
    """Opens, migrates and hands out connections. `url` is a SQLAlchemy URL; `of_folder` gives that of a data folder."""

    def __init__(self, url: str) -> None:
        self.url = make_url(url)
        if self.url.get_backend_name() == "postgresql":
            self.url = self.url.set(drivername="postgresql+psycopg")
        self.is_sqlite = self.url.get_backend_name() == "sqlite"
        self._writer = self._engine(writes=True)
        self._one_writer = Writer(self._writer) if self.is_sqlite else None
        self._reader = self._engine(writes=False)

    def _engine(self, *, writes: bool) -> Engine:
        if not self.is_sqlite:
            return create_engine(self.url, pool_size=_READERS, max_overflow=_READERS, pool_pre_ping=True,
                                 isolation_level="READ COMMITTED" if writes else "REPEATABLE READ")
        engine = create_engine(self.url, pool_size=1 if writes else _READERS, max_overflow=0 if writes else _READERS,
                               connect_args={"timeout": _BUSY_SECONDS, "check_same_thread": False})
        event.listen(engine, "connect", _prepare_writer if writes else _prepare_reader)
        if not writes:
            event.listen(engine, "begin", _begin)
        return engine

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction that is durable once the block ends; rolled back when it raises. Raises Full when the disk is.

        SQLite takes one writer; waiting for it here, in turn, is far quicker than polling for the file's lock.
        """
        try:
            with self._one_writer.transaction() if self._one_writer else self._writer.begin() as connection:
                yield connection
        except (OperationalError, sqlite3.OperationalError) as error:
            if says_full(error):
                raise Full(str(error)) from error
            raise

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A consistent view of what is kept."""
        with self._reader.begin() as connection:
            yield connection

    def migrate(self, version: str = "head") -> None:
        """Bring the tables up to this version of the program, or to an earlier one. Raises Newer, having changed nothing."""
        found, known = self.version(), newest_version()
        if found == known:
            return
        if found is not None and found > known:
            raise Newer(f"these records were kept by a newer release of the program (tables {found}; this one knows them up to {known}): "
                        "start that release, or restore a backup from before it")
        from alembic import command

        with self.writing() as connection:
            command.upgrade(migration_settings(connection), version)

    def version(self) -> str | None:
        """The version that the tables have; None when there are none yet."""
        with self.writing() as connection:
            if not inspect(connection).has_table("alembic_version"):
                return None
            return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()

    def answers(self) -> None:
        """Raise an error of SQLAlchemy when the database does not answer."""
        with self.reading() as connection:
            connection.execute(text("SELECT 1 FROM revision LIMIT 1")).all()

    def close(self) -> None:
        """Close every connection."""
        if self._one_writer:
            self._one_writer.close()
        self._writer.dispose()
        self._reader.dispose()


def newest_version() -> str:
    """The version that this program brings tables to: migrations are numbered by their file names."""
    return max(path.stem.split("_")[0] for path in _MIGRATIONS.glob("versions/[0-9]*.py"))


def migration_settings(connection: Connection) -> Any:
    """Alembic's settings for migrations over `connection`."""
    from alembic.config import Config

    found = Config()
    found.set_main_option("script_location", str(_MIGRATIONS).replace("%", "%%"))
    found.attributes["connection"] = connection
    return found


def _prepare_writer(connection: Any, _record: Any) -> None:
    # The driver must not begin transactions by itself: it would begin deferred ones.
    connection.isolation_level = None
    for pragma in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", "wal_autocheckpoint = 1000", "cache_size = -65536"):
        connection.execute(f"PRAGMA {pragma}")


def _prepare_reader(connection: Any, _record: Any) -> None:
    connection.isolation_level = None
    for pragma in ("query_only = ON", "cache_size = -16384", "mmap_size = 268435456"):
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN")


def says_full(error: OperationalError | sqlite3.OperationalError) -> bool:
    """SQLITE_FULL, or SQLITE_IOERR while a full disk takes no more of the log; PostgreSQL's disk_full (53100)."""
    original = error.orig if isinstance(error, OperationalError) else error
    return (getattr(original, "sqlite_errorname", "") or "").startswith(("SQLITE_FULL", "SQLITE_IOERR_WRITE", "SQLITE_IOERR_SHMSIZE")) \
        or getattr(original, "sqlstate", "") == "53100"


def of_folder(folder: Path) -> str:
    """The URL of a data folder's own SQLite file."""
    return f"sqlite:///{(folder / 'records.sqlite3').resolve()}"
