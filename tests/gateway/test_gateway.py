"""Requests on their way from the server to the application and back: whole, joined, waited for so long and no longer."""

from __future__ import annotations

import asyncio
import json
import threading
from collections.abc import AsyncIterator, Callable, Iterable
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from wsgiref.validate import validator

import pytest
from flask import Flask, Response, request, send_file

from service import arriving
from service.app import create_app
from service.gateway import Gateway, environment

ENDLESS = object()


class Sent:
    """What the server would send: an answer, and before it the pieces of a body, of which `ENDLESS` never comes."""

    def __init__(self, pieces: Iterable[Any] = ()) -> None:
        self.pieces = list(pieces)
        self.answer: tuple[int, dict[str, str], bytes] | None = None
        self.file: str | None = None

    async def __aiter__(self) -> AsyncIterator[bytes]:
        for piece in self.pieces:
            if piece is ENDLESS:
                await asyncio.sleep(3600)
            yield piece
        yield b""

    def response_bytes(self, status: int, headers: list[tuple[str, str]], body: bytes) -> None:
        self.answer = status, dict(headers), body

    def response_file(self, status: int, headers: list[tuple[str, str]], file: str) -> None:
        self.answer, self.file = (status, dict(headers), Path(file).read_bytes()), file


def scope(method: str = "GET", path: str = "/", headers: Iterable[tuple[str, str]] = (), client: str = "192.0.2.7:50000") -> Any:
    """A request's head as the server tells it (the scope of RSGI 1.5)."""
    return SimpleNamespace(method=method, path=path, query_string="", server="127.0.0.1:8067", client=client, scheme="http", http_version="1.1",
                           authority=None, headers=SimpleNamespace(items=lambda: [("host", "shop.local"), *headers]))


def answered(app: Any, asked: Any, *pieces: Any) -> Sent:
    """What an application answers to one request."""
    sent = Sent(pieces)

    async def run() -> None:
        gateway = Gateway(app)
        gateway.__rsgi_init__(asyncio.get_running_loop())
        await gateway.__rsgi__(asked, sent)

    asyncio.run(run())
    assert sent.answer is not None
    return sent


def echoing() -> Flask:
    """An application that gives back what it was sent."""
    app = Flask(__name__)
    app.add_url_rule("/", "echo", lambda: Response(request.get_data(), content_type="text/plain"), methods=["POST"])
    return app


def length(of: int) -> list[tuple[str, str]]:
    return [("content-type", "text/plain"), ("content-length", str(of))]


def test_what_the_application_is_told_is_as_the_standard_has_it() -> None:
    """Judged by wsgiref.validate, the checker of PEP 3333 in Python's own library."""
    told: dict[str, Any] = {}

    def app(environ: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
        told.update(environ)
        start("200 OK", [("Content-Type", "text/plain")])
        return [environ["wsgi.input"].read(3)]

    asked = scope("POST", "/bêta", [*length(3), ("x-of", "a"), ("x-of", "b"), ("cookie", "a=1"), ("cookie", "b=2"), ("x_of", "c")])
    assert answered(validator(app), asked, b"xyz").answer == (200, {"Content-Type": "text/plain"}, b"xyz")
    assert told["PATH_INFO"] == "/bêta".encode().decode("latin-1")
    assert (told["HTTP_X_OF"], told["HTTP_COOKIE"], told["HTTP_HOST"], told["REMOTE_ADDR"]) == ("a,b", "a=1; b=2", "shop.local", "192.0.2.7")


@pytest.mark.parametrize(("authority", "hosts", "told"), [
    (None, ["shop.local"], "shop.local"), ("elsewhere.example", ["shop.local"], "elsewhere.example"), (None, ["shop.local", "x"], "shop.local,x")])
def test_the_host_in_the_address_goes_before_the_header(authority: str | None, hosts: list[str], told: str) -> None:
    """RFC 9112, 3.2.2; two headers are no host at all."""
    asked = scope(headers=[("host", host) for host in hosts[1:]])
    asked.authority = authority
    assert environment(asked)["HTTP_HOST"] == told


@pytest.mark.parametrize("pieces", [[b"x"], [b"x"] * 9, [b"ab" * 40_000, b"cd" * 70_000, b"e"], [b"a" * arriving.BEGINNING], [b"a" * arriving.BEGINNING, b"b"]])
def test_a_body_arrives_whole_and_in_order(pieces: list[bytes]) -> None:
    whole = b"".join(pieces)
    assert answered(echoing(), scope("POST", headers=length(len(whole))), *pieces).answer[2] == whole  # type: ignore[index]


def test_a_body_that_does_not_say_how_long_it_is_is_refused() -> None:
    """As RFC 9112 (6.3) allows: 411."""
    answer = answered(echoing(), scope("POST", headers=[("content-type", "text/plain"), ("transfer-encoding", "chunked")]), b"x").answer
    assert answer is not None and answer[0] == 411 and b"Content-Length" in answer[2]


@pytest.mark.parametrize("first", [b"x", b"x" * 40_000])
def test_who_stops_in_the_middle_is_told(first: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(arriving, "PATIENCE", 0.05)
    answer = answered(create_app(), scope("POST", "/v1/checks", [("content-type", "application/json"), ("content-length", "90000")]), first, ENDLESS).answer
    assert answer is not None and answer[0] == 408
    assert json.loads(answer[2])["status"] == 408 and answer[1]["Content-Type"] == "application/problem+json"
    assert answer[1]["X-Content-Type-Options"] == "nosniff"


def test_who_sends_a_byte_now_and_then_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(arriving, "PATIENCE", 0.2)
    sent = Sent()

    async def drip(_self: Any) -> AsyncIterator[bytes]:
        while True:
            await asyncio.sleep(0.01)
            yield b"x"

    monkeypatch.setattr(Sent, "__aiter__", drip)

    async def run() -> None:
        gateway = Gateway(echoing())
        gateway.__rsgi_init__(asyncio.get_running_loop())
        await gateway.__rsgi__(scope("POST", headers=length(10_000)), sent)

    asyncio.run(run())
    assert sent.answer is not None and sent.answer[0] == 408


@pytest.mark.parametrize("first", [b"x", b"x" * 40_000])
def test_a_request_that_breaks_off_is_not_taken_for_a_whole_one(first: bytes) -> None:
    assert answered(echoing(), scope("POST", headers=length(90_000)), first).answer[0] == 400  # type: ignore[index]


def test_a_file_goes_out_without_a_thread(tmp_path: Path) -> None:
    app, file = Flask(__name__), tmp_path / "book.pdf"
    file.write_bytes(b"%PDF-" + bytes(range(256)) * 999)
    app.add_url_rule("/", "book", lambda: send_file(file, "application/pdf", conditional=True))
    whole = answered(app, scope())
    assert whole.file == str(file) and whole.answer[1]["Content-Length"] == str(file.stat().st_size)  # type: ignore[index]
    part = answered(app, scope(headers=[("range", "bytes=5-260")]))
    assert part.file is None and part.answer[0] == 206 and part.answer[2] == bytes(range(256))  # type: ignore[index]
    assert answered(app, scope("HEAD")).answer[2] == b""  # type: ignore[index]


def test_what_goes_wrong_outside_the_application_is_a_problem_too() -> None:
    def broken(_environ: Any, _start: Any) -> Any:
        raise KeyError("s3cret")

    status, headers, body = answered(broken, scope()).answer  # type: ignore[misc]
    assert (status, json.loads(body)["status"], headers["Cache-Control"]) == (500, 500, "no-store") and b"s3cret" not in body


def test_when_the_server_stops_no_thread_waits_for_more() -> None:
    reading, ended = threading.Event(), threading.Event()

    def app(environ: dict[str, Any], _start: Any) -> list[bytes]:
        try:
            environ["wsgi.input"].read(40_000)
            reading.set()
            environ["wsgi.input"].read(1)
        finally:
            ended.set()
        return []

    loop, gateway = asyncio.new_event_loop(), Gateway(app)
    gateway.__rsgi_init__(loop)
    running = threading.Thread(target=loop.run_forever)
    running.start()
    asked = asyncio.run_coroutine_threadsafe(gateway.__rsgi__(scope("POST", headers=length(90_000)), Sent([b"x" * 40_000, ENDLESS])), loop)
    assert reading.wait(30)
    loop.call_soon_threadsafe(loop.stop)
    running.join(30)
    assert not ended.is_set()
    gateway.__rsgi_del__(loop)
    assert ended.wait(30)
    asked.cancel()
    loop.run_until_complete(asyncio.sleep(0.05))
    loop.close()


def test_large_bodies_take_turns_and_no_address_takes_all(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(arriving, "PATIENCE", 0.05)

    async def run() -> None:
        turns = arriving.Turns(most=3, most_from_one=2)
        async with turns.turn("192.0.2.7"), turns.turn("192.0.2.7"):
            with pytest.raises(arriving.TooSlow):
                await turns.turn("192.0.2.7").__aenter__()
            async with turns.turn("192.0.2.8"):
                with pytest.raises(arriving.TooSlow):
                    await turns.turn("192.0.2.9").__aenter__()
            async with turns.turn("192.0.2.9"):
                pass
        async with turns.turn("192.0.2.7"):
            assert list(turns._each) == ["192.0.2.7/32"]
        assert turns._each == {}

    asyncio.run(run())
