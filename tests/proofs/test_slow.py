"""Those who send slowly, or nothing, keep nobody else waiting. Long form: ten thousand of each kind."""

from __future__ import annotations

import resource
import socket
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest
import requests

from tests.served import LONG, Phone, Server, add_build

MANY = 10_000 if LONG else 150
HEAD = b"POST /v1/cars HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
#: What each of them sends before it stalls.
KINDS = {"nothing": b"", "half a head": HEAD, "half a record": HEAD + b"Content-Length: 90\r\n\r\n{", "half a document": HEAD + b"Content-Length: 900000\r\n\r\n{" + b" " * 30_000,
         "no length": HEAD + b"Transfer-Encoding: chunked\r\n\r\n3\r\n{  \r\n"}


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (hard, hard))
    try:
        with Server(tmp_path_factory.mktemp("slow") / "data") as server:
            add_build(server.where)
            yield server
    finally:
        resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))


@contextmanager
def stalled(server: Server, sends: bytes, count: int) -> Iterator[list[socket.socket]]:
    """So many connections that stay where they are after these bytes."""
    with ExitStack() as stack:
        links = []
        for number in range(count):
            # Linux has all of 127/8: no address has more than 250 of them.
            source = (f"127.0.{1 + number // 250}.1", 0)
            link = stack.enter_context(socket.create_connection(("127.0.0.1", server.port), 60, source))
            link.sendall(sends)
            links.append(link)
        yield links


def large(server: Server) -> int:
    """What is said to a document that takes its turn, and tries again when it is told to, as a phone does."""
    for _ in range(10):
        answer = requests.post(f"{server.where}/checks", data=b"{" + b" " * 200_000 + b"}", headers={"Content-Type": "application/json"}, timeout=60)
        if answer.status_code != 503:
            break
    return answer.status_code


@pytest.mark.parametrize("kind", KINDS)
def test_the_others_are_answered_meanwhile(server: Server, kind: str) -> None:
    phone = Phone(server.where)
    with stalled(server, KINDS[kind], MANY) as links:
        before = len(phone.acknowledged)
        for _ in range(10):
            assert phone.post(), "a request was not answered"
        assert large(server) == 422
        assert (len(phone.acknowledged) - before, phone.problems) == (10, [])
        if LONG:
            links[0].settimeout(120)
            told = links[0].recv(65536)
            assert told == b"" if kind in ("nothing", "half a head") else (b" 411 " if kind == "no length" else b" 408 ") in told.partition(b"\r\n")[0], told


def test_stopping_waits_for_nobody_who_has_gone(tmp_path: Path) -> None:
    with Server(tmp_path / "data") as server:
        add_build(server.where)
        with stalled(server, KINDS["half a document"], 30):
            assert Phone(server.where).post()
        # Ended by SIGTERM, within the time that `Server.end` waits.
