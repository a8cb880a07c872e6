"""The migrations make exactly the tables that the models declare, on each kind of database."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from click.testing import CliRunner
from sqlalchemy import Connection, MetaData, Table, select, text

from service.cli import main
from service.storage import chain, files, things
from service.storage.database import Database, Newer, newest_version, of_folder
from service.storage.models import Base
from service.storage.things import Author, Where


@pytest.fixture(params=["sqlite", "postgresql"])
def empty_url(request: Any, tmp_path: Path) -> str:
    return of_folder(tmp_path) if request.param == "sqlite" else str(request.getfixturevalue("postgresql_server").empty_url())


def test_migrations_and_models_agree(empty_url: str) -> None:
    database = Database(empty_url)
    assert database.version() is None
    database.migrate()
    assert database.version() == newest_version()
    with database.writing() as connection:
        context = MigrationContext.configure(connection, opts={"include_object": _ours})
        assert compare_metadata(context, Base.metadata) == []
    database.close()


def _ours(thing: Any, name: str, kind: str, reflected: bool, other: Any) -> bool:
    """The search index is made by hand in each kind of database, outside the models."""
    return not name.startswith("entry_words")


def test_migrating_again_changes_nothing(empty_url: str) -> None:
    database = Database(empty_url)
    database.migrate()
    with database.writing() as connection:
        connection.execute(text("INSERT INTO answer (device, key, digest, status, headers, body, at) VALUES ('d', 'k', '', 1, '', '', '')"))
    database.migrate()
    with database.reading() as connection:
        assert connection.execute(text("SELECT count(*) FROM answer")).scalar() == 1
    database.close()


def test_up_from_the_first_version_with_data_in_it(empty_url: str) -> None:
    database = Database(empty_url)
    database.migrate("0001")
    with database.writing() as connection:
        things.create_all(connection, Author("a", "b"), [(Where("build", name, name, "car"), {"id": name}) for name in ("photos", "papers", "parts")])
    database.migrate()
    with database.reading() as connection:
        assert files.scopes_of(connection, "photos", "photos") == ["build"]
        assert len(things.whole_scope(connection, "build")) == 3
    database.close()


RELEASES = [f"{number:04}" for number in range(1, int(newest_version()) + 1)]


def rows_of(connection: Connection) -> dict[str, list[dict[str, Any]]]:
    """Every row of every table that is ours to keep, as columns and values."""
    found = MetaData()
    found.reflect(connection, only=[table.name for table in Base.metadata.sorted_tables if connection.dialect.has_table(connection, table.name)])
    return {table.name: [dict(row._mapping) for row in connection.execute(select(table))] for table in found.sorted_tables}


def fill(connection: Connection) -> None:
    """A row in every table that there is besides the history, whatever columns it has."""
    found = MetaData()
    found.reflect(connection, only=[table.name for table in Base.metadata.sorted_tables if connection.dialect.has_table(connection, table.name)])
    for table in found.sorted_tables:
        if table.name not in ("revision", "entry", "attachment"):
            connection.execute(table.insert(), {column.name: value_for(table, column.name) for column in table.columns})


def value_for(table: Table, column: str) -> Any:
    kind = table.columns[column].type.python_type
    return f"{table.name}.{column}" if kind is str else kind(1)


@pytest.mark.parametrize("release", RELEASES)
def test_the_records_of_every_earlier_release_are_kept_and_their_chain_holds(empty_url: str, release: str) -> None:
    database = Database(empty_url)
    database.migrate(release)
    with database.writing() as connection:
        things.create_all(connection, Author("Oona", "desk"), [(Where("b", name, name, "c"), {"id": name, "notes": "ü"}) for name in ("photos", "papers", "parts")])
        row = things.find(connection, "b", "parts")
        assert row is not None
        things.change(connection, Author("Oona", "desk"), row, {"id": "parts", "notes": "again"})
        fill(connection)
        before = rows_of(connection)
    database.migrate()
    with database.reading() as connection:
        after = rows_of(connection)
        events = things.of_car(connection, "c")
    for table, rows in before.items():
        kept = [{name: value for name, value in row.items() if name in rows[0]} for row in after[table]] if rows else []
        assert all(row in kept for row in rows), table
    assert len(events) == 4
    assert list(chain.breaks([things.event_of(row._mapping) for row in events], [row.hash for row in events], [row.body for row in events])) == []
    database.close()


def test_what_a_newer_release_kept_is_refused_and_left_as_it_is(empty_url: str) -> None:
    database = Database(empty_url)
    database.migrate()
    with database.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(Newer, match="9999"):
        database.migrate()
    assert database.version() == "9999"
    database.close()


def test_every_command_refuses_what_a_newer_release_kept(tmp_path: Path) -> None:
    database = Database(of_folder(tmp_path))
    database.migrate()
    with database.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    database.close()
    before = {path.name for path in tmp_path.iterdir()}
    for command in (["serve", "--open"], ["device", "list"], ["archive", "--all", "--out", str(tmp_path / "bag")]):
        told = CliRunner().invoke(main, [*command, "--data", str(tmp_path)])
        assert told.exit_code == 2 and "newer release" in told.output and "Traceback" not in told.output, command
    assert {path.name for path in tmp_path.iterdir()} - {"authority"} <= before | {"records.sqlite3-wal", "records.sqlite3-shm"}
