"""What the README shows is run as it stands, in a terminal, against a service: who copies a line gets an answer."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import requests
from PIL import Image

from service.settings import ROOT
from tests.served import Server

ADDRESS = "http://127.0.0.1:8067"
FIRST, LAST = "### A document", "`/healthz`"
#: What stands in the README for an id, and which call's answer tells it.
_TOLD = {"/v1/documents": {"CAR": "car", "BUILD": "build"}, "/photos": {"PHOTO": "id"}, "/books": {"1c08…": "id"}}
_BOOK_PATIENCE = 240


def commands() -> list[str]:
    """The commands between the first document and the finished book, those that go on in the next line with it."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    blocks = re.findall(r"(?:^    .*\n)+", text[text.index(FIRST):text.index(LAST)], re.MULTILINE)
    lines = [line[4:] for block in blocks for line in block.splitlines()]
    found: list[str] = []
    within = ""
    for line in lines:
        if within or (found and re.search(r"[|\\]$", found[-1])):
            found[-1] += "\n" + line
            within = "" if line == within else within
        elif re.match(r"(asfitted|curl|python3|cat) ", line):
            found.append(line)
            within = "".join(re.findall(r"<<'(\w+)'", line))
    return [command for command in found if not command.startswith("asfitted serve")]


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    running = Server(tmp_path_factory.mktemp("data")).start()
    yield running
    running.end()


@pytest.fixture(scope="module")
def terminal(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """An environment in which `asfitted` is this checkout's, and a refused call of curl an error."""
    tools = tmp_path_factory.mktemp("tools")
    for name, runs in {"asfitted": f"{sys.executable} -m service.cli", "curl": f"{shutil.which('curl')} --fail-with-body"}.items():
        (tools / name).write_text(f'#!/bin/sh\nexec {runs} "$@"\n', encoding="utf-8")
        (tools / name).chmod(0o755)
    return {**os.environ, "PATH": f"{tools}:{os.environ['PATH']}", "PYTHONPATH": str(ROOT)}


def told(command: str, said: str) -> dict[str, str]:
    """The ids that an answer tells for the commands after it."""
    for end, names in _TOLD.items():
        if re.search(rf"{end}\b(?!/)", command) and said.startswith("{"):
            return {placeholder: str(json.loads(said)[key]) for placeholder, key in names.items()}
    return {}


def finished(server: Server, book: str) -> None:
    """Wait until a book is done."""
    for _ in range(_BOOK_PATIENCE):
        state = requests.get(f"{server.where}/books/{book}", timeout=30).json()["state"]
        if state not in ("queued", "running"):
            assert state == "done"
            return
        time.sleep(1)
    raise TimeoutError(book)


def test_from_the_first_document_to_the_book(server: Server, terminal: dict[str, str], tmp_path: Path) -> None:
    Image.new("RGB", (400, 300), "#7f8b94").save(tmp_path / "bracket.jpg")
    ids: dict[str, str] = {}
    ran = commands()
    for command in ran:
        text = command.replace(ADDRESS, server.where.removesuffix("/v1"))
        for placeholder, value in ids.items():
            text = text.replace(placeholder, value)
        if "book.pdf" in text:
            finished(server, ids["1c08…"])
        done = subprocess.run(["bash", "-c", text], cwd=tmp_path, env=terminal, capture_output=True, text=True, timeout=300, check=False)
        # A check of the car in the README finds something, so `asfitted check` ends with 1.
        assert done.returncode == (1 if "asfitted check" in text else 0), f"{text}\n{done.stdout}{done.stderr}"
        ids |= told(command, done.stdout)
    assert set(ids) == {"CAR", "BUILD", "PHOTO", "1c08…"}
    assert (tmp_path / "book.pdf").read_bytes().startswith(b"%PDF")
    assert sum(command.startswith("curl") for command in ran) >= 18
