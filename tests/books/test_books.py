"""Books over HTTP, on each kind of database, made by a stand-in whose doings the tests choose."""

from __future__ import annotations

import errno
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from playwright.sync_api import Browser, expect
from werkzeug.serving import make_server

from service.press import CACHE, COMMAND, Press
from service.storage import books

MAKER = (sys.executable, "-m", "tests.books.maker")


@pytest.fixture
def press(keeping_app: Flask) -> Iterator[Press]:
    press: Press = keeping_app.extensions["asfitted_press"]
    press.command = MAKER
    yield press
    press.stop()


def a_build(client: FlaskClient, notes: str = "", **header: Any) -> str:
    client.post("/v1/cars", json={"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957})
    done = client.post("/v1/cars/c/builds", json={"id": "b", "use": "street", "notes": notes, **header})
    assert done.status_code == 201, done.text
    return "b"


def change(client: FlaskClient, **header: Any) -> None:
    tag = client.get("/v1/builds/b").headers["ETag"]
    assert client.patch("/v1/builds/b", json=header, headers={"If-Match": tag}).status_code == 200


def ask(client: FlaskClient, **chosen: str) -> str:
    """Where the book asked for is."""
    answered = client.post("/v1/builds/b/books", json=chosen)
    assert answered.status_code == 202, answered.text
    assert answered.headers["Location"] == f"/v1/books/{answered.json['id']}"
    return answered.headers["Location"]


def wait(client: FlaskClient, where: str, until: Callable[[dict[str, Any]], bool], seconds: float = 20) -> dict[str, Any]:
    for _ in range(int(seconds * 20)):
        book: dict[str, Any] = client.get(where).json
        if until(book):
            return book
        time.sleep(0.05)
    raise TimeoutError(str(book))


def test_a_book_is_asked_for_made_and_read(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    where = ask(keeping, paper="a4", edition="shop")
    book = keeping.get(where)
    assert {**book.json, "asked_at": ""} == {
        "id": where.rsplit("/", 1)[1], "build": "b", "theme": "notebook", "edition": "shop", "paper": "a4", "state": "queued", "fraction": 0.0,
        "step": "waiting", "why": None, "asked_at": "", "started_at": None, "finished_at": None, "handed_over": False, "left_out": 0, "pages": None, "pdf": None,
        "site": None, "packet": None}
    assert book.headers["Retry-After"] == "1"
    assert keeping.get(f"{where}/book.pdf").status_code == 409
    assert press.work_one()
    done = keeping.get(where).json
    assert (done["state"], done["fraction"], done["pages"], done["why"]) == ("done", 1.0, 3, None)
    assert done["asked_at"] < done["started_at"] < done["finished_at"]
    pdf = keeping.get(done["pdf"])
    assert pdf.data.startswith(b"%PDF-1.7 a4") and pdf.mimetype == "application/pdf"
    assert keeping.get(done["site"]).data.startswith("<h1>Tröge".encode())
    packet = keeping.get(done["packet"])
    assert packet.data == b"PK everything" and packet.mimetype == "application/zip"
    assert [book["id"] for book in keeping.get("/v1/builds/b/books").json] == [done["id"]]
    assert not [place for place in press.folder.iterdir() if place.name.startswith(f".{done['id']}")]


def test_pages_of_a_book_have_their_types_and_a_strict_policy(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    where = ask(keeping)
    press.work_one()
    types = {"index.html": "text/html; charset=utf-8", "search.js": "text/javascript; charset=utf-8", "style.css": "text/css; charset=utf-8",
             "fonts/a.woff2": "font/woff2", "cut.svg": "image/svg+xml; charset=utf-8"}
    for name, type in types.items():
        page = keeping.get(f"{where}/site/{name}")
        assert (page.status_code, page.content_type) == (200, type)
        policy = page.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy and "script-src 'self'" in policy and "unsafe" not in policy
        assert page.headers["X-Content-Type-Options"] == "nosniff"
    assert keeping.get(f"{where}/site").headers["Location"].endswith("/site/")
    again = keeping.get(f"{where}/book.pdf", headers={"If-None-Match": keeping.get(f"{where}/book.pdf").headers["ETag"]})
    assert again.status_code == 304
    part = keeping.get(f"{where}/book.pdf", headers={"Range": "bytes=0-7"})
    assert (part.status_code, part.data) == (206, b"%PDF-1.7")


def test_a_site_shows_nothing_but_its_own_files(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    where = ask(keeping)
    press.work_one()
    assert (press.folder / "secret.txt").exists()
    for path in ("../../secret.txt", "../book.pdf", "..%2f..%2fsecret.txt", "%2e%2e/%2e%2e/secret.txt", "/etc/passwd", "..\\book.pdf", "nothing.html", "fonts"):
        assert keeping.get(f"{where}/site/{path}", follow_redirects=True).status_code == 404, path


def test_the_same_state_gives_the_same_book(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    first = ask(keeping)
    assert ask(keeping) == first
    assert ask(keeping, paper="a4") != first
    press.work_one()
    press.work_one()
    assert not press.work_one()
    assert ask(keeping) == first
    assert keeping.get(first).json["state"] == "done"
    assert not press.work_one()
    change(keeping, title="after the test drive")
    second = ask(keeping)
    assert second != first
    shop = press.store.folder / "shop.json"
    named = []
    for text in ('{"name": "Hobbin Reach"}', '{"name": "Hobbin Reach", "logo": "logo.svg"}'):
        shop.write_text(text)
        named.append(ask(keeping))
    (press.store.folder / "logo.svg").write_text("<svg/>")
    named.append(ask(keeping))
    assert len({first, second, *named}) == 5
    shop.unlink()
    assert ask(keeping) == second


def test_a_book_carries_the_history_up_to_when_it_was_asked_for(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    first = ask(keeping)
    then = keeping.get("/v1/cars/c/history?format=lines").text
    assert keeping.post("/v1/cars/c/builds", json={"id": "b2", "use": "street"}).status_code == 201
    second = ask(keeping)
    assert second != first, "the car's history went on, though not this build's"
    press.work_one()
    assert keeping.get(f"{first}/site/history.txt").text == then
    press.work_one()
    assert keeping.get(f"{second}/site/history.txt").text == keeping.get("/v1/cars/c/history?format=lines").text


def test_two_asking_at_once_share_one_book(keeping_app: Flask, press: Press) -> None:
    a_build(keeping_app.test_client())
    found: list[str] = []
    threads = [threading.Thread(target=lambda: found.append(ask(keeping_app.test_client()))) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 6 and len(set(found)) == 1
    assert press.work_one() and not press.work_one()
    assert keeping_app.test_client().get(found[0]).json["state"] == "done"


def test_a_retry_with_its_key_asks_once(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    answers = [keeping.post("/v1/builds/b/books", json={}, headers={"Idempotency-Key": "k"}) for _ in range(2)]
    assert [answered.status_code for answered in answers] == [202, 202]
    assert answers[0].data == answers[1].data


def test_without_a_choice_the_paper_is_that_of_the_units(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping, units="metric")
    asked = keeping.post("/v1/builds/b/books")
    assert (asked.status_code, asked.json["paper"], asked.json["edition"]) == (202, "a4", "owner")


def test_a_choice_that_there_is_none_of(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    for body, pointer in (({"paper": "a3"}, "/paper"), ({"theme": "../x"}, "/theme"), ({"edition": None}, "/edition"), ({"colour": "red"}, "/colour"), ([], ""),
                          ({"paper": ["a4"]}, "/paper")):
        refused = keeping.post("/v1/builds/b/books", json=body)
        assert refused.status_code == 422
        assert [error["pointer"] for error in refused.json["errors"]] == [pointer]


def test_no_build_no_book(keeping: FlaskClient, press: Press) -> None:
    assert keeping.post("/v1/builds/none/books", json={}).status_code == 404
    assert keeping.get("/v1/builds/none/books").status_code == 404
    assert keeping.get("/v1/books/none").status_code == 404
    assert keeping.delete("/v1/books/none").status_code == 404


def test_progress_is_told_and_a_running_book_can_be_canceled(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping, "slow")
    press.start()
    where = ask(keeping)
    running = wait(keeping, where, lambda book: book["fraction"] > 0)
    assert (running["state"], running["fraction"], running["step"]) == ("running", 0.25, "half a page")
    assert keeping.get(f"{where}/book.pdf").status_code == 409
    began = time.monotonic()
    assert keeping.delete(where).status_code == 204
    assert keeping.get(where).json["state"] == "canceled"
    while list(press.folder.glob(".*-*")):
        assert time.monotonic() - began < 5, "the process of a canceled book goes on"
        time.sleep(0.05)
    change(keeping, notes="quick now")
    assert wait(keeping, ask(keeping), lambda book: book["state"] == "done")["pages"] == 3


def test_a_waiting_book_can_be_canceled_and_asked_for_again(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    where = ask(keeping)
    assert keeping.delete(where).status_code == 204
    assert press.work_one()
    assert keeping.get(where).json["state"] == "canceled"
    assert ask(keeping) == where
    assert press.work_one()
    assert keeping.get(where).json["state"] == "done"


def test_a_done_book_can_be_removed(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    where = ask(keeping)
    press.work_one()
    assert keeping.delete(where).status_code == 204
    assert keeping.get(where).status_code == 404
    assert not list(press.folder.glob("*/book.pdf"))
    assert ask(keeping) == where
    press.work_one()
    assert keeping.get(where).json["state"] == "done"


@pytest.mark.parametrize(("notes", "why"), [("killed", "ended by signal 9"), ("leaves", "status 7"), ("cannot", "a photograph is not there")])
def test_a_book_that_fails_says_why_and_can_be_asked_for_again(keeping: FlaskClient, press: Press, notes: str, why: str) -> None:
    a_build(keeping, notes)
    where = ask(keeping)
    press.work_one()
    failed = keeping.get(where).json
    assert failed["state"] == "failed" and why in failed["why"] and failed["finished_at"]
    assert why in keeping.get(f"{where}/book.pdf").json["detail"]
    assert not [place for place in press.folder.iterdir() if place.is_dir()]
    assert ask(keeping) == where
    assert keeping.get(where).json["state"] == "queued"
    press.command = (sys.executable, "-c", "import tests.books.maker as m, json, sys, io; o = json.loads(sys.stdin.buffer.readline()); "
                     "o['document']['build']['notes'] = ''; sys.stdin = io.TextIOWrapper(io.BytesIO(json.dumps(o).encode() + b'\\n')); "
                     "m.os._exit = lambda status: None; m.main()")
    press.work_one()
    assert keeping.get(where).json["state"] == "done"


def test_a_disk_that_takes_no_book_is_told(keeping: FlaskClient, press: Press, monkeypatch: pytest.MonkeyPatch) -> None:
    a_build(keeping)
    where = ask(keeping)

    def full(*_: Any) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("service.press.put_in_place", full)
        press.work_one()
    failed = keeping.get(where).json
    assert (failed["state"], failed["why"]) == ("failed", "the book could not be written: No space left on device")
    assert not [place for place in press.folder.iterdir() if place.is_dir()]
    assert ask(keeping) == where
    press.work_one()
    assert keeping.get(where).json["state"] == "done"


def test_newer_books_take_the_place_of_older_ones_but_not_of_those_handed_over(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    old, other = ask(keeping), ask(keeping, paper="a4")
    change(keeping, delivered_on="2026-06-12")
    handed = ask(keeping)
    change(keeping, title="after the first service", delivered_on=None)
    new = ask(keeping)
    while press.work_one():
        pass
    assert [keeping.get(where).status_code for where in (old, other, handed, new)] == [404, 200, 200, 200]
    assert [keeping.get(where).json["handed_over"] for where in (other, handed, new)] == [False, True, False]
    assert len(list(press.folder.glob("*/book.pdf"))) == 3


def test_the_second_book_of_a_car_takes_what_has_not_changed_from_the_first(keeping: FlaskClient, press: Press) -> None:
    """Made by the program itself. Both are as good as made from nothing: `tests/reports/test_press.py` compares their bytes."""
    press.command = COMMAND
    a_build(keeping)
    parts = press.store.folder / CACHE / "parts"
    seen: list[set[str]] = []
    for notes in ("The first word.", "Another word."):
        change(keeping, notes=notes)
        where = ask(keeping)
        assert press.work_one()
        assert keeping.get(where).json["state"] == "done"
        seen.append({file.name for file in parts.glob("*.pdf")})
    assert seen[0] < seen[1] and len(seen[1] - seen[0]) < len(seen[0])


def test_one_book_at_a_time(keeping: FlaskClient, press: Press, tmp_path: Path) -> None:
    log = tmp_path / "log"
    a_build(keeping, f"log {log}")
    press.start()
    for where in (ask(keeping), ask(keeping, paper="a4")):
        wait(keeping, where, lambda book: book["state"] == "done")
    assert log.read_text().splitlines() == ["letter begins", "letter ends", "a4 begins", "a4 ends"]


def test_what_was_running_in_a_process_that_is_gone_is_made_at_the_next_start(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    where = ask(keeping)
    press.queue.dequeue()
    with press.store.database.writing() as connection:
        assert books.begin(connection, where.rsplit("/", 1)[1], 1)
    (press.folder / ".half-made").mkdir()
    (press.folder / "forgotten").mkdir()
    press.start()
    wait(keeping, where, lambda book: book["state"] == "done")
    # What it worked in goes after the book is said to be done.
    press.stop()
    assert [place.name for place in press.folder.iterdir() if place.is_dir()] == [where.rsplit("/", 1)[1]]


def test_a_book_that_stops_the_service_each_time_is_given_up(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    where = ask(keeping)
    id = where.rsplit("/", 1)[1]
    for attempt in range(1, books.MOST_STARTS + 1):
        press.queue.flush()
        with press.store.database.writing() as connection:
            assert books.begin(connection, id, attempt)
        press.recover(0.0)
    failed = keeping.get(where).json
    assert failed["state"] == "failed" and "stopped 3 times" in failed["why"]


def test_stopping_puts_the_running_book_back(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping, "slow")
    press.start()
    where = ask(keeping)
    wait(keeping, where, lambda book: book["fraction"] > 0)
    press.stop()
    book = keeping.get(where).json
    assert (book["state"], book["step"], book["started_at"]) == ("queued", "waiting", None)
    assert not [place for place in press.folder.iterdir() if place.is_dir()]


def test_a_process_thought_dead_is_not_listened_to(keeping: FlaskClient, press: Press) -> None:
    a_build(keeping)
    id = ask(keeping).rsplit("/", 1)[1]
    with press.store.database.writing() as connection:
        first = books.begin(connection, id, 1)
        assert first is not None
        books.interrupted(connection, first)
        assert not books.go_on(connection, id, 1, 0.9, "late")
        assert books.finish(connection, id, 1, 9) == []
        assert books.begin(connection, id, 1) is None
        assert books.begin(connection, id, 2) is not None


def test_a_browser_runs_the_books_own_scripts_and_no_others(keeping_app: Flask, press: Press, browser: Browser) -> None:
    client = keeping_app.test_client()
    a_build(client)
    where = ask(client)
    press.work_one()
    site = press.place_of(where.rsplit("/", 1)[1]) / "site"
    (site / "own.js").write_text("document.title = 'own';")
    (site / "index.html").write_text("<title>none</title><script src='own.js' defer></script><script>document.title += ' written in';</script>"
                                     "<body onload=\"document.title += ' handler'\"><p style='color: red'>words</p>")
    server = make_server("127.0.0.1", 0, keeping_app, threaded=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    page = browser.new_page()
    page.goto(f"http://127.0.0.1:{server.server_port}{where}/site/")
    expect(page).to_have_title("own")
    page.close()
    server.shutdown()
