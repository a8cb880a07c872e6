"""SQLite's one writer. Transactions take turns; those that are waiting when one is done share its sync of the disk.

A commit costs a sync, and while it lasts others queue up. So who is done leaves the commit to the next in the queue, and the last
one commits for all: each is answered only when what it wrote is on the disk. Every one is a savepoint of its own, so that one
that fails takes nothing back but itself.
"""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import OperationalError

#: So many at most share a sync, so that the first of them does not wait long.
_MOST = 16


class _Batch:
    """Transactions that become durable together, or fail together."""

    def __init__(self) -> None:
        self.size = 0
        self.error: BaseException | None = None
        self._over = threading.Event()

    def end(self, error: BaseException | None = None) -> None:
        """It is on the disk, or it failed with this error."""
        self.error = error
        self._over.set()

    def wait(self) -> None:
        """Wait until it is durable. Raises what it failed with."""
        self._over.wait()
        if self.error is not None:
            raise self.error


class Writer:
    """The writing connection of a SQLite file, for any number of threads."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._turn, self._count = threading.Lock(), threading.Lock()
        self._waiting = 0
        self._batch: _Batch | None = None
        self._connection: Connection | None = None

    @contextmanager
    def transaction(self) -> Iterator[Connection]:
        """A transaction that is durable once the block ends, and undone when it raises. What the block raises is raised after
        the transactions before it are durable too: it may have seen what they wrote."""
        failure: BaseException | None = None
        with self._in_turn():
            batch = self._batch or self._begin()
            connection = self._open()
            try:
                self._run("SAVEPOINT one")
                yield connection
                self._run("RELEASE one")
            except BaseException as error:  # noqa: BLE001
                failure = error
                self._undo(batch, error)
            batch.size += 1
            if self._batch is batch and (self._waiting == 0 or batch.size >= _MOST):
                self._commit(batch)
        batch.wait()
        if failure is not None:
            raise failure

    @contextmanager
    def _in_turn(self) -> Iterator[None]:
        with self._count:
            self._waiting += 1
        try:
            self._turn.acquire()
        finally:
            with self._count:
                self._waiting -= 1
        try:
            yield
        finally:
            self._turn.release()

    def _open(self) -> Connection:
        if self._connection is None:
            self._connection = self._engine.connect()
            # For SQLAlchemy one transaction that never ends; the driver is told by hand where each begins and ends.
            self._connection.begin()
        return self._connection

    def _driver(self) -> sqlite3.Connection:
        return self._open().connection.driver_connection  # type: ignore[return-value]

    def _run(self, statement: str) -> None:
        self._driver().execute(statement)

    def _begin(self) -> _Batch:
        self._run("BEGIN IMMEDIATE")
        self._batch = _Batch()
        return self._batch

    def _undo(self, batch: _Batch, error: BaseException) -> None:
        """Take one transaction back. When the database took back all of the batch (a full disk), all of them failed with it."""
        try:
            self._run("ROLLBACK TO one")
            self._run("RELEASE one")
        except sqlite3.Error as undone:
            self._give_up(batch, error if isinstance(error, (OperationalError, sqlite3.OperationalError)) else undone)

    def _commit(self, batch: _Batch) -> None:
        try:
            self._run("COMMIT")
        except BaseException as error:  # noqa: BLE001
            self._give_up(batch, error)
        else:
            self._batch = None
            batch.end()

    def _give_up(self, batch: _Batch, error: BaseException) -> None:
        self._batch = None
        self.close()
        batch.end(error)

    def close(self) -> None:
        """Close the connection; the next transaction opens it again."""
        connection, self._connection = self._connection, None
        if connection is not None:
            connection.invalidate()
            connection.close()
        self._engine.dispose()
