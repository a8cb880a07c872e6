"""What was last found of a build, kept and kept again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from service.storage import found
from service.storage.database import Database, of_folder
from service.storage.found import Found, FoundFiles

FIRST, SECOND = Found("one", "program", {"brakes.heat@front": ("pass", True)}), Found("two", "program", {"brakes.heat@front": ("fail", True)})


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: Any, tmp_path: Path) -> Any:
    made = Database(of_folder(tmp_path) if request.param == "sqlite" else str(request.getfixturevalue("postgresql_server").empty_url()))
    made.migrate()
    yield made
    made.close()


def test_the_newest_is_kept(database: Database) -> None:
    for new in (FIRST, SECOND):
        with database.writing() as connection:
            found.put(connection, {"b": new, "other": FIRST})
    with database.reading() as connection:
        assert (found.get(connection, "b"), found.get(connection, "other"), found.get(connection, "none")) == (SECOND, FIRST, None)


def test_the_same_in_files(tmp_path: Path) -> None:
    files = FoundFiles(tmp_path)
    assert files.get("/bags/a") is None
    files.put("/bags/a", FIRST)
    files.put("/bags/a", SECOND)
    assert files.get("/bags/a") == SECOND
    next((tmp_path / "found").iterdir()).write_text("{")
    assert files.get("/bags/a") is None, "what cannot be read is as good as not there"
