"""What is no proper HTTP, byte for byte: refused or closed, never answered as two requests (RFC 9112), and the service goes on."""

from __future__ import annotations

import contextlib
import socket
from collections.abc import Iterator

import pytest
import requests

from tests.served import Server, add_build

BODY = b'{"id":"smuggled","make":"Tarnock","model":"Stookman","year":1957}'
INSIDE = b"POST /v1/cars HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s" % (len(BODY), BODY)
POST = b"POST /v1/cars HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
GET = b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n"
#: What is sent, and which answers are good: a status, or nothing when the connection is closed.
SENT = {
    "two lengths": (POST + b"Content-Length: 2\r\nContent-Length: 3\r\n\r\n{}x", (400,)),
    "two lengths in one": (POST + b"Content-Length: 2, 3\r\n\r\n{}x", (400,)),
    "a length with a sign": (POST + b"Content-Length: +2\r\n\r\n{}", (400,)),
    "a negative length": (POST + b"Content-Length: -2\r\n\r\n{}", (400,)),
    "chunks": (POST + b"Transfer-Encoding: chunked\r\n\r\n2\r\n{}\r\n0\r\n\r\n", (411,)),
    "a coding that is none": (POST + b"Transfer-Encoding: xchunked\r\n\r\n2\r\n{}\r\n0\r\n\r\n", (400, 411, 501)),
    "chunked is not the last coding": (POST + b"Transfer-Encoding: chunked, identity\r\n\r\n2\r\n{}\r\n0\r\n\r\n", (400, 411, 501)),
    "a chunk of no size": (POST + b"Transfer-Encoding: chunked\r\n\r\nxx\r\n{}\r\n0\r\n\r\n", (400, 411)),
    "a chunk too large for a number": (POST + b"Transfer-Encoding: chunked\r\n\r\nFFFFFFFFFFFFFFFFFF\r\n{}\r\n0\r\n\r\n", (400, 411)),
    "a blank before the colon": (GET + b"X-A : b\r\n\r\n", (400,)),
    "a folded line": (GET + b"X-A: b\r\n c\r\n\r\n", (400, 200)),
    "a bare carriage return": (GET + b"X-A: b\rX-B: c\r\n\r\n", (400,)),
    "a null byte in a header": (GET + b"X-A: b\x00c\r\n\r\n", (400,)),
    "a null byte in the address": (b"GET /v1/cars/a\x00b HTTP/1.1\r\nHost: localhost\r\n\r\n", (400,)),
    "no version": (b"GET /healthz\r\n\r\n", (400,)),
    "a version that is none": (b"GET /healthz HTTP/9.9\r\nHost: localhost\r\n\r\n", (400, 505)),
    "the beginning of HTTP/2": (b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n" + b"\x00" * 9, (400, 505)),
    "a head of a megabyte": (GET + b"X-A: " + b"b" * 2**20 + b"\r\n\r\n", (400, 431)),
    "ten thousand headers": (GET + b"X-A: b\r\n" * 10_000 + b"\r\n", (400, 431)),
    "an address of a megabyte": (b"GET /" + b"a" * 2**20 + b" HTTP/1.1\r\nHost: localhost\r\n\r\n", (400, 414, 431)),
    "a trace": (b"TRACE /v1/cars HTTP/1.1\r\nHost: localhost\r\nX-Secret: s3cret\r\n\r\n", (400, 405, 501)),
    "a tunnel": (b"CONNECT 127.0.0.1:22 HTTP/1.1\r\nHost: 127.0.0.1:22\r\n\r\n", (400, 403, 404, 405, 501)),
    "no such method": (b"BREW /v1/cars HTTP/1.1\r\nHost: localhost\r\n\r\n", (400, 405, 501)),
    "another host": (b"GET /v1/cars HTTP/1.1\r\nHost: elsewhere.example\r\n\r\n", (400, 403)),
    "another host in the address": (b"GET http://elsewhere.example/v1/cars HTTP/1.1\r\nHost: localhost\r\n\r\n", (400, 403)),
    "a handshake of TLS": (b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\x00" * 300, (400,)),
    "noise": (bytes(range(256)) * 20, (400,)),
}


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with Server(tmp_path_factory.mktemp("wire") / "data") as server:
        add_build(server.where)
        yield server


def said(server: Server, sent: bytes) -> bytes:
    """All that the service says to these bytes, until it closes or has no more to say."""
    found = b""
    with socket.create_connection(("127.0.0.1", server.port), 30) as link:
        # It may close before all was sent.
        with contextlib.suppress(OSError):
            link.sendall(sent)
            link.shutdown(socket.SHUT_WR)
        with contextlib.suppress(ConnectionError):
            while piece := link.recv(65536):
                found += piece
    return found


@pytest.mark.parametrize("name", SENT)
def test_what_is_no_proper_request(server: Server, name: str) -> None:
    sent, good = SENT[name]
    found = said(server, sent)
    assert found.count(b"HTTP/1.1 ") <= 1, found
    assert found == b"" or int(found.split(b" ", 2)[1]) in good, found
    assert b"s3cret" not in found
    assert requests.get(f"http://127.0.0.1:{server.port}/readyz", timeout=30).status_code == 200


@pytest.mark.parametrize("head", [b"Content-Length: %d\r\nTransfer-Encoding: chunked\r\n", b"Transfer-Encoding: chunked\r\nContent-Length: %d\r\n",
                                  b"Content-Length: %d\r\nTransfer-Encoding : chunked\r\n", b"Content-Length: %d\r\nTransfer-Encoding:\x0bchunked\r\n",
                                  b"Content-Length: %d\r\nTransfer_Encoding: chunked\r\n"])
def test_a_request_inside_a_body_is_none(server: Server, head: bytes) -> None:
    """With both a length and chunks, RFC 9112 (6.1) has the chunks count or the request refused; by the length, this is all one body."""
    body = b"%x\r\n%s\r\n0\r\n\r\n" % (len(INSIDE), INSIDE)
    found = said(server, POST + head % len(body) + b"\r\n" + body)
    assert found.count(b"HTTP/1.1 ") <= 1 and b" 201 " not in found and b" 500 " not in found, found
    assert requests.get(f"{server.where}/cars/smuggled", timeout=30).status_code == 404
