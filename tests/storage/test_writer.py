"""SQLite's one writer: transactions that share a sync are each durable when they are answered, and fail each for itself."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from sqlalchemy import text

from service.storage.database import Database, Full
from tests.kept import sqlite_url


@pytest.fixture
def database(tmp_path: Path) -> Iterator[Database]:
    database = Database(sqlite_url(tmp_path))
    with database.writing() as connection:
        connection.execute(text("CREATE TABLE line (number INTEGER PRIMARY KEY)"))
    yield database
    database.close()


def add(database: Database, number: int, *, fails: bool = False) -> None:
    with database.writing() as connection:
        connection.execute(text("INSERT INTO line VALUES (:number)"), {"number": number})
        if fails:
            raise LookupError(number)


def kept(database: Database) -> list[int]:
    """What another connection to the file sees."""
    with sqlite3.connect(str(database.url.database)) as connection:
        return [row[0] for row in connection.execute("SELECT number FROM line ORDER BY number")]


def test_each_is_durable_when_it_is_answered(database: Database) -> None:
    def add_and_look(number: int) -> bool:
        add(database, number)
        return number in kept(database)

    with ThreadPoolExecutor(12) as pool:
        assert all(pool.map(add_and_look, range(120)))
    assert kept(database) == list(range(120))


def test_one_that_fails_takes_back_only_itself(database: Database) -> None:
    def work(number: int) -> bool:
        try:
            add(database, number, fails=number % 3 == 0)
        except LookupError as error:
            assert error.args == (number,)
            return False
        return True

    with ThreadPoolExecutor(12) as pool:
        done = list(pool.map(work, range(90)))
    assert kept(database) == [number for number in range(90) if number % 3] == [number for number, kept in enumerate(done) if kept]


def test_those_who_wait_share_a_commit(database: Database, tmp_path: Path) -> None:
    commits = []
    inside, go_on = threading.Event(), threading.Event()

    def first() -> None:
        with database.writing() as connection:
            connection.connection.driver_connection.set_trace_callback(lambda statement: commits.append(statement) if statement == "COMMIT" else None)
            connection.execute(text("INSERT INTO line VALUES (0)"))
            inside.set()
            go_on.wait(10)

    threads = [threading.Thread(target=first)]
    threads[0].start()
    inside.wait(10)
    threads += [threading.Thread(target=add, args=(database, number)) for number in range(1, 6)]
    for thread in threads[1:]:
        thread.start()
    writer = database._one_writer
    while writer is None or writer._waiting < 5:
        time.sleep(0.01)
    assert kept(database) == []
    go_on.set()
    for thread in threads:
        thread.join(10)
    assert kept(database) == list(range(6))
    assert commits == ["COMMIT"]


def test_when_the_disk_fills_up_all_who_share_a_commit_are_told(database: Database) -> None:
    with database.writing() as connection:
        pages = int(connection.execute(text("PRAGMA page_count")).scalar() or 0)
        connection.execute(text(f"PRAGMA max_page_count = {pages}"))

    def fill(number: int) -> bool:
        try:
            with database.writing() as connection:
                connection.execute(text("INSERT INTO word (word, plain) VALUES (:word, 0)"), {"word": f"{number}" * 3000})
        except Full:
            return False
        return True

    with ThreadPoolExecutor(6) as pool:
        done = list(pool.map(fill, range(24)))
    with sqlite3.connect(str(database.url.database)) as connection:
        assert connection.execute("SELECT count(*) FROM word").fetchone()[0] == sum(done) < 24
        assert connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    with database.writing() as connection:
        connection.execute(text("PRAGMA max_page_count = 1000000"))
    assert fill(99)
