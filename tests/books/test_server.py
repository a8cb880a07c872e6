"""The server as a process, with real books: what happens to a running book when its process, or the server, is stopped or killed."""

from __future__ import annotations

import io
import json
import os
import signal
import threading
import time
from pathlib import Path
from typing import Any

import pytest
import requests
from pypdf import PdfReader

from service.settings import DEMO_BUILDS
from service.web.examples import least_document
from tests.serving import Server, processes


def running(book: dict[str, Any]) -> bool:
    return book["state"] == "running" and book["fraction"] > 0


def gone(pids: list[int]) -> bool:
    for _ in range(100):
        if not any(pid in pids and command for pid, _, command in processes()):
            return True
        time.sleep(0.1)
    return False


def test_a_book_outlives_its_process_and_the_server(tmp_path: Path) -> None:
    data = tmp_path / "data"
    server = Server(data)
    try:
        taken = server.post("/v1/documents", {**least_document(), "build": {"use": "street", "id": "b"}})
        assert taken.status_code == 201
        asked = server.post("/v1/builds/b/books", {})
        book = asked.headers["Location"]
        server.until(book, running)
        making = server.pids(making=True)
        assert len(making) == 1
        os.kill(making[0], signal.SIGKILL)
        failed = server.until(book, lambda book: book["state"] != "running")
        assert failed["state"] == "failed" and "signal 9" in failed["why"]

        assert server.post("/v1/builds/b/books", {}).headers["Location"] == book
        server.until(book, running)
        making = server.pids(making=True)
        os.kill(server.process.pid, signal.SIGTERM)
        server.ended()
        assert gone(making)

        server = Server(data)
        server.until(book, running)
        making = server.pids(making=True)
        for pid in server.pids(making=False):
            os.kill(pid, signal.SIGKILL)
        server.ended()
        assert gone(making), "nobody is there any more who wants the book"

        server = Server(data)
        done = server.until(book, lambda book: book["state"] in ("done", "failed"))
        assert done["state"] == "done", done
        pdf = requests.get(f"{server.where}{done['pdf']}", timeout=30)
        assert len(PdfReader(io.BytesIO(pdf.content)).pages) == done["pages"] > 3
        assert "Stookman" in requests.get(f"{server.where}{done['site']}", timeout=30).text
        assert [place.name for place in (data / "books").iterdir() if place.is_dir()] == [done["id"]]
    finally:
        server.kill()


def test_stopping_finishes_what_is_being_answered(tmp_path: Path) -> None:
    server = Server(tmp_path / "data")
    document = json.loads((DEMO_BUILDS / "tarnock-stookman-tow-rig.json").read_text(encoding="utf-8"))
    answers: list[requests.Response] = []
    asking = threading.Thread(target=lambda: answers.append(server.post("/v1/checks", document)))
    asking.start()
    for _ in range(200):
        if "asfitted_requests_under_way 2.0" in requests.get(f"{server.where}/metrics", timeout=30).text:
            break
    else:
        pytest.fail("the call was answered before it could be interrupted")
    os.kill(server.process.pid, signal.SIGTERM)
    asking.join(60)
    server.ended()
    assert [answered.status_code for answered in answers] == [200] and answers[0].json()["results"]
    lines = [json.loads(line) for line in server.log.read_text().splitlines()]
    assert any(line["route"] == "/v1/checks" and line["status"] == 200 for line in lines if line["message"] == "request")
