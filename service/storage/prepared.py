"""Statements of busy paths, made once: on SQLite they go to the driver itself, which takes a tenth of the way through SQLAlchemy."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any, cast

from sqlalchemy import Connection, Executable
from sqlalchemy.dialects import sqlite


class Prepared:
    """A statement and the names of the values it is given."""

    def __init__(self, statement: Executable, names: Sequence[str]) -> None:
        self._statement, self._names = statement, tuple(names)

    @cached_property
    def _on_sqlite(self) -> tuple[str, tuple[tuple[str, Any], ...]]:
        """Its text, and the names of its values in their order, each with the value that stands in the statement itself."""
        made = cast(Any, self._statement).compile(dialect=sqlite.dialect(paramstyle="qmark"), column_keys=list(self._names))
        return str(made), tuple((name, made.params.get(name)) for name in made.positiontup)

    def run(self, connection: Connection, values: Mapping[str, Any]) -> None:
        """Run it, for its effect."""
        if connection.dialect.name == "sqlite":
            self._execute(connection, values)
        else:
            connection.execute(self._statement, dict(values))

    def first(self, connection: Connection, values: Mapping[str, Any]) -> Sequence[Any] | None:
        """Run it; the first row, or None."""
        if connection.dialect.name == "sqlite":
            return cast("Sequence[Any] | None", self._execute(connection, values).fetchone())
        return connection.execute(self._statement, dict(values)).first()

    def all(self, connection: Connection, values: Mapping[str, Any]) -> Sequence[Sequence[Any]]:
        """Run it; all its rows."""
        if connection.dialect.name == "sqlite":
            return self._execute(connection, values).fetchall()
        return connection.execute(self._statement, dict(values)).all()

    def _execute(self, connection: Connection, values: Mapping[str, Any]) -> sqlite3.Cursor:
        text, order = self._on_sqlite
        driver = cast(sqlite3.Connection, connection.connection.driver_connection)
        return driver.execute(text, tuple(values.get(name, fixed) for name, fixed in order))
