"""Revisions: what is kept stays kept, on SQLite and PostgreSQL alike."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.storage import things
from service.storage.database import Database
from service.storage.things import Author, Stale, Taken, Where

AUTHOR = Author("Oona", "bench tablet")


@pytest.fixture
def database(database_url: str) -> Iterator[Database]:
    database = Database(database_url)
    yield database
    database.close()


def at(id: str, name: str = "parts") -> Where:
    return Where("build", name, id, "car")


def add(database: Database, *ids: str) -> None:
    with database.writing() as connection:
        for id in ids:
            things.create(connection, AUTHOR, at(id), {"id": id, "name": "ä→"})


def test_every_state_of_a_thing_is_kept(database: Database) -> None:
    add(database, "a")
    with database.writing() as connection:
        things.change(connection, Author("Desmond", "phone"), things.find(connection, "build", "a"), {"id": "a", "name": "b"})
    with database.writing() as connection:
        things.retract(connection, AUTHOR, things.find(connection, "build", "a"), "doubled")
    with database.reading() as connection:
        found = things.revisions(connection, "build", "a")
        assert [(row.number, row.action, row.by, row.reason, row.body) for row in found] == [
            (1, "created", "Oona", None, '{"id":"a","name":"ä→"}'), (2, "changed", "Desmond", None, '{"id":"a","name":"b"}'),
            (3, "retracted", "Oona", "doubled", '{"id":"a","name":"b"}')]
        assert things.listed(connection, "build", "parts") == []


def test_a_change_of_what_is_no_longer_current_is_refused(database: Database) -> None:
    add(database, "a")
    with database.reading() as connection:
        first = things.find(connection, "build", "a")
    with database.writing() as connection:
        things.change(connection, AUTHOR, first, {"id": "a"})
    with pytest.raises(Stale), database.writing() as connection:
        things.change(connection, AUTHOR, first, {"id": "a", "name": "lost"})


def test_an_id_is_taken_once(database: Database) -> None:
    add(database, "a")
    with pytest.raises(Taken):
        add(database, "a")


@pytest.mark.parametrize("statement", ["DELETE FROM revision", "UPDATE revision SET body = '{}'", "UPDATE revision SET at = ''"])
def test_the_database_itself_refuses_to_forget(database: Database, statement: str) -> None:
    add(database, "a")
    with pytest.raises(DBAPIError, match="only ever added"), database.writing() as connection:
        connection.execute(text(statement))


def test_a_transaction_that_fails_keeps_nothing(database: Database) -> None:
    with pytest.raises(Taken):
        add(database, "a", "b", "a")
    with database.reading() as connection:
        assert things.listed(connection, "build", "parts") == []


def test_a_change_keeps_the_place_in_the_list(database: Database) -> None:
    add(database, "b", "a", "c")
    with database.writing() as connection:
        things.change(connection, AUTHOR, things.find(connection, "build", "b"), {"id": "b", "changed": True})
    with database.reading() as connection:
        assert [row.id for row in things.listed(connection, "build", "parts")] == ["b", "a", "c"]


def test_pages_join_up_while_entries_are_added(database: Database) -> None:
    add(database, *"abcde")
    with database.reading() as connection:
        first = things.listed(connection, "build", "parts", 2)
    add(database, "f")
    with database.reading() as connection:
        rest = things.listed(connection, "build", "parts", 10, (first[-1].place, first[-1].id))
    assert [row.id for row in [*first, *rest]] == list("abcdef")


def test_writers_at_once_lose_nothing_and_double_nothing(database: Database) -> None:
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda number: add(database, f"{number}"), range(60)))
    with database.reading() as connection:
        assert sorted(int(row.id) for row in things.listed(connection, "build", "parts")) == list(range(60))


def test_of_two_changes_at_once_one_is_kept(database: Database) -> None:
    add(database, "a")
    with database.reading() as connection:
        first = things.find(connection, "build", "a")

    def change(name: str) -> bool:
        try:
            with database.writing() as connection:
                things.change(connection, AUTHOR, first, {"id": "a", "name": name})
        except (Stale, DBAPIError):
            return False
        return True

    with ThreadPoolExecutor(4) as pool:
        assert sum(pool.map(change, "wxyz")) == 1


def test_sqlite_syncs_every_commit_and_lists_by_its_index(tmp_path: object, database: Database) -> None:
    with database.writing() as connection:
        if not database.is_sqlite:
            assert connection.execute(text("SHOW synchronous_commit")).scalar() == "on"
            return
        assert connection.execute(text("PRAGMA synchronous")).scalar() == 2
        assert connection.execute(text("PRAGMA journal_mode")).scalar() == "wal"
        plan = connection.execute(text("EXPLAIN QUERY PLAN SELECT * FROM revision "
                                       "WHERE revision.current = 1 AND scope = 'b' AND list = 'parts' ORDER BY place, id"))
        assert "revision_in_order" in str(plan.all())


@pytest.mark.parametrize("id", ["a", "x" * 200, "TS-57 / 1".replace("/", "_"), "…"])
def test_good_ids(id: str) -> None:
    assert things.good_id(id)


@pytest.mark.parametrize("id", ["", ".", "..", "a/b", "x" * 201, "a\n", "a\x00", "a?b", "a#b"])
def test_bad_ids(id: str) -> None:
    assert not things.good_id(id)
