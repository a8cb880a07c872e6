"""The migrations make exactly the tables that the models declare, on each kind of database."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import text

from service.storage import files, things
from service.storage.database import Database, newest_version, of_folder
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
