"""Data folders and databases for tests: a migrated SQLite file copied for each, and a private PostgreSQL on this machine."""

from __future__ import annotations

import itertools
import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import psycopg

from service.storage.database import Database, of_folder
from service.storage.models import Base

_numbers = itertools.count()


@cache
def _migrated_file() -> Path:
    folder = Path(mkdtemp(prefix="asfitted-template-"))
    database = Database(of_folder(folder))
    database.migrate()
    database.close()
    return folder / "records.sqlite3"


def sqlite_url(folder: Path) -> str:
    """The URL of an empty, migrated SQLite file in a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copy(_migrated_file(), folder / "records.sqlite3")
    return of_folder(folder)


@contextmanager
def postgresql() -> Iterator[PostgreSQL]:
    """A private PostgreSQL of Debian's packages that listens on a socket in a folder of its own and nowhere else."""
    folder = Path(mkdtemp(prefix="asfitted-postgresql-"))
    server = PostgreSQL(folder)
    try:
        server.start()
        yield server
    finally:
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)


class PostgreSQL:
    """One server, for the tests of one process."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        found = shutil.which("pg_ctl") or next(iter(sorted(map(str, Path("/usr/lib/postgresql").glob("*/bin/pg_ctl")), reverse=True)), None)
        if found is None:
            raise FileNotFoundError("PostgreSQL is wanted for these tests: apt-get install postgresql")
        self.programs = Path(found).parent
        self._migrated = False

    def _run(self, program: str, *arguments: str) -> None:
        command = [str(self.programs / program), *arguments]
        if os.geteuid() == 0:
            # The server refuses to run as root.
            command = ["runuser", "-u", "postgres", "--", *command]
        subprocess.run(command, check=True, capture_output=True, timeout=120, cwd="/")

    def start(self) -> None:
        """Make and start it."""
        if os.geteuid() == 0:
            shutil.chown(self.folder, "postgres", "postgres")
        data = self.folder / "data"
        self._run("initdb", "-D", str(data), "-U", "shop", "-A", "trust", "--no-sync", "-E", "UTF8", "--locale=C.UTF-8")
        options = f"-c listen_addresses='' -c unix_socket_directories='{self.folder}' -c fsync=off -c max_connections=60"
        self._run("pg_ctl", "-D", str(data), "-w", "-l", str(self.folder / "log"), "-o", options, "start")

    def stop(self) -> None:
        """Stop it at once."""
        if (self.folder / "data" / "postmaster.pid").exists():
            self._run("pg_ctl", "-D", str(self.folder / "data"), "-m", "immediate", "stop")

    def url(self) -> str:
        """The URL of a migrated database, emptied of what an earlier test left."""
        if not self._migrated:
            self._execute("CREATE DATABASE records")
            database = Database(self._url("records"))
            database.migrate()
            database.close()
            self._migrated = True
        tables = ", ".join(table.name for table in Base.metadata.sorted_tables)
        self._execute(f"TRUNCATE {tables} RESTART IDENTITY", "records")
        return self._url("records")

    def empty_url(self) -> str:
        """The URL of a database without tables."""
        name = f"empty_{next(_numbers)}"
        self._execute(f"CREATE DATABASE {name}")
        return self._url(name)

    def _url(self, name: str) -> str:
        return f"postgresql://shop@/{name}?host={self.folder}"

    def _execute(self, statement: str, database: str = "postgres") -> None:
        with psycopg.connect(host=str(self.folder), user="shop", dbname=database, autocommit=True) as connection:
            connection.execute(statement)  # type: ignore[arg-type]
