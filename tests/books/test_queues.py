"""The same task on every kind of queue: a file, Redis, PostgreSQL; and a queue that loses what it holds."""

from __future__ import annotations

import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import pytest
import redis
from flask.testing import FlaskClient

from service.app import create_app
from service.press import Press
from service.queues import QueueError, open_queue
from service.settings import Settings
from tests.books.test_books import MAKER, a_build, ask, wait
from tests.kept import sqlite_url


@pytest.fixture(scope="module")
def redis_url() -> Iterator[str]:
    """A Redis of Debian's package on a socket in a folder of its own."""
    program = shutil.which("redis-server")
    if program is None:
        raise FileNotFoundError("Redis is wanted for these tests: apt-get install redis-server")
    folder = Path(mkdtemp(prefix="asfitted-redis-"))
    process = subprocess.Popen([program, "--port", "0", "--unixsocket", str(folder / "socket"), "--save", "", "--appendonly", "no", "--dir", str(folder)],
                               stdout=subprocess.DEVNULL)
    url = f"unix://{folder / 'socket'}"
    try:
        for _ in range(200):
            try:
                redis.Redis.from_url(url).ping()
                break
            except redis.ConnectionError:
                time.sleep(0.05)
        yield url
    finally:
        process.terminate()
        process.wait(timeout=20)
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(params=["file", "redis", "postgresql"])
def queue_url(request: Any) -> str | None:
    if request.param == "redis":
        return str(request.getfixturevalue("redis_url"))
    return str(request.getfixturevalue("postgresql_server").empty_url()) if request.param == "postgresql" else None


@pytest.fixture
def client(tmp_path: Path, queue_url: str | None) -> Iterator[FlaskClient]:
    app = create_app(Settings(data=tmp_path, database=sqlite_url(tmp_path), queue=queue_url, open=True))
    app.extensions["asfitted_press"].command = MAKER
    app.extensions["asfitted_press"].queue.flush()
    yield app.test_client()
    app.extensions["asfitted_press"].stop()
    app.extensions["asfitted"].database.close()


def press_of(client: FlaskClient) -> Press:
    found: Press = client.application.extensions["asfitted_press"]
    return found


def test_a_book_goes_through_the_queue(client: FlaskClient) -> None:
    a_build(client)
    where = ask(client)
    assert press_of(client).queue.storage.queue_size() == 1
    assert client.get("/readyz").status_code == 200
    press_of(client).start()
    assert wait(client, where, lambda book: book["state"] == "done")["pages"] == 3
    assert press_of(client).queue.storage.queue_size() == 0


def test_another_process_makes_the_books_of_a_queue_at_a_url(client: FlaskClient, queue_url: str | None) -> None:
    if queue_url is None:
        assert press_of(client).embedded
        return
    a_build(client)
    where = ask(client)
    other = Press(press_of(client).store, queue_url, MAKER)
    other.start()
    assert wait(client, where, lambda book: book["state"] == "done")["pages"] == 3
    other.stop()


def test_the_work_command_makes_them(tmp_path: Path, redis_url: str) -> None:
    app = create_app(Settings(data=tmp_path, database=sqlite_url(tmp_path), queue=redis_url, open=True))
    client = app.test_client()
    press_of(client).queue.flush()
    a_build(client)
    where = ask(client)
    with (tmp_path / "log").open("wb") as log:
        process = subprocess.Popen([sys.executable, "-m", "service.cli", "work", "--data", str(tmp_path), "--queue", redis_url], stdout=log, stderr=log)
    try:
        book = wait(client, where, lambda book: book["state"] in ("done", "failed"), seconds=120)
        assert book["state"] == "done" and client.get(book["pdf"]).data.startswith(b"%PDF"), (tmp_path / "log").read_text()
    finally:
        process.terminate()
        assert process.wait(timeout=30) == 0
    app.extensions["asfitted"].database.close()


def test_what_the_queue_lost_is_queued_again(client: FlaskClient) -> None:
    a_build(client)
    where = ask(client)
    press_of(client).queue.flush()
    press_of(client).recover()
    assert press_of(client).work_one()
    assert client.get(where).json["state"] == "done"


def test_a_queue_that_does_not_answer_loses_no_book(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    a_build(client)
    press = press_of(client)

    def refuse(*_: Any, **__: Any) -> None:
        raise ConnectionError("gone")

    with monkeypatch.context() as patch:
        patch.setattr(press.queue.storage, "enqueue", refuse)
        where = ask(client)
    assert client.get(where).json["state"] == "queued" and not press.work_one()
    press.recover()
    assert press.work_one()
    assert client.get(where).json["state"] == "done"


def test_messages_are_json_and_run_nothing(tmp_path: Path) -> None:
    import pickle

    queue = open_queue(tmp_path)
    queue.task(name="make_book")(print)
    marker = tmp_path / "ran"

    class Evil:
        def __reduce__(self) -> Any:
            return Path.touch, (marker,)

    queue.storage.enqueue(pickle.dumps(Evil()))
    with pytest.raises(ValueError, match=r"codec|Expecting"):
        queue.dequeue()
    assert not marker.exists()


@pytest.mark.parametrize("url", ["amqp://there", "http://there/x", "there"])
def test_no_other_queues(tmp_path: Path, url: str) -> None:
    with pytest.raises(QueueError, match="redis://"):
        open_queue(tmp_path, url)


def test_serve_and_work_refuse_them(tmp_path: Path) -> None:
    for command in ("serve", "work"):
        done = subprocess.run([sys.executable, "-m", "service.cli", command, "--data", str(tmp_path), "--queue", "amqp://there"], capture_output=True, text=True,
                              timeout=60, check=False)
        assert done.returncode == 2 and "redis://" in done.stderr
